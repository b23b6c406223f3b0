/** What is looked at: the picks of one strip from one side, at one scale, and which stretches of it look alike. */
import { columnKinds, shownOnBack, stacksNear } from "./columns.js";
/** @import { EdgeWarp, Picks, Sight } from "./types.d.ts" */

/** Picks on each side that a band may depend on, at most. */
const MOST_REACH = 48;
/** After about so many picks, in whole lines, the variation of a cloth that is painted on comes again. */
export const LIVE_PICKS = 27;

/**
 * The row where each pick's share of the height begins; the last is the top.
 * @param {Pick<Picks, "length" | "step">} picks
 * @param {number} linePx height of a line of `lineMm`
 * @param {number} lineMm
 * @returns {Int32Array}
 */
export function feet({ length, step }, linePx, lineMm) {
  const scale = linePx / lineMm;
  const rows = new Int32Array(length + 1);
  for (let pick = 0, top = 0; pick < length; pick += 1) {
    top += step[pick] ?? 0;
    rows[pick + 1] = Math.floor(top * scale + 0.5 + 1e-9);
  }
  return rows;
}

/**
 * A strip as seen.
 * @param {Picks} picks
 * @param {object} view
 * @param {readonly number[] | Uint8Array} view.ends shafts, left to right as seen
 * @param {number} view.linePx
 * @param {number} view.lineMm
 * @param {boolean} [view.back]
 * @param {EdgeWarp} [view.edge]
 * @returns {Sight}
 */
export function sightOf(picks, { ends, linePx, lineMm, back = false, edge = { kind: "none", ends: 0 } }) {
  let own = 0;
  for (const shaft of ends) own |= 1 << (shaft - 1);
  const shed = picks.shed.map((mask) => mask & own);
  return { ends, shed, line: picks.line, wound: picks.wound, feet: feet(picks, linePx, lineMm), back, edge };
}

/**
 * How often each pick's winding was thrown before.
 * @param {Int32Array} wound
 * @returns {Int32Array}
 */
export function passes(wound) {
  const before = new Int32Array(wound.length);
  /** @type {number[]} */
  const thrown = [];
  for (let pick = 0; pick < wound.length; pick += 1) {
    const winding = wound[pick] ?? 0;
    const count = thrown[winding] ?? 0;
    before[pick] = count;
    thrown[winding] = count + 1;
  }
  return before;
}

/**
 * For the left floating end as seen: 1 for picks that show on it; on the right one the others do. Each shuttle goes
 * over on the way in and under on the way out, and comes back from the side where it left.
 * @param {Int32Array} wound
 * @returns {Uint8Array}
 */
export function overAt(wound) {
  return Uint8Array.from(passes(wound), (before) => 1 - (before & 1));
}

/**
 * On how many picks below and above a band depends, of all bands the most.
 * @param {Pick<Sight, "line" | "shed">} sight
 * @returns {number}
 */
export function reach({ line, shed }) {
  return reachOf(Math.max(1, ...new Set(linesOf(line))), gaps(shed).reduce((most, gap) => Math.max(most, gap), 1));
}

/** @param {number} perLine picks in a line @param {number} widest picks from one to the next that shows in the same columns @returns {number} */
function reachOf(perLine, widest) {
  return Math.min(MOST_REACH, Math.max(3 * perLine + 1, perLine + 2 * widest));
}

/**
 * For each pick how far it is, in any column, from the pick that shows below it or is its own to the one that shows above.
 * @param {Uint16Array} shed
 * @returns {Uint16Array}
 */
function gaps(shed) {
  const widest = new Uint16Array(shed.length);
  const before = new Int32Array(16).fill(-1);
  for (let pick = 0; pick < shed.length; pick += 1) {
    for (let mask = shed[pick] ?? 0; mask; mask &= mask - 1) {
      const bit = 31 - Math.clz32(mask & -mask);
      const below = before[bit] ?? -1;
      const gap = Math.min(0xffff, pick - below);
      before[bit] = pick;
      if (below >= 0) for (let one = below; one <= pick; one += 1) if ((widest[one] ?? 0) < gap) widest[one] = gap;
    }
  }
  return widest;
}

/**
 * For some bands on how many picks below and above each depends: only what lies near it counts, so that a change
 * elsewhere leaves it alone.
 * @param {Sight} sight
 * @param {number} around
 * @param {number} from
 * @param {number} to
 * @returns {number[]}
 */
function reaches(sight, around, from, to) {
  const widest = gaps(sight.shed);
  const count = widest.length;
  const perLine = Math.max(1, ...new Set(linesOf(sight.line)));
  return Array.from({ length: to - from + 1 }, (_, place) => {
    const pick = from + place - 1;
    let own = Math.min(around, reachOf(perLine, 1));
    for (let low = pick, high = pick - 1, gap = 1; ; ) {
      for (; low > Math.max(0, pick - own); low -= 1) gap = Math.max(gap, widest[low - 1] ?? 0);
      for (; high < Math.min(count - 1, pick + own); high += 1) gap = Math.max(gap, widest[high + 1] ?? 0);
      const next = Math.min(around, reachOf(perLine, gap));
      if (next <= own) return own;
      own = next;
    }
  });
}

