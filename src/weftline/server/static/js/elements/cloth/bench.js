/** The bench of the cloth: state, strokes on their way, and everything on the page that shows or changes them. */
import { fetchPiece } from "../../api/piece.js";
import { apply, pathTo } from "../../model/draft.js";
import { sayWord } from "../../page/says.js";
import { at, pickOf, runningLine, sceneMaker, writtenLine } from "../../scene/strip.js";
import { reduceDesign, startOf } from "../../state/design.js";
import { commandOf } from "../../state/edits.js";
import { createStore } from "../../state/store.js";
import { askAbout } from "./clash.js";
import { Corner } from "./corner.js";
import { Doings } from "./doings.js";
import { Overlay } from "./overlay.js";
import { Painting } from "./painting.js";
import { Pegs } from "./pegs.js";
import { Pointer } from "./pointer.js";
import { rehearse } from "./rehearsal.js";
import { Side } from "./side.js";
/** @import { Command, Single, Tree } from "../../model/types.d.ts" */
/** @import { Holding } from "../../page/holding.js" */
/** @import { Cursor, Design, DesignAction, Piece } from "../../state/design.js" */
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Intention } from "../../state/edits.js" */

/** Where bead sizes and views of this browser are kept. */
const SIZE = "weftline-line-px";

export class Bench {
  /**
   * @param {HTMLElement} work
   * @param {Piece} piece
   * @param {{ holding: Holding, refresh: () => Promise<void>, freshId: () => string }} page
   */
  constructor(work, piece, page) {
    this.work = work;
    this.page = page;
    this.id = work.dataset["cloth"] ?? "";
    const view = { back: work.dataset["back"] === "1", marks: work.dataset["marks"] === "1", values: false, linePx: 24 };
    const start = startOf(piece, { section: Number(work.dataset["section"]), strip: Number(work.dataset["strip"]), view });
    /** @type {{ get: () => Design, dispatch: (action: DesignAction) => void, subscribe: (listener: (state: Design, before: Design) => void) => () => boolean }} */
    this.store = createStore(start, reduceDesign);
    this.make = sceneMaker();
    this.sent = 0;
    this.frame = 0;
    this.painting = new Painting(work, () => this.soon());
    this.overlay = new Overlay(this);
    this.pegs = new Pegs(this);
    this.corner = new Corner(this);
    this.side = new Side(this);
    this.doings = new Doings(this);
    this.pointer = new Pointer(this);
    this.store.subscribe(() => this.soon());
    work.addEventListener("click", (event) => this.#pointWhole(event));
    work.addEventListener("scroll", () => this.draw(), { passive: true });
    new ResizeObserver(() => {
      this.painting.measure();
      this.soon();
    }).observe(work);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.soon());
    this.side.shown();
    this.#fromPage("");
    this.draw();
    rehearse(this);
  }

  /** @returns {Design} */
  get state() {
    return this.store.get();
  }

  /** @returns {StripScene} */
  get scene() {
    return this.make(this.state, this.painting.room(this.slots), this.painting.dense);
  }

  /** How many sheds a line has. */
  get slots() {
    return this.state.piece.technique.sheds.length;
  }

