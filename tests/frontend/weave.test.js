/** Weaving as a page reckons it by itself: the order of throws, taking back, sides of shuttles, the fell, the arc, rebounds. */
import assert from "node:assert/strict";
import test from "node:test";
import { arcOf, arcWords, corrected } from "../../src/weftline/server/static/js/model/arc.js";
import { expandStrip } from "../../src/weftline/server/static/js/model/expand.js";
import { fellOf, structureOf } from "../../src/weftline/server/static/js/model/fell.js";
import { PlannedThrows } from "../../src/weftline/server/static/js/model/throwing.js";
import { isFromLeft, pedal, weave } from "../../src/weftline/server/static/js/state/weaving.js";

const facts = { sheds: [1, 2, 4], strands: { o: 1, s: 1 }, lineMm: 2.5, shafts: 3 };
let ids = 0;

/** @param {...string} lines */
function strip(...lines) {
  const node = (kind, fields, children) => ({ id: `n${(ids += 1)}`, kind, fields, children });
  const band = node("band", {}, lines.map((text) => node("line", { text }, [])));
  const own = node("strip", {}, [band]);
  return { id: own.id, cloth: expandStrip(own, facts) };
}

const START = { ordinal: 1, laid: [], below: 0, passes: {} };

/** Throws so many picks of a plan. */
function thrown(plan, count, woven = START) {
  for (let time = 0; time < count; time += 1) {
    const { stripId, shed, strands, ordinal } = plan.at(woven.ordinal);
    woven = weave(woven, { type: "thrown", throw: { strip: stripId, shed, strands, plan: ordinal } });
  }
  return woven;
}

test("each shed is used on every strip before it changes, piece after piece", () => {
  const [left, right] = [strip("o o o", "s o o"), strip("o o o")];
  const plan = new PlannedThrows([{ pieces: 2, strips: [left, right] }]);
  assert.equal(plan.total, 18);
  const said = Array.from({ length: 9 }, (_, place) => plan.at(place + 1)).map((one) => [one.strip, one.line, one.pick, one.of, one.shed]);
  assert.deepEqual(said, [[0, 1, 1, 3, 1], [1, 1, 1, 3, 1], [0, 1, 2, 3, 2], [1, 1, 2, 3, 2], [0, 1, 3, 3, 4], [1, 1, 3, 3, 4], [0, 2, 1, 3, 1], [0, 2, 2, 3, 2], [0, 2, 3, 3, 4]]);
  assert.deepEqual([plan.at(10).piece, plan.at(10).line, plan.at(0), plan.at(19)], [2, 1, null, null]);
  assert.deepEqual([4, 8, 9, 16].map((one) => plan.lineStart(one)), [1, 7, 7, 16]);
  const { lines, mm } = plan.toGo(7);
  assert.equal(lines, 2);
  assert.ok(Math.abs(mm - 7.5) < 1e-9, `${mm}`);
});

test("unweaving brings back everything as it was, the sides of the shuttles too", () => {
  const plan = new PlannedThrows([{ pieces: 1, strips: [strip("o o o", "s o o")] }]);
  const steps = [START];
  for (let time = 0; time < 6; time += 1) steps.push(thrown(plan, 1, steps.at(-1)));
  const [slate, oat] = [[["s", 1]], [["o", 1]]];
  const sides = steps.map((one) => [oat, slate].map((strands) => isFromLeft(one, plan.at(1).stripId, strands)));
  assert.deepEqual(sides, [[true, true], [false, true], [true, true], [false, true], [false, false], [true, false], [false, false]]);
  for (let back = 6; back > 0; back -= 1) {
    const woven = weave(steps[6], { type: "unwoven", throws: back });
    assert.equal(woven.ordinal, steps[6 - back].ordinal);
    assert.deepEqual(woven.laid, steps[6 - back].laid);
    assert.equal(isFromLeft(woven, plan.at(1).stripId, oat), sides[6 - back][0]);
  }
  assert.equal(weave(steps[2], { type: "unwoven", throws: 9 }).ordinal, 1);
});

