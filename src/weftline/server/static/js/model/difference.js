/** What turns one draft into another, as a command: nodes keep their ids, and nothing is touched that is alike. */
import { PieceError, walk } from "./draft.js";
import { thousands } from "./quoting.js";
/** @import { Command, Single, Tree } from "./types.d.ts" */

/** A command does at most so many things. */
const MOST_OPS = 10_000;
/** A part that gets more new parts than this is put in anew, with its ids, since every single one costs the server a search. */
const MANY = 64;

/**
 * The command that makes `after` of `before`, or null where they are alike.
 * @param {Tree} before
 * @param {Tree} after
 * @returns {Command | null}
 * @throws {PieceError} for a change of more than 10,000 steps
 */
export function difference(before, after) {
  if (before === after) return null;
  const ops = new Steps(before, after).ops;
  if (ops.length > MOST_OPS) throw new PieceError(`one change has at most ${thousands(MOST_OPS)} steps, this takes ${thousands(ops.length)}; change less at once`);
  const [first] = ops;
  return first ? (ops.length === 1 ? first : { op: "together", ops }) : null;
}

class Steps {
  /** @type {Single[]} */
  ops = [];
  /** @type {Map<string, { node: Tree, parent: string | null }>} */
  #old = new Map();
  /** @type {Set<string>} */
  #stays = new Set();
  /** Parts that were put in whole. @type {Set<string>} */
  #whole = new Set();

  /** @param {Tree} before @param {Tree} after */
  constructor(before, after) {
    this.#remember(before, null);
    for (const node of walk(after)) this.#stays.add(node.id);
    this.#fields(before, after);
    this.#children(before, after);
    this.#removals(before);
  }

  /** @param {Tree} node @param {string | null} parent */
  #remember(node, parent) {
    this.#old.set(node.id, { node, parent });
    for (const child of node.children) this.#remember(child, node.id);
  }

  /** @param {Tree} before @param {Tree} after */
  #fields(before, after) {
    if (before.fields === after.fields) return;
    for (const field of new Set([...Object.keys(before.fields), ...Object.keys(after.fields)])) {
      const value = after.fields[field];
      const has = Object.hasOwn(after.fields, field);
      if (has === Object.hasOwn(before.fields, field) && JSON.stringify(before.fields[field]) === JSON.stringify(value)) continue;
      const what = !has ? {} : value === null ? { null: true } : { value };
      this.ops.push({ op: "set", node: after.id, field, ...what });
    }
  }

  /** @param {Tree | null} before @param {Tree} after */
  #children(before, after) {
    if (before?.children === after.children) return;
    const kept = before ? inPlace(before.children, after.children) : new Set();
    /** @type {string | null} */
    let above = null;
    for (const child of after.children) {
      const old = this.#old.get(child.id)?.node ?? null;
      if (!old) this.#insert(after.id, above, child);
      else if (this.#comesAnew(old, child)) this.#anew(after.id, above, child);
      else {
        if (!kept.has(child.id)) this.ops.push({ op: "move", node: child.id, parent: after.id, after: above });
        this.#fields(old, child);
        this.#children(old, child);
      }
      above = child.id;
    }
  }

  /** @param {string} parent @param {string | null} after @param {Tree} node */
  #insert(parent, after, node) {
    const isNew = [...walk(node)].every((one) => !this.#old.has(one.id));
    this.ops.push({ op: "insert", parent, after, node: isNew ? node : { ...node, children: [] } });
    if (!isNew) this.#children({ ...node, children: [] }, node);
  }

  /** Whether a part gets so many new parts, and no others from elsewhere, that it is put in anew. @param {Tree} before @param {Tree} after */
  #comesAnew(before, after) {
    const isNew = (/** @type {Tree} */ child) => !this.#old.has(child.id);
    if (after.children.filter(isNew).length <= MANY) return false;
    const isOwn = (/** @type {Tree} */ child) => isNew(child) || this.#old.get(child.id)?.parent === after.id;
    const stays = new Set(after.children.map((child) => child.id));
    const bare = [...before.children, ...after.children].every((child) => !child.children.length);
    return bare && after.children.every(isOwn) && before.children.every((child) => stays.has(child.id) || !this.#stays.has(child.id));
  }

  /** @param {string} parent @param {string | null} after @param {Tree} node */
  #anew(parent, after, node) {
    this.ops.push({ op: "remove", node: node.id }, { op: "insert", parent, after, node });
    this.#whole.add(node.id);
  }

  /** @param {Tree} before */
  #removals(before) {
    for (const child of before.children) {
      if (!this.#stays.has(child.id)) this.ops.push({ op: "remove", node: child.id });
      else if (!this.#whole.has(child.id)) this.#removals(child);
    }
  }
}

/**
 * The ids that need not be moved: the longest row of children that keep their order.
 * @param {readonly Tree[]} before
 * @param {readonly Tree[]} after
 * @returns {Set<string>}
 */
function inPlace(before, after) {
  const place = new Map(before.map((child, at) => [child.id, at]));
  const ids = after.map((child) => child.id).filter((id) => place.has(id));
  const places = ids.map((id) => place.get(id) ?? 0);
  /** Where the best row of each length ends. @type {number[]} */
  const ends = [];
  const previous = places.map((own, at) => {
    let low = 0;
    let high = ends.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((places[ends[middle] ?? 0] ?? 0) < own) low = middle + 1;
      else high = middle;
    }
    ends[low] = at;
    return low ? (ends[low - 1] ?? -1) : -1;
  });
  /** @type {Set<string>} */
  const kept = new Set();
  for (let at = ends.at(-1) ?? -1; at >= 0; at = previous[at] ?? -1) kept.add(ids[at] ?? "");
  return kept;
}
