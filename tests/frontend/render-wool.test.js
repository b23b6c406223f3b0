import assert from "node:assert/strict";
import { test } from "node:test";
import { BakeBook, asked } from "../../src/weftline/server/static/js/render/bakes.js";
import { decode } from "../../src/weftline/server/static/js/render/decode.js";
import { packed } from "../../src/weftline/server/static/js/render/rows.js";
import { WoolPainter } from "../../src/weftline/server/static/js/render/wool.js";
import { encoded, pixelAt, rasterOf, recipeOf, tablesOf } from "./render-fakes.js";

const B = -128;

/**
 * Two picks in turn, two rows each; the left half of each band shows its own pick, the right half the one below (own - 1).
 * At the foot the right half is bare below the first pick.
 */
const WIDTH = 4;
const FOOT = { panel: 0, which: [[1, 1, B, B]] };
const FIRST = { panel: 0, which: [[0, 0, B, B], [0, 0, 1, 1]] };
const INNER = { panel: 0, which: [[0, 0, -1, -1], [0, 0, -1, -1]], shade: [[1, 2, 3, 4], [5, 6, 7, 8]] };
const TOP = { panel: 0, which: [[-1, -1, B, B]] };

/** @param {number} picks */
function strip(picks) {
  const shed = Uint16Array.from({ length: picks }, (_, pick) => 1 + (pick % 2));
  const feet = Int32Array.from({ length: picks + 1 }, (_, pick) => 2 * pick);
  const signatures = (/** @type {number} */ from, /** @type {number} */ to) =>
    Array.from({ length: to - from + 1 }, (_, place) => {
      const band = from + place;
      if (band === 0) return "foot";
      if (band === 1) return "first";
      return band > picks ? "top" : "inner";
    });
  return { shed, feet, signatures };
}

function bookOf(picks = 5, kept = [0, 1, 2, 3, 4, 5, 6]) {
  const book = new BakeBook();
  const own = strip(picks);
  const places = [0, 1, ...Array(picks - 1).fill(2), 3];
  const bands = kept.map((band) => [band, places[band] ?? 0]);
  const buffer = encoded(recipeOf(WIDTH), [FOOT, FIRST, INNER, TOP], bands);
  book.add(decode(buffer), (band) => own.signatures(band, band)[0] ?? "", own);
  return { book, own };
}

const TABLES = packed(tablesOf(3));

test("what is no bakes is refused in a sentence", () => {
  assert.throws(() => decode(new ArrayBuffer(40)), /something else than rows of cloth/);
  assert.throws(() => decode(new ArrayBuffer(3)), /something else than rows of cloth/);
});

test("decoded bakes know which picks they depend on, those of hairs too", () => {
  const which = [[0, 1, B, -3]];
  const buffer = encoded(recipeOf(4), [{ panel: 0, which, shade: [[9, 8, 7, 6]], hairs: [[0, 2, -300, 51], [0, 1, 1, 255]] }], [[4, 0]]);
  const { bands, recipe } = decode(buffer);
  const bake = bands[0]?.bakes[0];
  assert.ok(bake);
  assert.equal(bands[0]?.band, 4);
  assert.equal("bakes" in recipe, false);
  assert.deepEqual([...bake.which], [0, 1, -128, -3]);
  assert.deepEqual([...bake.others], [-3, 0, 1]);
  assert.deepEqual([...bake.depends], [-3, 0, 1, -300]);
  assert.deepEqual([...bake.mix], [2 * 256 + 9, 3 * 256 + 8, 7, 256 + 6]);
  assert.deepEqual([...bake.hairs.code], [3, 2]);
  assert.ok(Math.abs((bake.hairs.opacity[0] ?? 0) - 0.2) < 1e-6);
});

