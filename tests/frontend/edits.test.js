/** What a weaver means to do, as commands: one case for each, written out. */
import assert from "node:assert/strict";
import test from "node:test";
import { difference } from "../../src/weftline/server/static/js/model/difference.js";
import { apply, find, walk } from "../../src/weftline/server/static/js/model/draft.js";
import { expandStrip } from "../../src/weftline/server/static/js/model/expand.js";
import { retokened, timed } from "../../src/weftline/server/static/js/model/line.js";
import { motifKeep } from "../../src/weftline/server/static/js/model/motif.js";
import { commandOf, copied } from "../../src/weftline/server/static/js/state/edits.js";
/** @import { Tree } from "../../src/weftline/server/static/js/model/types.d.ts" */
/** @import { Intention } from "../../src/weftline/server/static/js/state/edits.js" */

const FACTS = { sheds: [1, 2, 4], strands: { o: 1, s: 1, m: 1 }, lineMm: 3 };

/**
 * A piece of one strip; lines are a1, a2 ... in band a, and so on.
 * @param {...(readonly string[] | { lines: readonly string[] } & Record<string, any>)} bands
 * @returns {Tree}
 */
function piece(...bands) {
  const children = bands.map((band, at) => {
    const id = "abcdef".charAt(at);
    const { lines, ...fields } = "lines" in band ? band : { lines: band };
    const nodes = lines.map((text, line) => ({ id: `${id}${line + 1}`, kind: /** @type {const} */ ("line"), fields: { text }, children: [] }));
    return { id, kind: /** @type {const} */ ("band"), fields, children: nodes };
  });
  /** @type {Tree} */
  const strip = { id: "strip", kind: "strip", fields: { ends: 9 }, children };
  /** @type {Tree} */
  const section = { id: "section", kind: "section", fields: {}, children: [strip] };
  return { id: "piece", kind: "piece", fields: { yarns: { o: {}, s: {}, m: {} }, ground: "o" }, children: [section] };
}

/** @param {Tree} tree */
function stripOf(tree) {
  return /** @type {Tree} */ (find(tree, "strip"));
}

/** @param {Tree} tree */
function cloth(tree) {
  return expandStrip(stripOf(tree), FACTS);
}

/** The command, with ids x1, x2 ... for what is new. @param {Tree} tree @param {Intention} intention */
function meant(tree, intention) {
  let ids = 0;
  return commandOf(tree, intention, () => `x${(ids += 1)}`);
}

/** The bands afterwards: id, fields, and lines with their ids. @param {Tree} tree @param {Intention} intention */
function done(tree, intention) {
  const command = meant(tree, intention);
  assert.ok(command);
  return shown(apply(tree, command));
}

/** @param {Tree} tree */
function shown(tree) {
  return stripOf(tree).children.map(({ id, fields, children }) => [id, fields, ...children.map((line) => `${line.id}: ${line.fields["text"]}`)]);
}

test("a pick is laid as one pick, and not where it lies already", () => {
  const tree = piece(["o  o o *2"]);
  assert.deepEqual(meant(tree, { type: "layPick", line: "a1", slot: 2, token: "s" }), { op: "lay", line: "a1", pick: 2, token: "s" });
  assert.equal(meant(tree, { type: "layPick", line: "a1", slot: 2, token: "o" }), null);
  assert.throws(() => meant(tree, { type: "layPick", line: "a1", slot: 4, token: "s" }), { name: "PieceError", message: "this line has 3 sheds, so there is no pick 4" });
  assert.throws(() => meant(piece(["s - -"]), { type: "layPick", line: "a1", slot: 1, token: "-" }), /no pick is thrown/);
  assert.throws(() => meant(tree, { type: "layPick", line: "z1", slot: 1, token: "s" }), /no longer in this piece/);
});

test("a rib runs up one shaft, in whatever sheds cover it", () => {
  const tree = piece(["o o o", "o s o"], { lines: ["o o"], sheds: [[1, 2], [3]] });
  assert.deepEqual(meant(tree, { type: "layRib", lines: ["a1", "a2", "a1", "b1"], shaft: 2, sheds: FACTS.sheds, token: "s" }), {
    op: "together",
    ops: [
      { op: "lay", line: "a1", pick: 2, token: "s" },
      { op: "lay", line: "b1", pick: 1, token: "s" },
    ],
  });
});