  /** Draws before the next frame. */
  soon() {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.draw();
    });
  }

  draw() {
    const isWhole = this.work.dataset["scale"] === "whole";
    this.painting.reach.hidden = isWhole;
    const { state, scene } = this;
    if (isWhole) {
      this.side.draw(state, scene);
      return;
    }
    this.painting.place(scene, this.slots);
    this.painting.scrolled();
    this.paint(state, scene);
    this.corner.draw(state, scene);
    this.side.draw(state, scene);
  }

  /**
   * Draws the cloth of a state and what lies over it.
   * @param {Design} state
   * @param {StripScene} scene
   */
  paint(state, scene) {
    const about = { id: this.id, section: state.section, strip: state.strip, view: state.view, isKept: this.isKept && state === this.state };
    this.painting.paint(scene, state.piece, about);
    this.overlay.draw(state, scene);
    this.pegs.draw(state, scene);
  }

  /** Whether everything that was done is kept, so that the server knows this very cloth. */
  get isKept() {
    return this.sent === 0 && this.state.stroke === null && this.state.tree === this.state.piece.tree;
  }

  /**
   * Makes a change: at once here, then on its way to the server.
   * @param {Intention} intention
   * @param {string} [name] what undo says
   * @returns {boolean} whether there was anything to change
   */
  edit(intention, name = "") {
    try {
      const command = commandOf(this.state.tree, intention, this.page.freshId);
      if (!command) return false;
      this.send(command, name);
      return true;
    } catch (cause) {
      if (!(cause instanceof Error)) throw cause;
      const place = intention.type === "writeText" ? placeWords(this.state.tree, intention.node) : "";
      this.refuse(`${place}${cause.message}`);
      return false;
    }
  }

  /**
   * Makes several changes as one.
   * @param {readonly Intention[]} intentions
   * @param {string} name
   */
  editAll(intentions, name) {
    let { tree } = this.state;
    /** @type {Single[]} */
    const ops = [];
    for (const intention of intentions) {
      const command = commandOf(tree, intention, this.page.freshId);
      if (!command || command.op === "become") continue;
      tree = apply(tree, command);
      ops.push(...(command.op === "together" ? command.ops : [command]));
    }
    const [first] = ops;
    if (first) this.send(ops.length === 1 ? first : { op: "together", ops }, name);
  }

  /**
   * @param {Command} command
   * @param {string} name
   */
  send(command, name) {
    const tree = apply(this.state.tree, command);
    const trouble = this.#troubleIn(tree);
    if (trouble) {
      this.refuse(trouble);
      return;
    }
    this.store.dispatch({ type: "changed", tree });
    this.sent += 1;
    const body = new URLSearchParams({ base: String(this.state.piece.seq), command: JSON.stringify(command), name });
    this.page.holding.hold(`/pieces/${this.id}/change`, body, {
      kept: () => {
        this.sent -= 1;
      },
      refused: (says, status, held) => {
        this.sent -= 1;
        void this.#refused(says, status, held, command);
      },
    });
  }

  /** A new trouble that a change would bring, in words. @param {Tree} tree @returns {string | null} */
  #troubleIn(tree) {
    const before = this.scene.cloth.troubles.length;
    const after = this.make({ ...this.state, tree, stroke: null }, this.painting.room(this.slots), this.painting.dense).cloth.troubles;
    const trouble = after.length > before ? after[after.length - 1] : undefined;
    return trouble ? `${placeWords(tree, trouble.node)}${trouble.says}` : null;
  }

  /** @param {string} says */
  refuse(says) {
    const text = says.charAt(0).toUpperCase() + says.slice(1);
    this.side.card.say(/[.?]$/.test(text) ? text : `${text}.`);
    sayWord(/[.?]$/.test(text) ? text : `${text}.`);
  }

  /**
   * @param {string} says
   * @param {number} status
   * @param {import("../../types.d.ts").Held} held
   * @param {Command} command
   */
  async #refused(says, status, held, command) {
    const mine = this.state.tree;
    await this.load(false);
    if (status !== 409) {
      await this.page.refresh();
      this.refuse(says);
      return;
    }
    askAbout(this, { mine, command, held });
  }

  /** Takes up the piece as the server has it. @param {boolean} ahead whether strokes are still on their way */
  async load(ahead) {
    const piece = await fetchPiece(this.id);
    if (!piece) return;
    const same = JSON.stringify(piece.tree) === JSON.stringify(this.state.tree);
    const tree = same ? this.state.tree : piece.tree;
    this.store.dispatch({ type: "loaded", piece: { ...piece, tree }, ahead });
    this.#clampCursor();
  }

  /** The page around the cloth was exchanged: what it says of the view is taken up. */
  async shown() {
    const before = this.work.dataset["taken"] ?? "";
    this.side.shown();
    if (this.page.holding.isEmpty()) await this.load(this.sent > 0);
    this.#fromPage(before);
    this.soon();
  }

  /** @param {string} before the part of the piece that the page was at */
  #fromPage(before) {
    const { section, strip, back, marks, at: node } = this.work.dataset;
    this.store.dispatch({ type: "went", section: Number(section), strip: Number(strip) });
    this.#look({ back: back === "1", marks: marks === "1", linePx: this.#linePx() });
    this.work.dataset["taken"] = node ?? "";
    if (!node || node === before) return;
    const line = runningLine(this.scene, node);
    if (line >= 0) this.place({ line, slot: this.state.cursor?.slot ?? 0 });
  }

  /** How high a line is at the scale that the page says: as chosen, or as high as it will be on the loom. */
  #linePx() {
    const { scale, pxPerMm } = this.work.dataset;
    if (scale === "life") return Math.max(3, this.state.piece.line_mm * Number(pxPerMm));
    return Number(localStorage.getItem(SIZE)) || (matchMedia("(pointer: coarse)").matches ? 36 : 24);
  }

  /** @param {Partial<Design["view"]>} view */
  #look(view) {
    const before = this.state.view;
    this.store.dispatch({ type: "looked", view });
    if (view.back !== before.back && !matchMedia("(prefers-reduced-motion: reduce)").matches) {
      this.painting.stage.animate([{ transform: "scaleX(.02)" }, { transform: "scaleX(1)" }], { duration: 240, easing: "cubic-bezier(.2, 0, 0, 1)" });
    }
  }

  #clampCursor() {
    const { cursor, selection } = this.state;
    const lines = this.scene.cloth.picks.lines;
    if (cursor && cursor.line >= lines) this.store.dispatch({ type: "placed", cursor: lines ? { ...cursor, line: lines - 1 } : null });
    if (selection && selection.to >= lines) this.store.dispatch({ type: "selected", selection: null });
  }

  /**
   * Goes to a pick.
   * @param {Cursor | null} cursor
   * @param {boolean} [scroll] whether the bench follows
   */
  place(cursor, scroll = true) {
    this.store.dispatch({ type: "placed", cursor });
    if (!cursor || !scroll || !this.painting.placing) return;
    const { scene } = this;
    this.painting.place(scene, this.slots);
    if (cursor.line >= scene.cloth.picks.lines) return;
    const [first, last] = [at(scene.kin.starts, cursor.line), at(scene.kin.starts, cursor.line + 1)];
    this.painting.show(at(scene.sight.feet, first), at(scene.sight.feet, last));
  }

  /** Lays the yarn in hand into one pick of a running line. @param {number} line @param {number} slot @returns {boolean} */
  lay(line, slot) {
    const written = writtenLine(this.scene, line);
    if (!written) return false;
    if (written.tokens[slot] === this.state.hand) return false;
    return this.edit({ type: "layPick", line: written.node.id, slot: slot + 1, token: this.state.hand });
  }

  /** Lays a new line above all others, with the yarn in hand in one shed. @param {number} slot */
  layAbove(slot) {
    const { node } = this.scene;
    const { hand, piece } = this.state;
    const ground = this.side.ground(piece);
    const band = node.children.at(-1);
    const done = this.edit({ type: "newLineAbove", strip: node.id, band: band?.id ?? null, slot: slot + 1, token: hand, ground, sheds: this.slots });
    if (done) this.place({ line: this.scene.cloth.picks.lines - 1, slot });
  }

  /** On the whole piece a touch points: the line's card lays. @param {MouseEvent} event */
  #pointWhole({ target, offsetY }) {
    if (!(target instanceof HTMLImageElement) || this.work.dataset["scale"] !== "whole") return;
    const { scene } = this;
    const up = (1 - offsetY / target.clientHeight) * at(scene.sight.feet, scene.sight.shed.length);
    let pick = 0;
    while (pick + 1 < scene.sight.shed.length && at(scene.sight.feet, pick + 1) <= up) pick++;
    if (scene.cloth.picks.lines) this.place({ line: at(scene.cloth.picks.line, pick), slot: at(scene.cloth.picks.slot, pick) }, false);
  }

  /** @param {number} px */
  resize(px) {
    localStorage.setItem(SIZE, String(px));
    this.store.dispatch({ type: "looked", view: { linePx: px } });
  }

  /** A pick in words: "Line 12, pick 2: weld". @param {number} line @param {number} slot @returns {string} */
  words(line, slot) {
    return `Line ${line + 1}, pick ${slot + 1}: ${this.yarnWords(line, slot)}`;
  }

  /** @param {number} line @param {number} slot @returns {string} */
  yarnWords(line, slot) {
    const { scene, state } = this;
    const pick = pickOf(scene, line, slot);
    if (pick < 0) return "not thrown";
    const winding = scene.cloth.windings[at(scene.cloth.picks.wound, pick)] ?? [];
    return winding.map(([key]) => state.piece.yarns.find((yarn) => yarn.key === key)?.name ?? key).join(" with ").toLowerCase();
  }
}

/**
 * Where a part stands, as a weaver says it: "Mountains, line 2: ".
 * @param {Tree} tree
 * @param {string} id
 * @returns {string}
 */
function placeWords(tree, id) {
  const path = pathTo(tree, id);
  const [band, line] = [path[3], path[4]];
  if (!band) return "";
  const name = band.fields["name"] || `Band ${(path[2]?.children.indexOf(band) ?? 0) + 1}`;
  return line ? `${name}, line ${band.children.indexOf(line) + 1}: ` : `${name}: `;
}
