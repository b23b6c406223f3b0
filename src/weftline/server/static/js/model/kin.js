/** Which running lines and picks come from the same written line: what changes one changes them all. */
/** @import { LineKin, Picks } from "./types.d.ts" */

/**
 * @param {Picks} picks
 * @returns {LineKin}
 */
export function lineKin({ length, line, band, written, lines }) {
  const starts = new Int32Array(lines + 1);
  const source = new Int32Array(lines);
  starts[lines] = length;
  /** @type {Map<number, number>} */
  const first = new Map();
  for (let pick = 0, running = -1; pick < length; pick += 1) {
    if (line[pick] === running) continue;
    running = line[pick] ?? 0;
    starts[running] = pick;
    const name = (band[pick] ?? 0) * 0x1000000 + (written[pick] ?? 0);
    const known = first.get(name);
    if (known === undefined) first.set(name, running);
    source[running] = known ?? running;
  }
  return { source, starts };
}

/**
 * Every pick of the same written line in the same shed, itself among them.
 * @param {Picks} picks
 * @param {number} pick
 * @returns {Int32Array}
 */
export function family({ length, band, written, slot }, pick) {
  const found = new Int32Array(length);
  let count = 0;
  for (let one = 0; one < length; one += 1) {
    if (written[one] === written[pick] && slot[one] === slot[pick] && band[one] === band[pick]) {
      found[count] = one;
      count += 1;
    }
  }
  return found.slice(0, count);
}
