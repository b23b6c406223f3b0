/**
 * Bands to picks: `*n`, then `mirror`, then `times`, then `resume`.
 *
 * The written lines become *base* picks in the order thrown; a *copy* is a selection of them with a label that is equal
 * exactly within one line. Mirroring and repeating only choose and number such selections.
 */
import { LineTextError } from "./line.js";
import { BandError, LineReader } from "./reading.js";
import { thousands } from "./quoting.js";
/** @import { Cloth, PieceFacts, Tree, Trouble } from "./types.d.ts" */

export const MAX_PICKS = 200_000;

/** @typedef {import("./reading.js").ReadBand} ReadBand */
/** @typedef {{ line: Int32Array, slot: Int16Array, wound: Int32Array, written: Int32Array }} Base */
/** @typedef {{ pick: Int32Array, line: Int32Array }} Copy */
/** @typedef {{ mirror: string, middle: string, joint: string, times: number }} Turning */
/** @typedef {{ read: ReadBand, base: Base, copy: Copy, band: number, height: number }} Part */

/**
 * One strip as woven once. A band that cannot be followed becomes a trouble and gives no picks.
 * @param {Tree} strip
 * @param {PieceFacts} piece
 * @returns {Cloth}
 */
export function expandStrip(strip, piece) {
  const reader = new LineReader(piece);
  /** @type {Trouble[]} */
  const troubles = [];
  /** @type {Part[]} */
  const parts = [];
  let shedBefore = -1;
  let count = 0;
  strip.children.forEach((node, band) => {
    try {
      const read = reader.read(node);
      const base = baseOf(read);
      const copy = resumed(expanded(base, turningOf(node)), node, read, base, shedBefore);
      if (count + copy.pick.length > MAX_PICKS) throw tooManyPicks(count + copy.pick.length);
      const own = node.fields["lines_per_cm"] ?? null;
      parts.push({ read, base, copy, band, height: own === null ? piece.lineMm : 10 / own });
      count += copy.pick.length;
      const last = copy.pick[copy.pick.length - 1];
      if (last !== undefined) shedBefore = shedOf(read, base, last);
    } catch (error) {
      if (!(error instanceof BandError || error instanceof LineTextError)) throw error;
      troubles.push({ node: error instanceof BandError && error.node ? error.node : node.id, says: error.message });
    }
  });
  return { picks: joined(parts, count), windings: reader.windings, troubles };
}

/** @param {number} count */
function tooManyPicks(count) {
  const most = thousands(MAX_PICKS);
  return new BandError(`a piece has at most ${most} picks, this makes ${thousands(count)}; repeat less`);
}

/** @param {Tree} band @returns {Turning} */
function turningOf({ fields }) {
  const { times = 1, mirror = "none", middle = "single" } = fields;
  if (!Number.isInteger(times) || times < 1) throw new BandError("a band comes once or more often; give whole times");
  return { times, mirror, middle, joint: fields["joint"] ?? middle };
}

/** Every pick of the written lines once, in the order thrown. @param {ReadBand} read @returns {Base} */
function baseOf({ sheds, lines, windings }) {
  let rows = 0;
  let count = 0;
  lines.forEach((line, written) => {
    rows += line.times;
    count += line.times * (windings[written] ?? []).filter((winding) => winding >= 0).length;
  });
  if (rows > MAX_PICKS) throw tooManyPicks(rows);
  /** @type {Base} */
  const base = { line: new Int32Array(count), slot: new Int16Array(count), wound: new Int32Array(count), written: new Int32Array(count) };
  let at = 0;
  let running = 0;
  for (let written = 0; written < lines.length; written += 1) {
    const line = lines[written];
    const row = windings[written];
    if (!line || !row) continue;
    for (let time = 0; time < line.times; time += 1, running += 1) {
      for (let thrown = 0; thrown < sheds.length; thrown += 1) {
        const slot = line.back ? sheds.length - 1 - thrown : thrown;
        const winding = row[slot] ?? -1;
        if (winding < 0) continue;
        base.line[at] = running;
        base.slot[at] = slot;
        base.wound[at] = winding;
        base.written[at] = written;
        at += 1;
      }
    }
  }
  return base;
}