test("a new line goes into the uppermost band, or into a new one above a mirrored or bare strip", () => {
  const above = { type: /** @type {const} */ ("newLineAbove"), strip: "strip", slot: 2, token: "s", ground: "o" };
  assert.deepEqual(done(piece(["o o o"]), above), [["a", {}, "a1: o o o", "x1: o s o"]]);
  assert.deepEqual(done(piece({ lines: ["o o o"], mirror: "picks", name: "Teeth" }), above).slice(1), [["x2", {}, "x1: o s o"]]);
  assert.deepEqual(done(piece(), above), [["x2", {}, "x1: o s o"]]);
  assert.deepEqual(done(piece(), { ...above, sheds: 4 }), [["x2", {}, "x1: o s o o"]]);
  assert.deepEqual(done(piece({ lines: ["o o"], sheds: [[1], [2, 3]], times: 2 }), above)[1], ["x2", { sheds: [[1], [2, 3]] }, "x1: o s"]);
  assert.throws(() => meant(piece(), { ...above, slot: 4 }), /no pick 4/);
});

test("lines are filled and yarns exchanged with everything else as it was written", () => {
  const tree = piece([" o  s+o\ts back *2 ", "- s o"]);
  assert.deepEqual(done(tree, { type: "fillLine", line: "a1", token: "m" })[0]?.[2], "a1:  m  m\tm back *2 ");
  assert.deepEqual(done(tree, { type: "exchange", lines: ["a1", "a2"], from: "s", to: "m" })[0]?.slice(2), ["a1:  o  s+o\tm back *2 ", "a2: - m o"]);
  assert.deepEqual(done(tree, { type: "swapYarn", lines: ["a1"], from: "s", to: "m" })[0]?.slice(2), ["a1:  o  m+o\tm back *2 ", "a2: - s o"]);
  assert.equal(meant(tree, { type: "exchange", lines: ["a2"], from: "m", to: "o" }), null);
  const everywhere = meant(tree, { type: "swapYarn", from: "o", to: "m" });
  assert.ok(everywhere);
  assert.equal(apply(tree, everywhere).fields["ground"], "m");
  assert.throws(() => meant(tree, { type: "fillLine", line: "a1", token: "-" }), /no pick is thrown/);
  assert.throws(() => meant(tree, { type: "fillLine", line: "a1", token: "o o" }), /each shed takes one yarn/);
});

test("lines are put in, doubled, moved and taken away", () => {
  const tree = piece(["s s s", "o o o"], ["m m m"]);
  assert.deepEqual(meant(tree, { type: "insertAbove", line: "a1", ground: "o" }), {
    op: "insert",
    parent: "a",
    after: "a1",
    node: { id: "x1", kind: "line", fields: { text: "o o o" }, children: [] },
  });
  assert.deepEqual(done(tree, { type: "double", nodes: ["a2", "a1"] })[0]?.slice(2), ["a1: s s s", "a2: o o o", "x1: s s s", "x2: o o o"]);
  assert.deepEqual(done(tree, { type: "double", nodes: ["b"] }).slice(1), [["b", {}, "b1: m m m"], ["x1", {}, "x2: m m m"]]);
  assert.deepEqual(meant(tree, { type: "move", nodes: ["a2"], up: false }), { op: "move", node: "a2", parent: "a", after: null });
  assert.deepEqual(done(tree, { type: "move", nodes: ["a1", "a2"], up: true }), [["b", {}, "a1: s s s", "a2: o o o", "b1: m m m"]]);
  assert.deepEqual(done(tree, { type: "move", nodes: ["b1"], up: false }), [["a", {}, "a1: s s s", "a2: o o o", "b1: m m m"]]);
  assert.deepEqual(done(tree, { type: "move", nodes: ["b"], up: false }).map(([id]) => id), ["b", "a"]);
  assert.equal(meant(tree, { type: "move", nodes: ["b1"], up: true }), null);
  assert.equal(meant(piece(["o o o"], { lines: ["o o"], sheds: [[1], [2]] }), { type: "move", nodes: ["a1"], up: true }), null);
  assert.deepEqual(meant(tree, { type: "remove", nodes: ["a1"] }), { op: "remove", node: "a1" });
  assert.deepEqual(meant(tree, { type: "remove", nodes: ["b1"] }), { op: "remove", node: "b" });
  assert.throws(() => meant(tree, { type: "remove", nodes: ["z"] }), /no longer in this piece/);
});

