/** The pages' model of a piece says the same as Python, case by case. */
import assert from "node:assert/strict";
import test from "node:test";
import { apply } from "../../src/weftline/server/static/js/model/draft.js";
import { expandStrip } from "../../src/weftline/server/static/js/model/expand.js";
import { family, lineKin } from "../../src/weftline/server/static/js/model/kin.js";
import { dye, grey, hexToLinear, LUMINANCE, toLinear, toSrgb, woundTogether } from "../../src/weftline/server/static/js/model/light.js";
import { lineText, readLine, tokensWith } from "../../src/weftline/server/static/js/model/line.js";
import { overAt, reach, signatures, sightOf, variation } from "../../src/weftline/server/static/js/model/sight.js";
import { wholePixels } from "../../src/weftline/server/static/js/model/whole.js";
import { given, picksOf, vectors } from "./vectors.js";

const lines = vectors("lines");
const strips = vectors("strips").cases;
const drafts = vectors("drafts").runs;
const sights = vectors("sights").cases;
const lights = vectors("lights");

test("every written line is read, or refused with the same words", () => {
  for (const { text, error, written, ...line } of lines.read) {
    const read = given(() => readLine(text));
    assert.deepEqual(read, error === undefined ? { value: line } : { error, code: undefined }, JSON.stringify(text));
    if (error === undefined) assert.equal(lineText(line), written);
  }
});

test("a token laid into a line leaves the rest as it was written", () => {
  for (const { text, pick, token, laid, error } of lines.laid) {
    const found = given(() => tokensWith(text, pick, token));
    assert.deepEqual(found, laid === undefined ? { error, code: undefined } : { value: laid }, JSON.stringify([text, pick, token]));
  }
});

test("strips are expanded pick by pick, and what cannot be followed is told at its node", () => {
  for (const { piece, strip, picks, windings, troubles } of strips) {
    const cloth = expandStrip(strip, piece);
    assert.deepEqual(cloth.troubles, troubles);
    const named = (/** @type {any[]} */ all, /** @type {Iterable<number>} */ wound) => Array.from(wound, (one) => all[one]);
    assert.deepEqual(named([...cloth.windings], cloth.picks.wound), named(windings, picks.wound));
    const expected = picksOf(picks);
    assert.equal(cloth.picks.lines, picks.lines);
    assert.equal(cloth.picks.length, expected.length);
    for (const name of /** @type {const} */ (["shed", "line", "slot", "band", "written", "step"])) {
      assert.deepEqual(cloth.picks[name], expected[name], name);
    }
    if (!troubles.length) assert.deepEqual(cloth.windings, windings);
  }
});

test("lines and picks of one written line find each other", () => {
  for (const { picks } of strips) {
    const all = picksOf(picks);
    const { source, starts } = lineKin(all);
    const name = (/** @type {number} */ pick) => `${all.band[pick]} ${all.written[pick]}`;
    assert.deepEqual([...starts], [...Array.from({ length: all.lines }, (_, line) => all.line.indexOf(line)), all.length]);
    source.forEach((first, line) => {
      const own = name(starts[line] ?? 0);
      assert.equal(first, [...starts].slice(0, -1).findIndex((pick) => name(pick) === own));
    });
    for (let pick = 0; pick < all.length; pick += 7) {
      const own = `${name(pick)} ${all.slot[pick]}`;
      const expected = Array.from(all.shed.keys()).filter((one) => `${name(one)} ${all.slot[one]}` === own);
      assert.deepEqual([...family(all, pick)], expected);
    }
  }
});

test("commands change a draft, or are refused with the same words", () => {
  for (const { tree, steps, after } of drafts) {
    let draft = tree;
    const start = structuredClone(tree);
    for (const { command, error, code } of steps) {
      const found = given(() => apply(draft, command));
      assert.equal(found.error, error, JSON.stringify(command));
      if (error === undefined) draft = found.value;
      else assert.equal(found.code, code);
    }
    assert.equal(JSON.stringify(draft), JSON.stringify(after));
    assert.deepEqual(tree, start);
  }
});

/** @param {readonly string[]} texts */
function numbered(texts) {
  const number = new Map();
  return texts.map((text) => number.get(text) ?? number.set(text, number.size).get(text));
}

test("a strip as seen: rows, floating ends, reach and variation", () => {
  for (const { picks, ends, line_px, line_mm, back, edge, ...expected } of sights) {
    const sight = sightOf(picksOf(picks), { ends, linePx: line_px, lineMm: line_mm, back, edge });
    assert.deepEqual([...sight.feet], expected.feet);
    assert.deepEqual([...sight.shed], expected.own_shed);
    assert.deepEqual([...overAt(sight.wound)], expected.over);
    assert.equal(reach(sight), expected.reach);
    assert.equal(variation(sight), expected.phase);
  }
});

