/** Pointer, pen and finger on the cloth: pointing lights, touching lays, a drag lays a rib or several picks. */
import { apply, find } from "../../model/draft.js";
import { nearestPick } from "../../scene/geometry.js";
import { at, tokensOf, writtenLine } from "../../scene/strip.js";
import { isAbove } from "./painting.js";
/** @import { Bench } from "./bench.js" */
/** @import { Single } from "../../model/types.d.ts" */

const HOLD_MS = 300;
/** A finger that moved so far does not tap. */
const SLIP = 10;
const RIB = 12;
/** From how many pixels a line a finger may lay by a tap. */
const TOUCH_LINE = 30;

/** @typedef {{ pick: number, line: number, slot: number, column: number, above: boolean }} Hit */
/** @typedef {{ id: number, x: number, y: number, type: string, first: Hit, shaft: number, isRib: boolean, seen: Map<string, Single>, held: boolean }} Stroke */

export class Pointer {
  /** @param {Bench} bench */
  constructor(bench) {
    this.bench = bench;
    /** @type {Stroke | null} */
    this.stroke = null;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.holding = undefined;
    /** @type {Map<number, { x: number, y: number, moved: boolean, at: number }>} */
    this.fingers = new Map();
    /** Where a new line would be laid: the shed, or -1. */
    this.aim = -1;
    /** @type {{ x: number, y: number } | null} */
    this.lens = null;
    const { stage } = bench.painting;
    stage.addEventListener("pointerdown", (event) => this.#down(event));
    stage.addEventListener("pointermove", (event) => this.#move(event));
    stage.addEventListener("pointerup", (event) => this.#up(event));
    stage.addEventListener("pointercancel", (event) => this.#cancel(event));
    stage.addEventListener("pointerleave", () => this.#leave());
    stage.addEventListener("contextmenu", (event) => {
      if (this.stroke?.type === "touch") event.preventDefault();
    });
    stage.addEventListener("touchmove", (event) => {
      if (this.stroke?.held) event.preventDefault();
    }, { passive: false });
  }

  /**
   * What lies under a place of the stage.
   * @param {PointerEvent} event
   * @returns {Hit | null}
   */
  hit(event) {
    const { bench } = this;
    const { painting, scene, state } = bench;
    const placing = painting.placing;
    if (!placing) return null;
    const box = painting.stage.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const up = painting.up(y);
    const column = Math.floor(((x - placing.clothX) * painting.dense) / scene.column);
    if (column < 0 || column >= scene.sight.ends.length) return null;
    const shaft = at(scene.sight.ends, column);
    if (isAbove(placing, up, painting.dense)) {
      const slot = state.piece.technique.sheds.findIndex((shed) => shed.includes(shaft) !== state.view.back);
      return { pick: -1, line: scene.cloth.picks.lines, slot: Math.max(0, slot), column, above: true };
    }
    const shown = state.view.back ? painting.painter.pickAt((x - placing.clothX) * painting.dense - painting.painter.left, y * painting.dense) : -1;
    const pick = shown >= 0 ? shown : nearestPick(scene.sight.shed, scene.middles, shaft, up);
    if (pick < 0 || up < -SLIP * painting.dense) return null;
    const { picks } = scene.cloth;
    return { pick, line: at(picks.line, pick), slot: at(picks.slot, pick), column, above: false };
  }

  /** @param {PointerEvent} event */
  #down(event) {
    const { bench } = this;
    if (event.pointerType === "touch") this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY, moved: false, at: event.timeStamp });
    if (this.fingers.size > 1) {
      this.#drop();
      return;
    }
    if (event.button !== 0) return;
    if (bench.side.isSheeted) {
      bench.side.sheet("");
      return;
    }
    if (bench.overlay.touched(event)) return;
    const first = this.hit(event);
    if (!first) {
      if (event.pointerType !== "touch") bench.store.dispatch({ type: "selected", selection: null });
      return;
    }
    if (event.altKey && !first.above) {
      bench.doings.pickUp(first.line, first.slot);
      return;
    }
    const shaft = at(bench.scene.sight.ends, first.column);
    this.stroke = { id: event.pointerId, x: event.clientX, y: event.clientY, type: event.pointerType, first, shaft, isRib: false, seen: new Map(), held: false };
    if (event.pointerType === "touch") {
      this.holding = setTimeout(() => this.#hold(event), HOLD_MS);
      return;
    }
    bench.painting.stage.setPointerCapture(event.pointerId);
    this.#over(first);
  }

  /** A finger that rests takes the lens: what it is over is shown above it, and lifting lays. @param {PointerEvent} event */
  #hold(event) {
    if (!this.stroke) return;
    this.stroke.held = true;
    this.bench.painting.stage.setPointerCapture(event.pointerId);
    this.#point(event);
    navigator.vibrate?.(8);
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const finger = this.fingers.get(event.pointerId);
    if (finger && Math.hypot(event.clientX - finger.x, event.clientY - finger.y) > SLIP) finger.moved = true;
    if (this.fingers.size > 1) {
      this.#pinch(event);
      return;
    }
    const { stroke } = this;
    if (!stroke || stroke.id !== event.pointerId) {
      if (event.pointerType !== "touch") this.#point(event);
      return;
    }
    if (stroke.type === "touch" && !stroke.held) {
      if (finger?.moved) this.#drop();
      return;
    }
    const [along, across] = [Math.abs(event.clientY - stroke.y), Math.abs(event.clientX - stroke.x)];
    if (!stroke.isRib && along > RIB && along > 2 * across) stroke.isRib = true;
    this.#point(event);
    if (stroke.type === "touch" && !stroke.seen.size && along < RIB && across < RIB) return;
    const hit = this.hit(event);
    if (hit && !hit.above && stroke.type !== "touch") this.#over(stroke.isRib ? this.#onRib(hit, stroke.shaft) : hit);
  }

  /**
   * The bead of the stroke's own shaft beside a hit.
   * @param {Hit} hit
   * @param {number} shaft
   * @returns {Hit}
   */
  #onRib(hit, shaft) {
    const { scene } = this.bench;
    const up = at(scene.middles, hit.pick);
    const pick = nearestPick(scene.sight.shed, scene.middles, shaft, up);
    return pick < 0 ? hit : { ...hit, pick, line: at(scene.cloth.picks.line, pick), slot: at(scene.cloth.picks.slot, pick) };
  }

  /** Lays one more pick of the stroke, to be seen at once. @param {Hit} hit */
  #over(hit) {
    const { stroke, bench } = this;
    if (!stroke || hit.above) return;
    const written = writtenLine(bench.scene, hit.line);
    if (!written) return;
    const name = `${written.node.id} ${hit.slot}`;
    if (stroke.seen.has(name)) return;
    const { state } = bench;
    stroke.seen.set(name, { op: "lay", line: written.node.id, pick: hit.slot + 1, token: state.hand });
    bench.store.dispatch({ type: "placed", cursor: { line: hit.line, slot: hit.slot } });
    if (written.tokens[hit.slot] === state.hand) return;
    try {
      const lays = [...stroke.seen.values()];
      bench.store.dispatch({ type: "stroke", tree: apply(state.tree, { op: "together", ops: lays }) });
    } catch (cause) {
      stroke.seen.delete(name);
      if (cause instanceof Error) bench.refuse(cause.message);
    }
  }

