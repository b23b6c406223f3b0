/** The sheet of swaps as live cloths: drawn here at once, not waited for. */
import { apply } from "../../model/draft.js";
import { element } from "../../page/element.js";
import { sceneMaker } from "../../scene/strip.js";
import { commandOf } from "../../state/edits.js";
import { small } from "./small.js";
/** @import { Bench } from "./bench.js" */

/**
 * Puts a living cloth in the place of every picture of the sheet.
 * @param {Bench} bench
 * @param {Element} sheet
 */
export function liveSwaps(bench, sheet) {
  const list = sheet.querySelector("[data-lines]");
  if (!(list instanceof HTMLElement)) return;
  const from = list.dataset["yarn"] ?? "";
  const lines = (list.dataset["lines"] ?? "").split(",").filter(Boolean);
  const { state } = bench;
  const ends = state.piece.sections[state.section]?.strips[state.strip]?.ends ?? [];
  for (const picture of list.querySelectorAll("img[data-to]")) {
    if (!(picture instanceof HTMLImageElement)) continue;
    const command = commandOf(state.tree, { type: "swapYarn", lines: lines.length ? lines : null, from, to: picture.dataset["to"] ?? "" }, bench.page.freshId);
    const tree = command ? apply(state.tree, command) : state.tree;
    const swapped = sceneMaker()({ ...state, tree, stroke: null }, bench.painting.room(bench.slots), bench.painting.dense);
    const size = { width: picture.width, height: Math.max(8, picture.height) };
    const canvas = element("canvas", { ...size, class: "cloth", role: "img", "aria-label": picture.alt });
    canvas.getContext("2d")?.putImageData(small(state.piece, swapped, ends, size), 0, 0);
    picture.replaceWith(canvas);
  }
}