test("bands of one signature look alike by Python's keys, wherever all that counts lies near", () => {
  let [alike, texts, keys] = [0, 0, 0];
  for (const { picks, ends, line_px, line_mm, back, edge, ...expected } of sights) {
    const sight = sightOf(picksOf(picks), { ends, linePx: line_px, lineMm: line_mm, back, edge });
    const recipe = { around: reach(sight), phase: variation(sight) };
    const all = signatures(recipe, sight);
    const inside = signatures(recipe, sight, 0, all.length - 1, false);
    if (all.every((text) => Number.parseInt(text, 10) === recipe.around)) {
      assert.deepEqual(numbered(all), expected.keys);
      assert.deepEqual(numbered(inside), expected.keys_inside);
      alike += 1;
    }
    texts += new Set(all).size;
    keys += new Set(expected.keys).size;
    const [from, to] = [Math.floor(all.length / 3), Math.floor((2 * all.length) / 3)];
    assert.deepEqual(signatures(recipe, sight, from, to), all.slice(from, to + 1));
  }
  assert.ok(alike >= 15 && texts <= keys, `${alike} strips, ${texts} signatures, ${keys} keys`);
});

test("a line that leaves out a pick changes the signatures near it alone", () => {
  const signed = (/** @type {string} */ odd, /** @type {boolean} */ back) => {
    const children = Array.from({ length: 60 }, (_, at) => ({ id: `${at}`, kind: /** @type {const} */ ("line"), fields: { text: at === 20 ? odd : "o s o" }, children: [] }));
    const strip = { id: "s", kind: /** @type {const} */ ("strip"), fields: {}, children: [{ id: "b", kind: /** @type {const} */ ("band"), fields: {}, children }] };
    const { picks } = expandStrip(strip, { sheds: [1, 2, 4], strands: { o: 1, s: 1 }, lineMm: 3 });
    const sight = sightOf(picks, { ends: [1, 2, 3, 2, 1, 2, 3, 2, 1], linePx: 24, lineMm: 3, back });
    return new Set(signatures({ around: reach(sight), phase: variation(sight) }, sight));
  };
  for (const back of [false, true]) {
    const before = signed("o s o", back);
    for (const [odd, most] of /** @type {[string, number][]} */ ([["o o o", 0], ["o s o back", 45], ["s o -", 90]])) {
      const news = [...signed(odd, back)].filter((text) => !before.has(text));
      assert.ok(news.length <= most && (most === 0 || news.length > 0), `${odd}: ${news.length}`);
    }
  }
});

test("the vectors have far neighbours, backs and floating ends among them", () => {
  const far = sights.filter((/** @type {any} */ one) => {
    const sight = sightOf(picksOf(one.picks), { ends: one.ends, linePx: one.line_px, lineMm: one.line_mm, back: one.back });
    return signatures({ around: reach(sight), phase: one.phase }, sight).some((text) => text.split("|")[0]?.includes(","));
  });
  assert.ok(far.length >= 5);
  assert.ok(far.some((/** @type {any} */ one) => one.back) && far.some((/** @type {any} */ one) => !one.back));
});

/** @param {readonly number[]} found @param {readonly number[]} expected */
function near(found, expected) {
  found.forEach((value, at) => assert.ok(Math.abs(value - (expected[at] ?? NaN)) <= 1e-14, `${value} ${expected[at]}`));
}

test("colours are the same light", () => {
  for (const { value, linear, srgb } of lights.values) near([toLinear(value), toSrgb(value)], [linear, srgb]);
  for (const { colour, light } of lights.colours) near(hexToLinear(colour), light);
  for (const { parts, light } of lights.mixes) {
    near(woundTogether(parts.map((/** @type {[string, number]} */ [colour, share]) => [hexToLinear(colour), share])), light);
  }
});

test("yarns are dyed to the same bytes", () => {
  for (const { colour, seen, table } of lights.tables) assert.deepEqual([...dye(hexToLinear(colour), seen)], table, colour);
});

test("a table without hue is as bright as the one with it", () => {
  const bright = (/** @type {ArrayLike<number>} */ rgb) => LUMINANCE.reduce((sum, part, at) => sum + part * toLinear((rgb[at] ?? 0) / 255), 0);
  for (const { table } of lights.tables) {
    const greys = grey(Uint8Array.from(table));
    for (let at = 0; at < greys.length; at += 3) {
      const own = greys.subarray(at, at + 3);
      assert.ok(own[0] === own[1] && own[1] === own[2]);
      assert.ok(Math.abs(toSrgb(bright(own)) - toSrgb(bright(table.slice(at, at + 3)))) <= 0.5 / 255 + 1e-9);
    }
  }
});

test("a whole strip in a few pixels is the mean of its beads", () => {
  for (const { picks, ends, back, lights: windings, warp, size, pixels } of vectors("wholes").cases) {
    const [width, height] = size;
    const found = wholePixels(picksOf(picks), windings, { ends, width, height, warp, back });
    const apart = pixels.map((/** @type {number} */ value, /** @type {number} */ at) => Math.abs(value - (found[4 * Math.floor(at / 3) + (at % 3)] ?? NaN)));
    assert.ok(apart.every((/** @type {number} */ one) => one <= 1), JSON.stringify(size));
    assert.ok(apart.filter((/** @type {number} */ one) => one > 0).length <= 2);
    assert.equal(found.length, 4 * width * height);
  }
});
