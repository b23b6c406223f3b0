/** The painter of one strip: coloured rows are made once and copied across; only what changed is painted again. */
import { ColouredRows, keyOf } from "./rows.js";
import { bandAt, codeAt, piecesOf, tellRuns } from "./spread.js";
import { aroundOf } from "./standin.js";
/** @import { Laid, Painted, Piece, Raster, Scene, Span } from "./types.d.ts" */
/** @import { BakeBook } from "./bakes.js" */

/** Bands whose bakes are remembered. */
const MOST_LAID = 8192;

/** @typedef {{ stamp: string, y: number, from: number, to: number }} Record what a band looks like, where, and which rows of it */

export class WoolPainter {
  /**
   * @param {BakeBook} book
   * @param {Raster} image
   */
  constructor(book, image) {
    this.book = book;
    /** The strip's row above the raster's first one, and the strip's x at its left side. */
    this.top = 0;
    this.left = 0;
    /** Whether what was painted before stands elsewhere in the raster now. */
    this.moved = false;
    /** @type {Scene | null} */
    this.scene = null;
    /** @type {Map<number, Record>} */
    this.records = new Map();
    this.rows = new ColouredRows();
    /** @type {Map<string, string>} */
    this.signatures = new Map();
    /** @type {Map<number, (Laid | null)[]>} */
    this.laid = new Map();
    this.version = -1;
    this.image = image;
    this.pixels = wordsOf(image);
  }

  /**
   * Paints into another raster from now on.
   * @param {Raster} image
   */
  into(image) {
    this.image = image;
    this.pixels = wordsOf(image);
    this.records.clear();
  }

  /**
   * Takes a strip, or the same one changed.
   * @param {Scene} scene
   */
  show(scene) {
    const before = this.scene;
    this.scene = scene;
    if (before?.signatures !== scene.signatures || before.feet !== scene.feet || before.shed !== scene.shed) {
      this.signatures.clear();
      this.laid.clear();
    }
    if (before?.tables === scene.tables) return;
    this.rows.clear();
    this.records.clear();
  }

  /**
   * Looks at another place: what stays in sight is moved, not painted.
   * @param {number} top the strip's row above the raster's first one
   * @param {number} [left] the strip's x at the raster's left side
   */
  look(top, left = this.left) {
    const { width, height } = this.image;
    const down = top - this.top;
    if (left !== this.left || Math.abs(down) >= height) {
      this.records.clear();
    } else if (down) {
      const from = Math.max(0, -down) * width;
      this.pixels.copyWithin(Math.max(0, down) * width, from, (height - Math.max(0, down)) * width);
      this.#move(down);
      this.moved = true;
    }
    this.top = top;
    this.left = left;
  }

