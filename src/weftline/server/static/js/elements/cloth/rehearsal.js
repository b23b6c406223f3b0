/** While nothing is asked a stroke is drawn and taken back before it is shown, so that the first real one is as quick as the tenth. */
import { apply } from "../../model/draft.js";
import { at, sceneMaker, writtenLine } from "../../scene/strip.js";
import { commandOf } from "../../state/edits.js";
/** @import { Bench } from "./bench.js" */
/** @import { Design } from "../../state/design.js" */

/** Strokes that are rehearsed; what a browser runs often it makes quick. */
const ROUNDS = 8;
/** Looks for wool and for a moment of rest before it is given up. */
const TRIES = 60;
const WAIT_MS = 100;

const whenIdle = /** @type {(act: () => void) => void} */ (window.requestIdleCallback ?? ((act) => setTimeout(act, WAIT_MS)));

/** @param {Bench} bench */
export function rehearse(bench) {
  const make = sceneMaker();
  const step = (/** @type {number} */ round, /** @type {number} */ tries) => {
    if (round >= ROUNDS || tries >= TRIES) return;
    const state = bench.isKept && bench.state.pointed < 0 ? stroked(bench, round) : null;
    if (state) {
      bench.paint(state, make(state, bench.painting.room(bench.slots), bench.painting.dense));
      bench.paint(bench.state, bench.scene);
    }
    setTimeout(() => whenIdle(() => step(round + Number(Boolean(state)), tries + 1)), state ? 0 : WAIT_MS);
  };
  whenIdle(() => step(0, 0));
}

/**
 * What is seen now, with a stroke in the middle of it; null where there is no wool in sight.
 * @param {Bench} bench
 * @param {number} round another yarn each time
 * @returns {Design | null}
 */
function stroked({ state, scene, painting }, round) {
  const { painter } = painting;
  if (!painter.scene || !painter.book.recipe || !scene.cloth.picks.length) return null;
  const [first, last] = painter.bands();
  const pick = Math.min(scene.cloth.picks.length - 1, Math.max(0, Math.round((first + last) / 2)));
  const [line, slot] = [at(scene.cloth.picks.line, pick), at(scene.cloth.picks.slot, pick)];
  const written = writtenLine(scene, line);
  const yarns = state.piece.yarns.filter((yarn) => !yarn.is_warp);
  const token = yarns[round % yarns.length]?.key;
  if (!written || !token) return null;
  const command = commandOf(state.tree, { type: "layPick", line: written.node.id, slot: slot + 1, token }, () => "rehearsed");
  return { ...state, stroke: command ? apply(state.tree, command) : null, pointed: pick, cursor: { line, slot } };
}
