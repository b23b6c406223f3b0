/** The open shed: warp below and above, the weft that is thrown, and its head that tells the way. */
import { WarpPainter } from "./warp.js";
/** @import { Light } from "../model/types.d.ts" */

/** Half a thread is so much of the column that its painter is told of. */
const HALF = 0.22;
/** Lines after which the plies of a painted thread come again. */
const TWIST = 0.55;
const LOWERED = 0.5;

/**
 * @typedef {object} ShedLook device pixels
 * @property {number} width
 * @property {number} height of the warp, from the top to well below the fell
 * @property {number} column
 * @property {number} left the strip's x at the left side
 * @property {readonly Light[]} weft linear colours wound together
 * @property {Light} warp
 * @property {string} ink
 * @property {string} page
 */

/**
 * Threads of the warp, alone on a canvas.
 * @param {readonly number[]} places from the strip's left edge
 * @param {boolean} isRaised
 * @param {ShedLook} look
 */
export function threads(places, isRaised, { width, height, column, left, warp }) {
  const canvas = new OffscreenCanvas(width, height);
  if (!places.length) return canvas;
  const lit = (/** @type {number} */ value) => (isRaised ? Math.min(1, value * 1.12) : value * LOWERED);
  /** @type {Light} */
  const light = [lit(warp[0]), lit(warp[1]), lit(warp[2])];
  const painter = new WarpPainter(Float64Array.from(places), light, { columnPx: column * (isRaised ? 0.86 : 0.66), linePx: column * 1.5 });
  const image = new ImageData(width, height);
  painter.paint(image, { top: height, left, spans: [[0, height]] });
  canvas.getContext("2d")?.putImageData(image, 0, 0);
  return canvas;
}

/**
 * Yarn lying across, long enough for the whole width: one thread for each colour.
 * @param {ShedLook} look
 */
export function weftAcross({ width, column, weft }) {
  const each = (column * 0.62) / (weft.length > 1 ? 1.3 : 1);
  const [tall, long] = [Math.ceil(each * (weft.length + 1)), Math.ceil(width * 1.1)];
  const upright = new OffscreenCanvas(tall, long);
  const pen = upright.getContext("2d");
  weft.forEach((light, place) => {
    const middle = each * (place + 1);
    const painter = new WarpPainter(Float64Array.of(middle), light, { columnPx: each / 2 / HALF, linePx: column * 1.15 });
    const image = new ImageData(tall, long);
    painter.paint(image, { top: long, left: 0, spans: [[0, long]] });
    const one = new OffscreenCanvas(tall, long);
    one.getContext("2d")?.putImageData(image, 0, 0);
    const from = Math.round(middle - each / 2);
    pen?.drawImage(one, from, 0, Math.ceil(each), long, from, 0, Math.ceil(each), long);
  });
  const across = new OffscreenCanvas(long, tall);
  const turned = across.getContext("2d");
  turned?.translate(long, 0);
  turned?.rotate(Math.PI / 2);
  turned?.drawImage(upright, 0, 0);
  return across;
}

/**
 * The head: wound of the yarn, ringed in ink and page.
 * @param {OffscreenCanvasRenderingContext2D | CanvasRenderingContext2D} pen
 * @param {{ tip: number, y: number, size: number, way: 1 | -1 }} place `way` 1 points right
 * @param {ShedLook} look
 */
export function drawHead(pen, { tip, y, size, way }, look) {
  const wound = woundPattern(look);
  pen.save();
  pen.translate(tip, y);
  pen.scale(way * size, size);
  const path = headPath();
  pen.save();
  pen.clip(path);
  for (const half of /** @type {const} */ ([-1, 1])) {
    pen.save();
    pen.beginPath();
    pen.rect(-1.4, half < 0 ? -1 : -0.015, 1.6, 1.015);
    pen.clip();
    const pattern = pen.createPattern(wound, "repeat");
    pattern?.setTransform(new DOMMatrix().rotate(half * 58).scale(1 / size));
    pen.fillStyle = pattern ?? look.ink;
    pen.fillRect(-1.4, -1, 1.8, 2);
    pen.restore();
  }
  pen.restore();
  pen.lineJoin = "round";
  pen.lineWidth = 0.07;
  pen.strokeStyle = look.page;
  pen.stroke(path);
  pen.lineWidth = 0.035;
  pen.strokeStyle = look.ink;
  pen.stroke(headPath(1.055));
  pen.restore();
}

/** A head of height 1 whose tip lies at 0, 0 and points right. @param {number} [grown] */
function headPath(grown = 1) {
  const path = new Path2D();
  const at = (/** @type {number} */ x, /** @type {number} */ y) => /** @type {const} */ ([(x + 0.5) * grown - 0.5, y * grown]);
  path.moveTo(...at(0, 0));
  path.bezierCurveTo(...at(-0.02, -0.12), ...at(-0.52, -0.5), ...at(-0.86, -0.5));
  path.lineTo(...at(-1.08, -0.48));
  path.lineTo(...at(-0.78, 0));
  path.lineTo(...at(-1.08, 0.48));
  path.lineTo(...at(-0.86, 0.5));
  path.bezierCurveTo(...at(-0.52, 0.5), ...at(-0.02, 0.12), ...at(0, 0));
  path.closePath();
  return path;
}

/** @param {ShedLook} look */
function woundPattern({ column, weft }) {
  const each = Math.max(6, Math.round(column * 0.3));
  const tall = each * 2;
  const canvas = new OffscreenCanvas(each * weft.length, tall);
  const pen = canvas.getContext("2d");
  weft.forEach((light, place) => {
    const painter = new WarpPainter(Float64Array.of(-each / 2, each / 2, each * 1.5), light, { columnPx: (each * 0.56) / HALF, linePx: tall / TWIST });
    const image = new ImageData(each, tall);
    painter.paint(image, { top: tall, left: 0, spans: [[0, tall]] });
    pen?.putImageData(image, place * each, 0);
  });
  return canvas;
}
