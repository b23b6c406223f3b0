/**
 * What a weaver means to do, and the command that does it. Pure: an intention changes a copy of the draft, and the
 * command is what became different. Nodes keep their ids wherever the same line lives on.
 */
import { apply, find, fresh, pathTo, PieceError, walk } from "../model/draft.js";
import { difference } from "../model/difference.js";
import { LineTextError, readLine, retokened, tokensWith } from "../model/line.js";
import { motifTexts } from "../model/motif.js";
import { ownBand, unlinked } from "../model/rebanding.js";
import { checkedTexts, hasSameSheds, shedCount, shedsOf } from "../model/shedding.js";
/** @import { Cloth, Command, NewId, Single, Tree } from "../model/types.d.ts" */
/** @import { Motif } from "../model/motif.js" */

/**
 * Slots are counted from 1, running lines from 0. `sheds` are the technique's: bit masks, or how many there are.
 * @typedef {(
 *   | { type: "layPick", line: string, slot: number, token: string }
 *   | { type: "layRib", lines: readonly string[], shaft: number, sheds: readonly number[], token: string }
 *   | { type: "newLineAbove", strip: string, band?: string | null, slot: number, token: string, ground: string, sheds?: number }
 *   | { type: "fillLine", line: string, token: string }
 *   | { type: "exchange", lines: readonly string[], from: string, to: string }
 *   | { type: "insertAbove", line: string, ground: string }
 *   | { type: "double", nodes: readonly string[] }
 *   | { type: "move", nodes: readonly string[], up: boolean }
 *   | { type: "remove", nodes: readonly string[] }
 *   | { type: "writeText", node: string, text: string, sheds?: number }
 *   | { type: "paste", texts: readonly string[], line?: string | null, strip?: string, sheds?: number }
 *   | { type: "setBand", band: string, name?: string | null, mirror?: string, times?: number, middle?: string, joint?: string | null, resume?: boolean, lines_per_cm?: number | null }
 *   | { type: "bandFrom", strip: string, cloth: Cloth, from: number, to: number, name?: string }
 *   | { type: "unlink", strip: string, cloth: Cloth, line: number }
 *   | { type: "swapYarn", lines?: readonly string[] | null, from: string, to: string }
 *   | { type: "motifUse", motif: Motif, yarns: readonly string[], line?: string | null, strip?: string, sheds?: number }
 * )} Intention
 */

/** What a key of a band says where it is left out. @type {Readonly<Record<string, unknown>>} */
const LEFT_OUT = { name: "", mirror: "none", times: 1, middle: "single", joint: null, resume: false, lines_per_cm: null };

/**
 * The command that does what is meant, or null where nothing would change.
 * @param {Tree} tree
 * @param {Intention} intention
 * @param {NewId} newId
 * @returns {Command | null}
 * @throws {PieceError} for what cannot be done, in a sentence
 */
export function commandOf(tree, intention, newId) {
  try {
    if (intention.type === "layPick") return laid(tree, [[intention.line, intention.slot]], intention.token);
    if (intention.type === "layRib") return laid(tree, ribSlots(tree, intention), intention.token);
    return difference(tree, changed(tree, intention, newId));
  } catch (error) {
    throw error instanceof LineTextError ? new PieceError(error.message) : error;
  }
}

/**
 * The texts of lines, to be put in elsewhere.
 * @param {Tree} tree
 * @param {readonly string[]} lines
 * @returns {string[]}
 */
export function copied(tree, lines) {
  return inOrder(tree, lines).map((line) => line.fields["text"]);
}

/** @param {Tree} tree @param {Exclude<Intention, { type: "layPick" | "layRib" }>} intention @param {NewId} newId @returns {Tree} */
function changed(tree, intention, newId) {
  switch (intention.type) {
    case "newLineAbove":
      return withNewLine(tree, intention, newId);
    case "fillLine":
      return withTokens(tree, [intention.line], () => intention.token);
    case "exchange":
      return withTokens(tree, intention.lines, (token) => (token === intention.from ? intention.to : token));
    case "insertAbove": {
      const count = readLine(existing(tree, intention.line).fields["text"]).tokens.length;
      return withLinesAbove(tree, intention.line, [Array(count).fill(intention.ground).join(" ")], newId);
    }
    case "double":
      return doubled(tree, intention.nodes, newId);
    case "move":
      return moved(tree, intention);
    case "remove":
      return without(tree, new Set(intention.nodes));
    case "writeText":
      return rewritten(tree, intention, newId);
    case "paste":
      return pasted(tree, intention.texts, intention, newId);
    case "motifUse":
      return pasted(tree, motifTexts(intention.motif, intention.yarns), intention, newId);
    case "setBand":
      return withBand(tree, intention);
    case "bandFrom":
      return withParent(tree, intention.strip, (strip) => ownBand(strip, intention, newId));
    case "unlink":
      return withParent(tree, intention.strip, (strip) => unlinked(strip, intention, newId));
    case "swapYarn":
      return swapped(tree, intention);
    default: {
      /** @type {never} */
      const never = intention;
      return never;
    }
  }
}

