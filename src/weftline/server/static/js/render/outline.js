/** Rings around the beads of picks, and the basting stitch along a selection of whole lines. */
import { wordsOf } from "./wool.js";
/** @import { WoolPainter } from "./wool.js" */
/** @import { Pen, Raster, Span } from "./types.d.ts" */

const DARK = 0xff161616;
const LIGHT = 0xfff7f7f7;

/**
 * How a ring is drawn: light inside the bead's border, dark outside it, so that it is seen on the lightest and on
 * the darkest yarn. Widths in pixels of the raster.
 * @typedef {{ readonly light: number, readonly dark: number }} Ring
 */

/** @type {Ring} */
export const POINTED = { light: 2, dark: 2 };
/** @type {Ring} */
export const FAMILY = { light: 1, dark: 1 };

/**
 * A ring for a screen of so many pixels to one of the page's.
 * @param {Ring} ring
 * @param {number} ratio
 * @returns {Ring}
 */
export function scaled({ light, dark }, ratio) {
  return { light: Math.max(1, Math.round(light * ratio)), dark: Math.max(1, Math.round(dark * ratio)) };
}

/** Rings over the cloth, in a raster of the same size. */
export class Outline {
  /** @param {Raster} image */
  constructor(image) {
    this.image = image;
    this.pixels = wordsOf(image);
    this.mask = new Uint8Array(image.width * image.height);
    /** @type {Span} */
    this.drawn = [0, 0];
  }

  /**
   * Takes all rings away.
   * @returns {Span} the rows in which there were any
   */
  clear() {
    const [from, to] = this.drawn;
    this.pixels.fill(0, from * this.image.width, to * this.image.width);
    this.drawn = [0, 0];
    return [from, to];
  }

  /**
   * Draws a ring around every bead of some picks; those that touch have one ring together.
   * @param {WoolPainter} painter of the cloth below
   * @param {Iterable<number>} picks
   * @param {Ring} [ring]
   * @returns {Span} the rows that rings were drawn in
   */
  ring(painter, picks, ring = POINTED) {
    const wanted = new Set(picks);
    const { width, height } = this.image;
    /** @type {number[]} */
    const runs = [];
    let [from, to] = [height, 0];
    painter.eachRun((pick) => wanted.has(pick), (y, start, stop) => {
      this.mask.fill(1, y * width + start, y * width + stop);
      runs.push(y, start, stop);
      if (y < from) from = y;
      if (y >= to) to = y + 1;
    });
    if (from >= to) return [0, 0];
    const [low, high] = [Math.max(0, from - ring.dark), Math.min(height, to + ring.dark)];
    ringMask(this.mask, runs, this.image, ring);
    this.mask.fill(0, low * width, high * width);
    const [first, last] = this.drawn;
    this.drawn = first < last ? [Math.min(first, low), Math.max(last, high)] : [low, high];
    return [low, high];
  }
}

/**
 * The places inside a mask that touch what is outside. What lies beyond the raster counts as inside, so that a bead
 * cut by it has no end there.
 * @param {Uint8Array} mask 1 inside
 * @param {readonly number[]} runs y, from, to of each run of ones
 * @param {Raster} size
 * @returns {number[]}
 */
function rim(mask, runs, { width, height }) {
  const found = [];
  for (let run = 0; run < runs.length; run += 3) {
    const y = /** @type {number} */ (runs[run]);
    const from = /** @type {number} */ (runs[run + 1]);
    const to = /** @type {number} */ (runs[run + 2]);
    const [up, down] = [y > 0 ? width : 0, y < height - 1 ? width : 0];
    const [left, right] = [from > 0 ? 1 : 0, to < width ? 1 : 0];
    for (let x = from, place = y * width + from; x < to; x++, place++) {
      const inside =
        /** @type {number} */ (mask[place - up]) &
        /** @type {number} */ (mask[place + down]) &
        /** @type {number} */ (mask[x === from ? place - left : place - 1]) &
        /** @type {number} */ (mask[x === to - 1 ? place + right : place + 1]);
      if (!inside) found.push(place);
    }
  }
  return found;
}

/**
 * The next places of one kind beside some places; each is marked.
 * @param {Uint8Array} mask
 * @param {readonly number[]} places
 * @param {{ kind: number, mark: number }} what
 * @param {Raster} size
 * @returns {number[]}
 */
function beside(mask, places, { kind, mark }, { width, height }) {
  const found = [];
  const last = width * (height - 1);
  for (const place of places) {
    const x = place % width;
    for (let side = 0; side < 4; side++) {
      if (side === 0 ? x === 0 : side === 1 ? x === width - 1 : side === 2 ? place < width : place >= last) continue;
      const near = place + (side === 0 ? -1 : side === 1 ? 1 : side === 2 ? -width : width);
      if (mask[near] !== kind) continue;
      mask[near] = mark;
      found.push(near);
    }
  }
  return found;
}

