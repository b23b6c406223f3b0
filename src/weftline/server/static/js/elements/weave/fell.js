/** What lies on the loom at the top of the Weave page: the open shed with its weft, and the fell as it should look. */
import { fellOf } from "../../model/fell.js";
import { hexToLinear } from "../../model/light.js";
import { element } from "../../page/element.js";
import { drawHead, threads, weftAcross } from "../../render/shed.js";
import { threadPlaces } from "../../render/warp.js";
import { FellWool } from "./wool.js";
/** @import { Planned, PlannedThrows } from "../../model/throwing.js" */
/** @import { Piece } from "../../state/design.js" */
/** @import { Woven } from "../../state/weaving.js" */
/** @import { ShedLook } from "../../render/shed.js" */

const RUN_MS = 120;
/** Width of an end on a phone, and on anything larger, CSS pixels. */
const NARROW_PX = 45;
const WIDE_PX = 62;
const WIDEST_PX = 80;
const [WIDEST_NARROW, WIDEST_WIDE] = [600, 1100];
const MOST_LINE = 200;
/** So many picks ahead the page has the fell at hand. */
const AHEAD = 90;
const LINES = 6;

/** @typedef {{ next: Planned, fromLeft: boolean, woven: Woven, plan: PlannedThrows }} Scene */
/** @typedef {{ back: OffscreenCanvas, front: OffscreenCanvas, cloth: OffscreenCanvas, weft: OffscreenCanvas, look: ShedLook, way: 1 | -1 }} Layers */

