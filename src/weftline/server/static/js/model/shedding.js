/** How many sheds the lines of a band have, and whether texts fit them. */
import { PieceError } from "./draft.js";
import { LineTextError, readLine } from "./line.js";
import { BandError, LineReader } from "./reading.js";
/** @import { Tree } from "./types.d.ts" */

/** How many sheds the techniques have that are known by name. @type {ReadonlyMap<string, number>} */
export const KNOWN = new Map([
  ["krokbragd", 3],
  ["boundweave", 4],
  ["boundweave on opposites", 4],
  ["two against two", 4],
  ["weft faced plain weave", 2],
]);

/**
 * The bit masks of a band's own sheds, or null where it has the technique's.
 * @param {Tree} band
 * @returns {readonly number[] | null}
 */
export function shedsOf(band) {
  /** @type {readonly (readonly number[])[] | null} */
  const own = band.fields["sheds"] ?? null;
  return own && own.map((shed) => shed.reduce((mask, shaft) => mask | (1 << (shaft - 1)), 0));
}

/**
 * Whether lines mean the same in two bands.
 * @param {Tree} one
 * @param {Tree} other
 * @returns {boolean}
 */
export function hasSameSheds(one, other) {
  return JSON.stringify(one.fields["sheds"] ?? null) === JSON.stringify(other.fields["sheds"] ?? null);
}

/**
 * How many sheds a line of a band has; of a band that is not there yet, a line of the technique.
 * @param {Tree} tree the piece
 * @param {Tree | null} band
 * @param {number} [technique] how many the technique has, where that is known
 * @returns {number}
 * @throws {PieceError} where nothing in the piece tells
 */
export function shedCount(tree, band, technique) {
  const own = band && shedsOf(band);
  const count = own ? own.length : (technique ?? writtenCount(tree));
  if (!count) throw new PieceError("this piece does not tell how many sheds a line has; write its first line as text");
  return count;
}

/** @param {Tree} tree @returns {number} 0 where nothing tells */
function writtenCount(tree) {
  const technique = tree.fields["weave"]?.technique ?? "krokbragd";
  if (typeof technique !== "string") return technique.sheds.length;
  const known = KNOWN.get(technique.toLowerCase().split(/[\s_-]+/).join(" ").trim());
  if (known !== undefined) return known;
  for (const band of bandsOf(tree)) {
    if (shedsOf(band)) continue;
    for (const { fields } of band.children) {
      try {
        return readLine(fields["text"]).tokens.length;
      } catch (error) {
        if (!(error instanceof LineTextError)) throw error;
      }
    }
  }
  return 0;
}

/** @param {Tree} tree @returns {readonly Tree[]} */
function bandsOf(tree) {
  return tree.kind === "band" ? [tree] : tree.children.flatMap(bandsOf);
}

/**
 * The texts, each a line that this band can have.
 * @param {Tree} tree the piece
 * @param {Tree | null} band
 * @param {readonly string[]} texts
 * @param {number} [technique]
 * @returns {readonly string[]}
 * @throws {PieceError} which of several lines cannot be read, and why
 */
export function checkedTexts(tree, band, texts, technique) {
  /** @type {Record<string, { strands?: number }>} */
  const yarns = tree.fields["yarns"] ?? {};
  const strands = Object.fromEntries(Object.entries(yarns).map(([key, yarn]) => [key, yarn.strands ?? 1]));
  const reader = new LineReader({ sheds: Array(shedCount(tree, band, technique)).fill(1), strands, lineMm: 1 });
  const lines = texts.map((text, at) => ({ id: String(at + 1), kind: /** @type {const} */ ("line"), fields: { text }, children: [] }));
  try {
    reader.read({ id: "", kind: "band", fields: {}, children: lines });
  } catch (error) {
    if (!(error instanceof BandError)) throw error;
    throw new PieceError(texts.length > 1 && error.node ? `line ${error.node} of these: ${error.message}` : error.message);
  }
  return texts;
}
