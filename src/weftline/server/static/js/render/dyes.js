/** The colours of windings, each dyed once and kept in a place of its own, so that a new one leaves the others as they are. */
import { dye, grey, hexToLinear, windingLights } from "../model/light.js";
import { packed } from "./rows.js";
/** @import { Cloth } from "../model/types.d.ts" */

/** Windings that there is room for at first. */
const ROOM = 16;
/** Words of one winding: a colour for each of 256 shades. */
const WORDS = 256;

export class Dyes {
  /**
   * @param {ReadonlyMap<string, string>} colours `#rrggbb` of each yarn
   * @param {{ seen: ArrayLike<number>, values: boolean }} look how often each shade is seen; whether light and dark alone are shown
   */
  constructor(colours, { seen, values }) {
    this.colours = colours;
    this.seen = seen;
    this.values = values;
    /** All colours, 256 for each winding; another array only when there was no more room. */
    this.tables = new Uint32Array(ROOM * WORDS);
    /** @type {Map<string, number>} */
    this.places = new Map();
    /** @type {{ cloth: Cloth, wound: Int32Array } | null} */
    this.last = null;
  }

  /**
   * For each pick the place of its winding in the tables.
   * @param {Cloth} cloth
   * @returns {Int32Array}
   */
  wound(cloth) {
    if (this.last?.cloth === cloth) return this.last.wound;
    const places = cloth.windings.map((winding) => this.#place(winding));
    const wound = cloth.picks.wound.map((winding) => places[winding] ?? 0);
    this.last = { cloth, wound };
    return wound;
  }

  /** @param {Cloth["windings"][number]} winding */
  #place(winding) {
    const name = JSON.stringify(winding);
    const known = this.places.get(name);
    if (known !== undefined) return known;
    const place = this.places.size;
    this.places.set(name, place);
    if ((place + 1) * WORDS > this.tables.length) {
      const larger = new Uint32Array(2 * this.tables.length);
      larger.set(this.tables);
      this.tables = larger;
    }
    const lights = windingLights([winding], (yarn) => this.colours.get(yarn) ?? "#888888");
    const tables = lights.map((light) => dye(light, this.seen));
    this.tables.set(packed(this.values ? tables.map(grey) : tables), place * WORDS);
    return place;
  }
}