export class FellView {
  /** @param {HTMLElement} section @param {{ id: string, planSeq: number }} about @param {Piece} piece */
  constructor(section, about, piece) {
    this.about = about;
    this.section = section;
    this.piece = piece;
    this.canvas = element("canvas", { "aria-hidden": "true" });
    section.append(this.canvas);
    this.probe = element("span", { hidden: true });
    section.append(this.probe);
    /** @type {Map<string, FellWool>} */
    this.wools = new Map();
    /** @type {Scene | null} */
    this.scene = null;
    /** @type {Layers | null} */
    this.layers = null;
    this.frame = 0;
    new ResizeObserver(() => this.redraw()).observe(section);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.redraw());
  }

  get dense() {
    return Math.min(2, window.devicePixelRatio || 1);
  }

  /** @param {number} section @param {number} strip */
  wool(section, strip) {
    const { piece, dense } = this;
    const column = (innerWidth < WIDEST_NARROW ? NARROW_PX : innerWidth < WIDEST_WIDE ? WIDE_PX : WIDEST_PX) * dense;
    const linePx = Math.max(1, Math.min(MOST_LINE, Math.round((column * piece.line_mm) / piece.pitch_mm)));
    const key = [section, strip, linePx].join(" ");
    const known = this.wools.get(key) ?? new FellWool(piece, { ...this.about, section, strip, linePx, back: piece.face === "down" }, () => this.redraw());
    this.wools.set(key, known);
    return known;
  }

  redraw() {
    if (!this.scene) return;
    this.layers = this.#layers(this.scene);
    this.#compose(0);
  }

  /**
   * Shows the shed of a pick; what was thrown before runs in first.
   * @param {Scene} scene
   * @param {boolean} runsIn
   */
  show(scene, runsIn) {
    const before = this.layers;
    this.scene = scene;
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    cancelAnimationFrame(this.frame);
    if (!runsIn || !before || still) {
      this.redraw();
      return;
    }
    const start = performance.now();
    const run = (/** @type {number} */ now) => {
      const part = (now - start) / RUN_MS;
      if (part >= 1) {
        this.redraw();
        return;
      }
      this.#compose(Math.max(0, part));
      this.frame = requestAnimationFrame(run);
    };
    this.frame = requestAnimationFrame(run);
  }

  /** Fetches what the coming fells are painted with, one after the other. @param {Woven} woven @param {PlannedThrows} plan */
  async prepare(woven, plan) {
    let ahead = woven;
    for (let place = 0; place < AHEAD; place += 1) {
      const next = plan.at(ahead.ordinal);
      if (!next) return;
      ahead = { ...ahead, laid: [...ahead.laid, { strip: next.stripId, shed: next.shed, strands: next.strands, before: ahead.ordinal, plan: ahead.ordinal }], ordinal: ahead.ordinal + 1 };
      const wool = this.wool(next.section, next.strip);
      const fell = wool.fell(fellOf(ahead, plan, next.stripId, LINES));
      if (fell && !wool.phases.has(fell.key) && !(await wool.ask(fell))) return;
    }
  }

  /** @param {string} name */
  #colour(name) {
    this.probe.style.setProperty("color", `var(${name})`);
    this.probe.hidden = false;
    const { color } = getComputedStyle(this.probe);
    this.probe.hidden = true;
    return color;
  }

  /** @param {Scene} scene @returns {Layers | null} */
  #layers({ next, fromLeft, woven, plan }) {
    const { section, piece, dense } = this;
    const [width, height] = [Math.round(section.clientWidth * dense), Math.round(section.clientHeight * dense)];
    if (!width || !height) return null;
    const wool = this.wool(next.section, next.strip);
    const column = wool.column;
    const strip = column * wool.ends.length;
    const beyond = (piece.edge.kind === "none" ? 0.45 : 1.25) * column;
    const left = Math.round(strip + 2 * beyond <= width ? (strip - width) / 2 : fromLeft ? -beyond : strip + beyond - width);
    const colours = new Map(piece.yarns.map((yarn) => [yarn.key, hexToLinear(yarn.colour)]));
    const weft = next.strands.map(([key]) => colours.get(key) ?? hexToLinear("#888888"));
    /** @type {ShedLook} */
    const look = { width, height, column, left, weft, warp: hexToLinear(piece.warp), ink: this.#colour("--ink"), page: this.#colour("--page") };
    const image = new ImageData(width, height);
    const fell = wool.fell(fellOf(woven, plan, next.stripId, LINES));
    const cloth = new OffscreenCanvas(width, height);
    const line = wool.place.linePx;
    if (fell) {
      wool.paint(fell, image, { up: this.#fellY(height, line), left });
      cloth.getContext("2d")?.putImageData(image, 0, 0);
      section.classList.toggle("woolly", wool.phases.has(fell.key));
    }
    const { raised, lowered } = sides(wool.ends, column, piece, next.shed);
    return { back: threads(lowered, false, look), front: threads(raised, true, look), cloth, weft: weftAcross(look), look, way: fromLeft ? 1 : -1 };
  }

  /** Where the fell lies. @param {number} height @param {number} line */
  #fellY(height, line) {
    return Math.round(Math.max(height * 0.6, height - 4.5 * line));
  }

  /** @param {number} part how far the weft has run in */
  #compose(part) {
    const { canvas, layers } = this;
    if (!layers) return;
    const { look, way } = layers;
    const { width, height, column } = look;
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    pen.clearRect(0, 0, width, height);
    const shaded = (/** @type {CanvasImageSource} */ source, /** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ blur) => {
      pen.save();
      pen.shadowColor = "rgb(0 0 0 / .5)";
      pen.shadowBlur = blur;
      pen.shadowOffsetY = blur * 0.5;
      pen.drawImage(source, x, y);
      pen.restore();
    };
    const size = Math.min(height * 0.42, Math.max(72 * this.dense, column * 2.35));
    const y = Math.max(height * 0.29, size * 0.6);
    const rest = Math.max(size * 1.15, width * 0.2);
    const tip = way < 0 ? rest - size : width - rest + size; // where a long weft's head lies, nearly through
    const at = tip + way * part * (rest + size);
    pen.drawImage(layers.back, 0, 0);
    const long = layers.weft.width;
    const end = at - way * size * 0.75;
    shaded(layers.weft, way < 0 ? end : end - long, y - layers.weft.height / 2, column * 0.14);
    shaded(layers.front, 0, 0, column * 0.1);
    shaded(layers.cloth, 0, 0, column * 0.12);
    drawHead(pen, { tip: at, y, size, way }, look);
    this.section.classList.add("painted");
    Object.assign(this.section.dataset, { head: Math.round(size / this.dense), tip: Math.round(at / this.dense) });
  }

  /**
   * Paints the last lines onto another canvas, to be held against the fell.
   * @param {HTMLCanvasElement} canvas
   * @param {Scene} scene
   * @param {number} lines
   */
  lastLines(canvas, { next, woven, plan }, lines) {
    const wool = this.wool(next.section, next.strip);
    const fell = wool.fell(fellOf(woven, plan, next.stripId, lines));
    if (!fell) return;
    const tall = (fell.sight.feet.at(-1) ?? 0) + Math.round(wool.place.linePx * 0.3);
    const wide = Math.max(1, Math.round((tall * canvas.clientWidth) / Math.max(1, canvas.clientHeight)));
    const image = new ImageData(wide, tall);
    wool.paint(fell, image, { up: Math.round(wool.place.linePx * 0.3), left: -Math.round(wool.column * 0.6) });
    Object.assign(canvas, { width: wide, height: tall });
    canvas.getContext("2d")?.putImageData(image, 0, 0);
  }
}

/**
 * Which threads stand up in a shed and which lie down, by their places; a floating end stays between, so it lies below.
 * @param {readonly number[]} ends
 * @param {number} column
 * @param {Piece} piece
 * @param {number} shed bit mask of the shafts covered on the face
 */
function sides(ends, column, piece, shed) {
  const places = threadPlaces(ends.length, column, piece.edge);
  const extra = (places.length - ends.length) / 2;
  /** @type {number[]} */
  const raised = [];
  /** @type {number[]} */
  const lowered = [];
  places.forEach((x, place) => {
    const shaft = ends[Math.min(ends.length - 1, Math.max(0, Math.floor(place - extra)))] ?? 1;
    const isCovered = (shed & (1 << (shaft - 1))) !== 0;
    const floats = piece.edge.kind === "floating" && (place < extra || place >= ends.length + extra);
    (isCovered === (piece.face === "up") || floats ? lowered : raised).push(x);
  });
  return { raised, lowered };
}
