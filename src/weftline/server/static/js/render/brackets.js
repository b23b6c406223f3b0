/** The bands beside the cloth: a bracket for each, with its name, its handle at the upper end and a notch at its middle. */
/** @import { Hit, Pen, StairBand, StairLook, StairScene } from "./types.d.ts" */

const TICK = 6;
const HANDLE = { small: 4.5, open: 12 };
/** A pointer's target is at least so large, px. */
const TARGET = 24;

/**
 * Draws the brackets of the bands in sight.
 * @param {Pen} pen
 * @param {StairScene} scene
 * @param {StairLook} look
 * @returns {Hit[]}
 */
export function drawBands(pen, { bands, height }, look) {
  /** @type {Hit[]} */
  const hits = [];
  for (const band of bands) {
    if (band.bottom <= 0 || band.top >= height) continue;
    const [top, bottom] = [Math.max(-1, band.top + 1), Math.min(height + 1, band.bottom - 1)];
    drawBracket(pen, band, [top, bottom], look);
    if (band.middle !== null) drawNotch(pen, band.middle, look);
    nameBand(pen, band, [Math.max(0, top), Math.min(height, bottom)], look);
    hits.push({ kind: "band", band: band.key, x: 0, y: top, width: look.bracketX + TICK, height: bottom - top });
  }
  for (const band of bands) {
    const y = band.top + 1;
    if (y < -TARGET || y > height + TARGET) continue;
    drawHandle(pen, y, band.open, look);
    hits.push({ kind: "handle", band: band.key, x: look.bracketX - TARGET / 2, y: y - TARGET / 2, width: TARGET, height: TARGET });
  }
  return hits;
}

/**
 * @param {Pen} pen
 * @param {StairBand} band
 * @param {readonly [number, number]} reach
 * @param {StairLook} look
 */
function drawBracket(pen, band, [top, bottom], { bracketX: x, ink }) {
  pen.strokeStyle = ink;
  pen.lineWidth = 1.5;
  pen.beginPath();
  pen.moveTo(x + TICK, top);
  pen.lineTo(x, top);
  pen.lineTo(x, bottom);
  if (bottom === band.bottom - 1) pen.lineTo(x + TICK, bottom);
  pen.stroke();
}

/** @param {Pen} pen @param {number} y @param {StairLook} look */
function drawNotch(pen, y, { bracketX: x, ink }) {
  pen.fillStyle = ink;
  pen.beginPath();
  pen.moveTo(x + 0.5, y - 4.5);
  pen.lineTo(x + 6.5, y);
  pen.lineTo(x + 0.5, y + 4.5);
  pen.closePath();
  pen.fill();
}

/**
 * The handle: a small ring, or a large one with an arrow that turns back.
 * @param {Pen} pen
 * @param {number} y
 * @param {boolean} open
 * @param {StairLook} look
 */
function drawHandle(pen, y, open, { bracketX: x, ink, page }) {
  const radius = open ? HANDLE.open : HANDLE.small;
  pen.beginPath();
  pen.ellipse(x, y, radius, radius, 0, 0, 2 * Math.PI);
  pen.fillStyle = page;
  pen.fill();
  pen.strokeStyle = ink;
  pen.lineWidth = 1.5;
  pen.stroke();
  if (!open) return;
  pen.beginPath();
  pen.moveTo(x - 3.5, y + 5);
  pen.lineTo(x - 3.5, y - 1);
  pen.ellipse(x, y - 1, 3.5, 3.5, 0, Math.PI, 2 * Math.PI);
  pen.lineTo(x + 3.5, y + 4);
  pen.moveTo(x + 1, y + 1.5);
  pen.lineTo(x + 3.5, y + 4.5);
  pen.lineTo(x + 6, y + 1.5);
  pen.stroke();
}

/**
 * The band's name, and what it is, in the middle of what is seen of it; only as much as there is room for.
 * @param {Pen} pen
 * @param {StairBand} band
 * @param {readonly [number, number]} reach
 * @param {StairLook} look
 */
function nameBand(pen, { name, says, open }, [top, bottom], look) {
  const room = bottom - top;
  const wide = look.bracketX - 12;
  const middle = (top + bottom) / 2;
  const under = open ? HANDLE.open : HANDLE.small;
  if (room < 14 + under) return;
  pen.textAlign = "right";
  const two = room >= 40 && says !== "";
  pen.font = look.bold;
  pen.fillStyle = look.ink;
  pen.fillText(fitting(pen, name, wide), look.bracketX - 10, two ? middle - 9 : middle);
  if (!two) return;
  pen.font = look.font;
  pen.fillStyle = look.quiet;
  pen.fillText(fitting(pen, says, wide), look.bracketX - 10, middle + 10);
}

/**
 * As much of a text as has room, with an ellipsis where some is left out.
 * @param {{ measureText(text: string): { readonly width: number } }} pen
 * @param {string} text
 * @param {number} width
 * @returns {string}
 */
export function fitting(pen, text, width) {
  if (pen.measureText(text).width <= width) return text;
  const letters = [...text];
  let [low, high] = [0, letters.length];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (pen.measureText(`${letters.slice(0, middle).join("").trimEnd()}…`).width <= width) low = middle;
    else high = middle - 1;
  }
  return low ? `${letters.slice(0, low).join("").trimEnd()}…` : "";
}