  /**
   * What of the painted bands is still there when everything moves down.
   * @param {number} down
   */
  #move(down) {
    for (const [band, record] of this.records) {
      const y = record.y + down;
      const from = Math.max(record.from, -y);
      const to = Math.min(record.to, this.image.height - y);
      if (from < to) this.records.set(band, { stamp: record.stamp, y, from, to });
      else this.records.delete(band);
    }
  }

  /** The row where a band begins; one more than there are bands gives the top. @param {number} band */
  #foot(band) {
    const { feet } = /** @type {Scene} */ (this.scene);
    const overhang = this.book.recipe?.overhang ?? 0;
    if (band <= 0) return -overhang;
    const last = feet.length - 1;
    return band - 1 > last ? /** @type {number} */ (feet[last]) + overhang : /** @type {number} */ (feet[band - 1]);
  }

  /** The first and the last pick of the strip. @returns {[number, number]} */
  reach() {
    return [0, (this.scene?.shed.length ?? 0) - 1];
  }

  /** The first and the last band in sight. @returns {[number, number]} */
  bands() {
    const { feet } = /** @type {Scene} */ (this.scene);
    const [low, high] = [this.top - this.image.height, this.top - 1];
    return [bandAt(feet, low), bandAt(feet, high)];
  }

  /**
   * Paints what is in sight and not painted yet; all of the raster is told as changed when it was moved.
   * @returns {Painted}
   */
  paint() {
    const { scene, book, image } = this;
    if (!scene) return { spans: [], missing: [] };
    if (this.version !== book.version || this.laid.size > MOST_LAID) this.laid.clear();
    if (this.signatures.size > 2 * MOST_LAID) this.signatures.clear();
    this.version = book.version;
    const pieces = this.#pieces();
    const [first, last] = this.bands();
    /** @type {Span[]} */
    const spans = this.moved ? [[0, image.height]] : [];
    this.moved = false;
    const missing = [];
    for (const band of this.records.keys()) if (band < first || band > last) this.records.delete(band);
    for (let band = last; band >= first; band--) {
      const y = this.top - this.#foot(band + 1);
      const rows = this.#foot(band + 1) - this.#foot(band);
      const [from, to] = [Math.max(0, -y), Math.min(rows, image.height - y)];
      const record = this.records.get(band);
      if (from >= to) {
        this.records.delete(band);
        continue;
      }
      const laid = this.#laid(band);
      if (!laid.length || !laid.every((one) => one?.own)) missing.push(band);
      const stamp = this.#stamp(laid);
      if (record?.stamp === stamp && record.y === y && record.from <= from && record.to >= to) continue;
      const keys = stamp.split(" ");
      laid.forEach((one, panel) => {
        const tile = one && this.rows.of(/** @type {string} */ (keys[panel]), one, scene.wound, scene.tables);
        this.#copy(tile, one, pieces[panel] ?? [], { y, rows, from, to });
      });
      this.records.set(band, { stamp, y, from, to });
      spans.push([y + from, y + to]);
    }
    spans.push(...this.#clearBeyond());
    return { spans: joined(spans), missing: missing.reverse() };
  }

  /** Takes away what stands in the raster beyond the strip's ends. @returns {Span[]} */
  #clearBeyond() {
    const { width, height } = this.image;
    const bands = /** @type {Scene} */ (this.scene).feet.length;
    const above = Math.min(height, Math.max(0, this.top - this.#foot(bands + 1)));
    const below = Math.min(height, Math.max(0, this.top - this.#foot(0)));
    this.pixels.fill(0, 0, above * width);
    this.pixels.fill(0, below * width);
    /** @type {Span[]} */
    const spans = [[0, above], [below, height]];
    return spans.filter(([from, to]) => from < to);
  }

  /**
   * For each panel the bake that a band has, or what stands in for it.
   * @param {number} band
   * @returns {(Laid | null)[]}
   */
  #laid(band) {
    const known = this.laid.get(band);
    if (known) return known;
    const panels = this.book.recipe?.panels ?? [];
    const laid = panels.map((_, panel) => this.#find(band, panel));
    this.laid.set(band, laid);
    return laid;
  }

  /**
   * @param {number} band
   * @param {number} panel
   * @returns {Laid | null}
   */
  #find(band, panel) {
    const scene = /** @type {Scene} */ (this.scene);
    const last = scene.shed.length - 1;
    const within = (/** @type {number} */ other) => Math.min(last, Math.max(0, band - 1 + other));
    const bake = this.book.get(panel, this.#signature(band, this.book.recipe?.panels[panel]?.edges ?? true));
    if (bake) return { bake, picks: Int32Array.from(bake.depends, within), own: true };
    const instead = this.book.nearest(panel, aroundOf(scene, band));
    return instead && { bake: instead.bake, picks: instead.meant.map(within), own: false };
  }

  /**
   * @param {number} band
   * @param {boolean} edges
   */
  #signature(band, edges) {
    const known = this.signatures.get(`${band} ${edges}`);
    if (known !== undefined) return known;
    const [first, last] = this.bands();
    const [from, to] = [Math.min(first, band), Math.max(last, band)];
    const found = /** @type {Scene} */ (this.scene).signatures(from, to, edges);
    found.forEach((one, place) => this.signatures.set(`${from + place} ${edges}`, one));
    return found[band - from] ?? "";
  }

  /**
   * Equal for bands that look alike.
   * @param {readonly (Laid | null)[]} laid
   */
  #stamp(laid) {
    const { wound } = /** @type {Scene} */ (this.scene);
    return laid.map((one) => (one ? keyOf(one, wound) : "-")).join(" ");
  }

  /**
   * Copies coloured rows across; where there are none the raster is emptied.
   * @param {Uint32Array | null} tile
   * @param {Laid | null} laid
   * @param {readonly Piece[]} pieces
   * @param {{ y: number, rows: number, from: number, to: number }} band where its first row lies, its rows, those in sight
   */
  #copy(tile, laid, pieces, { y, rows, from, to }) {
    const { pixels } = this;
    const wide = this.image.width;
    for (let row = from; row < to; row++) {
      const line = (y + row) * wide;
      const source = laid ? Math.floor((row * laid.bake.rows) / rows) * laid.bake.width : 0;
      for (const piece of pieces) {
        const start = line + piece.x;
        if (tile) pixels.set(tile.subarray(source + piece.source, source + piece.source + piece.width), start);
        else pixels.fill(0, start, start + piece.width);
      }
    }
  }

  /** For each panel, what of it lies where in the raster. @returns {Piece[][]} */
  #pieces() {
    const { width } = this.image;
    return (this.book.recipe?.panels ?? []).map((panel) => piecesOf(panel, this.left, width));
  }

  /**
   * Which pick shows at a pixel of the raster; -1 where none does, or none is known.
   * @param {number} x
   * @param {number} y
   * @returns {number}
   */
  pickAt(x, y) {
    const column = Math.floor(x);
    if (column < 0 || column >= this.image.width || y < 0 || y >= this.image.height) return -1;
    const [pick] = this.#column(column, Math.floor(y), Math.floor(y) + 1);
    return pick ?? -1;
  }

  /**
   * The pick at each row of one column of the raster, -1 where there is none.
   * @param {number} x
   * @returns {Int32Array}
   */
  columnPicks(x) {
    return this.#column(x, 0, this.image.height);
  }

  /**
   * @param {number} x
   * @param {number} from
   * @param {number} to
   */
  #column(x, from, to) {
    const found = new Int32Array(to - from).fill(-1);
    if (!this.scene || !this.book.recipe) return found;
    const at = this.#pieces().flatMap((pieces, panel) => pieces.map((piece) => ({ panel, piece })));
    const place = at.find(({ piece }) => x >= piece.x && x < piece.x + piece.width);
    if (!place) return found;
    const column = place.piece.source + x - place.piece.x;
    const { feet } = this.scene;
    for (let band = bandAt(feet, this.top - 1 - from); band >= bandAt(feet, this.top - to); band--) {
      const laid = this.#laid(band)[place.panel];
      const y = this.top - this.#foot(band + 1);
      const rows = this.#foot(band + 1) - this.#foot(band);
      for (let row = Math.max(0, from - y); laid && row < Math.min(rows, to - y); row++) {
        const code = codeAt(laid.bake, Math.floor((row * laid.bake.rows) / rows), column);
        if (code >= 0) found[y + row - from] = /** @type {number} */ (laid.picks[code]);
      }
    }
    return found;
  }

  /**
   * Tells every run of pixels in sight that shows one of some picks.
   * @param {(pick: number) => boolean} wanted
   * @param {(y: number, from: number, to: number, pick: number) => void} tell
   */
  eachRun(wanted, tell) {
    if (!this.scene || !this.book.recipe) return;
    const pieces = this.#pieces();
    const [first, last] = this.bands();
    for (let band = first; band <= last; band++) {
      const y = this.top - this.#foot(band + 1);
      const rows = this.#foot(band + 1) - this.#foot(band);
      this.#laid(band).forEach((laid, panel) => {
        laid?.bake.others.forEach((_, code) => {
          const pick = /** @type {number} */ (laid.picks[code]);
          if (!wanted(pick)) return;
          const where = { y, rows, height: this.image.height, pieces: pieces[panel] ?? [] };
          tellRuns(laid.bake, code, where, (line, from, to) => tell(line, from, to, pick));
        });
      });
    }
  }
}

/**
 * @param {Raster} image
 * @returns {Uint32Array}
 */
export function wordsOf({ data, width, height }) {
  return new Uint32Array(data.buffer, data.byteOffset, width * height);
}

/**
 * Spans that touch are one; from the top.
 * @param {readonly Span[]} spans
 * @returns {Span[]}
 */
function joined(spans) {
  /** @type {[number, number][]} */
  const found = [];
  for (const [from, to] of [...spans].sort((one, other) => one[0] - other[0])) {
    const last = found.at(-1);
    if (last && last[1] >= from) last[1] = Math.max(last[1], to);
    else found.push([from, to]);
  }
  return found;
}

export { packed } from "./rows.js";
