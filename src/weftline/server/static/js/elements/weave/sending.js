/** Throws on their way: kept in this browser, each by itself, until the server says that it has them. */
import { isHere } from "../../api/client.js";
import { sendEntries } from "../../api/weaving.js";
import { START, reduce } from "../../state/queue.js";
import { createStore } from "../../state/store.js";
/** @import { KeptEntry } from "../../api/weaving.js" */
/** @import { Held } from "../../types.d.ts" */

const OWN = "weftline-woven ";
const AGAIN_MS = 1000;
const MOST_AT_ONCE = 100;

/** @param {Storage} storage @returns {Held[]} in the order thrown */
function stored(storage) {
  const keys = Array.from({ length: storage.length }, (_, place) => storage.key(place) ?? "").filter((key) => key.startsWith(OWN));
  return keys.sort().flatMap((key) => {
    try {
      const { url, body } = JSON.parse(storage.getItem(key) ?? "");
      return typeof url === "string" && url.startsWith("/api/pieces/") && typeof body === "string" ? [{ id: key, url, body, tries: 0 }] : [];
    } catch {
      return [];
    }
  });
}

/**
 * @param {{ kept: (entries: readonly KeptEntry[], seq: number, isEmpty: boolean) => void, refused: (says: string) => void, words: (toSend: number, isAway: boolean) => void }} tell
 */
export function createSending(tell) {
  const store = createStore({ ...START, held: stored(localStorage) }, reduce);
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let again;
  let last = store.get().held.reduce((most, { id }) => Math.max(most, Number(id.slice(OWN.length, OWN.length + 15)) || 0), 0);
  store.subscribe((state) => tell.words(state.held.length, state.link.type === "away"));

  async function flush() {
    const { held, sending } = store.get();
    const first = held[0];
    if (!first || sending) return;
    store.dispatch({ type: "sending" });
    const other = held.findIndex((one) => one.url !== first.url);
    const run = held.slice(0, Math.min(MOST_AT_ONCE, other < 0 ? held.length : other));
    const answer = await sendEntries(run);
    if (answer.type === "away") {
      away();
      return;
    }
    const gone = answer.type === "kept" ? run : run.slice(0, answer.kept.length + 1);
    for (const { id } of gone) {
      localStorage.removeItem(id);
      store.dispatch({ type: answer.type, id });
    }
    if (answer.type === "kept") tell.kept(answer.kept, answer.seq, !store.get().held.length);
    else tell.refused(answer.says);
    await flush();
  }

  function away() {
    store.dispatch({ type: "away" });
    clearTimeout(again);
    again = setTimeout(() => void back(), AGAIN_MS);
  }

  async function back() {
    if (!(await isHere())) return away();
    store.dispatch({ type: "here" });
    await flush();
  }

  return {
    flush,
    away,
    back,
    isEmpty: () => store.get().held.length === 0,
    /** @param {string} url @param {object} entry */
    send(url, entry) {
      last = Math.max(last + 1, Date.now()); // rises even where the clock is put back
      const key = `${OWN}${String(last).padStart(15, "0")} ${Math.random()}`;
      const body = JSON.stringify(entry);
      try {
        localStorage.setItem(key, JSON.stringify({ url, body }));
      } catch {
        tell.refused("This browser has no room left: picks that the workbench has not got are kept only while this page is open.");
      }
      store.dispatch({ type: "held", form: { id: key, url, body, tries: 0 } });
      if (store.get().link.type === "here") void flush();
    },
  };
}