// --- finding and exchanging nodes ------------------------------------------------------------------------------------

/** @param {Tree} tree @param {string} id @returns {Tree} */
function existing(tree, id) {
  const node = find(tree, id);
  if (!node) throw new PieceError(`the part ${id} is no longer in this piece`);
  return node;
}

/** The node around another one. @param {Tree} tree @param {string} id @returns {Tree} */
function around(tree, id) {
  const parent = pathTo(tree, id).at(-2);
  if (!parent) throw new PieceError(`the part ${id} is no longer in this piece`);
  return parent;
}

/** Some nodes, each once, in the order of the file. @param {Tree} tree @param {readonly string[]} ids @returns {Tree[]} */
function inOrder(tree, ids) {
  const asked = new Set(ids);
  const nodes = [...walk(tree)].filter((node) => asked.has(node.id));
  if (nodes.length < asked.size) throw new PieceError("some of these lines are no longer in this piece; choose them again");
  return nodes;
}

/** The tree with some nodes exchanged; null takes one away. @param {Tree} tree @param {(node: Tree) => Tree | null} change @returns {Tree} */
function mapped(tree, change) {
  const children = tree.children.flatMap((child) => {
    const own = change(child);
    return own === null ? [] : [own === child ? mapped(child, change) : own];
  });
  const isAlike = children.length === tree.children.length && children.every((child, at) => child === tree.children[at]);
  return isAlike ? tree : { ...tree, children };
}

/** @param {Tree} tree @param {string} id @param {(node: Tree) => Tree} change @returns {Tree} */
function withParent(tree, id, change) {
  existing(tree, id);
  return mapped(tree, (node) => (node.id === id ? change(node) : node));
}

/** Nodes put in behind one of a node's children, or first of all. @param {Tree} parent @param {string | null} after @param {readonly Tree[]} nodes @returns {Tree} */
function withChildren(parent, after, nodes) {
  const place = after === null ? 0 : parent.children.findIndex((child) => child.id === after) + 1;
  return { ...parent, children: [...parent.children.slice(0, place), ...nodes, ...parent.children.slice(place)] };
}

/** @param {string} text @param {NewId} newId @returns {Tree} */
function lineOf(text, newId) {
  return { id: newId(), kind: "line", fields: { text }, children: [] };
}

/** A line with another text, itself where that is the same. @param {Tree} line @param {string} text @returns {Tree} */
function withText(line, text) {
  return line.fields["text"] === text ? line : { ...line, fields: { text } };
}

// --- picks -----------------------------------------------------------------------------------------------------------

/** @param {Tree} tree @param {readonly (readonly [line: string, slot: number])[]} places @param {string} token @returns {Command | null} */
function laid(tree, places, token) {
  /** @type {Single[]} */
  const ops = [];
  let after = tree;
  for (const [line, slot] of places) {
    const { text } = existing(after, line).fields;
    if (tokensWith(text, slot, token) === text) continue;
    /** @type {Single} */
    const op = { op: "lay", line, pick: slot, token };
    after = apply(after, op);
    ops.push(op);
  }
  const [first] = ops;
  return first ? (ops.length === 1 ? first : { op: "together", ops }) : null;
}

/** Where in some lines the picks lie that cover a shaft. @param {Tree} tree @param {Extract<Intention, { type: "layRib" }>} intention @returns {[string, number][]} */
function ribSlots(tree, { lines, shaft, sheds }) {
  return inOrder(tree, lines).flatMap((line) => {
    const own = shedsOf(around(tree, line.id)) ?? sheds;
    return own.flatMap((mask, slot) => ((mask >> (shaft - 1)) & 1 ? [/** @type {[string, number]} */ ([line.id, slot + 1])] : []));
  });
}

