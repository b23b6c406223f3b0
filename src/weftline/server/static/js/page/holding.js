/** Holds what is sent until the server says that it is kept; one after the other, again by itself when it was away. */
import { isHere, send } from "../api/client.js";
import { sayKept } from "./says.js";
import { START, keptWords, readHeld, reduce } from "../state/queue.js";
import { createStore } from "../state/store.js";
/** @import { Held, State } from "../types.d.ts" */

const HELD = "weftline-held";
const AGAIN_MS = 1000;

/**
 * What is told of a thing that was sent.
 * @typedef {object} Waiting
 * @property {(href: string) => void} kept
 * @property {(says: string, status: number, held: Held) => void} refused
 */

/** @returns {string} */
export function freshId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * @param {{ settled: (href: string) => Promise<void>, stray: (says: string, status: number, held: Held) => void }} tell
 *   `settled` when nothing is left to send; `stray` for a refusal of what an earlier visit had sent
 */
export function createHolding(tell) {
  const store = createStore({ ...START, held: readHeld(localStorage.getItem(HELD)) }, reduce);
  /** @type {Map<string, Waiting>} */
  const waiting = new Map();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let again;

  store.subscribe((/** @type {State} */ state) => {
    localStorage.setItem(HELD, JSON.stringify(state.held));
    sayKept(keptWords(state), state.link.type === "away");
  });

  async function flush() {
    const { held, sending } = store.get();
    const first = held[0];
    if (!first || sending) return;
    store.dispatch({ type: "sending" });
    const answer = await send(first);
    if (answer.type === "away") {
      store.dispatch({ type: "away" });
      later();
      return;
    }
    const told = waiting.get(first.id);
    waiting.delete(first.id);
    if (answer.type === "kept") {
      told?.kept(answer.href);
      store.dispatch({ type: "kept", id: first.id });
      if (!store.get().held.length) await tell.settled(told ? answer.href : "");
    } else {
      store.dispatch({ type: "refused", id: first.id });
      (told?.refused ?? tell.stray)(answer.says, answer.status, first);
    }
    void flush();
  }

  function later() {
    clearTimeout(again);
    again = setTimeout(async () => {
      if (await isHere()) {
        store.dispatch({ type: "here" });
        void flush();
      } else later();
    }, AGAIN_MS);
  }

  return {
    flush,
    later,
    isEmpty: () => store.get().held.length === 0,
    isAway: () => store.get().link.type === "away",
    words: () => keptWords(store.get()),
    here: () => store.dispatch({ type: "here" }),
    away() {
      store.dispatch({ type: "away" });
      later();
    },
    /**
     * @param {string} url
     * @param {URLSearchParams} body
     * @param {Waiting} [told]
     */
    hold(url, body, told) {
      const id = body.get("entry") ?? freshId();
      body.set("entry", id);
      if (told) waiting.set(id, told);
      store.dispatch({ type: "held", form: { id, url, body: body.toString(), tries: 0 } });
      void flush();
    },
  };
}
/** @typedef {ReturnType<typeof createHolding>} Holding */
