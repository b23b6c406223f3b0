/** The corner of the cloth's underside, folded out from under the selvedge: the true back of that corner. */
import { element } from "../../page/element.js";
/** @import { Bench } from "./bench.js" */
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Design } from "../../state/design.js" */

const SIZE = 48;
const LINES = 6;
const ENDS = 9;
/** Held so long, the back is only looked at. */
const PEEK_MS = 350;

export class Corner {
  /** @param {Bench} bench */
  constructor(bench) {
    this.bench = bench;
    this.picture = element("img", { alt: "", draggable: "false" });
    this.button = element("button", { type: "button", class: "corner", "aria-label": "Turn over", title: "Turn over; hold to peek", hidden: true }, this.picture);
    bench.painting.shade.after(this.button);
    this.key = "";
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.holding = undefined;
    this.peeks = false;
    this.button.addEventListener("pointerdown", (event) => {
      event.stopPropagation();
      this.holding = setTimeout(() => this.#peek(true), PEEK_MS);
    });
    for (const name of /** @type {const} */ (["pointerup", "pointercancel", "pointerleave"])) this.button.addEventListener(name, () => this.#let());
    this.button.addEventListener("click", () => {
      if (!this.peeked) bench.doings.run("turn");
      this.peeked = false;
    });
    this.peeked = false;
  }

  /** @param {boolean} on */
  #peek(on) {
    this.peeks = on;
    this.peeked = on || this.peeked;
    const { view } = this.bench.state;
    this.bench.store.dispatch({ type: "looked", view: { back: !view.back } });
  }

  #let() {
    clearTimeout(this.holding);
    if (this.peeks) this.#peek(false);
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  draw({ piece, section, strip, view }, scene) {
    const { painting, id, isKept } = this.bench;
    const placing = painting.placing;
    const lines = scene.cloth.picks.lines;
    const foot = placing ? placing.footY - placing.scroll : 0;
    this.button.hidden = !placing || placing.frame.narrow || lines < LINES || foot > placing.height + SIZE;
    if (this.button.hidden || !placing) return;
    const beyond = (scene.beyond * scene.column) / painting.dense;
    this.button.style.left = `${placing.clothX + placing.clothWidth + beyond - SIZE / 2 - 8}px`;
    this.button.style.top = `${foot - SIZE - 14}px`;
    if (!isKept) return;
    const low = scene.node.children.slice(0, 2).map((band) => band.children.map((line) => line.fields["text"]));
    const key = JSON.stringify([low, view.back, piece.yarns, piece.technique.name, section, strip]);
    if (key === this.key) return;
    this.key = key;
    const query = new URLSearchParams(Object.entries({ seq: piece.seq, section, strip, first: 1, last: Math.min(lines, LINES), ends: Math.min(ENDS, scene.ends), back: Number(!view.back) }).map(([name, value]) => [name, String(value)]));
    this.picture.src = `/pieces/${id}/close.webp?${query}`;
  }
}