/** @param {Tree} tree @param {readonly string[]} lines @param {(token: string) => string} change @returns {Tree} */
function withTokens(tree, lines, change) {
  const asked = new Set(inOrder(tree, lines).map((line) => line.id));
  return mapped(tree, (node) => (asked.has(node.id) ? withText(node, retokened(node.fields["text"], change)) : node));
}

/** A yarn exchanged for another, wound together with others too; everywhere where no lines are named, as the ground too. @param {Tree} tree @param {Extract<Intention, { type: "swapYarn" }>} intention @returns {Tree} */
function swapped(tree, { lines, from, to }) {
  const everywhere = lines === undefined || lines === null;
  const named = everywhere ? [...walk(tree)].filter(({ kind, fields }) => kind === "line" && isReadable(fields["text"])).map(({ id }) => id) : lines;
  const change = (/** @type {string} */ token) => token.split("+").map((key) => (key === from ? to : key)).join("+");
  const after = withTokens(tree, named, change);
  return everywhere && tree.fields["ground"] === from ? { ...after, fields: { ...after.fields, ground: to } } : after;
}

/** @param {string} text */
function isReadable(text) {
  try {
    return readLine(text).tokens.length > 0;
  } catch {
    return false;
  }
}

// --- lines -----------------------------------------------------------------------------------------------------------

/** @param {Tree} tree @param {string} line @param {readonly string[]} texts @param {NewId} newId @returns {Tree} */
function withLinesAbove(tree, line, texts, newId) {
  const band = around(tree, line);
  return withParent(tree, band.id, () => withChildren(band, line, texts.map((text) => lineOf(text, newId))));
}

/** @param {Tree} tree @param {Extract<Intention, { type: "newLineAbove" }>} intention @param {NewId} newId @returns {Tree} */
function withNewLine(tree, { strip: id, slot, token, ground, sheds }, newId) {
  const strip = existing(tree, id);
  const count = shedCount(tree, strip.children.at(-1) ?? null, sheds);
  const text = tokensWith(Array(count).fill(ground).join(" "), slot, token);
  return onTop(tree, strip, [text], newId);
}

/** Lines above all others: in the uppermost band, or in a new one where that is mirrored or repeated. @param {Tree} tree @param {Tree} strip @param {readonly string[]} texts @param {NewId} newId @returns {Tree} */
function onTop(tree, strip, texts, newId) {
  const top = strip.children.at(-1);
  const lines = texts.map((text) => lineOf(text, newId));
  const { mirror = "none", times = 1, sheds, lines_per_cm } = top?.fields ?? {};
  if (top && mirror === "none" && times === 1) {
    return withParent(tree, top.id, () => ({ ...top, children: [...top.children, ...lines] }));
  }
  const fields = { ...(sheds ? { sheds } : {}), ...(lines_per_cm ? { lines_per_cm } : {}) };
  /** @type {Tree} */
  const band = { id: newId(), kind: "band", fields, children: lines };
  return withParent(tree, strip.id, () => ({ ...strip, children: [...strip.children, band] }));
}

/** @param {Tree} tree @param {readonly string[]} texts @param {{ line?: string | null, strip?: string, sheds?: number }} where @param {NewId} newId @returns {Tree} */
function pasted(tree, texts, { line = null, strip: id, sheds }, newId) {
  if (!texts.length) return tree;
  const strip = line === null ? existing(tree, id ?? "") : null;
  const band = line === null ? (strip?.children.at(-1) ?? null) : around(tree, line);
  const checked = checkedTexts(tree, band, texts, sheds);
  return strip ? onTop(tree, strip, checked, newId) : withLinesAbove(tree, line ?? "", checked, newId);
}