test("a strip is painted in the colours of its picks, empty where none shows", () => {
  const { book, own } = bookOf();
  const image = rasterOf(WIDTH, 14);
  const painter = new WoolPainter(book, image);
  const wound = Int32Array.from([0, 1, 2, 0, 1]);
  painter.show({ ...own, wound, tables: TABLES });
  painter.look(12, 0); // one row free above the overhang, one below
  const { missing, spans } = painter.paint();
  assert.deepEqual(missing, []);
  assert.deepEqual(spans, [[0, 14]]);
  assert.deepEqual(pixelAt(image, 0, 0), [0, 0, 0, 0]);
  assert.deepEqual(pixelAt(image, 0, 13), [0, 0, 0, 0]);
  // band 5 is pick 4's: rows 8..9 of the strip; its left half shows pick 4 (winding 1), its right half pick 3 (winding 0)
  assert.deepEqual(pixelAt(image, 0, 2), [80, 1, 7, 255]);
  assert.deepEqual(pixelAt(image, 3, 2), [40, 4, 7, 255]);
  assert.deepEqual(pixelAt(image, 2, 3), [40, 7, 7, 255]);
  assert.equal(painter.pickAt(0, 2), 4);
  assert.equal(painter.pickAt(3.9, 2.2), 3);
  assert.equal(painter.pickAt(2, 10), -1); // the foot's bare corner
  assert.equal(painter.pickAt(4, 2), -1);
  assert.equal(painter.pickAt(0, 0), -1);
  assert.deepEqual([...painter.columnPicks(2)], [-1, -1, 3, 3, 2, 2, 1, 1, 0, 0, -1, 1, -1, -1]);
});

test("a changed pick paints again only the bands in which it shows", () => {
  const { book, own } = bookOf();
  const image = rasterOf(WIDTH, 12);
  const painter = new WoolPainter(book, image);
  const wound = Int32Array.from([0, 1, 2, 0, 1]);
  painter.show({ ...own, wound, tables: TABLES });
  painter.look(11);
  painter.paint();
  const before = image.data.slice();
  assert.deepEqual(painter.paint().spans, []);
  const changed = Int32Array.from([0, 1, 2, 2, 1]);
  painter.show({ ...own, wound: changed, tables: TABLES });
  assert.deepEqual(painter.paint().spans, [[1, 5]]); // pick 3: its own band (rows 6, 7) and the one above
  const fresh = rasterOf(WIDTH, 12);
  const other = new WoolPainter(book, fresh);
  other.show({ ...own, wound: changed, tables: TABLES });
  other.look(11);
  other.paint();
  assert.deepEqual(image.data, fresh.data);
  assert.notDeepEqual(image.data, before);
});

test("scrolling keeps what stays in sight and paints the rest as if it were all new", () => {
  const { book, own } = bookOf();
  const wound = Int32Array.from([0, 1, 2, 0, 1]);
  const image = rasterOf(WIDTH, 5);
  const painter = new WoolPainter(book, image);
  painter.show({ ...own, wound, tables: TABLES });
  painter.look(5);
  painter.paint();
  const shown = image.data.slice(); // what a canvas shows to which only the changed rows are given
  for (const top of [6, 9, 8, 3, 13, 14, 30, 11, 4, 1, -3, 5]) {
    painter.look(top);
    const { spans } = painter.paint();
    const fresh = rasterOf(WIDTH, 5);
    const other = new WoolPainter(book, fresh);
    other.show({ ...own, wound, tables: TABLES });
    other.look(top);
    other.paint();
    assert.deepEqual(image.data, fresh.data, `at ${top}: ${JSON.stringify(spans)}`);
    for (const [from, to] of spans) shown.set(image.data.subarray(4 * WIDTH * from, 4 * WIDTH * to), 4 * WIDTH * from);
    assert.deepEqual(shown, fresh.data, `shown at ${top}: ${JSON.stringify(spans)}`);
  }
});

