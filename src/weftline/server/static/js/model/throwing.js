/** The throws of a plan in their order: each shed is used on every strip before it changes, piece after piece. */
/** @import { Cloth, Picks, Winding } from "./types.d.ts" */

/**
 * @typedef {object} Planned
 * @property {number} ordinal from 1 through the whole warp
 * @property {number} section from 0
 * @property {number} piece from 1
 * @property {number} strip from 0
 * @property {string} stripId
 * @property {number} index pick of the strip, from 0
 * @property {number} line running line, from 1
 * @property {number} pick place in its line, from 1
 * @property {number} of how many picks its line has
 * @property {number} shed bit mask
 * @property {Winding} strands
 * @property {number} band index of its band
 */

/** @typedef {{ pieces: number, strips: readonly { id: string, cloth: Cloth }[] }} SectionPlan */
/** @typedef {{ plan: SectionPlan, feet: Int32Array, throws: number, longest: Picks, starts: Int32Array, heights: Float64Array, before: number }} Order */

export class PlannedThrows {
  /** @param {readonly SectionPlan[]} sections */
  constructor(sections) {
    let before = 0;
    /** @type {Order[]} */
    this.orders = sections.map((plan) => {
      const own = { ...orderOf(plan), before };
      before += own.throws * plan.pieces;
      return own;
    });
    this.total = before;
  }

  /** @param {number} ordinal @returns {Planned | null} null beyond the plan */
  at(ordinal) {
    const found = this.#place(ordinal);
    if (!found) return null;
    const { order, section, piece, index, strip } = found;
    const own = /** @type {{ id: string, cloth: Cloth }} */ (order.plan.strips[strip]);
    const line = order.longest.line[index] ?? 0;
    const [start, stop] = [order.starts[line] ?? 0, order.starts[line + 1] ?? 0];
    const { picks, windings } = own.cloth;
    return {
      ordinal,
      section,
      piece,
      strip,
      stripId: own.id,
      index,
      line: line + 1,
      pick: index - start + 1,
      of: stop - start,
      shed: picks.shed[index] ?? 0,
      strands: windings[picks.wound[index] ?? 0] ?? [],
      band: picks.band[index] ?? 0,
    };
  }

  /** @param {number} ordinal */
  #place(ordinal) {
    if (ordinal < 1 || ordinal > this.total) return null;
    const section = this.orders.findLastIndex((one) => one.before < ordinal && one.throws > 0);
    const order = this.orders[section];
    if (!order) return null;
    const rest = ordinal - 1 - order.before;
    const piece = Math.floor(rest / order.throws) + 1;
    const place = rest % order.throws;
    let [low, high] = [0, order.feet.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((order.feet[middle] ?? 0) <= place) low = middle;
      else high = middle - 1;
    }
    const across = order.plan.strips.flatMap(({ cloth }, strip) => (cloth.picks.length > low ? [strip] : []));
    return { order, section, piece, index: low, strip: across[place - (order.feet[low] ?? 0)] ?? 0 };
  }

  /**
   * The first throw of the line that a throw is in, over all strips.
   * @param {number} ordinal
   */
  lineStart(ordinal) {
    const found = this.#place(ordinal);
    if (!found) return Math.min(Math.max(ordinal, 1), this.total + 1);
    const { order, piece, index } = found;
    const line = order.longest.line[index] ?? 0;
    return order.before + (piece - 1) * order.throws + (order.feet[order.starts[line] ?? 0] ?? 0) + 1;
  }

  /**
   * Lines still to be begun after the one that a throw is in, and the height still to be woven, mm; all pieces together.
   * @param {number} ordinal
   */
  toGo(ordinal) {
    let [lines, mm] = [0, 0];
    const found = this.#place(ordinal);
    if (!found) return { lines, mm };
    this.orders.forEach((order, section) => {
      if (section < found.section) return;
      const { lines: own } = order.longest;
      const whole = order.heights[order.longest.length] ?? 0;
      const isHere = section === found.section;
      const after = order.plan.pieces - (isHere ? found.piece : 0);
      lines += own * after + (isHere ? own - (order.longest.line[found.index] ?? 0) - 1 : 0);
      mm += whole * after + (isHere ? whole - (order.heights[found.index] ?? 0) : 0);
    });
    return { lines, mm };
  }
}

/** @param {SectionPlan} plan @returns {Omit<Order, "before">} */
function orderOf(plan) {
  const lengths = plan.strips.map(({ cloth }) => cloth.picks.length);
  const most = Math.max(0, ...lengths);
  const longest = /** @type {{ cloth: Cloth }} */ (plan.strips[lengths.indexOf(most)]).cloth.picks;
  const feet = new Int32Array(most);
  let throws = 0;
  for (let index = 0; index < most; index += 1) {
    feet[index] = throws;
    for (const length of lengths) if (length > index) throws += 1;
  }
  const starts = new Int32Array(longest.lines + 1).fill(most);
  for (let index = most - 1; index >= 0; index -= 1) starts[longest.line[index] ?? 0] = index;
  const heights = new Float64Array(most + 1);
  for (let index = 0; index < most; index += 1) heights[index + 1] = (heights[index] ?? 0) + (longest.step[index] ?? 0);
  return { plan, feet, throws, longest, starts, heights };
}
