/** Reads the lines of a strip against its piece, and numbers the windings that they use. */
import { LineTextError, NOT_THROWN, readLine, strandsOf } from "./line.js";
import { listed, quoted, thousands } from "./quoting.js";
/** @import { PieceFacts, Tree, Winding, WrittenLine } from "./types.d.ts" */

const MAX_WINDINGS = 4000;
const MAX_SHAFTS = 16;

/**
 * @typedef {object} ReadBand
 * @property {readonly number[]} sheds bit masks, in the order of the line
 * @property {readonly WrittenLine[]} lines as written, `*n` not yet multiplied out
 * @property {readonly (readonly number[])[]} windings for each line and shed the index of the winding, -1 where nothing is thrown
 */

/** Something in a band that cannot be followed, with the node where it stands if that is not the band itself. */
export class BandError extends Error {
  /**
   * @param {string} message
   * @param {string | null} [node]
   */
  constructor(message, node = null) {
    super(message);
    this.name = "BandError";
    this.node = node;
  }
}

export class LineReader {
  /** @type {Winding[]} */
  windings = [];
  /** @type {Map<string, number>} */
  #number = new Map();
  /** @type {Map<string, number>} */
  #strands;
  /** @type {Map<number, Map<string, [WrittenLine, readonly number[]]>>} */
  #known = new Map();
  #piece;

  /** @param {PieceFacts} piece */
  constructor(piece) {
    this.#piece = piece;
    this.#strands = new Map(Object.entries(piece.strands));
  }

  /**
   * @param {Tree} band
   * @returns {ReadBand}
   * @throws {BandError}
   */
  read(band) {
    const sheds = this.#sheds(band.fields["sheds"] ?? null);
    if (!band.children.length) throw new BandError("a band has at least one line; write one, or take the band away");
    /** @type {WrittenLine[]} */
    const lines = [];
    /** @type {(readonly number[])[]} */
    const windings = [];
    const known = this.#known.get(sheds.length) ?? new Map();
    this.#known.set(sheds.length, known);
    for (const node of band.children) {
      const text = node.fields["text"];
      let found = known.get(text);
      if (!found) {
        found = this.#line(text, sheds.length, node.id);
        known.set(text, found);
      }
      lines.push(found[0]);
      windings.push(found[1]);
    }
    return { sheds, lines, windings };
  }

  /** @param {readonly (readonly number[])[] | null} own @returns {readonly number[]} */
  #sheds(own) {
    if (own === null) return this.#piece.sheds;
    const shafts = this.#piece.shafts ?? MAX_SHAFTS;
    for (const shed of own) {
      if (new Set(shed).size !== shed.length) throw new BandError(`a shed names each shaft once, this one is [${shed.join(", ")}]`);
      const most = Math.max(...shed);
      if (most > shafts) throw new BandError(`shaft ${most} is not there; the technique has ${shafts}`);
    }
    return own.map((shed) => shed.reduce((mask, shaft) => mask | (1 << (shaft - 1)), 0));
  }

  /** @param {string} text @param {number} sheds @param {string} node @returns {[WrittenLine, readonly number[]]} */
  #line(text, sheds, node) {
    try {
      const line = readLine(text);
      const count = line.tokens.length;
      if (count !== sheds) {
        const said = `${count} ${count === 1 ? "yarn" : "yarns"}`;
        const needed = sheds === 1 ? "1 shed" : `${sheds} sheds`;
        throw new LineTextError(`${quoted(text, 60)} gives ${said} for ${needed}; give each shed a yarn or '-'`);
      }
      return [line, line.tokens.map((token) => (token === NOT_THROWN ? -1 : this.#winding(token)))];
    } catch (error) {
      throw error instanceof LineTextError ? new BandError(error.message, node) : error;
    }
  }

  /** @param {string} token @returns {number} */
  #winding(token) {
    const known = this.#number.get(token);
    if (known !== undefined) return known;
    for (const key of token.split("+")) {
      if (!this.#strands.has(key)) throw new LineTextError(`no yarn is called ${key}; use ${listed([...this.#strands.keys()])}`);
    }
    const winding = strandsOf(token, (key) => this.#strands.get(key) ?? 1);
    const name = winding.map(([key, strands]) => `${key} ${strands}`).join("+");
    const found = this.#number.get(name) ?? this.windings.length;
    if (found >= MAX_WINDINGS) {
      throw new LineTextError(`a piece winds at most ${thousands(MAX_WINDINGS)} different strands together, this makes more`);
    }
    if (found === this.windings.length) this.windings.push(winding);
    this.#number.set(name, found).set(token, found);
    return found;
  }
}
