/** Rows of a bake in the colours of its picks, made once and kept. */
/** @import { Bake, Laid } from "./types.d.ts" */

/** The shade of a hair: lit from all around. */
const HAIR_SHADE = 160;
/** Bytes of coloured rows that are kept. */
const MOST = 48_000_000;

/**
 * Colours as they are laid: 256 for each winding, opaque.
 * @param {readonly Uint8Array[]} tables (256, 3) each
 * @returns {Uint32Array}
 */
export function packed(tables) {
  const bytes = new Uint8Array(tables.length * 1024);
  tables.forEach((table, winding) => {
    for (let shade = 0; shade < 256; shade++) {
      const at = winding * 1024 + shade * 4;
      bytes.set(table.subarray(3 * shade, 3 * shade + 3), at);
      bytes[at + 3] = 255;
    }
  });
  return new Uint32Array(bytes.buffer);
}

/** The coloured rows that were made last. */
export class ColouredRows {
  constructor() {
    /** @type {Map<string, Uint32Array>} */
    this.kept = new Map();
    this.bytes = 0;
    this.palette = new Uint32Array(1 << 16);
  }

  /** Forgets everything: the colours have changed. */
  clear() {
    this.kept.clear();
    this.bytes = 0;
  }

  /**
   * The rows of a bake in the colours of its picks.
   * @param {string} key as `keyOf` gives it
   * @param {Laid} laid
   * @param {ArrayLike<number>} wound
   * @param {Uint32Array} tables
   * @returns {Uint32Array}
   */
  of(key, laid, wound, tables) {
    const known = this.kept.get(key);
    if (known) {
      this.kept.delete(key);
      this.kept.set(key, known);
      return known;
    }
    const tile = this.#dyed(laid, wound, tables);
    this.kept.set(key, tile);
    this.bytes += tile.byteLength;
    for (const [oldest, rows] of this.kept) {
      if (this.bytes <= MOST) break;
      this.kept.delete(oldest);
      this.bytes -= rows.byteLength;
    }
    return tile;
  }

  /**
   * @param {Laid} laid
   * @param {ArrayLike<number>} wound
   * @param {Uint32Array} tables
   */
  #dyed({ bake, picks }, wound, tables) {
    for (let code = 0; code < bake.others.length; code++) {
      const winding = /** @type {number} */ (wound[/** @type {number} */ (picks[code])]);
      this.palette.set(tables.subarray(winding * 256, winding * 256 + 256), code * 256 + 256);
    }
    const tile = new Uint32Array(bake.mix.length);
    dyeRows(bake.mix, this.palette, tile);
    if (bake.hairs.count) layHairs(tile, bake, (code) => /** @type {number} */ (tables[colourAt(wound, picks, code)]));
    return tile;
  }
}

/**
 * Equal for bakes that are coloured alike.
 * @param {Laid} laid
 * @param {ArrayLike<number>} wound
 * @returns {string}
 */
export function keyOf({ bake, picks }, wound) {
  let key = `${bake.id}`;
  for (const pick of picks) key += `:${wound[pick]}`;
  return key;
}

/**
 * The innermost loop of all painting.
 * @param {Uint16Array} mix
 * @param {Uint32Array} palette colours of shade s of the pick coded c at 256 c + s; nothing below 256
 * @param {Uint32Array} tile
 */
function dyeRows(mix, palette, tile) {
  for (let place = 0; place < mix.length; place++) {
    tile[place] = /** @type {number} */ (palette[/** @type {number} */ (mix[place])]);
  }
}

/**
 * @param {ArrayLike<number>} wound
 * @param {Int32Array} picks
 * @param {number} code
 */
function colourAt(wound, picks, code) {
  return /** @type {number} */ (wound[/** @type {number} */ (picks[code])]) * 256 + HAIR_SHADE;
}

/**
 * @param {Uint32Array} tile
 * @param {Bake} bake
 * @param {(code: number) => number} colour
 */
function layHairs(tile, { hairs, width }, colour) {
  const laid = new Uint32Array(hairs.count);
  const at = (/** @type {number} */ hair) => Number(hairs.row[hair]) * width + Number(hairs.column[hair]);
  for (let hair = 0; hair < hairs.count; hair++) {
    const under = /** @type {number} */ (tile[at(hair)]);
    laid[hair] = blended(under, colour(/** @type {number} */ (hairs.code[hair])), /** @type {number} */ (hairs.opacity[hair]));
  }
  for (let hair = 0; hair < hairs.count; hair++) tile[at(hair)] = /** @type {number} */ (laid[hair]);
}

/**
 * @param {number} under
 * @param {number} over opaque
 * @param {number} part
 */
function blended(under, over, part) {
  if (!under) return ((over & 0xffffff) | (Math.round(255 * part) << 24)) >>> 0;
  let word = 0;
  for (const shift of [0, 8, 16]) {
    const low = (under >>> shift) & 255;
    word |= Math.round(low + part * (((over >>> shift) & 255) - low)) << shift;
  }
  return (word | (under & 0xff000000)) >>> 0;
}