test("a longer strip pushes what lies above it up, and nothing of the old one stays", () => {
  const image = rasterOf(WIDTH, 16);
  const tall = bookOf(6, [0, 1, 2, 3, 4, 5, 6, 7]);
  const painter = new WoolPainter(tall.book, image);
  painter.show({ ...tall.own, wound: new Int32Array(6), tables: TABLES });
  painter.look(14);
  painter.paint();
  const short = strip(4);
  painter.show({ ...short, wound: new Int32Array(4), tables: TABLES });
  painter.paint();
  const fresh = rasterOf(WIDTH, 16);
  const other = new WoolPainter(tall.book, fresh);
  other.show({ ...short, wound: new Int32Array(4), tables: TABLES });
  other.look(14);
  other.paint();
  assert.deepEqual(image.data, fresh.data);
});

test("a tile comes again across, cut at both sides of the raster", () => {
  const panels = [{ width: 3, edges: true, places: [[0, 1, 0, 1], [1, 2, 1, 3], [0, 1, 7, 1]] }];
  const recipe = recipeOf(8, { panels, overhang: 0 });
  const own = { shed: [1], feet: [0, 1], signatures: (/** @type {number} */ from, /** @type {number} */ to) => Array(to - from + 1).fill("a") };
  const book = new BakeBook();
  book.add(decode(encoded(recipe, [{ panel: 0, which: [[0, 0, 0]], shade: [[1, 2, 3]] }], [[0, 0], [1, 0], [2, 0]])), () => "a", own);
  const image = rasterOf(5, 1);
  const painter = new WoolPainter(book, image);
  painter.show({ ...own, wound: [0], tables: TABLES });
  /** @param {number} left */
  const shades = (left) => {
    painter.look(1, left);
    painter.paint();
    return [0, 1, 2, 3, 4].map((x) => pixelAt(image, x, 0)[1]);
  };
  assert.deepEqual(shades(0), [1, 2, 3, 2, 3]);
  assert.deepEqual(shades(2), [3, 2, 3, 2, 3]);
  assert.deepEqual(shades(3), [2, 3, 2, 3, 1]);
});

test("hairs lie over their neighbours, thin, and over nothing they are thin too", () => {
  const own = { shed: [1], feet: [0, 1], signatures: (/** @type {number} */ from, /** @type {number} */ to) => Array(to - from + 1).fill("a") };
  const book = new BakeBook();
  const hairs = [[0, 0, 0, 51], [0, 1, 0, 102]];
  const one = { panel: 0, which: [[0, B]], shade: [[60, 0]], hairs };
  book.add(decode(encoded(recipeOf(2, { overhang: 0 }), [one], [[1, 0]])), () => "a", own);
  const image = rasterOf(2, 1);
  const painter = new WoolPainter(book, image);
  painter.show({ ...own, wound: [1], tables: TABLES });
  painter.look(1);
  painter.paint();
  assert.deepEqual(pixelAt(image, 0, 0), [80, 80, 7, 255]); // 60 + .2 (160 - 60)
  assert.deepEqual(pixelAt(image, 1, 0), [80, 160, 7, 102]);
});

test("until its own bake comes, another one of the same type stands in, with the picks that are meant", () => {
  const { book, own } = bookOf(5, [0, 1, 2, 3, 6]);
  const wound = Int32Array.from([0, 1, 2, 0, 1]);
  const image = rasterOf(WIDTH, 12);
  const painter = new WoolPainter(book, image);
  const signatures = (/** @type {number} */ from, /** @type {number} */ to) =>
    own.signatures(from, to).map((one, place) => (from + place === 4 ? "new" : one));
  painter.show({ ...own, signatures, wound, tables: TABLES });
  painter.look(11);
  assert.deepEqual(painter.paint().missing, [4]);
  assert.equal(painter.pickAt(0, 3), 3); // band 4 is pick 3's, shown by the bake of band 2
  assert.equal(painter.pickAt(3, 3), 2);
  const later = decode(encoded(recipeOf(WIDTH), [{ panel: 0, which: [[0, 0, 0, 0], [0, 0, 0, 0]] }], [[4, 0]]));
  book.add(later, () => "new", own);
  const { missing, spans } = painter.paint();
  assert.deepEqual(missing, []);
  assert.deepEqual(spans, [[3, 5]]);
  assert.equal(painter.pickAt(3, 3), 3);
});

