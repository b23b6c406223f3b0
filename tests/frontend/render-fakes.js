/** Small bakes made by hand, in the form in which the server sends them. */

/**
 * @typedef {{ panel: number, which: number[][], shade?: number[][], hairs?: number[][] }} Plain
 */

/**
 * The answer of the server: header and block of data.
 * @param {Record<string, any>} recipe
 * @param {Plain[]} bakes rows downwards; -128 where none shows
 * @param {number[][]} bands
 * @returns {ArrayBuffer}
 */
export function encoded(recipe, bakes, bands) {
  /** @type {number[]} */
  const data = [];
  const headers = bakes.map(({ panel, which, shade, hairs = [] }) => {
    const places = { which: data.length, shade: data.length + which.flat().length };
    data.push(...which.flat().map((one) => one & 255));
    data.push(...(shade ?? which.map((row) => row.map(() => 100))).flat());
    const loose = { at: data.length, count: hairs.length };
    for (const [row = 0, column = 0, pick = 0, opacity = 0] of hairs) {
      data.push(row & 255, row >> 8, column & 255, column >> 8, pick & 255, (pick >> 8) & 255, opacity, 0);
    }
    return { panel, rows: which.length, ...places, hairs: loose };
  });
  const json = JSON.stringify({ ...recipe, bakes: headers, bands });
  const header = json.padEnd(Math.ceil(json.length / 4) * 4);
  const buffer = new ArrayBuffer(12 + header.length + data.length);
  const bytes = new Uint8Array(buffer);
  bytes.set(new TextEncoder().encode("WLBAKE1\0"));
  new DataView(buffer).setUint32(8, header.length, true);
  bytes.set(new TextEncoder().encode(header), 12);
  bytes.set(data, 12 + header.length);
  return buffer;
}

/**
 * A recipe of one panel as wide as the strip, nothing beyond its edges.
 * @param {number} width
 * @param {Record<string, any>} [more]
 */
export function recipeOf(width, more = {}) {
  const panels = [{ width, edges: true, places: [[0, width, 0, 1]] }];
  return { width, column_px: 2, line_px: 4, margins: [0, 0], overhang: 1, picks: 4, around: 1, phase: 2, panels, ...more };
}

/**
 * Each winding in a colour of its own, brighter with the shade: (winding + 1) * 40, shade, 7.
 * @param {number} count
 * @returns {Uint8Array[]}
 */
export function tablesOf(count) {
  return Array.from({ length: count }, (_, winding) =>
    Uint8Array.from({ length: 768 }, (_, place) => [(winding + 1) * 40, Math.floor(place / 3), 7][place % 3] ?? 0),
  );
}

/**
 * @param {number} width
 * @param {number} height
 */
export function rasterOf(width, height) {
  return { data: new Uint8ClampedArray(4 * width * height), width, height };
}

/**
 * @param {{ data: Uint8ClampedArray, width: number }} raster
 * @param {number} x
 * @param {number} y
 */
export function pixelAt(raster, x, y) {
  return [...raster.data.slice(4 * (y * raster.width + x), 4 * (y * raster.width + x) + 4)];
}

/** A pen that writes down what it is told, with the strings it was set to. */
export function recordingPen() {
  /** @type {any[][]} */
  const said = [];
  const settings = { fillStyle: "", strokeStyle: "", font: "", lineWidth: 1, globalAlpha: 1 };
  return new Proxy(/** @type {any} */ (settings), {
    get(target, name) {
      if (name === "said") return said;
      if (name === "measureText") return (/** @type {string} */ text) => ({ width: 7 * text.length });
      if (name in target) return target[name];
      return (/** @type {any[]} */ ...what) => said.push([name, ...what, { ...target }]);
    },
    set(target, name, value) {
      target[name] = value;
      return true;
    },
  });
}
