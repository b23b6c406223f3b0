/** Joins the parts: forms are held until they are kept, pages follow new entries, keys and drops are heard. */
import { isHere, listen, page, send } from "./api/client.js";
import { watchDrops } from "./page/drop.js";
import { onKey } from "./page/keys.js";
import { sayBeside, sayKept, sayWord } from "./page/says.js";
import { settle, show } from "./page/swap.js";
import { START, keptWords, readHeld, reduce } from "./state/queue.js";
import { createStore } from "./state/store.js";

/** @typedef {import("./types.d.ts").Held} Held */

const HELD = "weftline-held";
const AGAIN_MS = 1000;
const store = createStore({ ...START, held: readHeld(localStorage.getItem(HELD)) }, reduce);
/** Forms on this page that wait for their answer, by the id of their entry. @type {Map<string, HTMLFormElement>} */
const waiting = new Map();
/** @type {ReturnType<typeof setTimeout> | undefined} */
let again;

document.documentElement.classList.add("js");
store.subscribe((state) => {
  localStorage.setItem(HELD, JSON.stringify(state.held));
  sayKept(keptWords(state), state.link.type === "away");
});

/** Sends what is held, one after the other; away, it tries again by itself. */
async function flush() {
  const { held, sending } = store.get();
  const first = held[0];
  if (!first || sending) return;
  store.dispatch({ type: "sending" });
  const answer = await send(first);
  const form = waiting.get(first.id) ?? null;
  if (answer.type === "away") {
    store.dispatch({ type: "away" });
    later();
    return;
  }
  waiting.delete(first.id);
  if (answer.type === "kept") {
    if (form) settle(form);
    store.dispatch({ type: "kept", id: first.id });
    if (!store.get().held.length) await follow(form ? answer.href : here());
  } else {
    store.dispatch({ type: "refused", id: first.id });
    refused(form, first, answer.says, answer.status);
  }
  void flush();
}

/** @param {HTMLFormElement | null} form @param {Held} held @param {string} says @param {number} status */
function refused(form, held, says, status) {
  if (status !== 409) {
    sayBeside(form, says);
    renew(form);
    return;
  }
  const mine = async () => {
    await refresh();
    const body = new URLSearchParams(held.body);
    body.set("base", document.body.dataset["seq"] ?? "0");
    body.set("entry", freshId());
    hold(held.url, body, null);
  };
  sayBeside(form, "Another window changed this too. Keep yours or theirs?", () => void mine(), () => void follow(here()));
}

/** A form that was refused gets a new entry id: what it says next is another thing. @param {HTMLFormElement | null} form */
function renew(form) {
  const entry = form?.elements.namedItem("entry");
  if (entry instanceof HTMLInputElement) entry.value = freshId();
}

function freshId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, "0")).join("");
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

function here() {
  return location.pathname + location.search;
}

/** Goes to where a change is shown: this page anew, or another. @param {string} href */
async function follow(href) {
  const [path = "", anchor] = href.split("#");
  if (path.split("?")[0] !== location.pathname) {
    location.assign(href);
    return;
  }
  const text = await page(path);
  if (text === null) return;
  show(text, path);
  sayKept(keptWords(store.get()), false);
  if (anchor && path !== here()) document.getElementById(anchor)?.scrollIntoView({ block: "nearest" });
}

async function refresh() {
  const text = await page(here());
  if (text !== null) show(text, here());
}

/** @param {string} url @param {URLSearchParams} body @param {HTMLFormElement | null} form */
function hold(url, body, form) {
  const id = body.get("entry") ?? freshId();
  if (form) waiting.set(id, form);
  store.dispatch({ type: "held", form: { id, url, body: body.toString(), tries: 0 } });
  void flush();
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form instanceof HTMLFormElement && form.dataset["says"]) sayWord(form.dataset["says"]);
  if (!(form instanceof HTMLFormElement) || form.method !== "post" || form.enctype === "multipart/form-data") return;
  event.preventDefault();
  const body = new URLSearchParams();
  for (const [name, value] of new FormData(form, event.submitter)) if (typeof value === "string") body.append(name, value);
  hold(new URL(form.action).pathname, body, form);
});

document.addEventListener("click", async (event) => {
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  const href = link.getAttribute("href") ?? "";
  const to = new URL(href, location.href);
  const isView = to.origin === location.origin && to.pathname === location.pathname && to.search !== "" && to.search !== location.search;
  if (!isView || !document.body.classList.contains("bench")) return;
  event.preventDefault();
  const text = await page(to.pathname + to.search);
  if (text === null) {
    sayWord("No connection. The page stays as it is.");
    return;
  }
  history.pushState(null, "", to);
  show(text, to.pathname + to.search);
  if (to.hash) document.getElementById(to.hash.slice(1))?.scrollIntoView({ block: "nearest" });
});
addEventListener("popstate", () => void refresh());
document.addEventListener("keydown", onKey);
watchDrops();

listen({
  entry(piece, seq) {
    const own = document.body.dataset["piece"];
    const shown = Number(document.body.dataset["seq"] ?? 0);
    if (own ? piece === own && seq > shown : true) {
      if (!store.get().held.length) void refresh();
    }
  },
  here() {
    if (store.get().link.type === "away") {
      store.dispatch({ type: "here" });
      void refresh();
    }
    void flush();
  },
  away() {
    store.dispatch({ type: "away" });
    later();
  },
});
void flush();
