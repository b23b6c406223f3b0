import assert from "node:assert/strict";
import { test } from "node:test";
import { BakeBook } from "../../src/weftline/server/static/js/render/bakes.js";
import { cardPixels, cropFor } from "../../src/weftline/server/static/js/render/card.js";
import { decode } from "../../src/weftline/server/static/js/render/decode.js";
import { markPlaces } from "../../src/weftline/server/static/js/render/marks.js";
import { FAMILY, Outline, baste, border, stitchLine } from "../../src/weftline/server/static/js/render/outline.js";
import { packed } from "../../src/weftline/server/static/js/render/rows.js";
import { WarpPainter, threadPlaces } from "../../src/weftline/server/static/js/render/warp.js";
import { WoolPainter } from "../../src/weftline/server/static/js/render/wool.js";
import { encoded, pixelAt, rasterOf, recipeOf, recordingPen, tablesOf } from "./render-fakes.js";

const [LIGHT, DARK, NONE] = [247, 22, 0];

/**
 * Four picks of eight rows, twelve columns wide: in columns 0-5 each band shows its own pick, in columns 6-11 the pick
 * above takes the upper half.
 * @param {number[]} [wound]
 */
function cloth(wound = [0, 1, 1, 2]) {
  const lower = Array.from({ length: 4 }, () => Array(12).fill(0));
  const upper = (/** @type {number} */ next) => Array.from({ length: 4 }, () => [...Array(6).fill(0), ...Array(6).fill(next)]);
  const bakes = [{ panel: 0, which: [...upper(1), ...lower] }, { panel: 0, which: [...upper(0), ...lower] }];
  const lie = { shed: [1, 1, 1, 1], feet: [0, 8, 16, 24, 32] };
  const bands = [[1, 0], [2, 0], [3, 0], [4, 1]];
  const book = new BakeBook();
  book.add(decode(encoded(recipeOf(12, { overhang: 0 }), bakes, bands)), (band) => String(band), lie);
  const signatures = (/** @type {number} */ from, /** @type {number} */ to) => Array.from({ length: to - from + 1 }, (_, place) => String(from + place));
  const image = rasterOf(12, 40);
  const painter = new WoolPainter(book, image);
  painter.show({ ...lie, signatures, wound, tables: packed(tablesOf(3)) });
  painter.look(36, 0);
  painter.paint();
  return { painter, image };
}

test("a bead has a light ring inside a dark one, none where the raster cuts it", () => {
  const { painter } = cloth();
  const over = rasterOf(12, 40);
  const outline = new Outline(over);
  // pick 1: rows 8..15 of the strip in columns 0-5 (y 20..27), rows 4..11 in columns 6-11 (y 24..31)
  assert.deepEqual(outline.ring(painter, [1], FAMILY), [19, 33]);
  const grey = (/** @type {number} */ x, /** @type {number} */ y) => pixelAt(over, x, y)[0];
  const column = (/** @type {number} */ x) => Array.from({ length: 14 }, (_, row) => grey(x, 19 + row));
  assert.deepEqual(column(2), [DARK, LIGHT, NONE, NONE, NONE, NONE, NONE, NONE, LIGHT, DARK, NONE, NONE, NONE, NONE]);
  assert.deepEqual(column(8), [NONE, NONE, NONE, NONE, DARK, LIGHT, NONE, NONE, NONE, NONE, NONE, NONE, LIGHT, DARK]);
  assert.equal(grey(0, 24), NONE);
  assert.equal(grey(11, 28), NONE);
  assert.deepEqual(pixelAt(over, 2, 20), [LIGHT, LIGHT, LIGHT, 255]);
  assert.deepEqual(pixelAt(over, 2, 19), [DARK, DARK, DARK, 255]);
});

test("a stronger ring is wider on both sides; clearing takes all of it away", () => {
  const { painter } = cloth();
  const over = rasterOf(12, 40);
  const outline = new Outline(over);
  assert.deepEqual(outline.ring(painter, [1], { light: 2, dark: 2 }), [18, 34]);
  const column = Array.from({ length: 12 }, (_, row) => pixelAt(over, 2, 18 + row)[0]);
  assert.deepEqual(column, [DARK, DARK, LIGHT, LIGHT, NONE, NONE, NONE, NONE, LIGHT, LIGHT, DARK, DARK]);
  assert.deepEqual(outline.clear(), [18, 34]);
  assert.ok(over.data.every((byte) => byte === 0));
  assert.deepEqual(outline.ring(painter, [9]), [0, 0]);
});

test("rings of several picks that touch are one", () => {
  const { painter } = cloth();
  const over = rasterOf(12, 40);
  new Outline(over).ring(painter, [1, 2], FAMILY);
  const column = Array.from({ length: 18 }, (_, row) => pixelAt(over, 2, 11 + row)[0]);
  assert.deepEqual(column, [DARK, LIGHT, ...Array(14).fill(NONE), LIGHT, DARK]);
});

test("the border below a pick follows the crooked line", () => {
  const { painter } = cloth();
  const rows = border(painter, 2);
  assert.deepEqual([...rows], [...Array(6).fill(20), ...Array(6).fill(24)]);
  assert.deepEqual([...border(painter, 0)], Array(12).fill(36));
  assert.deepEqual([...border(painter, 4)], Array(12).fill(4));
  painter.look(16);
  painter.paint();
  assert.ok(border(painter, 4).every(Number.isNaN));
});

