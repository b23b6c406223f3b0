/** The canvases of the bench: wool below, what is drawn over it above, and the bakes that are still to come. */
import { fetchBakes } from "../../api/piece.js";
import { hexToLinear, windingLights } from "../../model/light.js";
import { reach, signatures, sightOf, variation } from "../../model/sight.js";
import { wholePixels } from "../../model/whole.js";
import { element } from "../../page/element.js";
import { BakeBook, asked } from "../../render/bakes.js";
import { decode } from "../../render/decode.js";
import { Dyes } from "../../render/dyes.js";
import { WoolPainter } from "../../render/wool.js";
import { BELOW, clothPlace, contentHeight, frameOf } from "../../scene/geometry.js";
import { at, maskOf } from "../../scene/strip.js";
/** @import { Piece, View } from "../../state/design.js" */
/** @import { StripScene } from "../../scene/strip.js" */

/** Bands that are asked for at once. */
const MOST_BANDS = 480;
/** Rows of the flat picture that is shown before the first wool has come. */
const MOST_FLAT = 1500;
/** So many picks are shown with stand-ins from a stock before anything else is known. */
const FEW = 60;

/**
 * @typedef {object} Placing where the cloth lies on the bench, CSS pixels
 * @property {number} width of the bench
 * @property {number} height of the bench
 * @property {import("../../scene/geometry.js").Frame} frame
 * @property {number} clothX
 * @property {number} shift
 * @property {number} clothWidth
 * @property {number} clothHeight
 * @property {number} content height of everything
 * @property {number} footY where the cloth's foot lies in the content
 * @property {number} scroll
 */

export class Painting {
  /**
   * @param {HTMLElement} work
   * @param {() => void} changed told when bakes have come and the cloth should be painted again
   */
  constructor(work, changed) {
    this.work = work;
    this.changed = changed;
    this.reach = element("div", { class: "reach script-made" });
    this.stage = element("div", { class: "stage" });
    this.wool = element("canvas", { class: "wool", "aria-hidden": "true" });
    this.over = element("canvas", { class: "over", "aria-hidden": "true" });
    this.shade = element("div", { class: "cloth-shade" });
    this.stage.append(this.shade, this.wool, this.over);
    this.reach.append(this.stage);
    work.append(this.reach);
    this.image = new ImageData(1, 1);
    this.pen = /** @type {CanvasRenderingContext2D} */ (this.wool.getContext("2d"));
    /** @type {Map<string, BakeBook>} */
    this.books = new Map();
    this.painter = new WoolPainter(new BakeBook(), this.image);
    this.dense = 1;
    this.measured = { width: 0, height: 0 };
    this.measure();
    /** @type {WeakMap<object, { around: number, phase: number }>} */
    this.abouts = new WeakMap();
    /** @type {Placing | null} */
    this.placing = null;
    /** @type {{ key: string, dyes: Dyes } | null} */
    this.dyed = null;
    /** @type {{ key: readonly unknown[], signatures: (from: number, to: number, edges: boolean) => readonly string[] } | null} */
    this.told = null;
    this.asking = false;
    this.bookKey = "";
    /** @type {Set<string>} */
    this.stocked = new Set();
  }

  /** Measures the bench; asked for only when it may have changed, as measuring makes the page lay itself out. */
  measure() {
    this.measured = { width: this.work.clientWidth, height: this.work.clientHeight };
    this.dense = Math.min(2, window.devicePixelRatio || 1);
  }

  /** @returns {{ width: number, height: number }} */
  size() {
    return this.measured;
  }

  /**
   * Width that the cloth may have.
   * @param {number} slots
   */
  room(slots) {
    return frameOf({ ...this.size(), slots }).room;
  }