/**
 * After how many picks the variation comes again: whole lines, about `picks`.
 * @param {Pick<Sight, "line">} sight
 * @param {number} [picks]
 * @returns {number}
 */
export function variation({ line }, picks = LIVE_PICKS) {
  /** @type {number[]} */
  const often = [];
  for (const count of linesOf(line)) often[count] = (often[count] ?? 0) + 1;
  let each = 1;
  often.forEach((times, count) => {
    if (times > (often[each] ?? 0)) each = count;
  });
  return each * Math.max(1, toEven(picks / each));
}

/** The nearest whole number, of two the even one. @param {number} value */
function toEven(value) {
  const whole = Math.floor(value);
  const rest = value - whole;
  return rest > 0.5 || (rest === 0.5 && whole % 2) ? whole + 1 : whole;
}

/** How many picks each line has. @param {Int32Array} line @returns {number[]} */
function linesOf(line) {
  /** @type {number[]} */
  const counts = [];
  for (let pick = 0; pick < line.length; pick += 1) {
    if (pick && line[pick] === line[pick - 1]) counts.push((counts.pop() ?? 0) + 1);
    else counts.push(1);
  }
  return counts;
}

/**
 * For each band a text; bands of one text look alike, in this cloth and in any other on the same ends at the same scale.
 *
 * What a band looks like depends on the picks around it, on the rows of each, on its place in the variation, and on how
 * far the next beads in each column lie. How many picks count is told for each band by what lies near it. Band 0 lies below the foot, band i + 1 is that of pick i, the last lies above
 * the fell.
 * @param {{ around: number, phase: number }} recipe as of the bakes, or from `reach` and `variation`
 * @param {Sight} sight
 * @param {number} [from] the first band asked for
 * @param {number} [to] the last
 * @param {boolean} [edges] whether floating ends are looked at too
 * @returns {string[]}
 */
export function signatures({ around, phase }, sight, from = 0, to = sight.shed.length + 1, edges = true) {
  const count = sight.shed.length;
  const first = Math.max(0, from - 1 - around);
  const { text, at } = tokens(sight, first, Math.min(count, to + around), edges);
  const own = reaches(sight, around, from, to);
  const far = farNeighbours(sight, own, from);
  return own.map((reach, offset) => {
    const pick = from + offset - 1;
    const low = Math.max(0, pick - reach);
    const high = Math.max(low, Math.min(count, pick + reach + 1));
    const place = (pick + phase) % phase;
    const window = text.slice(at[low - first], at[high - first]);
    return `${reach} ${phase} ${place} ${low - pick + reach} ${far[offset] ?? ""}|${window}`;
  });
}

/**
 * Some picks as letters, and where each begins: its shed, its rows, whether it shows on the left floating end, and for
 * the back the sheds of its line. No pick's letters are the beginning of another's.
 * @param {Sight} sight
 * @param {number} first
 * @param {number} stop
 * @param {boolean} edges
 */
function tokens(sight, first, stop, edges) {
  const over = edges && sight.edge.kind === "floating" ? overAt(sight.wound) : null;
  const lines = sight.back ? shownOnBack(sight).lines : null;
  const at = new Int32Array(Math.max(0, stop - first) + 1);
  /** @type {string[]} */
  const parts = [];
  for (let pick = first, length = 0; pick < stop; pick += 1) {
    const rows = (sight.feet[pick + 1] ?? 0) - (sight.feet[pick] ?? 0);
    const own = String.fromCharCode(sight.shed[pick] ?? 0, rows >>> 16, rows & 0xffff, over?.[pick] ?? 0);
    const part = lines ? own + (lines[sight.line[pick] ?? 0] ?? "") : own;
    parts.push(part);
    length += part.length;
    at[pick - first + 1] = length;
  }
  return { text: parts.join(""), at };
}

/**
 * How far the beads that a band also depends on lie beyond its window: in every kind of column the two below and the
 * two above, the cloth's ends among them. Empty where nothing lies beyond.
 * @param {Sight} sight
 * @param {readonly number[]} reaches of the bands
 * @param {number} from the first of them
 * @returns {string[]}
 */
function farNeighbours(sight, reaches, from) {
  const kinds = columnKinds(sight);
  /** @type {string[][]} */
  const found = reaches.map(() => []);
  const isFar = new Uint8Array(found.length);
  for (const stack of stacksNear(sight, kinds, from - 1, from + reaches.length - 2)) {
    let below = 0;
    reaches.forEach((reach, offset) => {
      const pick = from + offset - 1;
      while (below + 1 < stack.length && (stack[below + 1] ?? 0) <= pick) below += 1;
      for (let step = -1; step <= 2; step += 1) {
        const distance = Math.abs(pick - (stack[Math.min(stack.length - 1, Math.max(0, below + step))] ?? 0));
        if (distance > reach) isFar[offset] = 1;
        found[offset]?.push(distance > reach ? String(distance) : "");
      }
    });
  }
  return found.map((distances, offset) => (isFar[offset] ? `${kinds.name};${distances.join(",")}` : ""));
}
