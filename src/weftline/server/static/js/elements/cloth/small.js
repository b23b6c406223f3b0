/** The whole piece in the margin: what is in sight is framed; a touch goes there. */
import { element } from "../../page/element.js";
import { hexToLinear, windingLights } from "../../model/light.js";
import { wholePixels } from "../../model/whole.js";
import { at } from "../../scene/strip.js";
/** @import { Bench } from "./bench.js" */
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Design, Piece } from "../../state/design.js" */

/** The hand comes first; so long after it the piece in small follows. */
const REST_MS = 50;
const WIDTH = { wide: 76, middle: 44, narrow: 20 };

export class Small {
  /**
   * @param {Bench} bench
   * @param {HTMLElement} figure
   */
  constructor(bench, figure) {
    this.bench = bench;
    this.figure = figure;
    this.canvas = element("canvas", { "aria-hidden": "true" });
    this.caption = element("figcaption", { class: "small" });
    figure.replaceChildren(this.canvas, this.caption);
    this.drawn = /** @type {readonly unknown[]} */ ([]);
    /** @type {ImageData | undefined} */
    this.image = undefined;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.later = undefined;
    const go = (/** @type {PointerEvent} */ event) => {
      if (event.buttons) this.#go(event.offsetY / this.canvas.clientHeight);
    };
    this.canvas.addEventListener("pointerdown", go);
    this.canvas.addEventListener("pointermove", go);
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  draw(state, scene) {
    const placing = this.bench.painting.placing;
    if (!placing) return;
    const lines = scene.cloth.picks.lines;
    this.caption.textContent = lines ? `${lines} ${lines === 1 ? "line" : "lines"}` : "";
    this.figure.style.visibility = lines ? "" : "hidden";
    if (!lines) return;
    const width = innerWidth <= 700 ? WIDTH.narrow : innerWidth <= 1100 ? WIDTH.middle : WIDTH.wide;
    const { piece } = state;
    const total = at(scene.sight.feet, scene.sight.shed.length);
    const tallMm = (total / (state.view.linePx * this.bench.painting.dense)) * piece.line_mm;
    const height = Math.max(6, Math.min(Math.round((width * tallMm) / (scene.ends * piece.pitch_mm)), placing.height - 64));
    const key = [scene.cloth, width, height, state.view.back, piece.yarns, scene.sight];
    const frame = [placing.scroll, placing.content];
    if (key.every((one, place) => one === this.drawn[place]) && frame.every((one, place) => one === this.drawn[key.length + place])) return;
    const isSame = key.every((one, place) => one === this.drawn[place]);
    if (!isSame && this.image) {
      this.later ??= setTimeout(() => {
        this.later = undefined;
        this.image = undefined;
        this.draw(this.bench.state, this.bench.scene);
      }, REST_MS);
      return;
    }
    this.drawn = [...key, ...frame];
    if (!isSame) this.#raster(state, scene, width, height);
    this.#frame(width, height);
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   * @param {number} width
   * @param {number} height
   */
  #raster({ piece }, scene, width, height) {
    const ends = this.bench.state.piece.sections[this.bench.state.section]?.strips[this.bench.state.strip]?.ends ?? [];
    this.image = small(piece, scene, ends, { width, height });
    if (this.canvas.width !== width || this.canvas.height !== height) Object.assign(this.canvas, { width, height });
  }

  /** @param {number} width @param {number} height */
  #frame(width, height) {
    const pen = this.canvas.getContext("2d");
    const placing = this.bench.painting.placing;
    if (!pen || !placing || !this.image) return;
    pen.putImageData(this.image, 0, 0);
    const up = (/** @type {number} */ y) => (placing.footY - y - placing.scroll) / placing.clothHeight;
    const [top, foot] = [Math.min(1, up(0)), Math.max(0, up(placing.height))];
    if (top - foot >= 0.999) return;
    for (const [colour, inset] of /** @type {const} */ ([["#f7f7f7", 1], ["#161616", 2.5]])) {
      pen.strokeStyle = colour;
      pen.lineWidth = 1.5;
      pen.strokeRect(inset, height * (1 - top) + inset, width - 2 * inset, Math.max(3, height * (top - foot) - 2 * inset));
    }
  }

  /** @param {number} part from the top */
  #go(part) {
    const { painting, work } = this.bench;
    const placing = painting.placing;
    if (!placing) return;
    work.scrollTop = placing.footY - (1 - part) * placing.clothHeight - placing.height / 2;
  }
}

/**
 * A strip in small.
 * @param {Piece} piece
 * @param {StripScene} scene
 * @param {readonly number[]} ends all of them
 * @param {{ width: number, height: number }} size
 * @returns {ImageData}
 */
export function small(piece, scene, ends, size) {
  const colours = new Map(piece.yarns.map((yarn) => [yarn.key, yarn.colour]));
  const lights = windingLights(scene.cloth.windings, (key) => colours.get(key) ?? "#888888");
  const seen = scene.mirrored ? [...ends].reverse() : ends;
  const data = wholePixels(scene.cloth.picks, lights, { ends: seen, ...size, warp: hexToLinear(piece.warp), back: scene.sight.back });
  return new ImageData(/** @type {any} */ (data), size.width, size.height);
}