test("several lines are written as text, and read before they are kept", () => {
  const tree = piece(["s s s", "o o o"]);
  assert.deepEqual(done(tree, { type: "writeText", node: "a1", text: "m m m *2\n\n o s o \r\n" })[0]?.slice(2), ["a1: m m m *2", "x1: o s o", "a2: o o o"]);
  assert.deepEqual(done(tree, { type: "writeText", node: "a", text: "m m m" })[0]?.slice(2), ["a1: m m m"]);
  assert.throws(() => meant(tree, { type: "writeText", node: "a1", text: "o o o\no q o" }), { message: "line 2 of these: no yarn is called q; use o, s or m" });
  assert.throws(() => meant(tree, { type: "writeText", node: "a1", text: "o o" }), { message: "'o o' gives 2 yarns for 3 sheds; give each shed a yarn or '-'" });
  assert.throws(() => meant(tree, { type: "writeText", node: "a1", text: " \n" }), /nothing is written/);
});

test("copied lines are put in above a line, or on top", () => {
  const tree = piece(["s s s *2", "o o o"], { lines: ["m m m"], times: 2 });
  const texts = copied(tree, ["a2", "a1"]);
  assert.deepEqual(texts, ["s s s *2", "o o o"]);
  assert.deepEqual(done(tree, { type: "paste", texts, line: "a1" })[0]?.slice(2), ["a1: s s s *2", "x1: s s s *2", "x2: o o o", "a2: o o o"]);
  assert.deepEqual(done(tree, { type: "paste", texts, strip: "strip" })[2], ["x3", {}, "x1: s s s *2", "x2: o o o"]);
  assert.throws(() => meant(piece({ lines: ["o"], sheds: [[1]] }), { type: "paste", texts, line: "a1" }), /line 1 of these: 's s s \*2' gives 3 yarns for 1 shed/);
});

test("what a band says where it says nothing is not written", () => {
  const tree = piece({ lines: ["o o o"], name: "Teeth", mirror: "picks", times: 3, resume: true });
  assert.deepEqual(meant(tree, { type: "setBand", band: "a", name: "Teeth", mirror: "lines", times: 1, middle: "single", resume: false }), {
    op: "together",
    ops: [
      { op: "set", node: "a", field: "mirror", value: "lines" },
      { op: "set", node: "a", field: "times" },
      { op: "set", node: "a", field: "resume" },
    ],
  });
  assert.deepEqual(meant(tree, { type: "setBand", band: "a", name: "" }), { op: "set", node: "a", field: "name" });
  assert.equal(meant(tree, { type: "setBand", band: "a", joint: null, lines_per_cm: null, times: 3 }), null);
  assert.throws(() => meant(tree, { type: "setBand", band: "a", times: 0 }), /not 0 times/);
});

test("a repeated line is unlinked by writing its band out, once", () => {
  const tree = piece({ lines: ["s o o *2", "o o m"], mirror: "lines", name: "Teeth" });
  const unlink = { type: /** @type {const} */ ("unlink"), strip: "strip", cloth: cloth(tree), line: 3 };
  assert.deepEqual(done(tree, unlink), [["a", { name: "Teeth" }, "a1: s o o *2", "a2: o o m", "x1: s o o", "x2: s o o"]]);
  assert.deepEqual(done(tree, { ...unlink, line: 1 })[0]?.slice(2), ["a1: s o o", "x1: s o o", "a2: o o m", "x2: s o o *2"]);
  assert.equal(meant(tree, { ...unlink, line: 2 }), null);
  const treadled = piece({ lines: ["s o m"], mirror: "picks", times: 2 });
  assert.deepEqual(done(treadled, { ...unlink, cloth: cloth(treadled), line: 1 }), [["a", {}, "a1: s o m", "x1: s o - back", "x2: - o m", "x3: s o - back"]]);
  const often = piece(["o  o o *5"]);
  assert.deepEqual(done(often, { ...unlink, cloth: cloth(often), line: 2 })[0]?.slice(2), ["a1: o  o o *2", "x1: o  o o", "x2: o  o o *2"]);
});