/** A line or a whole band written anew as several lines. @param {Tree} tree @param {Extract<Intention, { type: "writeText" }>} intention @param {NewId} newId @returns {Tree} */
function rewritten(tree, { node: id, text, sheds }, newId) {
  const node = existing(tree, id);
  const band = node.kind === "band" ? node : around(tree, id);
  const texts = text.split(/[\r\n]+/).map((one) => one.trim()).filter((one) => one);
  if (!texts.length) throw new PieceError("nothing is written; write a line, or remove this one");
  const checked = checkedTexts(tree, band, texts, sheds);
  const old = node.kind === "band" ? node.children : [node];
  const lines = checked.map((one, at) => (old[at] ? withText(old[at], one) : lineOf(one, newId)));
  if (node.kind === "band") return withParent(tree, id, () => ({ ...band, children: lines }));
  return withParent(tree, band.id, () => ({ ...band, children: band.children.flatMap((child) => (child === node ? lines : [child])) }));
}

// --- lines and bands alike -------------------------------------------------------------------------------------------

/** Copies above the uppermost of the nodes in each part. @param {Tree} tree @param {readonly string[]} ids @param {NewId} newId @returns {Tree} */
function doubled(tree, ids, newId) {
  const asked = new Set(inOrder(tree, ids).map((node) => node.id));
  const parents = new Set([...asked].map((id) => around(tree, id).id));
  return mapped(tree, (node) => {
    if (!parents.has(node.id)) return node;
    const own = node.children.filter((child) => asked.has(child.id));
    return withChildren(node, own.at(-1)?.id ?? null, own.map((child) => fresh(child, newId)));
  });
}

/** Without some nodes, and without what they leave empty; a strip may be bare. @param {Tree} tree @param {ReadonlySet<string>} ids @returns {Tree} */
function without(tree, ids) {
  inOrder(tree, [...ids]);
  return mapped(tree, (node) => {
    if (ids.has(node.id)) return null;
    const isEmptied = node.kind === "band" && node.children.length > 0 && node.children.every((line) => ids.has(line.id));
    return isEmptied ? null : node;
  });
}

/**
 * Nodes one place further, each past a neighbour that does not move with it; a line at the end of its band goes into the
 * next one, where that has the same sheds.
 * @param {Tree} tree
 * @param {Extract<Intention, { type: "move" }>} intention
 * @returns {Tree}
 */
function moved(tree, { nodes, up }) {
  const ids = inOrder(tree, nodes).map((node) => node.id);
  return (up ? ids.reverse() : ids).reduce((after, id) => movedOne(after, id, nodes, up), tree);
}

/** @param {Tree} tree @param {string} id @param {readonly string[]} nodes @param {boolean} up @returns {Tree} */
function movedOne(tree, id, nodes, up) {
  const parent = around(tree, id);
  const node = existing(parent, id);
  const other = parent.children[parent.children.indexOf(node) + (up ? 1 : -1)];
  if (!other) return node.kind === "line" ? movedOver(tree, node, parent, up) : tree;
  if (nodes.includes(other.id)) return tree;
  const swap = (/** @type {Tree} */ child) => (child === node ? other : child === other ? node : child);
  return withParent(tree, parent.id, () => ({ ...parent, children: parent.children.map(swap) }));
}

/** @param {Tree} tree @param {Tree} line @param {Tree} band @param {boolean} up @returns {Tree} */
function movedOver(tree, line, band, up) {
  const strip = around(tree, band.id);
  const next = strip.children[strip.children.findIndex((child) => child.id === band.id) + (up ? 1 : -1)];
  if (!next || !hasSameSheds(band, next)) return tree;
  return mapped(tree, (node) => {
    if (node.id === band.id) {
      const children = node.children.filter((child) => child.id !== line.id);
      return children.length ? { ...node, children } : null;
    }
    return node.id === next.id ? { ...node, children: up ? [line, ...node.children] : [...node.children, line] } : node;
  });
}

/** @param {Tree} tree @param {Extract<Intention, { type: "setBand" }>} intention @returns {Tree} */
function withBand(tree, { type: _type, band: id, ...said }) {
  const band = existing(tree, id);
  const { times } = said;
  if (times !== undefined && !(Number.isInteger(times) && times > 0)) {
    throw new PieceError(`a band comes once or more often, not ${times} times; give a whole number`);
  }
  /** @type {Record<string, unknown>} */
  const fields = { ...band.fields };
  for (const [key, value] of Object.entries(said)) {
    const leftOut = LEFT_OUT[key];
    if (value === undefined || (fields[key] ?? leftOut) === (value ?? leftOut)) continue;
    if (value === null || value === leftOut) delete fields[key];
    else fields[key] = value;
  }
  return withParent(tree, id, () => ({ ...band, fields }));
}

