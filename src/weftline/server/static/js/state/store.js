/** A store in a few lines: get, dispatch, subscribe. */

/**
 * @template State
 * @template Action
 * @param {State} start
 * @param {(state: State, action: Action) => State} reduce
 */
export function createStore(start, reduce) {
  let state = start;
  /** @type {Set<(state: State, before: State) => void>} */
  const listeners = new Set();
  return {
    get: () => state,
    /** @param {Action} action */
    dispatch(action) {
      const before = state;
      state = reduce(state, action);
      for (const listener of listeners) listener(state, before);
    },
    /** @param {(state: State, before: State) => void} listener */
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
