/** Texts as messages quote and list them, letter for letter like the server's. */

const UNPRINTABLE = /[\p{C}\p{Z}]/u;
/** @type {Readonly<Record<string, string>>} */
const SPELT = { "\n": "\\n", "\r": "\\r", "\t": "\\t", "\\": "\\\\" };

/**
 * How many letters a text has; a letter beyond the first 65,536 counts once.
 * @param {string} text
 * @returns {number}
 */
export function letters(text) {
  let count = 0;
  for (const _ of text) count += 1;
  return count;
}

/**
 * @param {string} text
 * @param {number} count
 * @returns {string} the first letters
 */
export function firstLetters(text, count) {
  return text.length <= count ? text : Array.from(text).slice(0, count).join("");
}

/**
 * The text in quotation marks, with control characters spelt out.
 * @param {string} text
 * @returns {string}
 */
export function repr(text) {
  const mark = text.includes("'") && !text.includes('"') ? '"' : "'";
  let spelt = "";
  for (const letter of text) spelt += letter === mark ? `\\${mark}` : spellOut(letter);
  return mark + spelt + mark;
}

/** @param {string} letter */
function spellOut(letter) {
  const short = SPELT[letter];
  if (short !== undefined) return short;
  if (letter === " " || !UNPRINTABLE.test(letter)) return letter;
  const code = letter.codePointAt(0) ?? 0;
  const hex = code.toString(16);
  if (code < 0x100) return `\\x${hex.padStart(2, "0")}`;
  return code < 0x10000 ? `\\u${hex.padStart(4, "0")}` : `\\U${hex.padStart(8, "0")}`;
}

/**
 * A text as messages quote it: short, on one line.
 * @param {string} text
 * @param {number} [limit]
 * @returns {string}
 */
export function quoted(text, limit = 40) {
  const spelt = repr(firstLetters(text, 2 * limit));
  return letters(spelt) <= limit + 2 ? spelt : `${firstLetters(spelt, limit + 1)}...${spelt.slice(0, 1)}`;
}

/**
 * Words as a sentence lists them: `o, r or s`; long lists are cut.
 * @param {readonly string[]} words
 * @returns {string}
 */
export function listed(words) {
  const shown = words.length > 12 ? [...words.slice(0, 11), "another"] : words;
  const last = shown[shown.length - 1] ?? "";
  return shown.length < 2 ? last : `${shown.slice(0, -1).join(", ")} or ${last}`;
}

/**
 * A whole number with commas: `200,000`.
 * @param {number} count
 * @returns {string}
 */
export function thousands(count) {
  return String(count).replace(/\B(?=(\d{3})+$)/g, ",");
}

/**
 * The order of two texts by the numbers of their letters.
 * @param {string} one
 * @param {string} other
 * @returns {number}
 */
export function byLetters(one, other) {
  const ones = Array.from(one);
  const others = Array.from(other);
  const shared = Math.min(ones.length, others.length);
  for (let at = 0; at < shared; at += 1) {
    const apart = (ones[at]?.codePointAt(0) ?? 0) - (others[at]?.codePointAt(0) ?? 0);
    if (apart) return apart;
  }
  return ones.length - others.length;
}
