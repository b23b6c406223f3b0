/** Puts the bench of the cloth onto the Design page. */
import { fetchPiece } from "../../api/piece.js";
import { Bench } from "./bench.js";
/** @import { Holding } from "../../page/holding.js" */

/**
 * @param {{ holding: Holding, refresh: () => Promise<void>, freshId: () => string }} page
 * @returns {{ shown: () => Promise<void> } | null} null on every other page
 */
export function mountCloth(page) {
  const work = document.getElementById("work");
  const id = work?.dataset["cloth"];
  if (!work || !id) return null;
  document.documentElement.classList.add("live");
  /** @type {Bench | null} */
  let bench = null;
  const ready = fetchPiece(id).then((piece) => {
    if (piece) bench = new Bench(work, piece, page);
  });
  return {
    async shown() {
      await ready;
      await bench?.shown();
    },
  };
}
