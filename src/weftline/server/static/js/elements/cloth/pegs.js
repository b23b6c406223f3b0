/** Findings as pegs on the selvedge, each at its line: touched, it says what and how to mend it. */
import { element } from "../../page/element.js";
import { at, runningLine } from "../../scene/strip.js";
/** @import { Bench } from "./bench.js" */
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Design, Piece } from "../../state/design.js" */

const SPACE = "http://www.w3.org/2000/svg";
/** Square, triangle, stroke: told by their shape. */
const SHAPES = new Map([
  ["stop", { word: "Stops the piece", path: "M4 4h12v12H4z", filled: true }],
  ["warn", { word: "Look", path: "M10 3.5L17.5 16.5h-15z", filled: true }],
  ["note", { word: "Note", path: "M10 4v12", filled: false }],
]);

/** @typedef {Piece["findings"][number]} Finding */
/** @typedef {{ button: HTMLButtonElement, node: string, finding: Finding }} Peg */

export class Pegs {
  /** @param {Bench} bench */
  constructor(bench) {
    this.bench = bench;
    this.root = element("div", { class: "pegs", role: "group", "aria-label": "Findings at their lines" });
    bench.painting.stage.append(this.root);
    /** @type {readonly Finding[] | null} */
    this.findings = null;
    /** @type {Peg[]} */
    this.pegs = [];
    /** The line of each peg, as long as the cloth is the same. @type {number[]} */
    this.lines = [];
    /** @type {unknown} */
    this.cloth = null;
    /** @type {HTMLElement | null} */
    this.says = null;
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  draw({ piece }, scene) {
    if (this.findings !== piece.findings) this.#make(piece.findings);
    const { painting } = this.bench;
    const placing = painting.placing;
    if (!placing) return;
    const x = placing.clothX + placing.clothWidth + (scene.beyond * scene.column) / painting.dense - (placing.frame.narrow ? 34 : 6);
    let below = Infinity;
    if (this.cloth !== scene.cloth) this.lines = this.pegs.map(({ node }) => lineOf(scene, node));
    this.cloth = scene.cloth;
    for (const [place, { button }] of this.pegs.entries()) {
      const line = this.lines[place] ?? -1;
      const y = line < 0 ? -100 : painting.y(at(scene.sight.feet, at(scene.kin.starts, line))) - 24;
      button.hidden = line < 0 || y < -28 || y > placing.height;
      const free = Math.abs(y - below) < 26 ? below - 28 : y;
      if (!button.hidden) below = free;
      button.style.left = `${Math.min(x, placing.width - 30)}px`;
      button.style.top = `${free}px`;
    }
  }

  /** @param {readonly Finding[]} findings */
  #make(findings) {
    this.findings = findings;
    this.cloth = null;
    this.#close();
    this.pegs = findings.flatMap((finding) => {
      const [node] = finding.nodes;
      return node ? [{ finding, node, button: this.#button(finding) }] : [];
    });
    this.root.replaceChildren(...this.pegs.map(({ button }) => button));
  }

  /** @param {Finding} finding */
  #button(finding) {
    const shape = SHAPES.get(finding.severity) ?? { word: "Note", path: "M10 4v12", filled: false };
    const svg = document.createElementNS(SPACE, "svg");
    svg.setAttribute("class", "icon");
    svg.setAttribute("viewBox", "0 0 20 20");
    svg.setAttribute("aria-hidden", "true");
    const path = document.createElementNS(SPACE, "path");
    path.setAttribute("d", shape.path);
    if (shape.filled) path.setAttribute("fill", "currentColor");
    svg.append(path);
    const open = (/** @type {Event} */ event) => this.#open(finding, /** @type {HTMLButtonElement} */ (event.currentTarget));
    const button = element("button", { type: "button", class: `peg ${finding.severity}`, "aria-label": `${shape.word}: ${finding.message}`, onclick: open }, svg);
    button.addEventListener("pointerdown", (event) => event.stopPropagation());
    return button;
  }

  /**
   * @param {Finding} finding
   * @param {HTMLButtonElement} button
   */
  #open(finding, button) {
    this.#close();
    const close = element("button", { type: "button", class: "bareword", onclick: () => this.#close(button) }, "Close");
    const box = element("div", { class: "peg-says stack-s", role: "dialog", "aria-label": "Finding" });
    box.append(element("p", { class: finding.severity }, finding.message), element("p", {}, finding.remedy), close);
    box.style.top = `${Math.max(8, Math.min(button.offsetTop - 20, this.bench.painting.stage.clientHeight - 180))}px`;
    box.style.right = "12px";
    box.addEventListener("pointerdown", (event) => event.stopPropagation());
    box.addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.#close(button);
    });
    this.bench.painting.stage.append(box);
    this.says = box;
    close.focus();
  }

  /** @param {HTMLButtonElement} [button] that gets the focus back */
  #close(button) {
    this.says?.remove();
    this.says = null;
    button?.focus();
  }
}

/**
 * The first running line of a part: a written line's own, or the lowest of a band.
 * @param {StripScene} scene
 * @param {string} node
 * @returns {number}
 */
export function lineOf(scene, node) {
  const own = runningLine(scene, node);
  if (own >= 0) return own;
  const band = scene.node.children.findIndex((child) => child.id === node);
  if (band < 0) return -1;
  const pick = scene.cloth.picks.band.indexOf(band);
  return pick < 0 ? -1 : at(scene.cloth.picks.line, pick);
}
