import assert from "node:assert/strict";
import { test } from "node:test";
import { fitting } from "../../src/weftline/server/static/js/render/brackets.js";
import { drawMark, pathSteps, readMark } from "../../src/weftline/server/static/js/render/marks.js";
import { beginnings, drawStair, ovalAt } from "../../src/weftline/server/static/js/render/stair.js";
import { recordingPen } from "./render-fakes.js";

const LOOK = {
  bracketX: 100,
  numberX: 142,
  stairX: 166,
  step: 24,
  ink: "ink",
  quiet: "quiet",
  edge: "edge",
  page: "page",
  font: "14px plain",
  bold: "bold 14px plain",
};
const DOT = readMark("<circle cx='6' cy='6' r='2' fill='currentColor' stroke='none'/>");

/**
 * Lines of 24 px from line 1, the foot at y = 24 * count.
 * @param {(string | null)[][]} texts
 * @param {Record<number, number>} [sources]
 */
function linesOf(texts, sources = {}) {
  return texts.map((tokens, place) => ({
    number: place + 1,
    y: 24 * (texts.length - place - 1),
    height: 24,
    tokens,
    source: sources[place + 1] ?? null,
    foot: place === 0,
  }));
}

/** @param {Record<string, any>} more */
function sceneOf(more) {
  const lines = more["lines"] ?? [];
  const looks = (/** @type {string} */ token) => ({ marks: [DOT], colour: `colour ${token}`, ink: `ink on ${token}` });
  return { lines, bands: [], looks, pointed: null, family: [], chosen: null, slots: 3, height: 24 * lines.length + 40, foot: 24 * lines.length, ...more };
}

/** @param {any[][]} said @returns {string[]} */
const texts = (said) => said.filter(([name]) => name === "fillText").map((one) => one[1]);

test("ovals lie at the true offsets of their picks, pick 1 lowest", () => {
  const [line] = linesOf([["o", "r", "s"]]);
  assert.ok(line);
  assert.deepEqual([0, 1, 2].map((slot) => ovalAt(line, slot, LOOK)).map(({ x, y }) => [x, Math.round(y)]), [[166, 20], [190, 12], [214, 4]]);
  const [two] = linesOf([["o", "r"]]);
  assert.ok(two);
  assert.deepEqual([0, 1].map((slot) => ovalAt(two, slot, LOOK).y), [18, 6]);
});

test("a mark stands only where a yarn begins in its column; above a repeat it begins anew", () => {
  const lines = linesOf([["o", "o", "r"], ["o", "s", "r"], ["o", "s", "r"], ["o", "s", "r"]], { 3: 1 });
  const found = beginnings(lines);
  assert.deepEqual(found.get(1), [true, true, true]);
  assert.deepEqual(found.get(2), [false, true, false]);
  assert.deepEqual(found.get(4), [true, true, true]);
  assert.deepEqual(beginnings(linesOf([[null, "o", "o"]])).get(1), [false, true, true]);
});

test("every fifth line, band feet, repeats and the line pointed at have numbers; repeats name their source", () => {
  const lines = linesOf(Array.from({ length: 12 }, () => ["o", "o", "o"]), { 11: 2, 12: 3 });
  const pen = recordingPen();
  drawStair(pen, sceneOf({ lines, pointed: { line: 8, slot: 1 } }), LOOK);
  assert.deepEqual(texts(pen.said).sort(), ["1", "1", "10", "11", "12", "2", "3", "5", "8", "‹2", "‹3"].sort()); // 1 2 3 at the foot
  const [pointed] = pen.said.filter((/** @type {any[]} */ one) => one[1] === "8");
  assert.equal(pointed?.at(-1).font, LOOK.bold);
  const [five] = pen.said.filter((/** @type {any[]} */ one) => one[1] === "5");
  assert.equal(five?.at(-1).font, LOOK.font);
});