  /**
   * Puts everything in its place; what is looked at stays where it is, counted from the foot.
   * @param {StripScene} scene
   * @param {number} slots
   * @returns {Placing}
   */
  place(scene, slots) {
    const { width, height } = this.size();
    const frame = frameOf({ width, height, slots });
    const clothWidth = Math.round(scene.column * scene.shown) / this.dense;
    const clothHeight = at(scene.sight.feet, scene.sight.shed.length) / this.dense;
    const content = contentHeight(clothHeight, height);
    const before = this.placing;
    const fromFoot = before ? before.content - before.scroll : content;
    this.reach.style.height = `${content}px`;
    this.stage.style.height = `${height}px`;
    const wanted = Math.min(Math.max(0, content - height), Math.max(0, content - fromFoot));
    const moved = before?.content !== content || before.height !== height;
    if (moved) this.work.scrollTop = before ? wanted : content;
    const scroll = moved ? Math.round(before ? wanted : Math.max(0, content - height)) : Math.round(this.work.scrollTop);
    const { clothX, shift } = clothPlace(frame, width, clothWidth, (scene.beyond * scene.column) / this.dense);
    this.placing = { width, height, frame, clothX, shift, clothWidth, clothHeight, content, footY: content - BELOW, scroll };
    return this.placing;
  }

  /** Takes up where the bench was scrolled to. @returns {Placing | null} */
  scrolled() {
    if (this.placing) this.placing = { ...this.placing, scroll: Math.round(this.work.scrollTop) };
    return this.placing;
  }

  /**
   * The height above the foot, device pixels, of a place on the stage.
   * @param {number} y
   */
  up(y) {
    const { footY, scroll } = /** @type {Placing} */ (this.placing);
    return (footY - (y + scroll)) * this.dense;
  }

  /** Where a height above the foot (device pixels) lies on the stage. @param {number} up */
  y(up) {
    const { footY, scroll } = /** @type {Placing} */ (this.placing);
    return footY - up / this.dense - scroll;
  }

  /** Whether a line lies in sight; if not, the bench is scrolled to it. @param {number} low @param {number} high device px */
  show(low, high) {
    const placing = /** @type {Placing} */ (this.placing);
    const [top, foot] = [this.y(high), this.y(low)];
    if (top < 40) this.work.scrollTop = placing.scroll + top - 80;
    else if (foot > placing.height - 24) this.work.scrollTop = placing.scroll + foot - placing.height + 60;
    this.scrolled();
  }

  /**
   * @param {StripScene} scene
   * @param {Piece} piece
   * @param {{ id: string, section: number, strip: number, view: View, isKept: boolean }} about
   */
  paint(scene, piece, about) {
    const placing = this.placing;
    if (!placing) return;
    const { dense } = this;
    const book = this.#book(scene, about);
    const margins = book.recipe?.margins ?? [0, 0];
    const wide = Math.max(1, Math.round(placing.clothWidth * dense) + margins[0] + margins[1]);
    const tall = Math.max(1, Math.round(placing.height * dense));
    this.#sized(wide, tall);
    this.wool.style.left = `${placing.clothX - margins[0] / dense}px`;
    this.#shadow(placing);
    const { sight } = scene;
    if (!sight.shed.length) {
      this.pen.clearRect(0, 0, wide, tall);
      this.painter.records.clear();
      void this.#stock(piece, scene, about);
      return;
    }
    if (!book.recipe) this.#flat(scene, piece, placing);
    const dyes = this.#dyes(piece, about.view, book);
    const wound = dyes.wound(scene.cloth);
    this.painter.show({ shed: sight.shed, feet: sight.feet, wound, tables: dyes.tables, signatures: this.#signatures(scene, book) });
    this.painter.look(Math.round((placing.footY - placing.scroll) * dense), -margins[0]);
    const { spans, missing } = this.painter.paint();
    for (const [from, to] of spans) this.pen.putImageData(this.image, 0, 0, 0, from, wide, to - from);
    if (sight.shed.length < FEW) void this.#stock(piece, scene, about);
    if ((missing.length || !book.recipe) && about.isKept) void this.#ask(book, scene, piece, about, missing);
  }

  /**
   * @param {StripScene} scene
   * @param {{ id: string, section: number, strip: number, view: View }} about
   */
  #book(scene, { section, strip, view }) {
    const key = [section, strip, scene.shown, scene.ends, Math.round(view.linePx * this.dense), scene.column, view.back].join(" ");
    const known = this.books.get(key);
    const book = known ?? new BakeBook();
    if (!known) this.books.set(key, book);
    if (key !== this.bookKey) {
      this.bookKey = key;
      this.painter = new WoolPainter(book, this.image);
      this.dyed = null;
    }
    return book;
  }

  /**
   * What tells the bands of a strip apart; the same function as long as what it rests on is.
   * @param {StripScene} scene
   * @param {BakeBook} book
   */
  #signatures(scene, book) {
    let about = this.abouts.get(scene.structure);
    if (!about || (book.recipe && about.phase !== book.recipe.phase)) {
      about = aboutOf(scene, book);
      this.abouts.set(scene.structure, about);
    }
    const known = about;
    const floats = scene.sight.edge.kind === "floating";
    const key = [scene.structure, about.around, about.phase, floats ? scene.sight.wound : null];
    if (this.told && key.every((one, place) => one === this.told?.key[place])) return this.told.signatures;
    const told = { key, signatures: (/** @type {number} */ from, /** @type {number} */ to, /** @type {boolean} */ edges) => signatures(known, scene.sight, from, to, edges) };
    this.told = told;
    return told.signatures;
  }

