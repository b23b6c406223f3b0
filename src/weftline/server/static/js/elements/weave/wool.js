/** The cloth at a fell as wool: its bakes are fetched once for each way of being built, then painted with nobody to ask. */
import { fetchFell } from "../../api/weaving.js";
import { structureOf, woundOf } from "../../model/fell.js";
import { reach, signatures, sightOf, variation } from "../../model/sight.js";
import { BakeBook } from "../../render/bakes.js";
import { decode } from "../../render/decode.js";
import { Dyes } from "../../render/dyes.js";
import { WoolPainter } from "../../render/wool.js";
/** @import { FellWindow } from "../../model/fell.js" */
/** @import { Cloth, EdgeWarp, Picks, Sight } from "../../model/types.d.ts" */
/** @import { Piece } from "../../state/design.js" */

/** @typedef {{ id: string, planSeq: number, section: number, strip: number, linePx: number, back: boolean }} FellPlace which strip, and how large */
/** @typedef {{ window: FellWindow, cloth: Cloth, sight: Sight, key: string }} Fell */

export class FellWool {
  /**
   * @param {Piece} piece
   * @param {FellPlace} place
   * @param {() => void} changed told when bakes have come
   */
  constructor(piece, place, changed) {
    this.piece = piece;
    this.place = place;
    this.changed = changed;
    this.book = new BakeBook();
    const seen = Array.from({ length: 256 }, (_, shade) => Number(shade > 60 && shade < 190));
    this.dyes = new Dyes(this.#colours(), { seen, values: false });
    this.isDyed = false;
    this.floats = piece.edge.kind === "floating";
    const own = piece.sections[place.section]?.strips[place.strip]?.ends ?? [1];
    this.ends = place.back === (piece.face === "up") ? [...own].reverse() : own;
    /** @type {Map<string, number>} */
    this.phases = new Map();
    /** @type {Map<string, Promise<boolean>>} */
    this.asked = new Map();
  }

  #colours() {
    return new Map(this.piece.yarns.map((yarn) => [yarn.key, yarn.colour]));
  }

  /** Width of a column, px. */
  get column() {
    const { piece, place } = this;
    const repeat = Math.min(piece.technique.threading.length, this.ends.length);
    return this.book.recipe?.column_px ?? Math.max(1, Math.round((repeat * place.linePx * piece.pitch_mm) / piece.line_mm)) / repeat;
  }

  /** @param {FellWindow} window @returns {Fell | null} null for a bare warp */
  fell(window) {
    if (!window.sheds.length) return null;
    const { piece, place, ends } = this;
    const picks = picksOf(window, piece.line_mm / piece.technique.sheds.length);
    const edge = /** @type {EdgeWarp} */ (piece.edge);
    const sight = sightOf(picks, { ends, linePx: place.linePx, lineMm: piece.line_mm, back: place.back, edge });
    /** @type {string[]} */
    const names = [];
    for (const one of window.strands) if (!names.includes(JSON.stringify(one))) names.push(JSON.stringify(one));
    const windings = names.map((one) => JSON.parse(one));
    return { window, cloth: { picks, windings, troubles: [] }, sight, key: structureOf(window, this.floats) };
  }

  /**
   * Paints a fell into a raster; asks for what is missing.
   * @param {Fell} fell
   * @param {ImageData} image
   * @param {{ up: number, left: number }} at how high above the fell the raster's first row lies; the strip's x at its left side
   */
  paint(fell, image, { up, left }) {
    const { book, dyes } = this;
    const wound = dyes.wound(fell.cloth);
    const about = this.#about(fell);
    const painter = new WoolPainter(book, image);
    painter.show({
      shed: fell.sight.shed,
      feet: fell.sight.feet,
      wound,
      tables: dyes.tables,
      signatures: (from, to, edges) => signatures(about, fell.sight, from, to, edges),
    });
    painter.look((fell.sight.feet.at(-1) ?? 0) + up, left);
    if (book.recipe) painter.paint();
    if (!this.phases.has(fell.key)) void this.ask(fell);
  }

  /** @param {Fell} fell */
  #about({ sight, key }) {
    return { around: reach(sight), phase: this.phases.get(key) ?? variation(sight) };
  }

  /** Fetches the bakes of a fell, once. @param {Fell} fell @returns {Promise<boolean>} whether they are here */
  ask(fell) {
    if (this.phases.has(fell.key)) return Promise.resolve(true);
    const asked = this.asked.get(fell.key) ?? this.#fetch(fell);
    this.asked.set(fell.key, asked);
    return asked;
  }

  /** @param {Fell} fell */
  async #fetch(fell) {
    const { id, planSeq, section, strip, linePx, back } = this.place;
    const { window, sight } = fell;
    const buffer = await fetchFell(id, {
      plan: planSeq,
      section,
      strip,
      line_px: linePx,
      back: Number(back),
      sheds: window.sheds.join("."),
      lines: window.lines.join("."),
      wound: woundOf(window.strands).join("."),
    });
    this.asked.delete(fell.key);
    if (!buffer) return false;
    const answer = decode(buffer);
    this.phases.set(fell.key, answer.recipe.phase);
    const about = this.#about(fell);
    const last = sight.shed.length + 1;
    const texts = [false, true].map((edges) => signatures(about, sight, 0, last, edges));
    this.book.add(answer, (band, edges) => (edges ? texts[1] : texts[0])?.[band] ?? "", sight);
    if (!this.isDyed && answer.recipe.colour) this.dyes = new Dyes(this.#colours(), { seen: answer.recipe.colour.seen, values: false });
    this.isDyed = true;
    this.changed();
    return true;
  }
}

/** @param {FellWindow} window @param {number} step height of a pick, mm @returns {Picks} */
function picksOf({ sheds, lines, strands }, step) {
  const length = sheds.length;
  const line = lines.flatMap((count, place) => Array.from({ length: count }, () => place));
  return {
    length,
    shed: Uint16Array.from(sheds),
    wound: Int32Array.from(woundOf(strands)),
    line: Int32Array.from(line),
    slot: Int16Array.from(lines.flatMap((count) => Array.from({ length: count }, (_, slot) => slot))),
    band: new Int16Array(length),
    written: new Int32Array(length),
    step: new Float64Array(length).fill(step),
    lines: lines.length,
  };
}
