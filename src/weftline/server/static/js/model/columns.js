/** The kinds of columns of a strip as seen: columns of one kind show the same picks. */
/** @import { Sight } from "./types.d.ts" */

/**
 * @typedef {object} Kinds
 * @property {string} name equal for kinds that are made up of the same columns
 * @property {readonly number[]} at an end of each kind
 * @property {Int32Array} of kind of each end
 */

/**
 * @typedef {object} Shown
 * @property {Int32Array} of type of each pick; picks of one type show at the same ends
 * @property {readonly Uint8Array[]} at for each type 1 at the ends where it shows
 * @property {readonly string[]} lines for each line, as letters, how many different sheds it has and which
 */

/** @type {WeakMap<Sight, Shown>} */
const known = new WeakMap();

/**
 * The kinds of columns, threaded ends alone.
 * @param {Sight} sight
 * @returns {Kinds}
 */
export function columnKinds(sight) {
  const types = sight.back ? shownOnBack(sight).at : null;
  /** @type {Map<string, number>} */
  const number = new Map();
  /** @type {number[]} */
  const at = [];
  const of = Int32Array.from(sight.ends, (shaft, end) => {
    const name = types ? String.fromCharCode(...types.map((shows) => shows[end] ?? 0)) : String.fromCharCode(shaft);
    const kind = number.get(name) ?? number.size;
    if (kind === number.size) at.push(end);
    number.set(name, kind);
    return kind;
  });
  return { name: String.fromCharCode(...of), at, of };
}

/**
 * For each kind of column the picks that show in it.
 * @param {Sight} sight
 * @param {Kinds} kinds
 * @returns {number[][]}
 */
export function shownInColumns(sight, kinds) {
  return stacksNear(sight, kinds, 0, sight.shed.length - 1).map((stack) => stack.slice(1, -1));
}

/**
 * For each kind of column the picks that show in it from `low` to `high` and two beyond each; -1 stands for the foot and
 * the number of picks for the fell.
 * @param {Sight} sight
 * @param {Kinds} kinds
 * @param {number} low
 * @param {number} high
 * @returns {number[][]}
 */
export function stacksNear(sight, kinds, low, high) {
  const back = sight.back ? shownOnBack(sight) : null;
  const count = sight.shed.length;
  return kinds.at.map((end) => {
    const bit = (sight.ends[end] ?? 1) - 1;
    const shows = (/** @type {number} */ pick) => (back ? back.at[back.of[pick] ?? 0]?.[end] : ((sight.shed[pick] ?? 0) >> bit) & 1);
    /** @type {number[]} */
    const below = [];
    for (let pick = Math.min(low, count) - 1; pick >= 0 && below.length < 2; pick -= 1) if (shows(pick)) below.push(pick);
    if (below.length < 2) below.push(-1);
    const stack = below.reverse();
    for (let pick = Math.max(0, low), above = 0; above < 2; pick += 1) {
      if (pick < count && !shows(pick)) continue;
      stack.push(Math.min(pick, count));
      if (pick >= count) break;
      if (pick > high) above += 1;
    }
    return stack;
  });
}

/**
 * Which picks lie uppermost behind each end: in every line the longest float.
 * @param {Sight} sight
 * @returns {Shown}
 */
export function shownOnBack(sight) {
  const found = known.get(sight);
  if (found) return found;
  const { shed, line, ends } = sight;
  const types = new Types(ends);
  const of = new Int32Array(shed.length);
  /** @type {string[]} */
  const lines = [];
  for (let start = 0, stop = 0; start < shed.length; start = stop) {
    let name = "";
    for (; stop < shed.length && line[stop] === line[start]; stop += 1) name += String.fromCharCode(shed[stop] ?? 0);
    const own = types.ofLine(name);
    for (let pick = start; pick < stop; pick += 1) of[pick] = own.types[pick - start] ?? 0;
    lines[line[start] ?? 0] = own.letters;
  }
  const shown = { of, at: types.at, lines };
  known.set(sight, shown);
  return shown;
}

/** The types of picks that lines of these ends have, numbered as they come. */
class Types {
  /** @type {Uint8Array[]} */
  at = [];
  /** @type {Map<string, { types: number[], letters: string }>} */
  #lines = new Map();
  /** @type {Map<string, number>} */
  #number = new Map();
  /** @type {Map<number, Int32Array>} */
  #lengths = new Map();
  #ends;

  /** @param {Sight["ends"]} ends */
  constructor(ends) {
    this.#ends = ends;
  }

  /** The type of each pick of a line, and its different sheds as letters. @param {string} name the sheds of its picks as letters */
  ofLine(name) {
    const found = this.#lines.get(name);
    if (found) return found;
    const picks = Array.from({ length: name.length }, (_, pick) => name.charCodeAt(pick));
    const sheds = [...new Set(picks)].sort((one, other) => one - other);
    const letters = String.fromCharCode(sheds.length, ...sheds);
    const own = { types: picks.map((shed) => this.#type(shed, sheds, letters)), letters };
    this.#lines.set(name, own);
    return own;
  }

  /** @param {number} shed @param {readonly number[]} sheds @param {string} letters */
  #type(shed, sheds, letters) {
    const name = String.fromCharCode(shed) + letters;
    const found = this.#number.get(name);
    if (found !== undefined) return found;
    const others = sheds.map((one) => this.#floats(one));
    const longest = (/** @type {number} */ length, /** @type {number} */ end) => others.every((floats) => (floats[end] ?? 0) <= length);
    this.at.push(Uint8Array.from(this.#floats(shed), (length, end) => Number(length > 0 && longest(length, end))));
    this.#number.set(name, this.at.length - 1);
    return this.at.length - 1;
  }

  /** @param {number} shed */
  #floats(shed) {
    const found = this.#lengths.get(shed) ?? floatLengths(shed, this.#ends);
    this.#lengths.set(shed, found);
    return found;
  }
}

/**
 * For each end the length of a shed's float behind it, counted in ends; 0 where the shed covers it.
 * @param {number} shed
 * @param {Sight["ends"]} ends
 * @returns {Int32Array}
 */
export function floatLengths(shed, ends) {
  const lengths = new Int32Array(ends.length);
  for (let start = 0, stop = 0; start < ends.length; start = stop) {
    const over = covers(shed, ends[start]);
    while (stop < ends.length && covers(shed, ends[stop]) === over) stop += 1;
    if (!over) lengths.fill(stop - start, start, stop);
  }
  return lengths;
}

/** @param {number} shed @param {number | undefined} shaft */
function covers(shed, shaft) {
  return (shed >> ((shaft ?? 1) - 1)) & 1;
}