/** @param {Base} base @param {Turning} turning @returns {Copy} */
function expanded(base, { times, mirror, middle, joint }) {
  /** @type {Copy} */
  let unit = { pick: base.line.map((_, pick) => pick), line: base.line };
  let later = unit;
  if (mirror !== "none") {
    const back = returning(base, mirror);
    unit = later = stacked(unit, middle === "single" ? withoutFirst(back, mirror) : back);
    if (joint === "single") later = withoutFirst(unit, mirror);
  }
  const total = unit.pick.length + later.pick.length * (times - 1);
  if (total > MAX_PICKS) throw tooManyPicks(total);
  return times > 1 ? repeated(unit, later, times, total) : unit;
}

/** The base picks coming back: line by line, each as it was, or pick by pick. @param {Base} base @param {string} mirror @returns {Copy} */
function returning({ line }, mirror) {
  const count = line.length;
  const last = line[count - 1] ?? 0;
  const pick = new Int32Array(count);
  if (mirror === "picks") pick.forEach((_, at) => (pick[at] = count - 1 - at));
  else {
    let at = 0;
    for (let stop = count; stop > 0; ) {
      let start = stop - 1;
      while (start > 0 && line[start - 1] === line[start]) start -= 1;
      for (let one = start; one < stop; one += 1, at += 1) pick[at] = one;
      stop = start;
    }
  }
  return { pick, line: pick.map((one) => last - (line[one] ?? 0)) };
}

/** The copy without its first pick, or its first line where lines are mirrored. @param {Copy} copy @param {string} mirror @returns {Copy} */
function withoutFirst(copy, mirror) {
  let drop = 1;
  if (mirror === "lines") while (drop < copy.line.length && copy.line[drop] === copy.line[0]) drop += 1;
  return { pick: copy.pick.subarray(drop), line: copy.line.subarray(drop) };
}

/** @param {Copy} copy */
function labels({ line }) {
  return line.reduce((most, one) => Math.max(most, one), -1) + 1;
}

/** One copy above another; their lines stay different lines. @param {Copy} one @param {Copy} other @returns {Copy} */
function stacked(one, other) {
  return repeated(one, other, 2, one.pick.length + other.pick.length);
}

/** The unit followed by `times - 1` later copies. @param {Copy} unit @param {Copy} later @param {number} times @param {number} total @returns {Copy} */
function repeated(unit, later, times, total) {
  const pick = new Int32Array(total);
  const line = new Int32Array(total);
  const foot = labels(unit);
  pick.set(unit.pick);
  line.set(unit.line);
  for (let time = 1, at = unit.pick.length; time < times; time += 1, at += later.pick.length) {
    pick.set(later.pick, at);
    for (let one = 0; one < later.line.length; one += 1) line[at + one] = (later.line[one] ?? 0) + time * foot;
  }
  return { pick, line };
}

/** @param {Copy} copy @param {Tree} node @param {ReadBand} read @param {Base} base @param {number} shedBefore @returns {Copy} */
function resumed(copy, node, read, base, shedBefore) {
  const drops = node.fields["resume"] && shedOf(read, base, copy.pick[0] ?? 0) === shedBefore;
  return drops ? { pick: copy.pick.subarray(1), line: copy.line.subarray(1) } : copy;
}

/** @param {ReadBand} read @param {Base} base @param {number} pick @returns {number} */
function shedOf(read, base, pick) {
  return read.sheds[base.slot[pick] ?? 0] ?? 0;
}

/** The parts one above another, with lines numbered through. @param {readonly Part[]} parts @param {number} length @returns {Cloth["picks"]} */
function joined(parts, length) {
  const shed = new Uint16Array(length);
  const wound = new Int32Array(length);
  const line = new Int32Array(length);
  const slot = new Int16Array(length);
  const band = new Int16Array(length);
  const written = new Int32Array(length);
  const step = new Float64Array(length);
  let at = 0;
  let running = -1;
  for (const { read, base, copy, band: index, height } of parts) {
    const count = copy.pick.length;
    band.fill(index, at, at + count);
    step.fill(height / read.sheds.length, at, at + count);
    let label = -1;
    for (let one = 0; one < count; one += 1, at += 1) {
      const pick = copy.pick[one] ?? 0;
      const own = copy.line[one] ?? 0;
      if (one === 0 || own !== label) running += 1;
      label = own;
      line[at] = running;
      shed[at] = shedOf(read, base, pick);
      wound[at] = base.wound[pick] ?? 0;
      slot[at] = base.slot[pick] ?? 0;
      written[at] = base.written[pick] ?? 0;
    }
  }
  return { length, shed, wound, line, slot, band, written, step, lines: running + 1 };
}