test("a skipped pick comes back when what was thrown after it is taken back, and is then next as before", () => {
  const plan = new PlannedThrows([{ pieces: 1, strips: [strip("o o o *3")] }]);
  const skipped = weave(thrown(plan, 2), { type: "skipped", throws: 1 });
  assert.equal(skipped.ordinal, 4);
  const after = thrown(plan, 1, skipped);
  assert.equal(weave(after, { type: "unwoven", throws: 1 }).ordinal, 4);
  assert.equal(weave(after, { type: "unwoven", throws: 2 }).ordinal, 2);
});

test("the fell is whole lines up to the last pick, and alike once a line", () => {
  const plan = new PlannedThrows([{ pieces: 1, strips: [strip("o o o *5", "s o o *15")] }]);
  const id = plan.at(1).stripId;
  const fells = [31, 32, 33, 34, 35].map((count) => fellOf(thrown(plan, count), plan, id, 6));
  assert.deepEqual(fells.map((one) => one.lines), [[3, 3, 3, 3, 3, 1], [3, 3, 3, 3, 3, 2], [3, 3, 3, 3, 3, 3], [3, 3, 3, 3, 3, 1], [3, 3, 3, 3, 3, 2]]);
  assert.deepEqual(fells[0].numbers, [6, 7, 8, 9, 10, 11]);
  assert.equal(structureOf(fells[0], false), structureOf(fells[3], false));
  assert.notEqual(structureOf(fells[0], false), structureOf(fells[1], false));
  assert.deepEqual(fellOf(START, plan, id, 6).sheds, []);
});

test("a fell whose throws nobody told of is as planned, and a second piece begins anew", () => {
  const plan = new PlannedThrows([{ pieces: 2, strips: [strip("o o o *4")] }]);
  const id = plan.at(1).stripId;
  const told = fellOf(thrown(plan, 8), plan, id, 6);
  const untold = fellOf({ ...START, ordinal: 9 }, plan, id, 6);
  assert.deepEqual(untold, told);
  assert.deepEqual(fellOf(thrown(plan, 14), plan, id, 6).lines, [2]);
  assert.deepEqual(fellOf({ ...START, ordinal: 15 }, plan, id, 6).lines, [2]);
});

test("a shallow arc is longer than its width by the extra, as one or as several", () => {
  for (const [width, share] of [[280, 0.1], [900, 0.15], [1200, 0.02]]) {
    const { arcs, width: wide, height } = arcOf(width, share);
    let [length, steps] = [0, 20000];
    const y = (x) => (4 * height * x * (wide - x)) / wide ** 2;
    for (let step = 0; step < steps; step += 1) length += Math.hypot(wide / steps, y((wide * (step + 1)) / steps) - y((wide * step) / steps));
    assert.ok(Math.abs((length * arcs) / width - 1 - share) < 0.35 * share ** 1.5 + 1e-6, `${width} ${share}: ${(length * arcs) / width - 1}`);
    assert.ok(wide <= 300);
  }
  assert.equal(arcOf(200, 0).height, 0);
  assert.equal(arcWords(250, 0.15, false), "Lay the weft in one arc, 59 mm high in the middle.");
});

test("cloth that drew in asks for more weft, cloth that spread for less", () => {
  assert.ok(Math.abs(corrected(400, 0.1, 400) - 0.1) < 1e-12);
  assert.ok(Math.abs(corrected(400, 0.1, 380) - (440 / 380 - 1)) < 1e-12);
  assert.equal(corrected(400, 0.1, 460), 0);
});

test("a press counts unless it rebounds or is held", () => {
  const counts = pedal();
  assert.deepEqual([[0, false], [40, false], [249, false], [250, false], [700, true], [760, false], [1300, false]].map(([at, repeat]) => counts(at, repeat)), [true, false, false, true, false, true, true]);
});
