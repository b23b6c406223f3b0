/** What is drawn around and over the wool: warp, stair, rings, marks, the tuck, what would be laid, pegs of findings. */
import { family } from "../../model/kin.js";
import { element } from "../../page/element.js";
import { markBeads, markPlaces, readMark } from "../../render/marks.js";
import { FAMILY, Outline, POINTED, baste, border, scaled, stitchLine } from "../../render/outline.js";
import { drawStair } from "../../render/stair.js";
import { STEP, leftOfTuck } from "../../scene/geometry.js";
import { stairOf } from "../../scene/margin.js";
import { at, pickOf } from "../../scene/strip.js";
import { inkOn } from "./card.js";
import { BareWarpLayer } from "./warp.js";
/** @import { Bench } from "./bench.js" */
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Design } from "../../state/design.js" */
/** @import { Hit, StairLook, WindingLook } from "../../render/types.d.ts" */

/** How strongly what would be laid is shown. */
const GHOST = 0.72;
/** What the page's colours follow besides its own theme. */
const LOOKS = ["(prefers-color-scheme: dark)", "(forced-colors: active)", "(prefers-contrast: more)"].map((one) => matchMedia(one));
const LENS = { radius: 70, above: 96, times: 2 };

export class Overlay {
  /** @param {Bench} bench */
  constructor(bench) {
    this.bench = bench;
    const { painting } = bench;
    this.warp = new BareWarpLayer(painting);
    this.ringCanvas = element("canvas", { "aria-hidden": "true" });
    painting.over.before(this.ringCanvas);
    this.ringPen = /** @type {CanvasRenderingContext2D} */ (this.ringCanvas.getContext("2d"));
    this.pen = /** @type {CanvasRenderingContext2D} */ (painting.over.getContext("2d"));
    this.rings = new Outline(new ImageData(1, 1));
    /** @type {readonly Hit[]} */
    this.hits = [];
    this.tuck = element("button", { type: "button", class: "btn tuck-note small", hidden: true, title: "Touch to see the whole width", onclick: () => this.#spread() });
    painting.stage.append(this.tuck);
    /** @type {Map<string, WindingLook>} */
    this.looks = new Map();
    this.looksOf = /** @type {unknown} */ (null);
    /** @type {{ ink: string, quiet: string, edge: string, page: string, bench: string, font: string, bold: string } | null} */
    this.inks = null;
    this.inksFor = "";
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  draw(state, scene) {
    const { painting } = this.bench;
    const placing = painting.placing;
    const { pen } = this;
    if (!placing) return;
    this.warp.draw(state, scene);
    this.#drawRings(state, scene);
    const { dense } = painting;
    pen.setTransform(dense, 0, 0, dense, 0, 0);
    pen.clearRect(0, 0, placing.width, placing.height);
    this.#drawMargin(pen, state, scene);
    this.#drawTuck(pen, state, scene);
    this.#drawMarks(pen, state, scene);
    this.#drawSelection(pen, state);
    this.#drawAim(pen, state, scene);
    this.#drawLens(pen);
  }

  /** Colours of the page as it is, light or dark. */
  #colours() {
    const views = LOOKS.map((one) => one.matches);
    const key = `${views} ${document.documentElement.dataset["theme"] ?? ""}`;
    if (this.inks && this.inksFor === key) return this.inks;
    this.inksFor = key;
    const style = getComputedStyle(document.documentElement);
    const probe = element("span", { hidden: true });
    document.body.append(probe);
    const colour = (/** @type {string} */ name) => {
      probe.style.color = `var(${name})`;
      return getComputedStyle(probe).color;
    };
    const family_ = style.getPropertyValue("--font");
    this.inks = { ink: colour("--ink"), quiet: colour("--quiet"), edge: colour("--edge"), page: colour("--page"), bench: colour("--bench"), font: `14px ${family_}`, bold: `bold 14px ${family_}` };
    probe.remove();
    return this.inks;
  }

  /**
   * How a token looks: the marks of its yarns and the colour of the first.
   * @param {Design} state
   * @returns {(token: string) => WindingLook}
   */
  #lookOf({ piece }) {
    if (this.looksOf !== piece.yarns) this.looks.clear();
    this.looksOf = piece.yarns;
    return (token) => {
      const known = this.looks.get(token);
      if (known) return known;
      const yarns = token.split("+").flatMap((key) => piece.yarns.filter((yarn) => yarn.key === key));
      const colour = yarns[0]?.colour ?? "#888888";
      const look = { marks: yarns.map((yarn) => readMark(yarn.drawing)), colour, ink: inkOn(colour) };
      this.looks.set(token, look);
      return look;
    };
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {Design} state
   * @param {StripScene} scene
   */
  #drawMargin(pen, state, scene) {
    const { painting } = this.bench;
    const placing = /** @type {import("./painting.js").Placing} */ (painting.placing);
    const inks = this.#colours();
    const { frame, shift, height } = placing;
    if (frame.narrow) {
      this.hits = [];
      this.#drawNumbers(pen, scene, inks);
      return;
    }
    /** @type {StairLook} */
    const look = { bracketX: shift + 100, numberX: shift + frame.numbersX, stairX: shift + frame.stairX, step: STEP, ...inks, page: inks.bench };
    const stair = stairOf(scene, {
      y: (up) => painting.y(up),
      height,
      looks: this.#lookOf(state),
      pointed: this.#lit(state, scene),
      chosen: state.selection ? [state.selection.from + 1, state.selection.to + 1] : null,
      slots: this.bench.slots,
    });
    this.hits = drawStair(pen, stair, look);
  }

  /**
   * Numbers of lines right of the cloth, where there is no margin.
   * @param {CanvasRenderingContext2D} pen
   * @param {StripScene} scene
   * @param {{ ink: string, bench: string, font: string, bold: string }} inks
   */
  #drawNumbers(pen, { sight, kin, cloth }, inks) {
    const { painting } = this.bench;
    const { width, height } = /** @type {import("./painting.js").Placing} */ (painting.placing);
    const held = this.bench.state.cursor?.line;
    pen.textAlign = "right";
    pen.textBaseline = "middle";
    pen.lineJoin = "round";
    for (let line = 0; line < cloth.picks.lines; line++) {
      if (line !== held && line !== 0 && (line + 1) % 5) continue;
      const up = (at(sight.feet, at(kin.starts, line)) + at(sight.feet, at(kin.starts, line + 1))) / 2;
      const y = painting.y(up);
      if (y < 0 || y > height) continue;
      pen.font = line === held ? inks.bold : inks.font;
      pen.strokeStyle = inks.bench;
      pen.lineWidth = 4;
      pen.strokeText(`${line + 1}`, width - 5, y);
      pen.fillStyle = inks.ink;
      pen.fillText(`${line + 1}`, width - 5, y);
    }
  }

