/**
 * The written line: what a weaver types for one round of the sheds.
 *
 * One token a shed, in the order of the sheds, then `back` and `*n` if wanted. A token is `-` (no pick in this
 * shed), a yarn's letter (that yarn with its own strands) or `a+b` (each letter one strand, wound together).
 */
import { byLetters, firstLetters, letters, quoted, repr } from "./quoting.js";
/** @import { Winding, WrittenLine } from "./types.d.ts" */

export const NOT_THROWN = "-";
export const BACK = "back";
const MAX_LINE_TEXT = 400;
const MAX_YARN_KEY = 12;
const SPACES = "\\t-\\r\\x1c-\\x20\\x85\\xa0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000";
const WORD = new RegExp(`[^${SPACES}]+`, "gu");
const GAP = new RegExp(`[${SPACES}]+$`, "u");
const KEY = /^\p{L}[\p{L}\p{N}]*$/u;
const TIMES = /^[0-9]{1,9}$/;

/** A written line that cannot be read; the message is one clause without its place. */
export class LineTextError extends Error {
  name = "LineTextError";
}

/**
 * Reads one written line, such as `s o o *2`, `- o s` or `a+b o o back`.
 * @param {string} text
 * @returns {WrittenLine}
 * @throws {LineTextError} when a word is not understood or stands in the wrong place
 */
export function readLine(text) {
  const long = text.length > MAX_LINE_TEXT ? letters(text) : 0;
  if (long > MAX_LINE_TEXT) {
    throw new LineTextError(`a line has at most ${MAX_LINE_TEXT} characters, this one has ${long}`);
  }
  const words = wordsOf(text);
  let back = false;
  /** @type {number | null} */
  let times = null;
  for (let word = words.at(-1); word !== undefined; word = words.at(-1)) {
    if (word === BACK && !back) back = true;
    else if (times === null && (word.startsWith("*") || word.startsWith("×"))) times = timesOf(word);
    else break;
    words.pop();
  }
  for (const word of words) checkToken(word);
  if (words.every((token) => token === NOT_THROWN)) {
    throw new LineTextError("no pick is thrown; give at least one shed a yarn");
  }
  return { tokens: words, back, times: times ?? 1 };
}

/**
 * A line as a weaver would write it.
 * @param {WrittenLine} line
 * @returns {string}
 */
export function lineText({ tokens, back, times }) {
  return [...tokens, ...(back ? [BACK] : []), ...(times === 1 ? [] : [`*${times}`])].join(" ");
}

/**
 * The text with another token in one shed; everything else in it stays as its weaver wrote it.
 * @param {string} text
 * @param {number} pick place of the shed, from 1
 * @param {string} token
 * @returns {string}
 * @throws {LineTextError} for a line that cannot be read, a shed that it has not, a token that is none
 */
export function tokensWith(text, pick, token) {
  const { tokens } = readLine(text);
  if (pick > tokens.length) throw new LineTextError(`this line has ${tokens.length} sheds, so there is no pick ${pick}`);
  const word = [...text.matchAll(WORD)][pick - 1];
  if (!word) throw new LineTextError(`sheds are counted from 1, so there is no pick ${pick}`);
  const laid = text.slice(0, word.index) + token + text.slice(word.index + word[0].length);
  const read = readLine(laid).tokens;
  if (read.length !== tokens.length || !read.every((one, at) => one === (at === pick - 1 ? token : tokens[at]))) {
    throw new LineTextError(`${repr(firstLetters(token, 20))} cannot be laid in one shed; lay a yarn, 'a+b' or '-'`);
  }
  return laid;
}

/**
 * The text with other tokens; everything else in it stays as its weaver wrote it.
 * @param {string} text
 * @param {(token: string, slot: number) => string} change told each token with the place of its shed, from 0
 * @returns {string}
 * @throws {LineTextError} for a line that cannot be read, before or after
 */
