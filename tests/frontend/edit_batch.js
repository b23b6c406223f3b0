/**
 * Means things at random on drafts and writes what comes of it, for Python to check. Reads a list of
 * `{ tree, facts, steps, seed }` and writes for each the list of its steps.
 */
import { readFileSync } from "node:fs";
import { apply, PieceError, walk } from "../../src/weftline/server/static/js/model/draft.js";
import { expandStrip } from "../../src/weftline/server/static/js/model/expand.js";
import { motifKeep } from "../../src/weftline/server/static/js/model/motif.js";
import { commandOf } from "../../src/weftline/server/static/js/state/edits.js";
/** @import { Cloth, PieceFacts, Tree } from "../../src/weftline/server/static/js/model/types.d.ts" */
/** @import { Intention } from "../../src/weftline/server/static/js/state/edits.js" */

const YARNS = ["o", "s", "m", "b2"];
const TOKENS = [...YARNS, "-", "o+s", "m+m", "q"];
const KINDS = /** @type {const} */ ([
  "layPick", "layRib", "newLineAbove", "fillLine", "exchange", "insertAbove", "double", "move", "remove", "writeText",
  "paste", "setBand", "bandFrom", "bandFrom", "bandFrom", "unlink", "unlink", "unlink", "swapYarn", "motifUse",
]);

/** Park and Miller's generator. @param {number} seed */
function dice(seed) {
  let state = seed;
  const below = (/** @type {number} */ sides) => (state = (state * 48271) % 2147483647) % sides;
  return { below, of: (/** @type {readonly any[]} */ all) => all[below(all.length)] };
}

/**
 * @param {{ below: (sides: number) => number, of: (all: readonly any[]) => any }} dice
 * @param {Tree} tree
 * @param {PieceFacts} facts
 * @returns {Intention}
 */
function meant({ below, of }, tree, facts) {
  const nodes = [...walk(tree)];
  const strip = /** @type {Tree} */ (nodes.find((node) => node.kind === "strip"));
  const bands = strip.children;
  const lines = nodes.filter((node) => node.kind === "line");
  const cloth = expandStrip(strip, facts);
  const count = cloth.picks.lines;
  const type = lines.length && count ? of(KINDS) : "newLineAbove";
  const sheds = facts.sheds.length;
  const some = (/** @type {readonly Tree[]} */ all) => {
    const from = below(all.length);
    return all.slice(from, from + 1 + below(4)).map((node) => node.id);
  };
  const written = () => Array.from({ length: sheds }, (_, slot) => (slot ? of(TOKENS) : of(YARNS))).join(" ") + of(["", "", " *2", " back"]);
  const [line, token] = [of(lines)?.id, of(TOKENS)];
  const from = below(count || 1);
  switch (/** @type {Intention["type"]} */ (type)) {
    case "layPick":
      return { type, line, slot: 1 + below(4), token };
    case "layRib":
      return { type, lines: some(lines), shaft: 1 + below(4), sheds: facts.sheds, token };
    case "newLineAbove":
      return { type, strip: strip.id, slot: 1 + below(sheds), token, ground: "o", ...(below(2) ? { sheds } : {}) };
    case "fillLine":
      return { type, line, token };
    case "exchange":
      return { type, lines: some(lines), from: of(TOKENS), to: token };
    case "insertAbove":
      return { type, line, ground: of(YARNS) };
    case "double":
    case "remove":
      return { type, nodes: some(of([lines, lines, bands])) };
    case "move":
      return { type, nodes: some(of([lines, lines, bands])), up: below(2) === 1 };
    case "writeText":
      return { type, node: of([line, of(bands).id]), text: Array.from({ length: 1 + below(3) }, written).join("\n"), sheds };
    case "paste":
      return { type, texts: Array.from({ length: 1 + below(3) }, written), sheds, ...of([{ line }, { strip: strip.id }]) };
    case "setBand":
      return { type, band: of(bands).id, mirror: of(["none", "lines", "picks"]), times: 1 + below(3), middle: of(["single", "double"]), joint: of(["single", "double", null]), resume: below(2) === 1, name: of([null, "", "Teeth"]), lines_per_cm: of([null, 4]) };
    case "unlink":
      return { type, strip: strip.id, cloth, line: from };
    case "swapYarn":
      return { type, lines: of([null, some(lines)]), from: of(YARNS), to: of(YARNS) };
    case "motifUse": {
      const motif = motifKeep(lines.slice(from % lines.length, (from % lines.length) + 1 + below(3)), "o");
      return { type, motif, yarns: motif.yarns.map(() => of(YARNS)), sheds, ...of([{ line }, { strip: strip.id }]) };
    }
    default:
      return { type: "bandFrom", strip: strip.id, cloth, from, to: Math.min(count - 1, from + below(of([1, 3, 12, count || 1]) || 1)), ...of([{}, { name: "Own" }]) };
  }
}

/** @param {{ tree: Tree, facts: PieceFacts, steps: number, seed: number }} run */
function ran({ tree, facts, steps, seed }) {
  const rolled = dice(seed);
  let ids = 0;
  let draft = tree;
  return Array.from({ length: steps }, () => {
    const intention = meant(rolled, draft, facts);
    const { cloth: _cloth, ...said } = /** @type {Intention & { cloth?: Cloth }} */ (intention);
    try {
      const command = commandOf(draft, intention, () => `new${(ids += 1)}`);
      if (command) {
        draft = apply(draft, command);
        if (!command.op) throw new Error("a command without a verb");
      }
      return { said, command, after: draft };
    } catch (error) {
      if (!(error instanceof PieceError)) throw error;
      return { said, error: error.message };
    }
  });
}

process.stdout.write(JSON.stringify(JSON.parse(readFileSync(0, "utf8")).map(ran)));
