/** Asks when two windows changed the same: both are shown, and one, the other, or both are kept. */
import { element } from "../../page/element.js";

/**
 * @param {HTMLElement} parent
 * @param {{ says: string, mine: string, theirs: string, keepMine: () => void, keepTheirs: () => void, keepBoth: (() => void) | null }} about
 */
export function ask(parent, { says, mine, theirs, keepMine, keepTheirs, keepBoth }) {
  parent.querySelector(".ask")?.remove();
  const box = element("div", { class: "ask stack-s", role: "alertdialog", "aria-label": says });
  const done = (/** @type {() => void} */ act) => () => {
    box.remove();
    act();
  };
  const row = (/** @type {string} */ word, /** @type {string} */ text) =>
    element("tr", {}, element("th", { scope: "row" }, word), element("td", { class: "written" }, text || "taken away"));
  const keep = element("button", { type: "button", class: "btn btn-main", onclick: done(keepMine) }, "Keep yours");
  const buttons = element("div", { class: "inline" }, keep, element("button", { type: "button", class: "btn", onclick: done(keepTheirs) }, "Keep theirs"));
  if (keepBoth) buttons.append(element("button", { type: "button", class: "btn", onclick: done(keepBoth) }, "Keep both"));
  box.append(element("p", { class: "strong" }, says), element("table", {}, element("tbody", {}, row("Yours", mine), row("Theirs", theirs))), buttons);
  parent.append(box);
  keep.focus();
}