export function retokened(text, change) {
  const count = readLine(text).tokens.length;
  let slot = 0;
  const changed = text.replace(WORD, (word) => {
    const kept = slot >= count ? word : change(word, slot);
    slot += 1;
    return kept;
  });
  if (readLine(changed).tokens.length !== count) throw new LineTextError("each shed takes one yarn, 'a+b' or '-'; lay nothing else");
  return changed;
}

/**
 * The same line so often in a row; everything else in it stays as its weaver wrote it.
 * @param {string} text
 * @param {number} times
 * @returns {string}
 * @throws {LineTextError} for a line that cannot be read
 */
export function timed(text, times) {
  const line = readLine(text);
  if (line.times === times) return text;
  const words = [...text.matchAll(WORD)];
  const word = words.slice(line.tokens.length).find(([word]) => word !== BACK);
  const last = words[words.length - 1];
  if (word) {
    const before = text.slice(0, word.index);
    const after = text.slice(word.index + word[0].length);
    return times === 1 ? before.replace(GAP, "") + after : `${before}*${times}${after}`;
  }
  const end = last ? last.index + last[0].length : 0;
  return `${text.slice(0, end)} *${times}${text.slice(end)}`;
}

/**
 * Whether a yarn may be called this in written lines: a letter, then letters or digits.
 * @param {string} key
 * @returns {boolean}
 */
export function isYarnKey(key) {
  return KEY.test(key) && key !== BACK && (key.length <= MAX_YARN_KEY || letters(key) <= MAX_YARN_KEY);
}

/**
 * What one token winds together.
 * @param {string} token
 * @param {(key: string) => number} ownStrands how many strands a yarn has when its letter stands alone
 * @returns {Winding}
 */
export function strandsOf(token, ownStrands) {
  if (!token.includes("+")) return [[token, ownStrands(token)]];
  const keys = token.split("+").sort(byLetters);
  /** @type {[string, number][]} */
  const found = [];
  for (const key of keys) {
    const last = found[found.length - 1];
    if (last && last[0] === key) last[1] += 1;
    else found.push([key, 1]);
  }
  return found;
}

/** @param {string} text @returns {string[]} */
function wordsOf(text) {
  return text.match(WORD) ?? [];
}

/** @param {string} word */
function timesOf(word) {
  const digits = word.slice(1);
  if (!TIMES.test(digits) || Number(digits) === 0) {
    throw new LineTextError(`${quoted(word)} does not say how often: write *2 for twice`);
  }
  return Number(digits);
}

/** @param {string} word */
function checkToken(word) {
  if (word === BACK) throw new LineTextError("'back' stands once, after the yarns");
  if (word === NOT_THROWN || word.split("+").every(isYarnKey)) return;
  if (isNearBack(word)) throw new LineTextError(`${quoted(word)} is not understood; did you mean 'back'?`);
  throw new LineTextError(`${quoted(word)} is neither a yarn nor '-' (not thrown)`);
}

/** Whether at least 70 % of both words are the same, in the measure of Ratcliff and Obershelp. @param {string} word */
function isNearBack(word) {
  if (word.length > 14) return false;
  const other = Array.from(word);
  const back = Array.from(BACK);
  return (2 * alike(back, other)) / (back.length + other.length) >= 0.7;
}

/**
 * How many letters agree: the longest stretch that both have, the first of equals, then left and right of it.
 * @param {readonly string[]} one
 * @param {readonly string[]} other
 * @returns {number}
 */
function alike(one, other) {
  let size = 0;
  let from = 0;
  let at = 0;
  for (let i = 0; i < one.length; i += 1) {
    for (let j = 0; j < other.length; j += 1) {
      let run = 0;
      while (i + run < one.length && j + run < other.length && one[i + run] === other[j + run]) run += 1;
      if (run > size) [size, from, at] = [run, i, j];
    }
  }
  if (!size) return 0;
  const left = alike(one.slice(0, from), other.slice(0, at));
  return left + size + alike(one.slice(from + size), other.slice(at + size));
}
