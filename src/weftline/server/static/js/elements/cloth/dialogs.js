/** What opens over the cloth: a line to go to, the keys, a part by its name, another page of the piece. */
import { page } from "../../api/client.js";
import { COMMANDS } from "../../input/commands.js";
import { element } from "../../page/element.js";
import { sayWord } from "../../page/says.js";
import { lineOf } from "./pegs.js";
import { liveSwaps } from "./swaps.js";
/** @import { Bench } from "./bench.js" */

/**
 * Opens a form over the cloth; when it closes the keyboard is at the cloth again.
 * @param {Bench} bench
 * @param {HTMLFormElement} form
 * @param {() => void} done
 */
export function overDialog(bench, form, done) {
  const dialog = element("dialog", { class: "page-over" }, form);
  form.addEventListener("submit", done);
  dialog.addEventListener("close", () => {
    dialog.remove();
    bench.side.grid.focus();
  });
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}

/**
 * Asks for a line to go to.
 * @param {Bench} bench
 * @param {{ lines: number, line: number }} at how many there are, and which one is in hand, from 0
 * @param {(line: number) => void} go
 */
export function lineDialog(bench, { lines, line }, go) {
  const input = element("input", { type: "number", min: 1, max: Math.max(1, lines), value: line + 1, id: "go-to-line" });
  const form = element("form", { method: "dialog", class: "line" }, element("label", { class: "field" }, element("span", {}, "Go to line"), input));
  form.append(element("button", { class: "btn btn-main" }, "Go"));
  overDialog(bench, form, () => {
    const wanted = Number(input.value);
    if (wanted >= 1) go(wanted - 1);
  });
  input.select();
}

/** @param {Bench} bench */
export function keysDialog(bench) {
  const list = element("ul", { class: "keys-list" });
  for (const { keys, word } of COMMANDS) {
    const shown = keys.map((key) => (key === " " ? "Space" : key.replace("Arrow", ""))).join(", ");
    list.append(element("li", {}, element("span", {}, word), element("kbd", {}, shown)));
  }
  list.append(element("li", {}, element("span", {}, "Take a yarn in hand"), element("kbd", {}, "1 to 9, 0")));
  overDialog(bench, element("form", { method: "dialog", class: "stack-s" }, element("h2", {}, "Keys on the cloth"), list, element("button", { class: "btn" }, "Close")), () => undefined);
}

/**
 * Finds a yarn or a band by its name.
 * @param {Bench} bench
 * @param {(line: number) => void} go to the lowest line of a band
 */
export function findDialog(bench, go) {
  const { state, scene } = bench;
  const input = element("input", { type: "search", id: "find-part", autocomplete: "off" });
  const list = element("ul", { class: "stack-s" });
  const yarns = state.piece.yarns.filter((yarn) => !yarn.is_warp).map((yarn) => ({ name: yarn.name, go: () => bench.store.dispatch({ type: "took", yarn: yarn.key }) }));
  const bands = scene.node.children.map((band, place) => ({
    name: String(band.fields["name"] || `Band ${place + 1}`),
    go: () => go(Math.max(0, lineOf(scene, band.id))),
  }));
  const form = element("form", { method: "dialog", class: "stack-s" }, element("label", { class: "field" }, element("span", {}, "Find a yarn or a band"), input), list);
  const dialog = overDialog(bench, form, () => found()[0]?.go());
  const found = () => [...yarns, ...bands].filter(({ name }) => name.toLowerCase().includes(input.value.trim().toLowerCase())).slice(0, 12);
  const show = () => {
    const choose = (/** @type {() => void} */ go) => () => {
      dialog.close();
      go();
    };
    list.replaceChildren(...found().map(({ name, go }) => element("li", {}, element("button", { type: "button", class: "btn", onclick: choose(go) }, name))));
  };
  input.addEventListener("input", show);
  show();
}

/**
 * Shows a page of the piece over the cloth.
 * @param {Bench} bench
 * @param {string} href
 */
export async function pageDialog(bench, href) {
  const text = await page(href);
  if (text === null) {
    sayWord("No connection. The cloth stays as it is.");
    return;
  }
  const main = new DOMParser().parseFromString(text, "text/html").querySelector("main > *");
  if (!main) return;
  const dialog = element("dialog", { class: "page-over", "data-href": href });
  dialog.append(document.adoptNode(main), element("form", { method: "dialog" }, element("button", { class: "btn" }, "Leave as it is")));
  dialog.querySelector(".back")?.parentElement?.remove();
  liveSwaps(bench, dialog);
  dialog.addEventListener("click", (event) => {
    const link = event.target instanceof Element ? event.target.closest("a") : null;
    if (!link) return;
    event.preventDefault();
    event.stopPropagation();
    dialog.remove();
    void pageDialog(bench, link.href);
  });
  dialog.addEventListener("submit", () => setTimeout(() => dialog.close(), 0));
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
}
