/** The spoken mirror of the cloth: a grid of lines and picks with one stop of the Tab key, read line by line. */
import { element } from "../../page/element.js";

/** Lines above and below the one in hand that the grid holds. */
const AROUND = 3;

/**
 * @typedef {object} GridLine
 * @property {number} number running line, from 1
 * @property {readonly string[]} picks yarn of each shed in words
 */

export class ClothGrid {
  /**
   * @param {HTMLElement} parent
   * @param {(line: number, slot: number) => void} came told when a cell was reached, from 0
   */
  constructor(parent, came) {
    this.root = element("div", { class: "mirror-grid", role: "grid", "aria-label": "The cloth, line 1 lowest" });
    parent.append(this.root);
    this.shown = "";
    this.root.addEventListener("focusin", (event) => {
      const cell = event.target;
      if (cell instanceof HTMLElement && cell.dataset["line"]) came(Number(cell.dataset["line"]), Number(cell.dataset["slot"]));
    });
  }

  /** Whether the cloth has the focus. */
  hasFocus() {
    return this.root.contains(document.activeElement);
  }

  /**
   * @param {{ lines: number, slots: number, at: { line: number, slot: number }, lineAt: (line: number) => GridLine }} about
   */
  show({ lines, slots, at, lineAt }) {
    const top = Math.min(lines - 1, at.line + AROUND);
    const foot = Math.max(0, at.line - AROUND);
    const rows = [];
    for (let line = top; line >= foot; line--) rows.push(lineAt(line));
    if (!rows.length) rows.push({ number: 1, picks: Array.from({ length: slots }, () => "nothing laid") });
    const told = JSON.stringify([lines, rows]);
    if (told !== this.shown) {
      const focused = this.hasFocus();
      this.shown = told;
      this.root.setAttribute("aria-rowcount", String(Math.max(1, lines)));
      this.root.setAttribute("aria-colcount", String(slots + 1));
      this.root.replaceChildren(...rows.map((row) => this.#row(row, lines)));
      this.place(at, focused);
    } else this.place(at, this.hasFocus());
  }

  /**
   * @param {GridLine} row
   * @param {number} lines
   */
  #row({ number, picks }, lines) {
    const line = element("div", { role: "row", "aria-rowindex": Math.max(1, lines - number + 1) });
    line.append(element("span", { role: "rowheader" }, `Line ${number}`));
    picks.forEach((yarn, slot) => {
      line.append(element("span", { role: "gridcell", tabindex: -1, "data-line": number - 1, "data-slot": slot }, `pick ${slot + 1}, ${yarn}`));
    });
    return line;
  }

  /**
   * Makes one cell the one that Tab comes to, and takes the focus there if the cloth has it.
   * @param {{ line: number, slot: number }} at
   * @param {boolean} focus
   */
  place(at, focus) {
    /** @type {HTMLElement | null} */
    let cell = null;
    for (const one of this.root.querySelectorAll("[data-line]")) {
      if (!(one instanceof HTMLElement)) continue;
      const isIt = Number(one.dataset["line"]) === at.line && Number(one.dataset["slot"]) === at.slot;
      one.tabIndex = isIt ? 0 : -1;
      if (isIt) cell = one;
    }
    const any = cell ?? /** @type {HTMLElement | null} */ (this.root.querySelector("[data-line]"));
    if (any) any.tabIndex = 0;
    if (focus && any !== document.activeElement) any?.focus({ preventScroll: true });
  }

  /** Takes the focus to the cloth. */
  focus() {
    const cell = this.root.querySelector('[tabindex="0"]');
    if (cell instanceof HTMLElement) cell.focus({ preventScroll: true });
  }
}