test("the stitch runs along the border in few straight pieces, single fibres left out", () => {
  const rows = Float64Array.from([20, 20, 20, 17, 20, 20, 24, 24, 24, 24, 24, NaN, NaN, 9, 9, 9]);
  assert.deepEqual(stitchLine(rows), [
    [[0, 20], [6, 20], [6, 24], [11, 24]],
    [[13, 9], [16, 9]],
  ]);
  const pen = recordingPen();
  baste(pen, stitchLine(rows), { ink: "ink", page: "page" });
  const strokes = pen.said.filter((/** @type {any[]} */ one) => one[0] === "stroke").map((/** @type {any[]} */ one) => one.at(-1));
  assert.deepEqual(strokes.map(({ strokeStyle }) => strokeStyle), ["page", "page", "ink", "ink"]);
  assert.ok(strokes[0].lineWidth > strokes[2].lineWidth);
  const dashes = pen.said.filter((/** @type {any[]} */ one) => one[0] === "setLineDash").map((/** @type {any[]} */ one) => one[1]);
  assert.deepEqual(dashes, [[8, 2], [6, 4]]);
});

test("marks stand on the first bead of a run, where the bead is large enough", () => {
  const { painter } = cloth();
  const strip = { ends: 2, columnPx: 6, back: false, ratio: 0.5 };
  // left column: picks 0 1 2 3 of windings 0 1 1 2; the middle of pick 0's bead lies at y 32, of pick 1's at 24
  const places = markPlaces(painter, [0, 1, 1, 2], strip);
  assert.deepEqual(places.filter(({ x }) => x < 6).map(({ pick, y, height }) => [pick, y, height]), [[0, 32, 8], [1, 24, 8], [3, 8, 8]]);
  assert.deepEqual(places.filter(({ x }) => x > 6).map(({ pick, y, height }) => [pick, y, height]), [[1, 28, 8], [3, 10, 12]]);
  assert.deepEqual(markPlaces(painter, [0, 1, 1, 2], { ...strip, ratio: 1 }), []);
});

test("on the back a float over several ends wears one mark", () => {
  const { painter } = cloth();
  const places = markPlaces(painter, [0, 1, 2, 0], { ends: 3, columnPx: 4, back: true, ratio: 0.3 });
  for (const pick of [1, 2, 3]) assert.equal(places.filter((one) => one.pick === pick).length, 1, `pick ${pick}`);
  assert.ok(markPlaces(painter, [0, 1, 2, 0], { ends: 3, columnPx: 4, back: false, ratio: 0.3 }).length > places.length);
});

test("the card shows five ribs around a place, the line clear and the rest pale", () => {
  const { painter } = cloth();
  assert.deepEqual(cropFor({ x: 100, y: 80 }, 20, { width: 160, height: 88 }, { width: 400, height: 300 }), { x: 50, y: 53, width: 100, height: 55 });
  assert.deepEqual(cropFor({ x: 10, y: 295 }, 20, { width: 160, height: 88 }, { width: 400, height: 300 }), { x: 0, y: 245, width: 100, height: 55 });
  const crop = { x: 2, y: 18, width: 8, height: 16 };
  const image = cardPixels(painter, [1], crop);
  assert.deepEqual(pixelAt(image, 0, 2), [80, 100, 7, 255]); // pick 1
  assert.deepEqual(pixelAt(image, 0, 12), [40, 100, 7, 102]); // pick 0, pale
  assert.deepEqual(pixelAt(image, 7, 12), [80, 100, 7, 255]);
  assert.deepEqual(pixelAt(image, 7, 2), [80, 100, 7, 102]); // pick 2: the same yarn, pale
});

test("warp threads stand where the ends are", () => {
  const none = { kind: "none", ends: 0 };
  assert.deepEqual([...threadPlaces(3, 10, none)], [5, 15, 25]);
  assert.deepEqual([...threadPlaces(2, 10, { kind: "floating", ends: 1 })], [-5, 5, 15, 25]);
  assert.deepEqual([...threadPlaces(2, 10, { kind: "doubled", ends: 1 })], [0.5, 3.5, 16.5, 19.5]);
});

test("bare warp is drawn only where it is bare, light from the left, a shadow between the threads", () => {
  const threads = threadPlaces(3, 30, { kind: "none", ends: 0 });
  const painter = new WarpPainter(threads, [0.6, 0.5, 0.4], { columnPx: 30, linePx: 24 });
  const image = rasterOf(90, 60);
  painter.paint(image, { top: 50, left: 0, spans: [[20, 50], [-40, 0]] });
  assert.equal(pixelAt(image, 45, 10)[3], 255);
  assert.equal(pixelAt(image, 45, 30)[3], 0); // woven
  assert.equal(pixelAt(image, 45, 49)[3], 0);
  assert.equal(pixelAt(image, 45, 50)[3], 255);
  assert.equal(pixelAt(image, 30, 10)[3], 0); // half way between two threads
  const shadow = pixelAt(image, 37, 10);
  assert.deepEqual(shadow.slice(0, 3), [0, 0, 0]);
  assert.ok((shadow[3] ?? 0) > 20 && (shadow[3] ?? 0) < 60);
  const mean = (/** @type {number} */ x) => Array.from({ length: 30 }, (_, y) => pixelAt(image, x, y)[0] ?? 0).reduce((sum, one) => sum + one) / 30;
  assert.ok(mean(42) > mean(47), `${mean(42)} left, ${mean(47)} right`);
  const plies = new Set(Array.from({ length: 14 }, (_, y) => pixelAt(image, 45, y)[0]));
  assert.ok(plies.size > 5);
  const moved = rasterOf(90, 60);
  painter.paint(moved, { top: 45, left: 0, spans: [[20, 50]] });
  assert.deepEqual(pixelAt(moved, 45, 5), pixelAt(image, 45, 10)); // the same place of the cloth, scrolled
});
