/** The picks at the fell of one strip: whole lines, the lowest first, and the one that is being woven. */
/** @import { Winding } from "./types.d.ts" */
/** @import { PlannedThrows } from "./throwing.js" */
/** @import { Woven } from "../state/weaving.js" */

/** @typedef {{ shed: number, strands: Winding, line: number }} FellPick `line` is the running line, rising */
/** @typedef {{ sheds: number[], lines: number[], strands: Winding[], numbers: number[] }} FellWindow `lines`: picks of each line; `numbers`: what it is called */

/**
 * The last lines of a strip as they were thrown; below what this page knows of, as planned.
 * @param {Woven} woven
 * @param {PlannedThrows} plan
 * @param {string} strip id
 * @param {number} lines
 * @returns {FellWindow}
 */
export function fellOf(woven, plan, strip, lines) {
  /** @type {FellPick[]} */
  const found = [];
  let place = woven.laid.length - 1;
  let first = woven.ordinal;
  const isFull = () => new Set(found.map((one) => one.line)).size > lines;
  for (; place >= 0 && !isFull(); place -= 1) {
    const laid = woven.laid[place];
    if (!laid) break;
    first = laid.before;
    if (laid.strip !== strip) continue;
    const own = laid.plan === null ? null : plan.at(laid.plan);
    const above = found[0];
    const line = own ? own.line : lineOfExtra(laid.shed, found, plan.at(laid.before)?.line ?? 1);
    if (above && line > above.line) return windowOf(found, lines); // another piece lies below
    found.unshift({ shed: laid.shed, strands: laid.strands, line });
  }
  for (let ordinal = first - 1; place < 0 && ordinal >= 1 && !isFull(); ordinal -= 1) {
    const own = plan.at(ordinal);
    if (!own || own.stripId !== strip) {
      if (own && found[0] && own.line > found[0].line) break;
      continue;
    }
    if (found[0] && own.line > found[0].line) break;
    found.unshift({ shed: own.shed, strands: own.strands, line: own.line });
  }
  return windowOf(found, lines);
}

/** A pick that nobody planned lies in the line above it, unless its shed is in that already. @param {number} shed @param {readonly FellPick[]} above @param {number} next */
function lineOfExtra(shed, above, next) {
  const top = above[0];
  if (!top) return next;
  return above.some((one) => one.line === top.line && one.shed === shed) ? top.line - 1 : top.line;
}

/** @param {readonly FellPick[]} picks @param {number} most @returns {FellWindow} */
function windowOf(picks, most) {
  const numbers = [...new Set(picks.map((one) => one.line))].slice(-most);
  const shown = picks.filter((one) => numbers.includes(one.line));
  return {
    sheds: shown.map((one) => one.shed),
    lines: numbers.map((line) => shown.filter((one) => one.line === line).length),
    strands: shown.map((one) => one.strands),
    numbers,
  };
}

/** Equal for windows that are built alike; shuttles count where they show on floating ends. @param {FellWindow} window @param {boolean} floats */
export function structureOf({ sheds, lines, strands }, floats) {
  return [sheds.join("."), lines.join("."), floats ? woundOf(strands).join(".") : ""].join(" ");
}

/** For each pick the number of its shuttle, in the order in which they come. @param {readonly Winding[]} strands */
export function woundOf(strands) {
  /** @type {Map<string, number>} */
  const known = new Map();
  return strands.map((one) => {
    const key = JSON.stringify(one);
    const number = known.get(key) ?? known.size;
    known.set(key, number);
    return number;
  });
}
