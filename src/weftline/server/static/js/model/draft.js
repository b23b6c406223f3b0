/** The draft: a piece as a tree of nodes with stable ids, and what commands make of it. Trees never change: a change copies its path. */
import { changedField } from "./fields.js";
import { LineTextError, tokensWith } from "./line.js";
import { firstLetters, letters, repr } from "./quoting.js";
/** @import { Command, Kind, NewId, Single, Tree } from "./types.d.ts" */

export const ROOT = "piece";
/** @type {readonly Kind[]} */
const KINDS = ["piece", "section", "strip", "band", "line"];
/** @type {Readonly<Record<Kind, string | undefined>>} */
export const CHILDREN = { piece: "sections", section: "strips", strip: "bands", band: "lines", line: undefined };
const MAX_ID = 64;

/** A change that makes no sense; the message is one sentence. */
export class PieceError extends Error {
  name = "PieceError";
  code = "piece";
}

/** A command speaks of a node that is no longer in the draft. */
export class NotThere extends PieceError {
  name = "NotThere";
  code = "node-not-there";
}

/**
 * The nodes from the root down to this one; empty if it is not there.
 * @param {Tree} root
 * @param {string} id
 * @returns {readonly Tree[]}
 */
export function pathTo(root, id) {
  if (root.id === id) return [root];
  for (const child of root.children) {
    if (child.id === id) return [root, child];
    if (child.children.length) {
      const below = pathTo(child, id);
      if (below.length) return [root, ...below];
    }
  }
  return [];
}

/**
 * @param {Tree} root
 * @param {string} id
 * @returns {Tree | null}
 */
export function find(root, id) {
  return pathTo(root, id).at(-1) ?? null;
}

/**
 * A node and everything in it, in the order of the file.
 * @param {Tree} node
 * @returns {Generator<Tree, void>}
 */
export function* walk(node) {
  yield node;
  for (const child of node.children) yield* walk(child);
}

/**
 * A copy of a node and everything in it under fresh ids.
 * @param {Tree} node
 * @param {NewId} newId
 * @returns {Tree}
 */
export function fresh(node, newId) {
  return { ...node, id: newId(), children: node.children.map((child) => fresh(child, newId)) };
}

/**
 * The draft after a command; the old one stays as it was.
 * @param {Tree} tree
 * @param {Command} command
 * @returns {Tree}
 * @throws {NotThere} for a node that is not in the draft
 * @throws {PieceError} for a change that makes no sense: a line in a strip, a pick beyond the sheds of its line
 */
export function apply(tree, command) {
  if (command.op === "together") return command.ops.reduce(applied, tree);
  if (command.op !== "become") return applied(tree, command);
  const become = treeOf(command.tree);
  if (become.kind !== "piece") throw new PieceError(`a piece cannot become a ${become.kind}`);
  return become;
}

/** @param {Tree} tree @param {Single} command @returns {Tree} */
function applied(tree, command) {
  switch (command.op) {
    case "set":
      return withField(tree, command);
    case "lay":
      return withPick(tree, command);
    case "insert": {
      const node = treeOf(command.node);
      if (holdsAny(tree, new Set([...walk(node)].map((one) => one.id)))) {
        throw new PieceError("a part is put in under an id that is taken; give it a fresh one");
      }
      return withChild(tree, command.parent, command.after ?? null, node);
    }
    case "remove":
      return without(tree, command.node)[0];
    case "move": {
      const [left, node] = without(tree, command.node);
      return withChild(left, command.parent, command.after ?? null, node);
    }
    default: {
      /** @type {never} */
      const never = command;
      return never;
    }
  }
}

/** @param {Tree} tree @param {string} id @returns {readonly [...Tree[], Tree]} */
function found(tree, id) {
  const path = pathTo(tree, id);
  const last = path.at(-1);
  if (!last) throw new NotThere(`the part ${id} is no longer in this piece`);
  return [...path.slice(0, -1), last];
}

/** The root with the last node of a path exchanged. @param {readonly Tree[]} path @param {Tree} node @returns {Tree} */
function withNode(path, node) {
  let changed = node;
  for (let depth = path.length - 2; depth >= 0; depth -= 1) {
    const [above, old] = [path[depth], path[depth + 1]];
    if (above) changed = { ...above, children: above.children.map((child) => (child === old ? changed : child)) };
  }
  return changed;
}

/** @param {Tree} tree @param {Extract<Single, {op: "set"}>} command @returns {Tree} */
function withField(tree, command) {
  const path = found(tree, command.node);
  const node = path[path.length - 1] ?? tree;
  const names = command.field.split(".");
  if (node.kind === "line" && (command.field !== "text" || typeof command.value !== "string")) {
    throw new PieceError("a line has its text and nothing else");
  }
  const children = CHILDREN[node.kind];
  if (children !== undefined && names[0] === children) {
    throw new PieceError(`the ${children} of a ${node.kind} are parts of their own: insert, move or remove them`);
  }
  const value = command.value ?? null;
  const { tidy = 0, before = null } = command;
  return withNode(path, { ...node, fields: changedField(node.fields, names, { value, null: command.null ?? false, tidy, before }) });
}

