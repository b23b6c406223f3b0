/** Reads bakes, rows of cloth without colour, as the server sends them. */
/** @import { Answer, Bake, Hairs } from "./types.d.ts" */

const MAGIC = "WLBAKE1\0";
let made = 0;

/**
 * @param {ArrayBuffer} buffer
 * @returns {Answer}
 */
export function decode(buffer) {
  const found = buffer.byteLength < 12 ? "" : new TextDecoder("latin1").decode(new Uint8Array(buffer, 0, 8));
  if (found !== MAGIC) throw new Error("The server sent something else than rows of cloth. Open the page again.");
  const length = new DataView(buffer).getUint32(8, true);
  const { bands, bakes, ...recipe } = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 12, length)));
  const data = 12 + length;
  /** @type {Bake[]} */
  const read = bakes.map((/** @type {BakeHeader} */ one) => {
    const width = recipe.panels[one.panel].width;
    return bakeOf(buffer, data, one, width);
  });
  return {
    recipe,
    bands: bands.map((/** @type {number[]} */ [band, ...places]) => ({
      band,
      bakes: places.map((place) => read[place]),
    })),
  };
}

/** @typedef {{ panel: number, rows: number, which: number, shade: number, hairs: { at: number, count: number } }} BakeHeader */

/**
 * @param {ArrayBuffer} buffer
 * @param {number} data where the block of data begins
 * @param {BakeHeader} header
 * @param {number} width
 * @returns {Bake}
 */
function bakeOf(buffer, data, header, width) {
  const size = header.rows * width;
  const which = new Int8Array(buffer, data + header.which, size).slice();
  const shade = new Uint8Array(buffer, data + header.shade, size);
  const hairs = header.hairs.count ? new DataView(buffer, data + header.hairs.at, header.hairs.count * 8) : null;
  return bake({ rows: header.rows, width, which, shade }, hairs);
}

/**
 * Makes ready what is looked up for every pixel.
 * @param {{ rows: number, width: number, which: Int8Array, shade: Uint8Array }} plain
 * @param {DataView | null} loose eight bytes each hair: row, column, pick, opacity, 0
 * @returns {Bake}
 */
export function bake({ rows, width, which, shade }, loose) {
  const codes = new Int32Array(256);
  for (let place = 0; place < which.length; place++) codes[/** @type {number} */ (which[place]) + 128] = 1;
  codes[0] = 0;
  /** @type {number[]} */
  const others = [];
  for (let other = -127; other < 128; other++) {
    if (codes[other + 128]) codes[other + 128] = others.push(other) << 8;
  }
  const mix = new Uint16Array(which.length);
  for (let place = 0; place < which.length; place++) {
    mix[place] = /** @type {number} */ (codes[/** @type {number} */ (which[place]) + 128]) | /** @type {number} */ (shade[place]);
  }
  const depends = [...others];
  const hairs = hairsOf(loose, depends);
  made += 1;
  return { id: made, rows, width, which, mix, others: Int8Array.from(others), depends: Int16Array.from(depends), hairs, runs: [] };
}

/**
 * @param {DataView | null} loose
 * @param {number[]} depends the picks that a bake depends on; those of hairs are added
 * @returns {Hairs}
 */
function hairsOf(loose, depends) {
  const count = loose ? loose.byteLength / 8 : 0;
  const hairs = {
    count,
    row: new Uint16Array(count),
    column: new Uint16Array(count),
    code: new Uint8Array(count),
    opacity: new Float32Array(count),
  };
  for (let place = 0; loose && place < count; place++) {
    const pick = loose.getInt16(8 * place + 4, true);
    let code = depends.indexOf(pick);
    if (code < 0) code = depends.push(pick) - 1;
    hairs.row[place] = loose.getUint16(8 * place, true);
    hairs.column[place] = loose.getUint16(8 * place + 2, true);
    hairs.code[place] = code;
    hairs.opacity[place] = loose.getUint8(8 * place + 6) / 255;
  }
  return hairs;
}
