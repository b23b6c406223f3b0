/** Bare warp: two-ply threads at their true places, lit from the upper left, on whatever lies below. */
import { toSrgb } from "../model/light.js";
import { wordsOf } from "./wool.js";
/** @import { Raster, Span } from "./types.d.ts" */

/** Half the width of a warp thread, in columns. */
const THREAD = 0.22;
/** How much of the light warp threads take from what lies beside them. */
const BETWEEN = 0.35;
/** After how many lines the plies of a thread come again. */
const TWIST_LINES = 0.55;
/** How much wider one doubled end makes the edge column, in columns. */
const EDGE_WIDER = 0.3;
const PHASES = 32;
/** Columns of pixels that lie alike to so many parts of a pixel are drawn alike. */
const FINEST = 16;

/**
 * The middle of every warp thread, px from the strip's left edge.
 * @param {number} ends
 * @param {number} columnPx
 * @param {{ readonly kind: string, readonly ends: number }} edge
 * @returns {Float64Array}
 */
export function threadPlaces(ends, columnPx, edge) {
  const places = Array.from({ length: ends }, (_, end) => (end + 0.5) * columnPx);
  if (edge.kind === "floating") return Float64Array.from([-0.5 * columnPx, ...places, (ends + 0.5) * columnPx]);
  if (edge.kind !== "doubled" || ends < 2) return Float64Array.from(places);
  const wider = (Math.min(1, EDGE_WIDER * edge.ends) * columnPx) / 2;
  places[0] = (places[0] ?? 0) - wider;
  places[ends - 1] = (places[ends - 1] ?? 0) + wider;
  const more = Array.from({ length: edge.ends }, (_, place) => EDGE_WIDER * columnPx * (place + 1));
  const [left, right] = [places[0] ?? 0, places[ends - 1] ?? 0];
  return Float64Array.from([...more.map((one) => left - one).reverse(), ...places, ...more.map((one) => right + one)]);
}

export class WarpPainter {
  /**
   * @param {Float64Array} threads as `threadPlaces` gives them
   * @param {readonly [number, number, number]} light linear colour of the warp
   * @param {{ columnPx: number, linePx: number }} scale
   */
  constructor(threads, light, { columnPx, linePx }) {
    this.threads = threads;
    this.light = light;
    this.half = THREAD * columnPx;
    this.twist = TWIST_LINES * linePx;
    /** @type {Map<number, Uint32Array>} */
    this.columns = new Map();
  }

  /**
   * Draws threads into an empty raster; between them it stays empty but for their shadow.
   * @param {Raster} image
   * @param {{ top: number, left: number, spans: readonly Span[] }} view the strip's row above the raster's first one,
   * its x at the left side, and the rows (upwards from the foot) where warp is bare
   */
  paint(image, { top, left, spans }) {
    const { width, height } = image;
    const pixels = wordsOf(image);
    const columns = Array.from({ length: width }, (_, x) => this.#column(x + left));
    for (const [low, high] of spans) {
      for (let y = Math.max(0, top - high); y < Math.min(height, top - low); y++) {
        const turn = ((top - y - 0.5) / this.twist) % 1;
        const phase = Math.floor((turn + 1) * PHASES) % PHASES;
        columns.forEach((column, x) => {
          if (column) pixels[y * width + x] = /** @type {number} */ (column[phase]);
        });
      }
    }
  }

  /**
   * The colours of one column of pixels at every turn of the plies; null where no thread is near.
   * @param {number} x
   */
  #column(x) {
    const away = Math.round(nearest(this.threads, x + 0.5) * FINEST);
    const off = away / FINEST / this.half;
    if (Math.abs(off) >= 2.2 || !Number.isFinite(off)) return null;
    const known = this.columns.get(away);
    if (known) return known;
    const found = this.#thread(off);
    this.columns.set(away, found);
    return found;
  }

  /** @param {number} off from the middle of a thread, in halves of its width @returns {Uint32Array} */
  #thread(off) {
    const across = Math.min(1, Math.max(-1, off));
    const cover = Math.min(1, Math.max(0, (1 - Math.abs(off)) * Math.max(this.half, 0.5) + 0.5));
    const shadow = BETWEEN * Math.min(1, Math.max(0, 2.2 - Math.abs(off)));
    if (!cover) return new Uint32Array(PHASES).fill(word(this.light, 0, shadow));
    const round = 0.35 + 0.75 * Math.sqrt(1 - 0.96 * across ** 2) - 0.18 * across;
    return Uint32Array.from({ length: PHASES }, (_, phase) => {
      const turn = Math.abs(Math.cos(Math.PI * ((phase + 0.5) / PHASES - (0.5 * Math.asin(across)) / Math.PI)));
      const lit = this.light.map((value) => Math.min(1, round * (0.72 + 0.28 * turn) * value));
      return word(lit, cover, shadow);
    });
  }
}

/**
 * How far a place is from the thread nearest to it.
 * @param {Float64Array} threads
 * @param {number} x
 */
function nearest(threads, x) {
  let [low, high] = [0, threads.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (/** @type {number} */ (threads[middle]) < x) low = middle + 1;
    else high = middle;
  }
  const [before, after] = [x - (threads[low - 1] ?? -Infinity), x - (threads[low] ?? Infinity)];
  return Math.abs(before) < Math.abs(after) ? before : after;
}

/**
 * A thread that covers part of a pixel, its shadow on the rest.
 * @param {readonly number[]} light linear
 * @param {number} cover
 * @param {number} shadow how much of the light it takes
 */
function word(light, cover, shadow) {
  const alpha = cover + (1 - cover) * (1 - (1 - shadow) ** (1 / 2.2)); // what lies below is darkened as it is encoded
  let found = Math.round(255 * alpha) << 24;
  light.forEach((value, channel) => (found |= Math.round((255 * toSrgb(value) * cover) / alpha) << (8 * channel)));
  return found >>> 0;
}
