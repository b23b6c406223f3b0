/** The strip that is looked at, ready to be painted and touched: expanded once for each tree and view. */
import { expandStrip } from "../model/expand.js";
import { lineKin } from "../model/kin.js";
import { LineTextError, readLine } from "../model/line.js";
import { sightOf } from "../model/sight.js";
import { stripOf } from "../state/design.js";
import { endsThatFit, shownEnds } from "./geometry.js";
/** @import { Cloth, EdgeWarp, LineKin, Sight, Tree } from "../model/types.d.ts" */
/** @import { Design, Piece } from "../state/design.js" */

/**
 * @typedef {object} StripScene
 * @property {Tree} node
 * @property {Cloth} cloth
 * @property {LineKin} kin
 * @property {Sight} sight rows in device pixels
 * @property {Float64Array} middles of the picks, device pixels from the foot
 * @property {number} shown how many ends are shown
 * @property {number} ends how many there are
 * @property {number} column width of a column, device pixels
 * @property {number} beyond what is drawn beside each edge, in columns
 * @property {boolean} mirrored whether left and right change places
 * @property {object} structure the same as long as nothing but yarns changed
 */

/** @param {readonly number[]} shed @returns {number} */
export function maskOf(shed) {
  return shed.reduce((mask, shaft) => mask | (1 << (shaft - 1)), 0);
}

/**
 * @param {Piece} piece
 * @returns {{ sheds: number[], strands: Record<string, number>, lineMm: number, shafts: number }}
 */
export function factsOf(piece) {
  return {
    sheds: piece.technique.sheds.map(maskOf),
    strands: Object.fromEntries(piece.yarns.map((yarn) => [yarn.key, yarn.strands])),
    lineMm: piece.line_mm,
    shafts: piece.technique.shafts,
  };
}

/**
 * Makes scenes, and keeps the last one as long as nothing that it rests on changed.
 * @param {(strip: Tree, piece: Piece) => Cloth} expand
 */
export function sceneMaker(expand = (strip, piece) => expandStrip(strip, factsOf(piece))) {
  /** @type {{ key: readonly unknown[], scene: StripScene } | null} */
  let last = null;
  /** @type {{ node: Tree, piece: Piece, cloth: Cloth, kin: LineKin } | null} */
  let woven = null;
  /** @type {{ name: string, picks: Cloth["picks"], scene: StripScene } | null} */
  let still = null;
  /**
   * @param {Design} state
   * @param {number} room width that the cloth may have, CSS pixels
   * @param {number} dense device pixels in a CSS pixel
   * @returns {StripScene}
   */
  return (state, room, dense) => {
    const node = stripOf(state);
    const key = [node, state.piece, state.view.linePx, state.view.back, room, dense, state.section, state.strip];
    if (last?.key.every((one, place) => one === key[place])) return last.scene;
    if (woven?.node !== node || woven.piece !== state.piece) {
      const cloth = expand(node, state.piece);
      woven = { node, piece: state.piece, cloth, kin: lineKin(cloth.picks) };
    }
    const { picks } = woven.cloth;
    const name = [structureOf(state), state.view.linePx, state.view.back, room, dense, state.section, state.strip].join(" ");
    const isStill = still !== null && still.name === name && isSameStructure(still.picks, picks);
    const scene = isStill && still ? recoloured(still.scene, woven) : sceneOf(state, woven, room, dense);
    still = { name, picks, scene };
    last = { key, scene };
    return scene;
  };
}

/** What of a piece the structure of its strips rests on. @param {Design} state */
function structureOf({ piece }) {
  return JSON.stringify([piece.line_mm, piece.pitch_mm, piece.edge, piece.face, piece.technique, piece.sections]);
}

/**
 * Whether two cloths differ in nothing but their yarns.
 * @param {Cloth["picks"]} one
 * @param {Cloth["picks"]} other
 */
function isSameStructure(one, other) {
  if (one.length !== other.length) return false;
  for (let pick = 0; pick < one.length; pick++) {
    if (one.shed[pick] !== other.shed[pick] || one.line[pick] !== other.line[pick] || one.step[pick] !== other.step[pick]) return false;
  }
  return true;
}

