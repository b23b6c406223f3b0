/** Another window changed the same: both are told in words, and the weaver chooses. */
import { apply, find, pathTo } from "../../model/draft.js";
import { runningLine } from "../../scene/strip.js";
import { ask } from "./ask.js";
/** @import { Command, Single, Tree } from "../../model/types.d.ts" */
/** @import { Held } from "../../types.d.ts" */
/** @import { Bench } from "./bench.js" */

/**
 * @param {Bench} bench which has taken up the piece as it is now
 * @param {{ mine: Tree, command: Command, held: Held }} about the tree with the change, the change, and how it was sent
 */
export function askAbout(bench, { mine, command, held }) {
  void bench.page.refresh();
  const ops = command.op === "together" ? command.ops : command.op === "become" ? [] : [command];
  const first = ops.find((op) => said(bench.state.tree, op) !== said(mine, op)) ?? ops[0];
  const node = first ? nodeOf(first) : "";
  const line = runningLine(bench.scene, node);
  const says = line >= 0 ? `Another window changed line ${line + 1} too. Keep yours, theirs, or both?` : "Another window changed this too. Keep yours or theirs?";
  const send = (/** @type {Command} */ again, /** @type {string} */ name) => {
    try {
      bench.send(again, name);
    } catch (cause) {
      if (cause instanceof Error) bench.refuse(cause.message);
    }
  };
  const text = find(mine, node)?.fields["text"];
  const band = pathTo(bench.state.tree, node).at(-2);
  const isLine = typeof text === "string" && band !== undefined && find(bench.state.tree, node) !== undefined;
  ask(bench.work, {
    says,
    mine: first ? said(mine, first) : "",
    theirs: first ? said(bench.state.tree, first) : "",
    keepMine: () => again(bench, command, held),
    keepTheirs: () => bench.soon(),
    keepBoth: isLine
      ? () => send({ op: "insert", parent: band.id, after: node, node: { id: bench.page.freshId(), kind: "line", fields: { text }, children: [] } }, "keep both")
      : null,
  });
}

/**
 * Sends the change once more, now that the weaver has seen the other one.
 * @param {Bench} bench
 * @param {Command} command
 * @param {Held} held
 */
function again(bench, command, held) {
  try {
    apply(bench.state.tree, command);
  } catch (cause) {
    if (cause instanceof Error) bench.refuse(cause.message);
    return;
  }
  bench.send(command, new URLSearchParams(held.body).get("name") ?? "");
}

/** @param {Single} op @returns {string} */
function nodeOf(op) {
  if (op.op === "lay") return op.line;
  return op.op === "insert" ? op.parent : op.node;
}

/**
 * What the part that a change is about says in a tree.
 * @param {Tree} tree
 * @param {Single} op
 * @returns {string}
 */
function said(tree, op) {
  const node = find(tree, nodeOf(op));
  if (!node) return "";
  if (node.kind === "line") return String(node.fields["text"]);
  if (op.op === "set") return String(valueAt(node.fields, op.field) ?? "as usual");
  return node.children.map((child) => String(child.fields["text"] ?? child.fields["name"] ?? child.kind)).join(" / ");
}

/**
 * @param {Readonly<Record<string, unknown>>} fields
 * @param {string} field
 * @returns {unknown}
 */
function valueAt(fields, field) {
  /** @type {unknown} */
  let found = fields;
  for (const name of field.split(".")) found = typeof found === "object" && found !== null ? /** @type {Record<string, unknown>} */ (found)[name] : undefined;
  return found;
}