/**
 * Draws the ring of a mask.
 * @param {Uint8Array} mask 1 inside, 0 outside; 2 is left where the ring was drawn
 * @param {readonly number[]} runs y, from, to of each run of ones
 * @param {Raster} image
 * @param {Ring} ring
 */
export function ringMask(mask, runs, image, ring) {
  const pixels = wordsOf(image);
  const edge = rim(mask, runs, image);
  for (const place of edge) mask[place] = 2;
  let inner = edge;
  for (let step = 0; step < ring.light; step++) {
    for (const place of inner) pixels[place] = LIGHT;
    if (step + 1 < ring.light) inner = beside(mask, inner, { kind: 1, mark: 2 }, image);
  }
  let outer = edge;
  for (let step = 0; step < ring.dark; step++) {
    outer = beside(mask, outer, { kind: 0, mark: 2 }, image);
    for (const place of outer) pixels[place] ||= DARK;
  }
}

/**
 * The crooked border below a pick: for every column of the raster the row above which it and later picks lie.
 * @param {WoolPainter} painter
 * @param {number} pick the first above the border
 * @returns {Float64Array} rows downwards from the raster's top; NaN where the border is not in sight
 */
export function border(painter, pick) {
  const { width, height } = painter.image;
  const rows = new Float64Array(width).fill(NaN);
  const lowest = new Int32Array(width).fill(-1);
  const earlier = new Int32Array(width).fill(height);
  const [first, last] = painter.reach();
  const near = (/** @type {number} */ other) => Math.abs(other - pick) <= SEEN;
  painter.eachRun(near, (y, from, to, other) => {
    for (let x = from; x < to; x++) {
      if (other < pick) earlier[x] = Math.min(/** @type {number} */ (earlier[x]), y);
      else lowest[x] = Math.max(/** @type {number} */ (lowest[x]), y);
    }
  });
  for (let x = 0; x < width; x++) {
    const [below, above] = [/** @type {number} */ (earlier[x]), /** @type {number} */ (lowest[x])];
    if (below < height && (above >= 0 || (pick > last && below > 0))) rows[x] = below;
    else if (pick <= first && above >= 0 && above + 1 < height) rows[x] = above + 1;
  }
  return rows;
}

/** Picks on each side of a border that are looked at. */
const SEEN = 12;

/**
 * A border as lines to draw: straight where it runs level, upright where it jumps from rib to rib; single fibres
 * that lie across it are left out.
 * @param {Float64Array} rows
 * @returns {(readonly [x: number, y: number])[][]}
 */
export function stitchLine(rows) {
  const smooth = rows.map((row, x) => middleOf([rows[x - 2], rows[x - 1], row, rows[x + 1], rows[x + 2]]));
  /** @type {(readonly [number, number])[][]} */
  const lines = [];
  let open = false;
  smooth.forEach((row, x) => {
    if (Number.isNaN(row)) {
      open = false;
      return;
    }
    if (!open) lines.push([[x, row]]);
    open = true;
    const line = /** @type {(readonly [number, number])[]} */ (lines.at(-1));
    const [before, last] = [line.at(-2), line.at(-1)];
    if (last && last[1] !== row) line.push([x, row]);
    else if (before && before[1] === row) line.pop();
    line.push([x + 1, row]);
  });
  return lines;
}

/**
 * @param {readonly (number | undefined)[]} five
 * @returns {number} NaN where the middle one is
 */
function middleOf(five) {
  const own = five[2] ?? NaN;
  if (Number.isNaN(own)) return NaN;
  const known = five.map((one) => (one === undefined || Number.isNaN(one) ? own : one)).sort((one, other) => one - other);
  return known[2] ?? own;
}

/**
 * Draws a basting stitch along lines.
 * @param {Pen} pen
 * @param {readonly (readonly (readonly [number, number])[])[]} lines
 * @param {{ ink: string, page: string, ratio?: number }} look
 */
export function baste(pen, lines, { ink, page, ratio = 1 }) {
  pen.save();
  pen.lineJoin = "round";
  pen.lineCap = "butt";
  // each stitch in a longer one of the page's colour, so that it is seen on every yarn
  for (const [colour, width, on, off] of /** @type {const} */ ([[page, 4, 8, 2], [ink, 2, 6, 4]])) {
    pen.strokeStyle = colour;
    pen.lineWidth = width * ratio;
    pen.setLineDash([on * ratio, off * ratio]);
    pen.lineDashOffset = ((on - 6) / 2) * ratio;
    for (const line of lines) {
      pen.beginPath();
      line.forEach(([x, y], place) => (place ? pen.lineTo(x, y) : pen.moveTo(x, y)));
      pen.stroke();
    }
  }
  pen.restore();
}