test("lines become a band of their own, in whole repeats where they are", () => {
  const own = { type: /** @type {const} */ ("bandFrom"), strip: "strip", name: "Own" };
  const plain = piece({ lines: ["s s s", "o o o *3", "m m m"], name: "Foot" });
  assert.deepEqual(done(plain, { ...own, cloth: cloth(plain), from: 2, to: 3 }), [
    ["a", { name: "Foot" }, "a1: s s s", "a2: o o o"],
    ["x2", { name: "Own" }, "x1: o o o *2"],
    ["x3", { name: "Foot" }, "a3: m m m"],
  ]);
  const often = piece({ lines: ["s s s", "o o o"], times: 6 });
  assert.deepEqual(done(often, { ...own, cloth: cloth(often), from: 4, to: 7 }), [
    ["a", { times: 2 }, "a1: s s s", "a2: o o o"],
    ["x5", { times: 2, name: "Own" }, "x1: s s s", "x2: o o o"],
    ["x6", { times: 2 }, "x3: s s s", "x4: o o o"],
  ]);
  const two = piece({ lines: ["s s s", "o o o"], name: "A" }, { lines: ["m m m", "s o o"], name: "B" });
  assert.deepEqual(done(two, { ...own, cloth: cloth(two), from: 1, to: 2 }), [
    ["a", { name: "A" }, "a1: s s s"],
    ["x1", { name: "Own" }, "a2: o o o", "b1: m m m"],
    ["b", { name: "B" }, "b2: s o o"],
  ]);
  assert.equal(meant(two, { ...own, cloth: cloth(two), from: 0, to: 1 }), null);
  const unlike = piece(["s s s"], { lines: ["o o o"], lines_per_cm: 2 });
  assert.throws(() => meant(unlike, { ...own, cloth: cloth(unlike), from: 0, to: 1 }), /different sheds or heights/);
});

test("a motif keeps roles, and is woven in other yarns", () => {
  const tree = piece(["o s+o m *2", "s - o back"]);
  const motif = motifKeep(stripOf(tree).children[0]?.children ?? [], "o");
  assert.deepEqual(motif, { lines: ["r0 r1+r0 r2 *2", "r1 - r0 back"], yarns: ["o", "s", "m"] });
  assert.deepEqual(done(tree, { type: "motifUse", motif, yarns: ["m", "o", "s"], line: "a1" })[0]?.slice(2), [
    "a1: o s+o m *2",
    "x1: m o+m s *2",
    "x2: o - m back",
    "a2: s - o back",
  ]);
  assert.throws(() => meant(tree, { type: "motifUse", motif, yarns: ["m"], line: "a1" }), /has 3 yarns, and 1 are chosen/);
});

test("a band that gets very many lines is put in anew under its own ids, and far too many are refused", () => {
  const tree = piece(["o o o"], { lines: ["s o o", "o o m"], times: 100 }, ["m m m"]);
  const command = meant(tree, { type: "unlink", strip: "strip", cloth: cloth(tree), line: 7 });
  assert.ok(command && command.op === "together");
  assert.deepEqual(command.ops.map((op) => op.op), ["remove", "insert"]);
  const after = apply(tree, command);
  assert.deepEqual(stripOf(after).children.map((band) => [band.id, band.children.length]), [["a", 1], ["b", 200], ["c", 1]]);
  assert.deepEqual([...walk(after)].slice(6, 8).map((line) => line.id), ["b1", "b2"]);
  const many = piece({ lines: ["s o o", "o o m"], times: 6000 });
  assert.throws(() => meant(many, { type: "unlink", strip: "strip", cloth: cloth(many), line: 7 }), /more than 10,000 lines/);
  const bands = piece(["o o o"]);
  const moved = { ...bands, children: Array.from({ length: 10_001 }, (_, at) => ({ ...bands, id: `s${at}`, kind: /** @type {const} */ ("section"), children: [] })) };
  assert.throws(() => difference(bands, moved), /at most 10,000 steps, this takes 10,002/);
});

test("only what differs is touched, and nodes are moved as little as can be", () => {
  const tree = piece(["o o o", "s s s", "m m m", "o s o"]);
  const band = find(tree, "a");
  assert.ok(band);
  const swapIn = (/** @type {readonly number[]} */ order) => {
    const children = order.flatMap((at) => band.children[at] ?? []);
    const other = { ...band, children };
    const section = /** @type {Tree} */ (tree.children[0]);
    return { ...tree, children: [{ ...section, children: [{ ...stripOf(tree), children: [other] }] }] };
  };
  assert.equal(difference(tree, swapIn([0, 1, 2, 3])), null);
  assert.deepEqual(difference(tree, swapIn([1, 2, 3, 0])), { op: "move", node: "a1", parent: "a", after: "a4" });
  assert.deepEqual(difference(tree, swapIn([3, 0, 2])), {
    op: "together",
    ops: [
      { op: "move", node: "a4", parent: "a", after: null },
      { op: "remove", node: "a2" },
    ],
  });
});

test("words of a line are exchanged without touching what is around them", () => {
  assert.equal(timed("s o  o *3 back", 1), "s o  o back");
  assert.equal(timed("s o  o\t×3", 5), "s o  o\t*5");
  assert.equal(timed(" s o back ", 4), " s o back *4 ");
  assert.equal(timed("s o *2", 2), "s o *2");
  assert.equal(retokened("s o back *2", (token, slot) => `${token}+m${slot}`), "s+m0 o+m1 back *2");
});
