/** The line card's picture: a few ribs of the cloth enlarged, the line itself clear, what lies above and below it pale. */
import { wordsOf } from "./wool.js";
/** @import { Box, Raster } from "./types.d.ts" */
/** @import { WoolPainter } from "./wool.js" */

/** How much is seen of what is not the line. */
const PALE = 0.4;
const RIBS = 5;

/**
 * Which part of the cloth the card shows: five ribs wide around a place, in the card's own proportions, never beyond
 * the raster where the raster is large enough.
 * @param {{ x: number, y: number }} middle px of the raster
 * @param {number} columnPx
 * @param {{ width: number, height: number }} card
 * @param {{ width: number, height: number }} cloth the raster
 * @returns {Box}
 */
export function cropFor(middle, columnPx, card, cloth) {
  const width = Math.min(cloth.width, Math.round(RIBS * columnPx));
  const height = Math.min(cloth.height, Math.round((width * card.height) / card.width));
  const within = (/** @type {number} */ from, /** @type {number} */ most) => Math.max(0, Math.min(most, Math.round(from)));
  return {
    x: within(middle.x - width / 2, cloth.width - width),
    y: within(middle.y - height / 2, cloth.height - height),
    width,
    height,
  };
}

/**
 * The part of the cloth that the card shows, everything pale but the picks of the line.
 * @param {WoolPainter} painter
 * @param {Iterable<number>} picks
 * @param {Box} crop
 * @returns {Raster}
 */
export function cardPixels(painter, picks, crop) {
  const { x: left, y: top, width, height } = crop;
  const wanted = new Set(picks);
  const image = { data: new Uint8ClampedArray(4 * width * height), width, height };
  const [pixels, cloth, wide] = [wordsOf(image), wordsOf(painter.image), painter.image.width];
  for (let row = 0; row < height; row++) {
    const start = (top + row) * wide + left;
    for (let column = 0; column < width; column++) {
      const word = /** @type {number} */ (cloth[start + column]);
      pixels[row * width + column] = ((word & 0xffffff) | (Math.round((word >>> 24) * PALE) << 24)) >>> 0;
    }
  }
  painter.eachRun((pick) => wanted.has(pick), (y, from, to) => {
    if (y < top || y >= top + height) return;
    const [first, after] = [Math.max(from, left), Math.min(to, left + width)];
    if (first >= after) return;
    pixels.set(cloth.subarray(y * wide + first, y * wide + after), (y - top) * width + first - left);
  });
  return image;
}

/**
 * Draws the card.
 * @param {CanvasRenderingContext2D} pen
 * @param {CanvasImageSource} picture the pixels of `cardPixels`, on a canvas or as a bitmap
 * @param {Box} crop
 * @param {{ width: number, height: number }} card
 */
export function drawCard(pen, picture, crop, card) {
  pen.clearRect(0, 0, card.width, card.height);
  pen.imageSmoothingQuality = "high";
  const scale = Math.min(card.width / crop.width, card.height / crop.height);
  const [width, height] = [crop.width * scale, crop.height * scale];
  pen.drawImage(picture, (card.width - width) / 2, (card.height - height) / 2, width, height);
}
