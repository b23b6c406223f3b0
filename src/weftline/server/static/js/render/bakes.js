/** The book in which the bakes of a strip are kept. */
import { aroundOf, likeness, meantBy, typeOf } from "./standin.js";
/** @import { Answer, Around, Bake, BakeRecipe, Lie, Signatures, StandIn } from "./types.d.ts" */

/** Bytes of bakes that are kept, about. */
const MOST = 96_000_000;

/** @typedef {{ bake: Bake, around: Around, used: number }} Kept */

/** All bakes of one strip at one size, by panel and signature. */
export class BakeBook {
  /** @param {number} [most] bytes that are kept, about */
  constructor(most = MOST) {
    /** @type {BakeRecipe | null} */
    this.recipe = null;
    /** Grows whenever something is added. */
    this.version = 0;
    this.most = most;
    this.bytes = 0;
    /** @type {string} */
    this.plan = "";
    /** @type {Map<string, Kept>} */
    this.kept = new Map();
    /** @type {Map<string, Set<Kept>>} */
    this.byType = new Map();
  }

  /**
   * Keeps what the server sent.
   * @param {Answer} answer
   * @param {(band: number, edges: boolean) => string} signature of a band of the strip that was asked for
   * @param {Lie} lie of the same strip
   */
  add(answer, signature, lie) {
    const { recipe } = answer;
    const plan = JSON.stringify([recipe.width, recipe.column_px, recipe.line_px, recipe.margins, recipe.overhang, recipe.panels]);
    if (plan !== this.plan) {
      this.kept.clear();
      this.byType.clear();
      this.bytes = 0;
    }
    this.plan = plan;
    this.recipe = recipe;
    this.version += 1;
    for (const { band, bakes } of answer.bands) {
      const around = aroundOf(lie, band);
      bakes.forEach((own, panel) => {
        this.#keep(panel, signature(band, recipe.panels[panel]?.edges ?? true), own, around);
      });
    }
    this.#forget();
  }

  /**
   * @param {number} panel
   * @param {string} signature
   * @param {Bake} own
   * @param {Around} around
   */
  #keep(panel, signature, own, around) {
    const key = `${panel}|${signature}`;
    if (this.kept.has(key)) return;
    const kept = { bake: own, around, used: this.version };
    this.kept.set(key, kept);
    this.bytes += 4 * own.which.length;
    const type = typeOf(panel, around);
    const alike = this.byType.get(type);
    if (alike) alike.add(kept);
    else this.byType.set(type, new Set([kept]));
  }

  /** Lets go what was not looked at for the longest time, a quarter at once. */
  #forget() {
    if (this.bytes <= this.most) return;
    const oldest = [...this.kept].sort((one, other) => one[1].used - other[1].used);
    for (const [key, kept] of oldest) {
      if (this.bytes <= 0.75 * this.most || kept.used === this.version) break;
      this.kept.delete(key);
      this.byType.forEach((alike) => alike.delete(kept));
      this.bytes -= 4 * kept.bake.which.length;
    }
  }

  /**
   * @param {number} panel
   * @param {string} signature
   * @returns {Bake | null}
   */
  get(panel, signature) {
    const kept = this.kept.get(`${panel}|${signature}`);
    if (!kept) return null;
    kept.used = this.version;
    return kept.bake;
  }

  /**
   * What may stand in until the right bake comes: the same type of pick, as many rows if there is one,
   * and picks around it that are alike as far out as can be found.
   * @param {number} panel
   * @param {Around} around
   * @returns {StandIn | null}
   */
  nearest(panel, around) {
    /** @type {Kept | null} */
    let best = null;
    let most = -1;
    for (const kept of this.byType.get(typeOf(panel, around)) ?? []) {
      const worth = likeness(kept.around, around);
      if (worth > most) [best, most] = [kept, worth];
    }
    if (!best) return null;
    best.used = this.version;
    return { bake: best.bake, meant: meantBy(best, around) };
  }

  /**
   * Which bands, from..to, have no bake of their own.
   * @param {number} from
   * @param {number} to
   * @param {Signatures} signatures
   * @returns {number[]}
   */
  missing(from, to, signatures) {
    const found = new Set();
    (this.recipe?.panels ?? [{ edges: true }]).forEach(({ edges }, panel) => {
      signatures(from, to, edges).forEach((signature, place) => {
        if (!this.get(panel, signature)) found.add(from + place);
      });
    });
    return [...found].sort((one, other) => one - other);
  }
}

/**
 * Bands as the server is asked for them: "0-4,7".
 * @param {readonly number[]} bands rising
 * @returns {string}
 */
export function asked(bands) {
  /** @type {[number, number][]} */
  const runs = [];
  for (const band of bands) {
    const last = runs.at(-1);
    if (last && last[1] === band - 1) last[1] = band;
    else runs.push([band, band]);
  }
  return runs.map(([from, to]) => (from === to ? `${from}` : `${from}-${to}`)).join(",");
}
