/** How quickly the pages' model answers: `node bench/js_model.mjs`. Each line: first time, and the middle of 60, in ms. */
import { expandStrip } from "../src/weftline/server/static/js/model/expand.js";
import { family, lineKin } from "../src/weftline/server/static/js/model/kin.js";
import { dye, hexToLinear } from "../src/weftline/server/static/js/model/light.js";
import { reach, signatures, sightOf, variation } from "../src/weftline/server/static/js/model/sight.js";

const LINES = 3000;
const ENDS = Array.from({ length: 300 }, (_, end) => [1, 2, 3, 2][end % 4] ?? 1);
const piece = { sheds: [1, 2, 4], strands: { o: 2, s: 2, m: 1 }, lineMm: 10 / 3.75 };

/** Lines of many texts, made by a generator of Park and Miller. */
function irregular() {
  let state = 7;
  const dice = (/** @type {number} */ sides) => (state = (state * 48271) % 2147483647) % sides;
  const tokens = ["o", "s", "m", "o+s", "o+m", "-"];
  return Array.from({ length: LINES }, () => ["o", tokens[dice(6)], tokens[dice(6)], ...(dice(4) ? [] : ["back"])].join(" "));
}

/** @param {readonly string[]} texts */
function stripOf(texts) {
  const children = texts.map((text, at) => ({ id: `l${at}`, kind: /** @type {const} */ ("line"), fields: { text }, children: [] }));
  const band = { id: "b", kind: /** @type {const} */ ("band"), fields: {}, children };
  return { id: "s", kind: /** @type {const} */ ("strip"), fields: { ends: ENDS.length }, children: [band] };
}

/** @param {string} name @param {() => unknown} ask */
function time(name, ask) {
  const took = Array.from({ length: 61 }, () => {
    const start = performance.now();
    ask();
    return performance.now() - start;
  });
  const later = took.slice(1).sort((one, other) => one - other);
  console.log(`${name.padEnd(44)} ${(took[0] ?? 0).toFixed(2).padStart(7)} ${(later[30] ?? 0).toFixed(2).padStart(7)}`);
}

const texts = irregular();
const strip = stripOf(texts);
const { picks } = expandStrip(strip, piece);
console.log(`${LINES} irregular lines, ${picks.length} picks, ${ENDS.length} ends`);
time("expandStrip", () => expandStrip(strip, piece));
time("lineKin", () => lineKin(picks));
time("family", () => family(picks, 4000));
for (const back of [false, true]) {
  const view = { ends: ENDS, linePx: 24, lineMm: piece.lineMm, back, edge: /** @type {const} */ ({ kind: "floating", ends: 1 }) };
  const side = back ? "back" : "face";
  time(`sight, ${side}`, () => sightOf(picks, view));
  time(`reach and variation, ${side}`, () => [reach(sightOf(picks, view)), variation(sightOf(picks, view))]);
  const sight = sightOf(picks, view);
  const recipe = { around: reach(sight), phase: variation(sight) };
  time(`signatures of 400 bands, ${side}, same cloth`, () => signatures(recipe, sight, 4000, 4399));
  time(`signatures of 400 bands, ${side}, another cloth`, () => signatures(recipe, { ...sight }, 4000, 4399));
}
const seen = Array.from({ length: 256 }, (_, shade) => Math.round(1e4 * Math.exp(-(((shade - 127) / 30) ** 2))));
time("dye", () => dye(hexToLinear("#a8382c"), seen));
