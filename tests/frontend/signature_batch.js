/** Reads a list of strips as seen and writes the signatures of their bands: with floating ends, and without. */
import { readFileSync } from "node:fs";
import { reach, signatures, sightOf, variation } from "../../src/weftline/server/static/js/model/sight.js";
import { picksOf } from "./vectors.js";

/** @param {any} strip */
function signed({ picks, ends, line_px, line_mm, back, edge }) {
  const sight = sightOf(picksOf(picks), { ends, linePx: line_px, lineMm: line_mm, back, edge });
  const recipe = { around: reach(sight), phase: variation(sight) };
  return [true, false].map((edges) => signatures(recipe, sight, 0, sight.shed.length + 1, edges));
}

process.stdout.write(JSON.stringify(JSON.parse(readFileSync(0, "utf8")).map(signed)));