  /** @param {number} wide @param {number} tall */
  #sized(wide, tall) {
    if (this.image.width === wide && this.image.height === tall) return;
    this.image = new ImageData(wide, tall);
    this.wool.width = wide;
    this.wool.height = tall;
    this.wool.style.width = `${wide / this.dense}px`;
    this.wool.style.height = `${tall / this.dense}px`;
    this.painter.into(this.image);
    const { width, height } = /** @type {Placing} */ (this.placing);
    this.over.width = Math.round(width * this.dense);
    this.over.height = Math.round(height * this.dense);
    this.over.style.width = `${width}px`;
    this.over.style.height = `${height}px`;
  }

  /**
   * Lays flat colours until the first wool has come.
   * @param {StripScene} scene
   * @param {Piece} piece
   * @param {Placing} placing
   */
  #flat({ sight, cloth, shown, column }, piece, { footY, scroll, clothHeight }) {
    const colours = new Map(piece.yarns.map((yarn) => [yarn.key, yarn.colour]));
    const lights = windingLights(cloth.windings, (key) => colours.get(key) ?? "#888888");
    const size = { width: 6 * shown, height: Math.min(MOST_FLAT, 6 * cloth.picks.lines) };
    const data = wholePixels(cloth.picks, lights, { ends: sight.ends, ...size, warp: hexToLinear(piece.warp), back: sight.back });
    const picture = new OffscreenCanvas(size.width, size.height);
    picture.getContext("2d")?.putImageData(new ImageData(/** @type {any} */ (data), size.width, size.height), 0, 0);
    const { dense } = this;
    this.pen.clearRect(0, 0, this.wool.width, this.wool.height);
    this.pen.drawImage(picture, 0, (footY - clothHeight - scroll) * dense, shown * column, clothHeight * dense);
  }

  /** @param {Placing} placing */
  #shadow({ clothX, clothWidth, clothHeight, footY, scroll }) {
    const { style } = this.shade;
    style.display = clothHeight ? "" : "none";
    style.left = `${clothX + 2}px`;
    style.width = `${clothWidth - 4}px`;
    style.top = `${footY - clothHeight - scroll + 3}px`;
    style.height = `${Math.max(0, clothHeight - 6)}px`;
  }

  /**
   * The colours of the piece's windings; the same ones as long as yarns and view are.
   * @param {Piece} piece
   * @param {View} view
   * @param {BakeBook} book
   */
  #dyes({ yarns }, { values }, { recipe, plan }) {
    const key = JSON.stringify([yarns.map((yarn) => [yarn.key, yarn.colour]), values, plan]);
    if (this.dyed?.key === key) return this.dyed.dyes;
    const seen = recipe?.colour?.seen ?? Array.from({ length: 256 }, (_, shade) => Number(shade > 60 && shade < 190));
    const dyes = new Dyes(new Map(yarns.map((yarn) => [yarn.key, yarn.colour])), { seen, values });
    this.dyed = { key, dyes };
    return dyes;
  }

  /**
   * @param {StripScene} scene
   * @param {{ section: number, strip: number, view: View }} about
   */
  #query(scene, { section, strip, view }) {
    return { section, strip, ends: scene.shown, line_px: Math.round(view.linePx * this.dense), back: Number(view.back) };
  }

  /**
   * Asks for the bakes that are missing, those in sight first, then what comes next when one scrolls.
   * @param {BakeBook} book
   * @param {StripScene} scene
   * @param {Piece} piece
   * @param {{ id: string, section: number, strip: number, view: View, isKept: boolean }} about
   * @param {readonly number[]} missing
   */
  async #ask(book, scene, piece, about, missing) {
    if (this.asking) return;
    this.asking = true;
    const wanted = missing.length ? missing.slice(0, MOST_BANDS) : [0];
    const buffer = await fetchBakes(about.id, { ...this.#query(scene, about), seq: piece.seq, bands: asked(wanted) });
    this.asking = false;
    if (!buffer) {
      setTimeout(this.changed, 1500);
      return;
    }
    const answer = decode(buffer);
    const first = Math.min(...answer.bands.map((one) => one.band));
    const last = Math.max(...answer.bands.map((one) => one.band));
    book.add(answer, textsOf(answer.recipe, scene.sight, first, last), scene.sight);
    this.changed();
  }

  /**
   * Fetches a stock of whole lines once, so that the first strokes on a bare warp are wool at once.
   * @param {Piece} piece
   * @param {StripScene} scene
   * @param {{ id: string, section: number, strip: number, view: View, isKept: boolean }} about
   */
  async #stock(piece, scene, about) {
    const book = this.books.get(this.bookKey);
    if (!book || this.stocked.has(this.bookKey) || !about.isKept) return;
    const key = this.bookKey;
    this.stocked.add(key);
    const sheds = piece.technique.sheds.map(maskOf);
    const picks = 24 * sheds.length;
    const buffer = await fetchBakes(about.id, { ...this.#query(scene, about), seq: piece.seq, bands: `0-${picks + 1}`, stock: 1 });
    if (!buffer) {
      this.stocked.delete(key);
      return;
    }
    const answer = decode(buffer);
    const stock = stockPicks(answer.recipe.sheds ?? [], answer.recipe.lines ?? [], piece.line_mm / sheds.length);
    const sight = sightOf(stock, { ends: scene.sight.ends, linePx: answer.recipe.line_px, lineMm: piece.line_mm, back: about.view.back, edge: scene.sight.edge });
    book.add(answer, textsOf(answer.recipe, sight, 0, picks + 1), sight);
    this.changed();
  }
}

/**
 * On what a strip's bands depend: as the bakes say, else as reckoned here.
 * @param {StripScene} scene
 * @param {BakeBook} book
 */
function aboutOf({ sight }, { recipe }) {
  const around = sight.shed.length ? reach(sight) : 10;
  return { around, phase: recipe?.phase ?? variation(sight) };
}

/**
 * The signatures of some bands, with the edges or without.
 * @param {{ around: number, phase: number }} about
 * @param {import("../../model/types.d.ts").Sight} sight
 * @param {number} first
 * @param {number} last
 * @returns {(band: number, edges: boolean) => string}
 */
function textsOf(about, sight, first, last) {
  const [within, whole] = [false, true].map((edges) => signatures(about, sight, first, last, edges));
  return (band, edges) => (edges ? whole : within)?.[band - first] ?? "";
}

/**
 * @param {readonly number[]} sheds
 * @param {readonly number[]} lines
 * @param {number} step
 */
function stockPicks(sheds, lines, step) {
  const length = sheds.length;
  return {
    length,
    shed: Uint16Array.from(sheds),
    wound: new Int32Array(length),
    line: Int32Array.from(lines),
    slot: new Int16Array(length),
    band: new Int16Array(length),
    written: new Int32Array(length),
    step: new Float64Array(length).fill(step),
    lines: at(lines, length - 1) + 1,
  };
}

/** Whether a place on the stage is in the warp above the fell. @param {Placing} placing @param {number} up device px @param {number} dense */
export function isAbove({ clothHeight, footY }, up, dense) {
  return up > clothHeight * dense && up < footY * dense;
}
