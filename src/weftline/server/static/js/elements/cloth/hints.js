/** The first minute: three hints, each once, on the first bare warp of this browser. */
import { element } from "../../page/element.js";

const KNOWN = "weftline-first-minute";
/** So long the second hint is shown at least. */
const READ_MS = 3500;
const SAYS = ["Touch an end.", "One touch lays the whole pick, {ground} fills the line.", "Touch above for the next line."];

export class Hints {
  /** @param {HTMLElement} stage */
  constructor(stage) {
    this.root = element("p", { class: "hint", role: "status", hidden: true });
    stage.append(this.root);
    this.step = Number(localStorage.getItem(KNOWN) ?? "0");
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.later = undefined;
    stage.addEventListener("pointerdown", () => this.#turn());
  }

  /**
   * @param {number} lines that are laid
   * @param {string} ground the yarn that fills a line
   */
  show(lines, ground) {
    if (this.step >= SAYS.length) {
      this.root.hidden = true;
      return;
    }
    if (lines > 1) this.#came(SAYS.length);
    else if (lines === 1 && this.step === 0) {
      this.#came(1);
      this.later = setTimeout(() => this.#turn(), READ_MS);
    }
    this.root.hidden = this.step >= SAYS.length;
    this.root.textContent = (SAYS[this.step] ?? "").replace("{ground}", ground);
  }

  /** A touch, or time enough to have read it: on to the third. */
  #turn() {
    if (this.step !== 1) return;
    this.#came(2);
    this.root.textContent = SAYS[2] ?? "";
  }

  /** @param {number} step */
  #came(step) {
    clearTimeout(this.later);
    this.step = step;
    localStorage.setItem(KNOWN, String(step));
  }
}
