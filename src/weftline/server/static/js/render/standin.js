/** What a band needs of another that stands in for it until its own bake comes. */
/** @import { Around, Bake, Lie } from "./types.d.ts" */

/** Picks on each side that are compared. */
const SEEN = 12;

/**
 * The types and rows of the picks around a band.
 * @param {Lie} lie
 * @param {number} band
 * @returns {Around}
 */
export function aroundOf(lie, band) {
  const types = new Int32Array(2 * SEEN + 1).fill(-1);
  const rows = new Int32Array(2 * SEEN + 1).fill(-1);
  for (let step = -SEEN; step <= SEEN; step++) {
    const pick = band - 1 + step;
    if (pick < 0 || pick >= lie.shed.length) continue;
    types[SEEN + step] = /** @type {number} */ (lie.shed[pick]);
    rows[SEEN + step] = /** @type {number} */ (lie.feet[pick + 1]) - /** @type {number} */ (lie.feet[pick]);
  }
  return { types, rows };
}

/**
 * Bands of one panel that may stand in for each other.
 * @param {number} panel
 * @param {Around} around
 */
export function typeOf(panel, { types }) {
  const own = types[SEEN];
  const past = own === -1 ? (types[SEEN + 1] === -1 ? "above" : "below") : own;
  return `${panel}|${past}`;
}

/**
 * How well one band stands in for another of the same type.
 * @param {Around} here
 * @param {Around} there
 * @returns {number}
 */
export function likeness(here, there) {
  let worth = here.rows[SEEN] === there.rows[SEEN] ? 10_000 : 0;
  for (const side of [-1, 1]) {
    for (let step = 1; step <= SEEN; step++) {
      const place = SEEN + side * step;
      if (here.types[place] !== there.types[place]) break;
      worth += 100;
      if (here.rows[place] === there.rows[place]) worth += 1;
    }
  }
  return worth;
}

/**
 * The picks that are meant: where the stand-in shows the second pick of a shed below its own, so does the band.
 * @param {{ readonly bake: Bake, readonly around: Around }} kept
 * @param {Around} around
 * @returns {Int32Array}
 */
export function meantBy(kept, around) {
  return Int32Array.from(kept.bake.depends, (other) => {
    const side = Math.sign(other);
    const type = kept.around.types[SEEN + other];
    if (!side || Math.abs(other) > SEEN || type === undefined || type === -1) return other;
    let count = 0;
    for (let step = side; step !== other + side; step += side) count += Number(kept.around.types[SEEN + step] === type);
    for (let step = side; Math.abs(step) <= SEEN; step += side) {
      if (around.types[SEEN + step] !== type) continue;
      count -= 1;
      if (!count) return step;
    }
    return other;
  });
}