  /** @param {PointerEvent} event */
  #point(event) {
    const hit = this.hit(event);
    const aim = hit?.above ? hit.slot : -1;
    const box = this.bench.painting.stage.getBoundingClientRect();
    this.lens = this.stroke?.held ? { x: event.clientX - box.left, y: event.clientY - box.top } : null;
    if (aim !== this.aim || this.lens) {
      this.aim = aim;
      this.bench.soon();
    }
    this.bench.store.dispatch({ type: "pointed", pick: hit?.pick ?? -1 });
  }

  /** @param {PointerEvent} event */
  #up(event) {
    clearTimeout(this.holding);
    const finger = this.fingers.get(event.pointerId);
    const isSecond = this.fingers.size === 2 && finger && !finger.moved && event.timeStamp - finger.at < HOLD_MS;
    if (isSecond) document.getElementById("undo")?.click();
    const isTap = this.fingers.size === 1 && finger && !finger.moved;
    this.fingers.delete(event.pointerId);
    if (isTap && !this.stroke && !this.hit(event)) this.bench.store.dispatch({ type: "selected", selection: null });
    const { stroke, bench } = this;
    if (!stroke || stroke.id !== event.pointerId) return;
    this.stroke = null;
    this.lens = null;
    if (stroke.type === "touch") {
      this.#lifted(event, stroke);
      return;
    }
    bench.store.dispatch({ type: "stroke", tree: null });
    if (stroke.first.above) bench.layAbove(stroke.first.slot);
    else this.#keep(stroke);
  }

  /**
   * @param {PointerEvent} event
   * @param {Stroke} stroke
   */
  #lifted(event, stroke) {
    const { bench } = this;
    const hit = this.hit(event);
    bench.store.dispatch({ type: "pointed", pick: -1 });
    if (!hit) return;
    if (hit.above) {
      bench.layAbove(hit.slot);
      return;
    }
    bench.place({ line: hit.line, slot: hit.slot }, false);
    if (stroke.held || bench.state.view.linePx >= TOUCH_LINE) bench.lay(hit.line, hit.slot);
    bench.side.speak(bench.words(hit.line, hit.slot));
  }

  /** @param {Stroke} stroke */
  #keep(stroke) {
    const { bench } = this;
    const { state } = bench;
    const lays = [...stroke.seen.values()];
    const [first] = lays;
    if (!first) return;
    const isChange = lays.some((lay) => lay.op === "lay" && tokensOf(find(state.tree, lay.line)?.fields["text"] ?? "")[lay.pick - 1] !== lay.token);
    if (isChange) bench.send(lays.length === 1 ? first : { op: "together", ops: lays }, lays.length === 1 ? "" : "lay picks");
    bench.side.speak(bench.words(stroke.first.line, stroke.first.slot));
  }

  /** Two fingers: nearer or farther, size by size. @param {PointerEvent} event */
  #pinch(event) {
    const [one, other] = [...this.fingers.entries()];
    if (!one || !other) return;
    const [still, moving] = one[0] === event.pointerId ? [other[1], one[1]] : [one[1], other[1]];
    const before = Math.hypot(still.x - moving.x, still.y - moving.y);
    const now = Math.hypot(still.x - event.clientX, still.y - event.clientY);
    if (now > before * 1.25) this.bench.doings.run("larger");
    else if (now < before * 0.8) this.bench.doings.run("smaller");
    else return;
    Object.assign(moving, { x: event.clientX, y: event.clientY });
  }

  /** @param {PointerEvent} event */
  #cancel(event) {
    this.fingers.delete(event.pointerId);
    this.#drop();
  }

  #leave() {
    if (!this.stroke) this.bench.store.dispatch({ type: "pointed", pick: -1 });
    if (this.aim >= 0 && !this.stroke) {
      this.aim = -1;
      this.bench.soon();
    }
  }

  /** Drops the stroke that is being drawn. @returns {boolean} whether there was one */
  drop() {
    return this.#drop();
  }

  #drop() {
    clearTimeout(this.holding);
    const was = this.stroke !== null;
    this.stroke = null;
    this.lens = null;
    if (this.bench.state.stroke) this.bench.store.dispatch({ type: "stroke", tree: null });
    return was;
  }
}

