/** sRGB and linear light (IEC 61966-2-1), and yarn colours on lit wool. */
/** @import { Light, Winding } from "./types.d.ts" */

const SHADES = 256;
/** The shade that 255 stands for; the mean shade is 1. */
const BRIGHTEST = 2;
const SHADOW = 0.22;
const SHOULDER = 0.82;
/** The darkest wool, linear, so that black cloth keeps its relief. */
const DARKEST = 0.0018;
/** How much a colour is lifted at most for the sake of its mean. */
const STRONGEST = 1.22;
/** @type {Light} */
export const LUMINANCE = [0.2126, 0.7152, 0.0722];

/**
 * @param {number} encoded 0 to 1
 * @returns {number}
 */
export function toLinear(encoded) {
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

/**
 * @param {number} linear light outside 0 to 1 is clipped
 * @returns {number}
 */
export function toSrgb(linear) {
  const value = Math.min(1, Math.max(0, linear));
  return value <= 0.0031308 ? value * 12.92 : 1.055 * value ** (1 / 2.4) - 0.055;
}

/**
 * @param {string} colour `#rrggbb`
 * @returns {Light}
 */
export function hexToLinear(colour) {
  const value = Number.parseInt(colour.slice(1), 16);
  return [toLinear((value >> 16) / 255), toLinear(((value >> 8) & 255) / 255), toLinear((value & 255) / 255)];
}

/**
 * Strands side by side: their mean, weighted by how much of each shows.
 * @param {readonly (readonly [light: Light, share: number])[]} colours
 * @returns {Light}
 */
export function woundTogether(colours) {
  const sum = [0, 0, 0];
  let shares = 0;
  for (const [light, share] of colours) {
    light.forEach((value, channel) => (sum[channel] = (sum[channel] ?? 0) + value * share));
    shares += share;
  }
  return [(sum[0] ?? 0) / shares, (sum[1] ?? 0) / shares, (sum[2] ?? 0) / shares];
}

/**
 * What each winding looks like.
 * @param {readonly Winding[]} windings
 * @param {(key: string) => string} colourOf `#rrggbb` of a yarn
 * @returns {Light[]}
 */
export function windingLights(windings, colourOf) {
  return windings.map((winding) => woundTogether(winding.map(([key, strands]) => [hexToLinear(colourOf(key)), strands])));
}

/**
 * The sRGB of one colour in each shade, true to it on average: three bytes a shade.
 *
 * In linear light, albedo^(1 + .22 shadow) x shade, with the mean brought back to the albedo and a soft shoulder.
 * @param {Light} light
 * @param {ArrayLike<number>} seen how often each of 256 shades is seen
 * @returns {Uint8Array}
 */
export function dye(light, seen) {
  let total = 0;
  for (let shade = 0; shade < SHADES; shade += 1) total += seen[shade] ?? 0;
  const weight = Float64Array.from({ length: SHADES }, (_, shade) => (seen[shade] ?? 0) / total);
  const table = new Uint8Array(3 * SHADES);
  light.forEach((value, channel) => {
    const albedo = Math.max(value, DARKEST);
    const lit = Float64Array.from({ length: SHADES }, (_, place) => {
      const shade = (place / (SHADES - 1)) * BRIGHTEST;
      return albedo ** (1 + SHADOW * Math.min(1, Math.max(0, 1 - shade))) * shade;
    });
    const gain = gainOf(lit, weight, albedo);
    lit.forEach((one, shade) => (table[3 * shade + channel] = Math.round(toSrgb(soft(one * gain)) * 255)));
  });
  return table;
}

/** What brings the mean light back to the albedo. @param {Float64Array} lit @param {Float64Array} weight @param {number} albedo */
function gainOf(lit, weight, albedo) {
  let low = 0.5;
  let high = STRONGEST;
  for (let round = 0; round < 24; round += 1) {
    const middle = (low + high) / 2;
    let mean = 0;
    for (let shade = 0; shade < SHADES; shade += 1) mean += soft((lit[shade] ?? 0) * middle) * (weight[shade] ?? 0);
    if (mean < albedo) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Light with a soft shoulder: above .82 it nears 1 ever more slowly. @param {number} light */
function soft(light) {
  return light > SHOULDER ? SHOULDER + (1 - SHOULDER) * (1 - Math.exp(-(light - SHOULDER) / (1 - SHOULDER))) : light;
}

/**
 * The same table without hue: each shade as the grey of its own luminance.
 * @param {Uint8Array} table
 * @returns {Uint8Array}
 */
export function grey(table) {
  const greys = new Uint8Array(table.length);
  for (let at = 0; at < table.length; at += 3) {
    let luminance = 0;
    for (let channel = 0; channel < 3; channel += 1) luminance += (LUMINANCE[channel] ?? 0) * toLinear((table[at + channel] ?? 0) / 255);
    greys.fill(Math.round(toSrgb(luminance) * 255), at, at + 3);
  }
  return greys;
}
