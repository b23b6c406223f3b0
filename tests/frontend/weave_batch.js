/** Tells every throw of pieces as the page reckons them: [section, piece, strip, index, line, pick, shed, strands], lines and mm to go. */
import { readFileSync } from "node:fs";
import { expandStrip } from "../../src/weftline/server/static/js/model/expand.js";
import { PlannedThrows } from "../../src/weftline/server/static/js/model/throwing.js";

const pieces = JSON.parse(readFileSync(0, "utf-8"));
const told = pieces.map(({ tree, facts, pieces: times }) => {
  const plan = new PlannedThrows(
    tree.children.map((section, place) => ({
      pieces: times[place],
      strips: section.children.map((strip) => ({ id: strip.id, cloth: expandStrip(strip, facts) })),
    })),
  );
  return Array.from({ length: plan.total }, (_, place) => {
    const one = plan.at(place + 1);
    const { lines, mm } = plan.toGo(place + 1);
    return [one.section, one.piece, one.strip, one.index, one.line, one.pick, one.shed, one.strands, lines, mm];
  });
});
process.stdout.write(JSON.stringify(told));