/**
 * The same strip with other yarns.
 * @param {StripScene} scene
 * @param {{ node: Tree, cloth: Cloth, kin: LineKin }} woven
 * @returns {StripScene}
 */
function recoloured(scene, { node, cloth, kin }) {
  return { ...scene, node, cloth, kin, sight: { ...scene.sight, wound: cloth.picks.wound, line: cloth.picks.line } };
}

/**
 * @param {Design} state
 * @param {{ node: Tree, cloth: Cloth, kin: LineKin }} woven
 * @param {number} room
 * @param {number} dense
 * @returns {StripScene}
 */
function sceneOf(state, { node, cloth, kin }, room, dense) {
  const { piece, view } = state;
  const linePx = Math.round(view.linePx * dense);
  const ends = piece.sections[state.section]?.strips[state.strip]?.ends ?? [1];
  const repeat = piece.technique.threading.length;
  const pitch = (piece.pitch_mm / piece.line_mm) * view.linePx;
  const beyond = piece.edge.kind === "floating" ? 1.1 : piece.edge.kind === "doubled" ? 0.4 + Math.min(1, 0.3 * piece.edge.ends) : 0.4;
  const shown = endsThatFit(ends.length, repeat, pitch, room - 2 * beyond * pitch);
  const own = shownEnds(ends, shown, repeat);
  const mirrored = view.back === (piece.face === "up");
  const snap = Math.min(repeat, shown);
  const column = Math.max(1, Math.round(snap * pitch * dense)) / snap;
  const edge = /** @type {EdgeWarp} */ (piece.edge);
  const sight = sightOf(cloth.picks, { ends: mirrored ? [...own].reverse() : own, linePx, lineMm: piece.line_mm, back: view.back, edge });
  const middles = new Float64Array(sight.shed.length);
  for (let pick = 0; pick < middles.length; pick++) middles[pick] = (at(sight.feet, pick) + at(sight.feet, pick + 1)) / 2;
  return {
    node,
    cloth,
    kin,
    sight,
    middles,
    shown,
    ends: ends.length,
    column,
    beyond,
    mirrored,
    structure: sight,
  };
}

/** @param {ArrayLike<number>} list @param {number} place @returns {number} */
export function at(list, place) {
  return /** @type {number} */ (list[place]);
}

/**
 * The written line that a running line comes from, and its place in its band.
 * @param {StripScene} scene
 * @param {number} line from 0
 * @returns {{ node: Tree, band: Tree, tokens: readonly string[] } | null}
 */
export function writtenLine({ node, cloth, kin }, line) {
  if (line < 0 || line >= cloth.picks.lines) return null;
  const pick = at(kin.starts, line);
  const band = node.children[at(cloth.picks.band, pick)];
  const written = band?.children[at(cloth.picks.written, pick)];
  if (!band || !written) return null;
  return { node: written, band, tokens: tokensOf(written.fields["text"]) };
}

/** @param {string} text @returns {readonly string[]} */
export function tokensOf(text) {
  try {
    return readLine(text).tokens;
  } catch (cause) {
    if (cause instanceof LineTextError) return [];
    throw cause;
  }
}

/**
 * The pick of a running line in one of its sheds; -1 where nothing is thrown there.
 * @param {StripScene} scene
 * @param {number} line
 * @param {number} slot
 * @returns {number}
 */
export function pickOf({ cloth, kin }, line, slot) {
  if (line < 0 || line >= cloth.picks.lines) return -1;
  for (let pick = at(kin.starts, line); pick < at(kin.starts, line + 1); pick++) if (at(cloth.picks.slot, pick) === slot) return pick;
  return -1;
}

/**
 * The first running line that a written line makes; -1 where it makes none.
 * @param {StripScene} scene
 * @param {string} id
 * @returns {number}
 */
export function runningLine(scene, id) {
  const { picks } = scene.cloth;
  for (let line = 0; line < picks.lines; line++) {
    const pick = at(scene.kin.starts, line);
    if (scene.node.children[at(picks.band, pick)]?.children[at(picks.written, pick)]?.id === id) return line;
  }
  return -1;
}
