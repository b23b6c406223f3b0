/** A motif: lines with roles in place of yarns, so that it can be woven in others. Role r0 is the ground. */
import { PieceError } from "./draft.js";
import { readLine, retokened } from "./line.js";
/** @import { Tree } from "./types.d.ts" */

/**
 * @typedef {object} Motif
 * @property {readonly string[]} lines written in roles: `r1 r0 r0 *2`
 * @property {readonly string[]} yarns the yarn that each role was kept from
 */

/**
 * The motif of some lines: the ground first, then each yarn as it comes.
 * @param {readonly Tree[]} lines from the lowest
 * @param {string | null} ground
 * @returns {Motif}
 */
export function motifKeep(lines, ground) {
  const texts = lines.map((line) => line.fields["text"]);
  const keys = texts.flatMap((text) => readLine(text).tokens.flatMap((token) => token.split("+"))).filter((key) => key !== "-");
  const yarns = [...new Set(ground !== null ? [ground, ...keys] : keys)];
  const role = new Map(yarns.map((key, at) => [key, `r${at}`]));
  return { lines: texts.map((text) => inYarns(text, role)), yarns };
}

/**
 * The lines of a motif in yarns of a piece.
 * @param {Motif} motif
 * @param {readonly string[]} yarns for each role
 * @returns {string[]}
 */
export function motifTexts(motif, yarns) {
  if (yarns.length < motif.yarns.length) {
    throw new PieceError(`this motif has ${motif.yarns.length} yarns, and ${yarns.length} are chosen; choose one for each`);
  }
  const yarn = new Map(yarns.map((key, at) => [`r${at}`, key]));
  return motif.lines.map((text) => inYarns(text, yarn));
}

/** @param {string} text @param {ReadonlyMap<string, string>} names @returns {string} */
function inYarns(text, names) {
  return retokened(text, (token) => token.split("+").map((key) => names.get(key) ?? key).join("+"));
}
