/** The margin beside the cloth as data: the lines and bands in sight, for the stair to be drawn from. */
import { family } from "../model/kin.js";
import { bandAt } from "../render/spread.js";
import { at, tokensOf } from "./strip.js";
/** @import { StairBand, StairLine, StairScene, WindingLook } from "../render/types.d.ts" */
/** @import { StripScene } from "./strip.js" */

/** Said of a band that comes back. */
const BACK = new Map([["lines", ", mirrored"], ["picks", ", backwards"]]);

/**
 * @param {StripScene} scene
 * @param {object} about
 * @param {(up: number) => number} about.y where a height above the foot lies
 * @param {number} about.height
 * @param {(token: string) => WindingLook} about.looks
 * @param {{ line: number, slot: number, pick: number } | null} about.pointed
 * @param {readonly [number, number] | null} about.chosen
 * @param {number} about.slots
 * @returns {StairScene}
 */
export function stairOf(scene, { y, height, looks, pointed, chosen, slots }) {
  const { cloth, sight } = scene;
  const { picks } = cloth;
  const zero = y(0);
  const scale = zero - y(1) || 1;
  const lowest = Math.max(0, at(picks.line, clamp(bandAt(sight.feet, Math.max(0, (zero - height) / scale)) - 1, picks.length)) - 1 || 0);
  const highest = picks.length ? at(picks.line, clamp(bandAt(sight.feet, Math.max(0, zero / scale)) - 1, picks.length)) : -1;
  /** @type {StairLine[]} */
  const lines = [];
  for (let line = picks.length ? lowest : 0; line <= Math.min(highest + 1, picks.lines - 1); line++) lines.push(lineOf(scene, line, y));
  const all = pointed && pointed.pick >= 0 ? [...family(picks, pointed.pick)] : [];
  const kinPicks = all.map((pick) => ({ line: at(picks.line, pick) + 1, slot: at(picks.slot, pick) }));
  return { lines, bands: bandsOf(scene, y, height), looks, pointed, family: kinPicks, chosen, slots, height, foot: zero };
}

/** @param {number} pick @param {number} count */
function clamp(pick, count) {
  return Math.min(Math.max(pick, 0), Math.max(0, count - 1));
}

/**
 * @param {StripScene} scene
 * @param {number} line
 * @param {(up: number) => number} y
 * @returns {StairLine}
 */
function lineOf({ node, cloth, kin, sight }, line, y) {
  const { picks } = cloth;
  const pick = at(kin.starts, line);
  const [top, foot] = [y(at(sight.feet, at(kin.starts, line + 1))), y(at(sight.feet, pick))];
  const band = at(picks.band, pick);
  const written = node.children[band]?.children[at(picks.written, pick)];
  const source = at(kin.source, line);
  return {
    number: line + 1,
    y: top,
    height: foot - top,
    tokens: tokensOf(String(written?.fields["text"] ?? "")).map((token) => (token === "-" ? null : token)),
    source: source === line ? null : source + 1,
    foot: line === 0 || at(picks.band, at(kin.starts, line - 1)) !== band,
  };
}

/**
 * @param {StripScene} scene
 * @param {(up: number) => number} y
 * @param {number} height
 * @returns {StairBand[]}
 */
function bandsOf({ node, cloth, sight }, y, height) {
  const { picks } = cloth;
  /** @type {StairBand[]} */
  const found = [];
  let pick = 0;
  node.children.forEach((band, place) => {
    const first = pick;
    while (pick < picks.length && at(picks.band, pick) === place) pick++;
    if (pick === first) return;
    const [top, bottom] = [y(at(sight.feet, pick)), y(at(sight.feet, first))];
    if (bottom < -40 || top > height + 40) return;
    const { name, mirror = "none", times = 1 } = band.fields;
    const written = band.children.length;
    const says = `${written} ${written === 1 ? "line" : "lines"}${BACK.get(mirror) ?? ""}${times > 1 ? `, × ${times}` : ""}`;
    const isMirrored = mirror !== "none" && times === 1;
    found.push({ key: band.id, name: name || `Band ${place + 1}`, says, top, bottom, middle: isMirrored ? (top + bottom) / 2 : null, open: false });
  });
  return found;
}
