/** The queue of forms that wait for the server, as a pure reducer. */
/** @import { Action, Held, State } from "../types.d.ts" */

/** @type {State} */
export const START = { held: [], link: { type: "here" }, sending: false };

/**
 * @param {State} state
 * @param {Action} action
 * @returns {State}
 */
export function reduce(state, action) {
  switch (action.type) {
    case "held":
      return state.held.some((one) => one.id === action.form.id) ? state : { ...state, held: [...state.held, action.form] };
    case "sending":
      return { ...state, sending: true, held: state.held.map((one, place) => (place ? one : { ...one, tries: one.tries + 1 })) };
    case "kept":
    case "refused":
      return { held: without(state.held, action.id), link: { type: "here" }, sending: false };
    case "away":
      return { ...state, link: { type: "away" }, sending: false };
    case "here":
      return { ...state, link: { type: "here" } };
    default: {
      /** @type {never} */
      const never = action;
      return never;
    }
  }
}

/**
 * @param {readonly Held[]} held
 * @param {string} id
 * @returns {readonly Held[]}
 */
function without(held, id) {
  return held.filter((one) => one.id !== id);
}

/**
 * What stands beside the check mark.
 * @param {State} state
 * @returns {string}
 */
export function keptWords(state) {
  if (state.link.type === "away") {
    return state.held.length ? `Kept here, ${state.held.length} to send` : "No connection";
  }
  return state.held.length ? "Keeping" : "Kept";
}

/**
 * Reads what another visit left behind; anything that is no list of forms is nothing.
 * @param {string | null} text
 * @returns {readonly Held[]}
 */
export function readHeld(text) {
  /** @type {unknown} */
  let found;
  try {
    found = JSON.parse(text ?? "[]");
  } catch {
    return [];
  }
  if (!Array.isArray(found)) return [];
  return found.filter(isHeld);
}

/**
 * @param {unknown} one
 * @returns {one is Held}
 */
function isHeld(one) {
  if (typeof one !== "object" || one === null) return false;
  const { id, url, body, tries } = /** @type {Record<string, unknown>} */ (one);
  const own = typeof url === "string" && url.startsWith("/") && !url.startsWith("//");
  return typeof id === "string" && own && typeof body === "string" && typeof tries === "number";
}
