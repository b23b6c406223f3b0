/** A store in a few lines: get, dispatch, subscribe. */
/** @import { Action, State } from "../types.d.ts" */

/**
 * @param {State} start
 * @param {(state: State, action: Action) => State} reduce
 */
export function createStore(start, reduce) {
  let state = start;
  /** @type {Set<(state: State) => void>} */
  const listeners = new Set();
  return {
    get: () => state,
    /** @param {Action} action */
    dispatch(action) {
      state = reduce(state, action);
      for (const listener of listeners) listener(state);
    },
    /** @param {(state: State) => void} listener */
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
