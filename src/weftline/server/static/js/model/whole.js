/** A strip so small that its beads run together: flat colours averaged by area, in linear light. */
import { columnKinds, shownInColumns } from "./columns.js";
import { toSrgb } from "./light.js";
import { sightOf } from "./sight.js";
/** @import { Light, Picks } from "./types.d.ts" */

/**
 * @param {Picks} picks
 * @param {readonly Light[]} lights colour of each winding
 * @param {object} size
 * @param {readonly number[] | Uint8Array} size.ends shafts, left to right as seen
 * @param {number} size.width pixels
 * @param {number} size.height pixels
 * @param {Light} size.warp what shows where no pick does
 * @param {boolean} [size.back]
 * @returns {Uint8ClampedArray} four bytes a pixel, the highest row first
 */
export function wholePixels(picks, lights, { ends, width, height, warp, back = false }) {
  const sight = sightOf(picks, { ends, linePx: 1, lineMm: 1, back });
  const kinds = columnKinds(sight);
  const shares = sharesOf(sight.ends, kinds.of, kinds.at.length, width);
  const rows = shownInColumns(sight, kinds).map((shown) => rowsOf(picks, shown, lights, height, warp));
  const pixels = new Uint8ClampedArray(4 * width * height);
  for (let row = 0, at = 0; row < height; row += 1) {
    const foot = 3 * (height - 1 - row);
    for (let column = 0; column < width; column += 1, at += 4) {
      for (let channel = 0; channel < 3; channel += 1) {
        let light = 0;
        for (let kind = 0; kind < rows.length; kind += 1) light += (shares[kind * width + column] ?? 0) * (rows[kind]?.[foot + channel] ?? 0);
        pixels[at + channel] = Math.round(toSrgb(light) * 255);
      }
      pixels[at + 3] = 255;
    }
  }
  return pixels;
}

/** How much of each column of pixels each kind of end takes: kinds after one another. @param {ArrayLike<number>} ends @param {ArrayLike<number>} of @param {number} kinds @param {number} width */
function sharesOf(ends, of, kinds, width) {
  const shares = new Float64Array(kinds * width);
  const each = width / ends.length;
  for (let end = 0; end < ends.length; end += 1) {
    const [left, right] = [end * each, (end + 1) * each];
    for (let column = Math.floor(left); column < Math.min(width, right); column += 1) {
      const place = (of[end] ?? 0) * width + column;
      shares[place] = (shares[place] ?? 0) + Math.max(0, Math.min(right, column + 1) - Math.max(left, column));
    }
  }
  return shares;
}

/**
 * The mean light of each row of one column, from the foot up: every bead grown halfway to its neighbours.
 * @param {Picks} picks
 * @param {readonly number[]} shown
 * @param {readonly Light[]} lights
 * @param {number} height
 * @param {Light} warp
 */
function rowsOf({ step, wound }, shown, lights, height, warp) {
  const rows = new Float64Array(3 * height);
  const tops = new Float64Array(step.length + 1);
  for (let pick = 0; pick < step.length; pick += 1) tops[pick + 1] = (tops[pick] ?? 0) + (step[pick] ?? 0);
  const tall = tops[step.length] ?? 0;
  if (!shown.length || !tall) {
    for (let at = 0; at < rows.length; at += 1) rows[at] = warp[at % 3] ?? 0;
    return rows;
  }
  const middle = (/** @type {number | undefined} */ pick) => ((tops[pick ?? 0] ?? 0) + (tops[(pick ?? 0) + 1] ?? 0)) / 2;
  let foot = 0;
  shown.forEach((pick, place) => {
    const next = shown[place + 1];
    const top = next === undefined ? height : ((middle(pick) + middle(next)) / 2 / tall) * height;
    const light = lights[wound[pick] ?? 0] ?? warp;
    for (let row = Math.floor(foot); row < Math.min(height, top); row += 1) {
      const share = Math.max(0, Math.min(top, row + 1) - Math.max(foot, row));
      for (let channel = 0; channel < 3; channel += 1) rows[3 * row + channel] = (rows[3 * row + channel] ?? 0) + share * (light[channel] ?? 0);
    }
    foot = top;
  });
  return rows;
}