test("a stand-in shows the pick of the same shed on the same side, however far", () => {
  const book = new BakeBook();
  // baked where sheds go 1 2 4 1 2 4: the band of the second 1 shows the 4 below it; asked where they go 4 2 2 1
  const shed = [1, 2, 4, 1, 2, 4];
  const lie = { shed, feet: [0, 2, 4, 6, 8, 10, 12] };
  book.add(decode(encoded(recipeOf(2), [{ panel: 0, which: [[0, -1], [0, -1]] }], [[4, 0]])), () => "there", lie);
  const here = { shed: [4, 2, 2, 1], feet: [0, 2, 4, 6, 8] };
  const painter = new WoolPainter(book, rasterOf(2, 2));
  painter.show({ ...here, signatures: (from, to) => Array(to - from + 1).fill("here"), wound: [0, 0, 0, 0], tables: TABLES });
  painter.look(8);
  assert.deepEqual(painter.paint().missing, [4]);
  assert.equal(painter.pickAt(0, 0), 3);
  assert.equal(painter.pickAt(1, 0), 0);
});

test("a stand-in never names a pick that is not there", () => {
  const book = new BakeBook();
  const lie = { shed: [1, 1, 1], feet: [0, 2, 4, 6] };
  book.add(decode(encoded(recipeOf(2), [{ panel: 0, which: [[1, -1], [1, -1]] }], [[2, 0]])), () => "there", lie);
  const painter = new WoolPainter(book, rasterOf(2, 2));
  painter.show({ shed: [1], feet: [0, 2], signatures: (from, to) => Array(to - from + 1).fill("here"), wound: [2], tables: TABLES });
  painter.look(2);
  painter.paint();
  assert.equal(painter.pickAt(0, 0), 0);
  assert.equal(painter.pickAt(1, 0), 0);
});

test("with no bakes at all everything in sight is missing and nothing is painted", () => {
  const image = rasterOf(WIDTH, 6);
  const painter = new WoolPainter(new BakeBook(), image);
  painter.show({ ...strip(5), wound: new Int32Array(5), tables: TABLES });
  painter.look(8);
  assert.deepEqual(painter.paint().missing, [2, 3, 4]);
  assert.ok(image.data.every((byte) => byte === 0));
  assert.equal(painter.pickAt(1, 1), -1);
});

test("bands are asked for in runs", () => {
  assert.equal(asked([0, 1, 2, 7, 9, 10]), "0-2,7,9-10");
  assert.equal(asked([]), "");
});

test("a book keeps what was used last when it is full", () => {
  const own = strip(5);
  const book = new BakeBook(4 * 4 * 8); // four bakes of eight pixels
  /** @param {string} name */
  const add = (name) => book.add(decode(encoded(recipeOf(WIDTH), [INNER], [[2, 0]])), () => name, own);
  for (const name of ["a", "b", "c", "d"]) add(name);
  assert.ok(book.get(0, "a"));
  add("e");
  assert.ok(book.get(0, "a"));
  assert.equal(book.get(0, "b"), null);
  assert.ok(book.get(0, "e"));
  assert.deepEqual(book.missing(40, 42, () => ["a", "b", "e"]), [41]);
});

test("another size or other panels begin a new book", () => {
  const { book } = bookOf();
  assert.ok(book.get(0, "inner"));
  book.add(decode(encoded(recipeOf(WIDTH, { line_px: 8 }), [FIRST], [[1, 0]])), () => "first", strip(5));
  assert.equal(book.get(0, "inner"), null);
  assert.ok(book.get(0, "first"));
});
