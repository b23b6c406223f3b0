/** Running lines taken out of their repeats, and bands parted or joined, so that the cloth stays as it was. */
import { PieceError } from "./draft.js";
import { lineKin } from "./kin.js";
import { MOST_LINES, unrolled, withoutFirstPick, writings } from "./unrolled.js";
/** @import { Cloth, NewId, Tree } from "./types.d.ts" */
/** @import { Run, Unrolled, Writing } from "./unrolled.js" */

/** A band as it lies in the cloth: from which to which of its runs. @typedef {{ band: Tree, whole: Unrolled, from: number, to: number, drops: boolean }} Stretch */

/** What says how a band comes again. */
const TURNING = ["mirror", "times", "middle", "joint"];

/**
 * The strip with one running line written by itself, so that it can be changed alone: out of `*n`, or the repeats of its
 * band written out.
 * @param {Tree} strip
 * @param {{ cloth: Cloth, line: number }} which
 * @param {NewId} newId
 * @returns {Tree} itself where the line is already alone
 */
export function unlinked(strip, { cloth, line }, newId) {
  const { band, whole, from } = stretch(strip, cloth, line, line);
  const own = whole.runs[from];
  if (!own || whole.runs.filter((run) => run.written === own.written).length < 2) return strip;
  const children = linesOf(writings(band, whole.runs, from), new Set(), newId);
  const { mirror = "none", times = 1 } = band.fields;
  const isPlain = mirror === "none" && times === 1;
  return exchanged(strip, [band], [{ ...band, fields: isPlain ? band.fields : without(band.fields, TURNING), children }]);
}

/**
 * The strip with some running lines as a band of their own.
 * @param {Tree} strip
 * @param {{ cloth: Cloth, from: number, to: number, name?: string }} which
 * @param {NewId} newId
 * @returns {Tree} itself where they are one already
 */
export function ownBand(strip, { cloth, from, to, name }, newId) {
  const stretches = stretchesOf(strip, cloth, from, to);
  const [lowest] = stretches;
  const highest = stretches.at(-1);
  if (!lowest || !highest) return strip;
  const isWhole = lowest.from === 0 && highest.to === highest.whole.runs.length - 1;
  if (stretches.length === 1 && isWhole) return strip;
  const used = new Set();
  const parts = [
    lowest.from > 0 ? part({ ...lowest, from: 0, to: lowest.from - 1 }, used, newId) : null,
    stretches.length === 1 ? part(lowest, used, newId) : joined(stretches, used, newId),
    highest.to < highest.whole.runs.length - 1 ? part({ ...highest, from: highest.to + 1, to: highest.whole.runs.length - 1 }, used, newId) : null,
  ];
  const own = parts[1];
  if (own) parts[1] = { ...own, fields: { ...without(own.fields, ["name"]), ...(name ? { name } : {}) } };
  const bands = withIds(parts.filter((one) => one !== null), lowest.band, highest.band, newId);
  return exchanged(strip, stretches.map((one) => one.band), bands);
}

/** Which runs of one band some running lines of the cloth are. @param {Tree} strip @param {Cloth} cloth @param {number} from @param {number} to @returns {Stretch} */
function stretch(strip, { picks }, from, to) {
  const { starts } = lineKin(picks);
  const index = picks.band[starts[from] ?? -1] ?? -1;
  const band = strip.children[index];
  if (!band) throw new PieceError("this line is no longer in the cloth; choose it again");
  const first = picks.line[picks.band.indexOf(index)] ?? 0;
  const last = picks.line[picks.band.lastIndexOf(index)] ?? 0;
  const whole = unrolled(band);
  const made = picks.band.filter((one) => one === index).length;
  const drops = made < whole.runs.reduce((sum, run) => sum + run.line.tokens.filter((token) => token !== "-").length, 0);
  const missing = whole.runs.length - (last - first + 1);
  return { band, whole, drops, from: from - first + missing, to: to - first + missing };
}