test("numbers never stand over each other; the one pointed at stands", () => {
  const lines = linesOf(Array.from({ length: 12 }, () => ["o", "o", "o"])).map((line) => ({ ...line, y: line.y / 4, height: 6 }));
  const pen = recordingPen();
  const hits = drawStair(pen, sceneOf({ lines, foot: 72, height: 70, pointed: { line: 4, slot: 0 } }), LOOK);
  assert.deepEqual(texts(pen.said).sort(), ["1", "10", "4"]); // 5 is too near to 4
  assert.ok(!hits.some(({ kind }) => kind === "oval"));
});

test("only the oval pointed at is filled, in its yarn's colour", () => {
  const lines = linesOf([["o", "r", "s"], ["o", "r", "s"]]);
  const pen = recordingPen();
  drawStair(pen, sceneOf({ lines, pointed: { line: 2, slot: 1 } }), LOOK);
  const fills = pen.said.filter((/** @type {any[]} */ one) => one[0] === "fill").map((/** @type {any[]} */ one) => one.at(-1).fillStyle);
  assert.deepEqual(fills.filter((/** @type {string} */ one) => one.startsWith("colour")), ["colour r"]);
  assert.ok(fills.includes("ink on r"));
});

test("pointing at a repeat fills the oval of the line that is repeated, and ties the two", () => {
  const lines = linesOf([["o", "r", "s"], ["m", "m", "m"], ["o", "r", "s"]], { 3: 1 });
  const pen = recordingPen();
  drawStair(pen, sceneOf({ lines, pointed: { line: 3, slot: 2 }, family: [{ line: 1, slot: 2 }, { line: 3, slot: 2 }] }), LOOK);
  const fills = pen.said.filter((/** @type {any[]} */ one) => one[0] === "fill").map((/** @type {any[]} */ one) => one.at(-1).fillStyle);
  assert.ok(fills.includes("colour s"));
  const ties = pen.said.filter((/** @type {any[]} */ one) => one[0] === "bezierCurveTo");
  assert.equal(ties.length, 1);
  const [, , from, , , x, y] = ties[0] ?? [];
  assert.equal(from, 12); // from the middle of line 3
  const oval = ovalAt(lines[0] ?? assert.fail(), 2, LOOK);
  assert.equal(y, oval.y);
  assert.ok(x > oval.x);
});

test("what can be touched is told: numbers, ovals, sources", () => {
  const lines = linesOf([["o", "r", "s"], ["o", "r", "s"]], { 2: 1 });
  const hits = drawStair(recordingPen(), sceneOf({ lines }), LOOK);
  /** @param {number} x @param {number} y */
  const at = (x, y) => hits.filter((one) => x >= one.x && x < one.x + one.width && y >= one.y && y < one.y + one.height).at(-1);
  const oval = at(190, 36);
  assert.ok(oval?.kind === "oval" && oval.line === 1 && oval.slot === 1);
  const source = at(170, 12);
  assert.ok(source?.kind === "source" && source.line === 2 && source.source === 1);
  const number = at(130, 40);
  assert.ok(number?.kind === "line" && number.line === 1);
});

test("a band has a bracket, its name, a notch if mirrored, and a handle at its upper end", () => {
  const bands = [
    { key: "a", name: "Teeth", says: "6, mirrored", top: 40, bottom: 160, middle: 100, open: false },
    { key: "b", name: "A band with a very long name indeed", says: "", top: -300, bottom: 40, middle: null, open: false },
    { key: "c", name: "Beyond", says: "", top: 500, bottom: 600, middle: null, open: false },
  ];
  const pen = recordingPen();
  const hits = drawStair(pen, sceneOf({ bands, height: 200 }), LOOK);
  assert.deepEqual(texts(pen.said), ["Teeth", "6, mirrored", "A band with…"]);
  assert.deepEqual(hits.map(({ kind }) => kind), ["band", "band", "handle"]);
  const handle = hits.find((one) => one.kind === "handle");
  assert.ok(handle && handle.band === "a" && handle.width >= 24 && handle.x < 100 && handle.y < 41 && handle.y + handle.height > 41);
  const notches = pen.said.filter((/** @type {any[]} */ one) => one[0] === "closePath");
  assert.equal(notches.length, 1);
});