  /**
   * The pick that is lit: the one pointed at, else the one in hand.
   * @param {Design} state
   * @param {StripScene} scene
   * @returns {number}
   */
  #litPick({ pointed, cursor }, scene) {
    if (pointed >= 0 && pointed < scene.cloth.picks.length) return pointed;
    return cursor ? pickOf(scene, cursor.line, cursor.slot) : -1;
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  #lit(state, scene) {
    const pick = this.#litPick(state, scene);
    if (pick >= 0) return { line: at(scene.cloth.picks.line, pick) + 1, slot: at(scene.cloth.picks.slot, pick), pick };
    return state.cursor && scene.cloth.picks.lines ? { line: state.cursor.line + 1, slot: state.cursor.slot, pick: -1 } : null;
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  #drawRings(state, scene) {
    const { painting } = this.bench;
    const { wool, dense } = painting;
    if (this.rings.image.width !== wool.width || this.rings.image.height !== wool.height) {
      this.rings = new Outline(new ImageData(wool.width, wool.height));
      this.ringCanvas.width = wool.width;
      this.ringCanvas.height = wool.height;
    }
    for (const name of /** @type {const} */ (["left", "width", "height"])) this.ringCanvas.style[name] = wool.style[name];
    const image = /** @type {ImageData} */ (this.rings.image);
    const put = (/** @type {readonly [number, number]} */ [from, to]) => {
      if (to > from) this.ringPen.putImageData(image, 0, 0, 0, from, image.width, to - from);
    };
    const before = this.rings.clear();
    const pick = this.#litPick(state, scene);
    if (pick >= 0 && painting.painter.scene) {
      const [first, last] = this.#inSight(scene);
      const others = family(scene.cloth.picks, pick).filter((one) => one !== pick && one >= first && one <= last);
      if (others.length) this.rings.ring(painting.painter, others, scaled(FAMILY, dense));
      this.rings.ring(painting.painter, [pick], scaled(POINTED, dense));
    }
    put(before);
    put(this.rings.drawn);
    this.ringCanvas.hidden = this.rings.drawn[0] >= this.rings.drawn[1];
  }

  /** The first and the last pick in sight. @param {StripScene} scene @returns {[number, number]} */
  #inSight(scene) {
    const [first, last] = this.bench.painting.painter.bands();
    return [Math.max(0, first - 4), Math.min(scene.sight.shed.length - 1, last + 4)];
  }

  /**
   * A fold where whole repeats are left out, and what it says.
   * @param {CanvasRenderingContext2D} pen
   * @param {Design} state
   * @param {StripScene} scene
   */
  #drawTuck(pen, { piece }, scene) {
    const { painting } = this.bench;
    const { clothX, clothHeight, footY, scroll, height } = /** @type {import("./painting.js").Placing} */ (painting.placing);
    const isTucked = scene.shown < scene.ends && clothHeight > 0;
    this.tuck.hidden = !isTucked;
    if (!isTucked) return;
    const repeat = piece.technique.threading.length;
    const left = leftOfTuck(scene.ends, scene.shown, repeat);
    const x = clothX + ((scene.mirrored ? scene.shown - left : left) * scene.column) / painting.dense;
    const [top, foot] = [Math.max(0, footY - clothHeight - scroll), Math.min(height, footY - scroll)];
    const fold = pen.createLinearGradient(x - 16, 0, x + 7, 0);
    fold.addColorStop(0, "rgb(0 0 0 / 0)");
    fold.addColorStop(0.68, "rgb(0 0 0 / .38)");
    fold.addColorStop(0.7, "rgb(0 0 0 / .75)");
    fold.addColorStop(1, "rgb(0 0 0 / 0)");
    pen.fillStyle = fold;
    pen.fillRect(x - 16, top, 23, Math.max(0, foot - top));
    const repeats = Math.round((scene.ends - scene.shown) / repeat);
    const words = `${repeats} ${repeats === 1 ? "repeat lies" : "repeats lie"} in this tuck`;
    if (this.tuck.textContent !== words) this.tuck.textContent = words;
    this.tuck.style.bottom = `${Math.max(2, height - (footY - scroll) - 32)}px`;
  }

  /** Makes lines so small that the whole width is seen, as far as that goes. */
  #spread() {
    const { state, scene, painting, slots } = this.bench;
    const room = painting.room(slots);
    const most = Math.floor((room * state.piece.line_mm) / (state.piece.pitch_mm * (scene.ends + 2)));
    this.bench.resize(Math.max(8, Math.min(most, state.view.linePx - 1)));
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {Design} state
   * @param {StripScene} scene
   */
  #drawMarks(pen, state, scene) {
    const { painting } = this.bench;
    const { frame, clothX } = /** @type {import("./painting.js").Placing} */ (painting.placing);
    if (!(state.view.marks || frame.narrow) || !painting.painter.scene || !scene.sight.shed.length) return;
    const repeat = state.piece.technique.threading.length;
    const ends = state.view.marks ? scene.shown : Math.min(scene.shown, repeat);
    const { dense } = painting;
    const beads = markPlaces(painting.painter, scene.sight.wound, { ends, columnPx: scene.column, back: state.view.back, ratio: dense });
    const looks = this.#lookOf(state);
    const tokens = scene.cloth.windings.map((winding) => winding.map(([key]) => key).join("+"));
    pen.save();
    pen.setTransform(1, 0, 0, 1, Math.round((clothX + painting.painter.left / dense) * dense), 0);
    markBeads(pen, beads, (pick) => looks(tokens[at(scene.sight.wound, pick)] ?? ""), dense);
    pen.restore();
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {Design} state
   */
  #drawSelection(pen, { selection }) {
    const { painting, scene } = this.bench;
    if (!selection || !painting.painter.scene) return;
    const { clothX } = /** @type {import("./painting.js").Placing} */ (painting.placing);
    const { dense } = painting;
    const inks = this.#colours();
    const borders = [at(scene.kin.starts, selection.from), at(scene.kin.starts, selection.to + 1)];
    pen.save();
    pen.setTransform(1, 0, 0, 1, Math.round((clothX + painting.painter.left / dense) * dense), 0);
    for (const pick of borders) baste(pen, stitchLine(border(painting.painter, pick)), { ink: inks.ink, page: inks.page, ratio: dense });
    pen.restore();
  }

  /**
   * What a touch above the fell would lay: the pick across the whole width.
   * @param {CanvasRenderingContext2D} pen
   * @param {Design} state
   * @param {StripScene} scene
   */
  #drawAim(pen, state, scene) {
    const slot = this.bench.pointer?.aim ?? -1;
    const shed = state.piece.technique.sheds[slot];
    if (!shed) return;
    const { painting } = this.bench;
    const { clothX } = /** @type {import("./painting.js").Placing} */ (painting.placing);
    const { dense } = painting;
    const line = state.view.linePx;
    const y = painting.y(at(scene.sight.feet, scene.sight.shed.length)) - (line * (slot + 0.5)) / this.bench.slots;
    const column = scene.column / dense;
    pen.save();
    pen.globalAlpha = GHOST;
    pen.fillStyle = state.piece.yarns.find((yarn) => yarn.key === state.hand)?.colour ?? "#888888";
    pen.strokeStyle = this.#colours().ink;
    pen.lineWidth = 1;
    for (let end = 0; end < scene.sight.ends.length; end++) {
      if (shed.includes(at(scene.sight.ends, end)) === state.view.back) continue;
      pen.beginPath();
      pen.ellipse(clothX + (end + 0.5) * column, y, 0.62 * column, 0.52 * line, 0, 0, 2 * Math.PI);
      pen.fill();
      pen.stroke();
    }
    pen.restore();
  }

  /** What the finger covers, larger, above it. @param {CanvasRenderingContext2D} pen */
  #drawLens(pen) {
    const lens = this.bench.pointer?.lens;
    if (!lens) return;
    const { painting } = this.bench;
    const { dense } = painting;
    const { clothX, width } = /** @type {import("./painting.js").Placing} */ (painting.placing);
    const { radius, above, times } = LENS;
    const inks = this.#colours();
    const x = Math.min(Math.max(lens.x, radius + 4), width - radius - 4);
    const y = Math.max(lens.y - above, radius + 4);
    const reach = radius / times;
    const left = (lens.x - reach - clothX) * dense - painting.painter.left;
    pen.save();
    pen.beginPath();
    pen.ellipse(x, y, radius, radius, 0, 0, 2 * Math.PI);
    pen.fillStyle = inks.bench;
    pen.fill();
    pen.clip();
    for (const layer of [painting.wool, this.ringCanvas]) {
      pen.drawImage(layer, left, (lens.y - reach) * dense, 2 * reach * dense, 2 * reach * dense, x - radius, y - radius, 2 * radius, 2 * radius);
    }
    pen.restore();
    pen.strokeStyle = inks.ink;
    pen.lineWidth = 3;
    pen.beginPath();
    pen.ellipse(x, y, radius, radius, 0, 0, 2 * Math.PI);
    pen.stroke();
  }

  /**
   * Whether a touch was meant for the margin; if so it is followed.
   * @param {PointerEvent} event
   * @returns {boolean}
   */
  touched(event) {
    const box = this.bench.painting.stage.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const hit = this.hits.findLast((one) => x >= one.x && x < one.x + one.width && y >= one.y && y < one.y + one.height);
    if (!hit) return false;
    const { bench } = this;
    if (hit.kind === "band") void bench.doings.band(hit.band);
    else if (hit.kind === "handle") void bench.doings.band(hit.band, 'input[name="mirror"]:checked');
    else if (hit.kind === "oval") {
      bench.place({ line: hit.line - 1, slot: hit.slot }, false);
      bench.lay(hit.line - 1, hit.slot);
    } else if (hit.kind === "source") bench.place({ line: hit.source - 1, slot: 0 });
    else if (hit.kind === "line") this.#line(hit.line - 1, event.shiftKey);
    return true;
  }

  /** @param {number} line @param {boolean} extend */
  #line(line, extend) {
    const { bench } = this;
    const { cursor, selection } = bench.state;
    const from = selection ? (cursor && selection.from === cursor.line ? selection.to : selection.from) : (cursor?.line ?? line);
    bench.place({ line, slot: cursor?.slot ?? 0 }, false);
    bench.store.dispatch({ type: "selected", selection: extend ? { from: Math.min(from, line), to: Math.max(from, line) } : { from: line, to: line } });
  }
}