/** @param {Tree} tree @param {Extract<Single, {op: "lay"}>} command @returns {Tree} */
function withPick(tree, command) {
  const path = found(tree, command.line);
  const node = path[path.length - 1] ?? tree;
  if (node.kind !== "line") throw new PieceError(`${command.line} is a ${node.kind}, and only a line has picks`);
  try {
    return withNode(path, { ...node, fields: { text: tokensWith(node.fields["text"], command.pick, command.token) } });
  } catch (error) {
    throw error instanceof LineTextError ? new PieceError(error.message) : error;
  }
}

/** @param {Tree} tree @param {string} parentId @param {string | null} after @param {Tree} child @returns {Tree} */
function withChild(tree, parentId, after, child) {
  const path = found(tree, parentId);
  const parent = path[path.length - 1] ?? tree;
  if (KINDS.indexOf(child.kind) !== KINDS.indexOf(parent.kind) + 1) {
    throw new PieceError(`a ${child.kind} cannot stand in a ${parent.kind}`);
  }
  const place = after === null ? 0 : parent.children.findIndex((one) => one.id === after) + 1;
  if (after !== null && !place) throw new NotThere(`the part ${after} is no longer in this piece`);
  const children = [...parent.children.slice(0, place), child, ...parent.children.slice(place)];
  return withNode(path, { ...parent, children });
}

/** @param {Tree} tree @param {string} id @returns {[Tree, Tree]} the tree without a node, and the node */
function without(tree, id) {
  const path = found(tree, id);
  const node = path[path.length - 1] ?? tree;
  const parent = path[path.length - 2];
  if (!parent) throw new PieceError("the piece itself cannot be taken away or moved");
  return [withNode(path.slice(0, -1), { ...parent, children: parent.children.filter((child) => child !== node) }), node];
}

/** @param {Tree} tree @param {ReadonlySet<string>} ids @returns {boolean} */
function holdsAny(tree, ids) {
  return ids.has(tree.id) || tree.children.some((child) => holdsAny(child, ids));
}

/** Whatever is in it, a proper tree or refused. @param {unknown} data @returns {Tree} */
function treeOf(data) {
  const node = proper(data, null);
  const ids = [...walk(node)].map((one) => one.id);
  if (new Set(ids).size !== ids.length) throw new PieceError("two parts have the same id; give each its own");
  return node;
}

/** @param {unknown} data @param {Kind | null} above @returns {Tree} */
function proper(data, above) {
  if (!isObject(data)) throw new PieceError("a part of a piece is an object with id, kind, fields and children");
  const { id, kind: said, fields } = data;
  const below = isNothing(data["children"]) ? [] : data["children"];
  const kind = KINDS.find((one) => one === said);
  if (!kind || (above && KINDS.indexOf(kind) !== KINDS.indexOf(above) + 1)) {
    const shown = repr(firstLetters(spoken(said), 20));
    throw new PieceError(`a ${above ?? "piece"} cannot hold ${shown}; it holds ${CHILDREN[above ?? "piece"]}`);
  }
  if (typeof id !== "string" || !id || letters(id) > MAX_ID || (id === ROOT) !== (kind === "piece")) {
    throw new PieceError(`a ${kind} needs an id of its own, 1 to ${MAX_ID} characters`);
  }
  if (!isObject(fields) || !Array.isArray(below)) {
    throw new PieceError(`a ${kind} has its fields in an object and its parts in a list`);
  }
  const keys = Object.keys(fields);
  if (kind === "line" && (below.length || keys.length !== 1 || typeof fields["text"] !== "string")) {
    throw new PieceError("a line has its text and nothing else");
  }
  const held = fields[CHILDREN[kind] ?? ""];
  if (held !== undefined && !(Array.isArray(held) && !held.length)) {
    throw new PieceError(`the ${CHILDREN[kind]} of a ${kind} are its children, not a field`);
  }
  return { id, kind, fields, children: below.map((child) => proper(child, kind)) };
}

/** @param {unknown} value @returns {value is Record<string, unknown>} */
function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Whether a value counts as left out. @param {unknown} value */
function isNothing(value) {
  return !value || (isObject(value) && !Object.keys(value).length);
}

/** A value as the server's messages say it. @param {unknown} value @returns {string} */
function spoken(value) {
  if (value === undefined || value === null) return "None";
  if (typeof value === "boolean") return value ? "True" : "False";
  return typeof value === "string" || typeof value === "number" ? String(value) : JSON.stringify(value);
}
