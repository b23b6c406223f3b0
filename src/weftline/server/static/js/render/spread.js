/** Where the rows of bakes come to lie in a raster, and where one pick shows in them. */
/** @import { Bake, PanelPlan, Piece } from "./types.d.ts" */

/**
 * The band that a row of the strip lies in; the outermost ones hold everything beyond.
 * @param {ArrayLike<number>} feet
 * @param {number} row
 * @returns {number}
 */
export function bandAt(feet, row) {
  let [low, high] = [0, feet.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (/** @type {number} */ (feet[middle]) <= row) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * @param {PanelPlan} panel
 * @param {number} left the strip's x at the raster's left side
 * @param {number} wide of the raster
 * @returns {Piece[]}
 */
export function piecesOf(panel, left, wide) {
  /** @type {Piece[]} */
  const pieces = [];
  for (const [source, width, x, times] of panel.places) {
    const first = Math.max(0, Math.floor((left - x) / width));
    for (let time = first; time < times && x + time * width - left < wide; time++) {
      const start = x + time * width - left;
      const [from, to] = [Math.max(0, -start), Math.min(width, wide - start)];
      if (from < to) pieces.push({ source: source + from, x: start + from, width: to - from });
    }
  }
  return pieces;
}

/**
 * Which of a bake's others shows at a place, -1 for none.
 * @param {Bake} bake
 * @param {number} row
 * @param {number} column
 */
export function codeAt(bake, row, column) {
  return (/** @type {number} */ (bake.mix[row * bake.width + column]) >> 8) - 1;
}

/**
 * Where one of a bake's others shows: from and to, in places of the bake; no run goes over the end of a row.
 * @param {Bake} bake
 * @param {number} code
 * @returns {Int32Array}
 */
export function runsOf(bake, code) {
  const known = bake.runs[code];
  if (known) return known;
  const [which, other] = [bake.which, bake.others[code]];
  /** @type {number[]} */
  const runs = [];
  for (let row = 0; row < bake.rows; row++) {
    const stop = (row + 1) * bake.width;
    for (let place = row * bake.width; place < stop; place++) {
      if (which[place] !== other) continue;
      const from = place;
      while (place < stop && which[place] === other) place++;
      runs.push(from, place);
    }
  }
  const found = Int32Array.from(runs);
  bake.runs[code] = found;
  return found;
}

/**
 * @param {Bake} bake
 * @param {number} code
 * @param {{ y: number, rows: number, height: number, pieces: readonly Piece[] }} where
 * @param {(y: number, from: number, to: number) => void} tell
 */
export function tellRuns(bake, code, { y, rows, height, pieces }, tell) {
  const runs = runsOf(bake, code);
  for (let place = 0; place < runs.length; place += 2) {
    const start = /** @type {number} */ (runs[place]);
    const row = Math.floor(start / bake.width);
    const column = start - row * bake.width;
    const stop = column + /** @type {number} */ (runs[place + 1]) - start;
    const first = Math.max(0, y + Math.ceil((row * rows) / bake.rows));
    const after = Math.min(height, y + Math.ceil(((row + 1) * rows) / bake.rows));
    for (const piece of pieces) {
      const shift = piece.x - piece.source;
      const from = Math.max(column, piece.source) + shift;
      const to = Math.min(stop, piece.source + piece.width) + shift;
      for (let line = first; from < to && line < after; line++) tell(line, from, to);
    }
  }
}
