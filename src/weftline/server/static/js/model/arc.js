/** The arc in which a weft is laid so that the cloth does not draw in. */

/** A weft is laid in arcs of at most so much width, mm; a wide one hangs in the middle. */
export const WIDEST_MM = 300;

/**
 * A shallow arc of width W and height h is longer than W by 8 h² / (3 W); so for an extra t of the width h = W √(3 t / 8).
 * As n arcs, each has a width and a height of one n-th.
 * @param {number} width mm, in the reed
 * @param {number} share the extra t, of the width
 * @returns {{ arcs: number, width: number, height: number }} of each arc, mm
 */
export function arcOf(width, share) {
  const arcs = Math.max(1, Math.ceil(Math.floor(width) / WIDEST_MM));
  return { arcs, width: width / arcs, height: (width / arcs) * Math.sqrt((3 * Math.max(0, share)) / 8) };
}

/**
 * What the weft takes by the weaver's own tape: (1 + t) W of it lies in a width m, so it takes (1 + t) W / m - 1.
 * @param {number} width W, mm
 * @param {number} share the t that it was laid with
 * @param {number} measured m, mm
 */
export function corrected(width, share, measured) {
  return Math.max(0, ((1 + share) * width) / measured - 1);
}

/**
 * @param {number} width
 * @param {number} share
 * @param {boolean} imperial
 */
export function arcWords(width, share, imperial) {
  const arc = arcOf(width, share);
  const said = (/** @type {number} */ mm) => (imperial ? `${(mm / 25.4).toFixed(1)} in` : `${Math.round(mm)} mm`);
  if (arc.arcs === 1) return `Lay the weft in one arc, ${said(arc.height)} high in the middle.`;
  return `Lay the weft in ${arc.arcs} arcs, each ${said(arc.width)} wide and ${said(arc.height)} high.`;
}
