/** What is woven as one page knows it: the throws on top, which planned throw is next, and where each shuttle lies. Pure. */
/** @import { Winding } from "../model/types.d.ts" */

/**
 * @typedef {object} Laid a throw in the cloth
 * @property {string} strip id
 * @property {number} shed bit mask
 * @property {Winding} strands
 * @property {number} before which planned throw was next before it
 * @property {number | null} plan the planned throw that it stands for
 */

/**
 * @typedef {object} Woven
 * @property {number} ordinal the planned throw that is next
 * @property {readonly Laid[]} laid the last throws, the lowest first
 * @property {number} below how many throws lie below these
 * @property {Readonly<Record<string, number>>} passes how often each shuttle was thrown, by `shuttleKey`
 */

/**
 * @typedef {{ type: "thrown", throw: Omit<Laid, "before"> }
 *   | { type: "unwoven", throws: number }
 *   | { type: "skipped", throws: number }} WeavingAction
 */

/** Throws that are kept on a page, so that they can be taken back. */
const MOST_LAID = 1200;

/** @param {string} strip @param {Winding} strands */
export function shuttleKey(strip, strands) {
  return `${strip} ${JSON.stringify(strands)}`;
}

/**
 * Whether a shuttle comes from the weaver's left: its first pass does, and it comes back from the side where it left.
 * @param {Woven} woven
 * @param {string} strip
 * @param {Winding} strands
 */
export function isFromLeft(woven, strip, strands) {
  return (woven.passes[shuttleKey(strip, strands)] ?? 0) % 2 === 0;
}

/**
 * @param {Woven} woven
 * @param {WeavingAction} action
 * @returns {Woven}
 */
export function weave(woven, action) {
  switch (action.type) {
    case "thrown": {
      const laid = [...woven.laid, { ...action.throw, before: woven.ordinal }];
      const drop = laid.length > MOST_LAID ? laid.length - MOST_LAID / 2 : 0;
      const next = action.throw.plan === null ? woven.ordinal : action.throw.plan + 1;
      return { ordinal: next, laid: laid.slice(drop), below: woven.below + drop, passes: counted(woven.passes, action.throw, 1) };
    }
    case "unwoven": {
      let { ordinal, passes } = woven;
      const laid = [...woven.laid];
      for (let times = 0; times < action.throws; times += 1) {
        const last = laid.pop();
        if (!last) break;
        ordinal = last.before;
        passes = counted(passes, last, -1);
      }
      return { ...woven, ordinal, laid, passes };
    }
    case "skipped":
      return { ...woven, ordinal: woven.ordinal + action.throws };
    default: {
      /** @type {never} */
      const never = action;
      return never;
    }
  }
}

/** @param {Woven["passes"]} passes @param {{ strip: string, strands: Winding }} one @param {number} step @returns {Woven["passes"]} */
function counted(passes, { strip, strands }, step) {
  const key = shuttleKey(strip, strands);
  return { ...passes, [key]: (passes[key] ?? 0) + step };
}

/** A press counts when no other counted less than so many milliseconds before. */
export const REBOUND_MS = 250;

/**
 * Hears presses of a pedal, a key or a finger; what rebounds or is held down does not count.
 * @param {number} [rebound]
 * @returns {(at: number, isRepeat: boolean) => boolean} whether a press at a time counts, ms
 */
export function pedal(rebound = REBOUND_MS) {
  let last = -Infinity;
  return (at, isRepeat) => {
    if (isRepeat || at - last < rebound) return false;
    last = at;
    return true;
  };
}