/** @param {Tree} strip @param {Cloth} cloth @param {number} from @param {number} to @returns {Stretch[]} */
function stretchesOf(strip, cloth, from, to) {
  const { picks } = cloth;
  const { starts } = lineKin(picks);
  /** @type {Stretch[]} */
  const found = [];
  for (let first = from, line = from; line <= to; line += 1) {
    if (line < to && picks.band[starts[line + 1] ?? -1] === picks.band[starts[first] ?? -1]) continue;
    found.push(wholeFoot(stretch(strip, cloth, first, line)));
    first = line + 1;
  }
  return found;
}

/** A lowest line that is dropped whole goes with the one above it. @param {Stretch} one @returns {Stretch} */
function wholeFoot(one) {
  const isDropped = one.drops && (one.whole.runs[0]?.line.tokens.filter((token) => token !== "-").length ?? 0) === 1;
  return isDropped && one.from === 1 ? { ...one, from: 0 } : one;
}

/** Some runs of a band as a band: repeated as before where they are whole repeats, else written out. @param {Stretch} stretch @param {Set<unknown>} used @param {NewId} newId @returns {Tree} */
function part({ band, whole, from, to }, used, newId) {
  const fields = from > 0 ? without(band.fields, ["resume"]) : band.fields;
  const { copy } = whole;
  if (copy && from % copy === 0 && (to + 1) % copy === 0) {
    const times = (to + 1 - from) / copy;
    const lines = band.children.map((node) => ({ text: node.fields["text"], node }));
    const timed = times === 1 ? without(fields, ["times", "joint"]) : { ...fields, times };
    return { ...band, fields: timed, children: linesOf(lines, used, newId) };
  }
  const children = linesOf(writings(band, whole.runs.slice(from, to + 1)), used, newId);
  return { ...band, fields: without(fields, TURNING), children };
}

/** Runs of several bands as one band. @param {readonly Stretch[]} stretches @param {Set<unknown>} used @param {NewId} newId @returns {Tree} */
function joined(stretches, used, newId) {
  const [lowest] = stretches;
  const alike = new Set(stretches.map(({ band: { fields } }) => JSON.stringify([fields["sheds"] ?? null, fields["lines_per_cm"] ?? null])));
  if (!lowest || alike.size !== 1) throw new PieceError("these lines lie in bands of different sheds or heights; choose lines of one band");
  const children = stretches.flatMap(({ band, whole, from, to, drops }, at) => {
    const runs = whole.runs.slice(from, to + 1);
    return linesOf(writings(band, at > 0 && drops ? withoutFirstPick(runs) : runs), used, newId);
  });
  const { fields } = lowest.band;
  return { ...lowest.band, fields: without(fields, lowest.from > 0 ? [...TURNING, "resume"] : TURNING), children };
}

/**
 * The written lines as nodes; each node that there was is used once, the first time.
 * @param {readonly Writing[]} lines
 * @param {Set<unknown>} used
 * @param {NewId} newId
 * @returns {Tree[]}
 */
function linesOf(lines, used, newId) {
  if (lines.length > MOST_LINES) throw new PieceError("this band makes more than 10,000 lines, too many to write out");
  return lines.map(({ text, node }) => {
    if (!node || used.has(node.id)) return { id: newId(), kind: "line", fields: { text }, children: [] };
    used.add(node.id);
    return text === node.fields["text"] ? node : { ...node, fields: { text } };
  });
}

/** The first part goes on under the lowest band's id, the last of several bands under its own. @param {readonly Tree[]} parts @param {Tree} lowest @param {Tree} highest @param {NewId} newId @returns {Tree[]} */
function withIds(parts, lowest, highest, newId) {
  return parts.map((one, at) => {
    if (at === 0) return { ...one, id: lowest.id };
    return at === parts.length - 1 && at > 0 && highest !== lowest && one.id === highest.id ? one : { ...one, id: newId() };
  });
}

/** The strip with neighbouring bands exchanged for others. @param {Tree} strip @param {readonly Tree[]} old @param {readonly Tree[]} bands @returns {Tree} */
function exchanged(strip, old, bands) {
  const children = strip.children.flatMap((band) => (band === old[0] ? bands : old.includes(band) ? [] : [band]));
  return { ...strip, children };
}

/** @param {Readonly<Record<string, unknown>>} fields @param {readonly string[]} names @returns {Record<string, unknown>} */
function without(fields, names) {
  return Object.fromEntries(Object.entries(fields).filter(([key]) => !names.includes(key)));
}