test("a text that is too long ends in an ellipsis, and in nothing where there is no room at all", () => {
  const pen = { measureText: (/** @type {string} */ text) => ({ width: 10 * [...text].length }) };
  assert.equal(fitting(pen, "Teeth", 50), "Teeth");
  assert.equal(fitting(pen, "Teeth there", 70), "Teeth…");
  assert.equal(fitting(pen, "Teeth", 15), "");
});

test("marks are read from their drawings, groups and all", () => {
  const glass = readMark("<path d='M1.8 1.6H10.2L1.8 10.4H10.2Z' fill='currentColor' stroke='none'/>");
  assert.deepEqual(glass.parts, [
    { stroke: 0, steps: [["M", 1.8, 1.6], ["L", 10.2, 1.6], ["L", 1.8, 10.4], ["L", 10.2, 10.4], ["Z"]] },
  ]);
  const under = readMark(
    "<g transform='translate(1.8 0) scale(.7)'><path d='M6 1V10' fill='none' stroke='currentColor' stroke-width='2'/></g><path d='M1 11.6H11' stroke='currentColor' stroke-width='.9'/>",
  );
  assert.equal(under.parts.length, 2);
  const [first, second] = under.parts;
  assert.ok(first && Math.abs(first.stroke - 1.4) < 1e-9);
  assert.deepEqual(first?.steps.map((step) => step.slice(1).map((one) => Math.round(Number(one) * 10) / 10)), [[6, 0.7], [6, 7]]);
  assert.equal(second?.stroke, 0.9);
});

test("an arc ends where it should and goes round on its own side", () => {
  const steps = pathSteps("M1 4.2H11A5 5 0 0 1 1 4.2Z"); // a bowl: the half circle below
  const arc = steps.find((step) => step[0] === "E");
  assert.ok(arc?.[0] === "E");
  const [, x, y, rx, ry, turn, from, to, left] = arc;
  assert.ok(Math.abs(x - 6) < 1e-9 && Math.abs(y - 4.2) < 1e-9 && rx === 5 && ry === 5 && turn === 0);
  assert.ok(Math.abs(Math.cos(from) - 1) < 1e-9 && Math.abs(Math.cos(to) + 1) < 1e-9);
  assert.equal(left, false); // clockwise on a page whose y goes down: through the lowest point
  const small = pathSteps("m0 0a3 3 0 1 0 3 3").at(-1);
  assert.ok(small?.[0] === "E");
  // from (0, 0) to (3, 3) with radius 3, the long way, against the clock: the middle is (0, 3) or (3, 0)
  const [, cx, cy, , , , a, b] = small;
  assert.deepEqual([Math.round(cx), Math.round(cy)], [0, 3]);
  assert.ok(Math.abs(cx + 3 * Math.cos(a)) < 1e-9 && Math.abs(cy + 3 * Math.sin(a)) < 1e-9);
  assert.ok(Math.abs(cx + 3 * Math.cos(b) - 3) < 1e-9 && Math.abs(cy + 3 * Math.sin(b) - 3) < 1e-9);
});

test("a mark is drawn in its square", () => {
  const pen = recordingPen();
  drawMark(pen, readMark("<path d='M0 0H12' fill='none' stroke='currentColor' stroke-width='2'/>"), { x: 100, y: 50, size: 24, ink: "ink" });
  assert.deepEqual(pen.said.map((/** @type {any[]} */ one) => one.slice(0, -1)), [["beginPath"], ["moveTo", 88, 38], ["lineTo", 112, 38], ["stroke"]]);
  assert.equal(pen.said.at(-1)?.at(-1).lineWidth, 4);
});
