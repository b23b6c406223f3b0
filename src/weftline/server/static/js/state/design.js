/** What the cloth's bench knows, as plain data; the reducer is pure. */
import { find } from "../model/draft.js";
/** @import { Tree } from "../model/types.d.ts" */

/**
 * A yarn as the server tells it.
 * @typedef {object} YarnLook
 * @property {string} key
 * @property {string} name
 * @property {string} colour
 * @property {number} strands
 * @property {string} drawing
 * @property {boolean} is_warp
 */

/**
 * @typedef {object} Piece the answer of the server
 * @property {number} seq
 * @property {Tree} tree
 * @property {string | null} undo
 * @property {string | null} redo
 * @property {readonly YarnLook[]} yarns
 * @property {string | null} ground
 * @property {string} warp
 * @property {{ name: string, threading: readonly number[], sheds: readonly (readonly number[])[], shafts: number }} technique
 * @property {string} face
 * @property {{ kind: string, ends: number }} edge
 * @property {number} line_mm
 * @property {number} pitch_mm
 * @property {readonly { node: string, name: string, strips: readonly { node: string, name: string, ends: readonly number[] }[] }[]} sections
 * @property {readonly { code: string, severity: string, message: string, remedy: string, where: Record<string, unknown>, nodes: readonly string[] }[]} findings
 */

/** @typedef {{ readonly line: number, readonly slot: number }} Cursor running line and place of the shed, from 0 */
/** @typedef {{ readonly from: number, readonly to: number }} Selection running lines, from 0, both ends included */
/** @typedef {{ readonly back: boolean, readonly marks: boolean, readonly values: boolean, readonly linePx: number }} View */

/**
 * @typedef {object} Design
 * @property {Piece} piece
 * @property {Tree} tree ahead of the server's
 * @property {Tree | null} stroke the tree with the stroke that is being drawn
 * @property {number} section
 * @property {number} strip
 * @property {Cursor | null} cursor
 * @property {number} pointed pick under the pointer, -1 for none
 * @property {string} hand
 * @property {string} last
 * @property {Selection | null} selection
 * @property {readonly string[]} copied
 * @property {View} view
 */

/**
 * @typedef {{ type: "loaded", piece: Piece, ahead: boolean }
 *   | { type: "changed", tree: Tree }
 *   | { type: "stroke", tree: Tree | null }
 *   | { type: "went", section: number, strip: number }
 *   | { type: "placed", cursor: Cursor | null }
 *   | { type: "pointed", pick: number }
 *   | { type: "took", yarn: string }
 *   | { type: "selected", selection: Selection | null }
 *   | { type: "copied", texts: readonly string[] }
 *   | { type: "looked", view: Partial<View> }} DesignAction
 */

/** Heights that a line may have at Close. */
export const SIZES = [16, 20, 24, 30, 36, 48, 60];

/**
 * @param {Piece} piece
 * @param {{ section: number, strip: number, view: View }} place
 * @returns {Design}
 */
export function startOf(piece, { section, strip, view }) {
  const ground = groundOf(piece);
  const hand = piece.yarns.find((yarn) => !yarn.is_warp && yarn.key !== ground)?.key ?? ground;
  return {
    piece,
    tree: piece.tree,
    stroke: null,
    section,
    strip,
    cursor: null,
    pointed: -1,
    hand,
    last: ground,
    selection: null,
    copied: [],
    view,
  };
}

/**
 * The yarn that fills a line: the piece's ground, else the first that is not the warp.
 * @param {Piece} piece
 * @returns {string}
 */
export function groundOf(piece) {
  return piece.ground ?? piece.yarns.find((yarn) => !yarn.is_warp)?.key ?? piece.yarns[0]?.key ?? "o";
}

/**
 * @param {Design} state
 * @param {DesignAction} action
 * @returns {Design}
 */
export function reduceDesign(state, action) {
  switch (action.type) {
    case "loaded":
      return loaded(state, action.piece, action.ahead);
    case "changed":
      return { ...state, tree: action.tree, stroke: null };
    case "stroke":
      return { ...state, stroke: action.tree };
    case "went":
      if (action.section === state.section && action.strip === state.strip) return state;
      return { ...state, section: action.section, strip: action.strip, cursor: null, selection: null, pointed: -1, stroke: null };
    case "placed":
      return { ...state, cursor: action.cursor };
    case "pointed":
      return action.pick === state.pointed ? state : { ...state, pointed: action.pick };
    case "took":
      return action.yarn === state.hand ? state : { ...state, hand: action.yarn, last: state.hand };
    case "selected":
      return { ...state, selection: action.selection };
    case "copied":
      return { ...state, copied: action.texts };
    case "looked":
      return { ...state, view: { ...state.view, ...action.view } };
    default: {
      /** @type {never} */
      const never = action;
      return never;
    }
  }
}

/**
 * @param {Design} state
 * @param {Piece} piece
 * @param {boolean} ahead whether strokes are on their way that the answer does not know yet
 * @returns {Design}
 */
function loaded(state, piece, ahead) {
  const known = (/** @type {string} */ key) => piece.yarns.some((yarn) => yarn.key === key);
  const fresh = startOf(piece, state);
  return {
    ...state,
    piece,
    tree: ahead ? state.tree : piece.tree,
    section: Math.min(state.section, piece.sections.length - 1),
    strip: Math.min(state.strip, (piece.sections[state.section]?.strips.length ?? 1) - 1),
    hand: known(state.hand) ? state.hand : fresh.hand,
    last: known(state.last) ? state.last : fresh.last,
  };
}

/** The strip that is looked at, as it is being drawn. @param {Design} state @returns {Tree} */
export function stripOf(state) {
  const tree = state.stroke ?? state.tree;
  const section = tree.children[state.section] ?? /** @type {Tree} */ (tree.children[0]);
  return section.children[state.strip] ?? /** @type {Tree} */ (section.children[0]);
}

/** The written line with an id, or null. @param {Design} state @param {string} id @returns {Tree | null} */
export function lineWith(state, id) {
  const found = find(state.tree, id);
  return found?.kind === "line" ? found : null;
}
