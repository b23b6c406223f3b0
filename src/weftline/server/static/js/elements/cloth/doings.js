/** What every key and button does on the cloth, by the id of its command. */
import { commandFor, keyName } from "../../input/commands.js";
import { sayWord } from "../../page/says.js";
import { at, pickOf, writtenLine } from "../../scene/strip.js";
import { SIZES } from "../../state/design.js";
import { bandCardPressed, openBandCard } from "./band-card.js";
import { findDialog, keysDialog, lineDialog, pageDialog } from "./dialogs.js";
/** @import { Bench } from "./bench.js" */

const PAGE = 10;

export class Doings {
  /** @param {Bench} bench */
  constructor(bench) {
    this.bench = bench;
    bench.work.addEventListener("keydown", (event) => this.#key(event));
    bench.work.addEventListener("focus", () => bench.side.grid.focus());
    document.addEventListener("click", bandCardPressed);
    document.addEventListener("keydown", () => this.#by("keys"), true);
    document.addEventListener("pointerdown", () => this.#by("pointer"), true);
  }

  /** @param {string} what */
  #by(what) {
    document.documentElement.dataset["by"] = what;
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const { target } = event;
    if (!(target instanceof HTMLElement) || target.closest("input, textarea, select, .peg-says, .ask")) return;
    if (target instanceof HTMLButtonElement && (event.key === " " || event.key === "Enter")) return;
    const name = keyName(event);
    const id = commandFor(name);
    const isLetter = event.key.length === 1 && !event.ctrlKey && !event.metaKey;
    if (!id || (isLetter && event.key !== " " && document.documentElement.dataset["keys"] === "off")) return;
    if (id === "drop" && !this.bench.state.stroke && !this.bench.state.selection) return;
    event.preventDefault();
    event.stopPropagation();
    this.run(id);
  }

  /** @param {string} id */
  run(id) {
    this.bench.side.settle();
    if (id.startsWith("yarn ")) this.#take(Number(id.slice(5)));
    else if (id in this) /** @type {Record<string, () => void>} */ (/** @type {unknown} */ (this))[id]?.call(this);
  }

  // --- going ---

  /** @returns {{ line: number, slot: number }} */
  get #at() {
    return this.bench.state.cursor ?? { line: Math.max(0, this.#lines - 1), slot: 0 };
  }

  get #lines() {
    return this.bench.scene.cloth.picks.lines;
  }

  /** How many sheds the line has. @param {number} line */
  #slots(line) {
    return writtenLine(this.bench.scene, line)?.tokens.length || this.bench.slots;
  }

  /** @param {number} line @param {number} slot */
  #go(line, slot) {
    this.#isPast = false;
    const to = Math.min(Math.max(line, 0), Math.max(0, this.#lines - 1));
    this.bench.place({ line: to, slot: Math.min(Math.max(slot, 0), this.#slots(to) - 1) });
    this.bench.store.dispatch({ type: "pointed", pick: -1 });
    this.bench.draw();
    if (this.#lines) this.bench.side.speak(this.bench.words(to, this.#at.slot));
  }

  up() {
    this.#go(this.#at.line + Number(this.bench.state.cursor !== null), this.#at.slot);
  }

  down() {
    this.#go(this.#at.line - 1, this.#at.slot);
  }

  right() {
    const { line, slot } = this.#at;
    if (slot + 1 < this.#slots(line)) this.#go(line, slot + 1);
    else if (line + 1 < this.#lines) this.#go(line + 1, 0);
  }

  left() {
    const { line, slot } = this.#at;
    if (slot > 0) this.#go(line, slot - 1);
    else if (line > 0) this.#go(line - 1, this.#slots(line - 1) - 1);
  }

  first() {
    this.#go(0, 0);
  }

  last() {
    this.#go(this.#lines - 1, 0);
  }

  pageUp() {
    this.#go(this.#at.line + PAGE, this.#at.slot);
  }

  pageDown() {
    this.#go(this.#at.line - PAGE, this.#at.slot);
  }

  goTo() {
    lineDialog(this.bench, { lines: this.#lines, line: this.#at.line }, (line) => this.#go(line, 0));
  }

  // --- painting ---

  /** Lays the yarn in hand and steps on; past the top it lays a new line. */
  lay() {
    const { bench } = this;
    const lines = this.#lines;
    const { cursor } = bench.state;
    if (!cursor && lines) {
      this.#go(lines - 1, 0);
      return;
    }
    const { line, slot } = this.#at;
    if (!lines || this.#isPast) {
      this.#isPast = false;
      bench.layAbove(0);
      this.#go(this.#lines - 1, 1);
      return;
    }
    bench.lay(line, slot);
    if (slot + 1 < this.#slots(line)) this.#go(line, slot + 1);
    else if (line + 1 < lines) this.#go(line + 1, 0);
    else {
      this.#isPast = true;
      bench.side.speak(`${bench.words(line, slot)}. Space lays a new line above.`);
    }
  }

  /** Whether the top line is done, so that the next pick begins a new one. */
  #isPast = false;

  fill() {
    const ids = this.#lineIds();
    const { hand } = this.bench.state;
    const fills = ids.map((line) => /** @type {const} */ ({ type: "fillLine", line, token: hand }));
    if (ids.length) this.bench.editAll(fills, ids.length > 1 ? "fill lines" : "fill line");
  }

  /** @param {number} [line] @param {number} [slot] */
  pickUp(line = this.#at.line, slot = this.#at.slot) {
    const { scene } = this.bench;
    const pick = pickOf(scene, line, slot);
    const key = pick < 0 ? undefined : scene.cloth.windings[at(scene.cloth.picks.wound, pick)]?.[0]?.[0];
    if (key) this.bench.store.dispatch({ type: "took", yarn: key });
  }

  exchange() {
    this.bench.store.dispatch({ type: "took", yarn: this.bench.state.last });
    this.#sayHand();
  }

  /** @param {number} place from 1, the warp left out */
  #take(place) {
    const { piece } = this.bench.state;
    const yarn = piece.yarns.filter((one) => !one.is_warp)[place - 1];
    if (!yarn) return;
    this.bench.store.dispatch({ type: "took", yarn: yarn.key });
    this.#sayHand();
  }

  #sayHand() {
    const { piece, hand } = this.bench.state;
    this.bench.side.speak(`${piece.yarns.find((yarn) => yarn.key === hand)?.name ?? hand} in hand`);
  }

  ask() {
    if (!this.#lines) return;
    this.#go(this.#at.line, this.#at.slot);
    this.bench.side.sheet("card");
  }

  drop() {
    if (this.bench.pointer.drop()) return;
    this.bench.store.dispatch({ type: "selected", selection: null });
    this.bench.side.sheet("");
  }

  // --- lines ---

  /** The running lines that are meant: the selection, else the one in hand. @returns {[number, number]} */
  #span() {
    const { selection } = this.bench.state;
    return selection ? [selection.from, selection.to] : [this.#at.line, this.#at.line];
  }

  /** Ids of the written lines that are meant, lowest first, each once. @returns {string[]} */
  #lineIds() {
    const [from, to] = this.#span();
    const ids = [];
    for (let line = from; line <= to; line++) {
      const written = writtenLine(this.bench.scene, line);
      if (written) ids.push(written.node.id);
    }
    return [...new Set(ids)];
  }

  card() {
    this.ask();
    if (innerWidth > 1100) document.getElementById("card-text")?.focus();
  }

  write() {
    this.ask();
    document.getElementById("card-text")?.focus();
  }

  insert() {
    const written = writtenLine(this.bench.scene, this.#at.line);
    if (!written) {
      this.bench.layAbove(0);
      return;
    }
    const ground = this.bench.side.ground(this.bench.state.piece);
    if (this.bench.edit({ type: "insertAbove", line: written.node.id, ground }, "insert line")) this.up();
  }

  double() {
    const ids = this.#lineIds();
    if (ids.length) this.bench.edit({ type: "double", nodes: ids }, ids.length > 1 ? "double lines" : "double line");
  }

  remove() {
    const ids = this.#lineIds();
    if (ids.length && this.bench.edit({ type: "remove", nodes: ids }, ids.length > 1 ? "remove lines" : "remove line")) {
      this.bench.store.dispatch({ type: "selected", selection: null });
      this.#go(Math.min(this.#at.line, this.#lines - 1), this.#at.slot);
    }
  }

  moveUp() {
    this.#move("up");
  }

  moveDown() {
    this.#move("down");
  }

  /** @param {"up" | "down"} way */
  #move(way) {
    const ids = this.#lineIds();
    if (ids.length && this.bench.edit({ type: "move", nodes: ids, up: way === "up" }, `move ${way}`)) this.#go(this.#at.line + (way === "up" ? 1 : -1), this.#at.slot);
  }

  selectUp() {
    this.#select(1);
  }

  selectDown() {
    this.#select(-1);
  }

  /** @param {1 | -1} step */
  #select(step) {
    if (!this.#lines) return;
    const { selection } = this.bench.state;
    const { line, slot } = this.#at;
    const fixed = selection ? (selection.from === line ? selection.to : selection.from) : line;
    const to = Math.min(Math.max(line + step, 0), this.#lines - 1);
    this.#go(to, slot);
    this.bench.store.dispatch({ type: "selected", selection: { from: Math.min(fixed, to), to: Math.max(fixed, to) } });
    this.bench.side.speak(`Lines ${Math.min(fixed, to) + 1} to ${Math.max(fixed, to) + 1} selected`);
  }

  selectAll() {
    if (this.#lines) this.bench.store.dispatch({ type: "selected", selection: { from: 0, to: this.#lines - 1 } });
  }

  copy() {
    const texts = this.#texts();
    this.bench.store.dispatch({ type: "copied", texts });
    void navigator.clipboard?.writeText(texts.join("\n")).catch(() => undefined);
    this.bench.side.speak(`${texts.length} ${texts.length === 1 ? "line" : "lines"} copied`);
  }

  /** The lines that are meant as text, as they are woven. @returns {string[]} */
  #texts() {
    const [from, to] = this.#span();
    const texts = [];
    for (let line = from; line <= to; line++) {
      const written = writtenLine(this.bench.scene, line);
      if (written) texts.push(String(written.node.fields["text"]).replace(/\s*[*×]\d+/, ""));
    }
    return texts;
  }

  cut() {
    this.copy();
    this.remove();
  }

  paste() {
    const { copied } = this.bench.state;
    const written = writtenLine(this.bench.scene, this.#at.line);
    if (!copied.length || !written) return;
    this.bench.edit({ type: "paste", line: written.node.id, texts: copied, sheds: this.bench.slots }, "put lines");
  }

  unlink() {
    const { scene } = this.bench;
    this.bench.edit({ type: "unlink", strip: scene.node.id, cloth: scene.cloth, line: this.#at.line }, "unlink line");
  }

  keep() {
    const texts = this.#texts();
    if (!texts.length) return;
    const body = new URLSearchParams({ base: "0", lines: texts.join("\n"), name: "" });
    this.bench.page.holding.hold(`/pieces/${this.bench.id}/motifs`, body, {
      kept: () => sayWord(`Kept as a motif: ${texts.length} ${texts.length === 1 ? "line" : "lines"}.`),
      refused: (says) => this.bench.refuse(says),
    });
  }

  // --- bands ---

  /** Makes the selected lines, or the one in hand, a band of their own. */
  ownBand() {
    const { scene } = this.bench;
    const [from, to] = this.#span();
    if (to < this.#lines) this.bench.edit({ type: "bandFrom", strip: scene.node.id, cloth: scene.cloth, from, to }, "make band");
  }

  /** Opens the card of the band in hand. @param {string} [id] @param {string} [focus] what in it gets the focus */
  async band(id, focus = "") {
    const own = id ?? writtenLine(this.bench.scene, this.#at.line)?.band.id;
    if (own) await openBandCard(this.bench, own, focus);
  }

  repeat() {
    void this.band(undefined, 'input[name="times"]');
  }

  mirror() {
    void this.band(undefined, 'input[name="mirror"]:checked');
  }

  // --- yarns and views ---

  swap() {
    const lines = this.bench.state.selection ? this.#lineIds().join(",") : "";
    const query = new URLSearchParams({ yarn: this.#yarnHere(), lines });
    void pageDialog(this.bench, `/pieces/${this.bench.id}/swap?${query}`);
  }

  #yarnHere() {
    const { scene, state } = this.bench;
    const pick = state.cursor ? pickOf(scene, state.cursor.line, state.cursor.slot) : -1;
    return (pick < 0 ? undefined : scene.cloth.windings[at(scene.cloth.picks.wound, pick)]?.[0]?.[0]) ?? state.hand;
  }

  history() {
    location.assign(`/pieces/${this.bench.id}/history`);
  }

  turn() {
    this.#press("turn");
  }

  marks() {
    this.#press("marks");
  }

  values() {
    this.bench.store.dispatch({ type: "looked", view: { values: !this.bench.state.view.values } });
  }

  /** @param {string} view */
  #press(view) {
    const link = document.querySelector(`#views [data-view="${view}"]`);
    if (link instanceof HTMLElement) link.click();
  }

  larger() {
    this.#resize(1);
  }

  smaller() {
    this.#resize(-1);
  }

  /** @param {1 | -1} step */
  #resize(step) {
    const { linePx } = this.bench.state.view;
    const near = SIZES.reduce((best, size, place) => (Math.abs(size - linePx) < Math.abs((SIZES[best] ?? 0) - linePx) ? place : best), 0);
    const size = SIZES[near + step];
    if (size) this.bench.resize(size);
  }

  keys() {
    keysDialog(this.bench);
  }

  /** Finds a yarn or a band by its name: the yarn is taken in hand, the band gone to. */
  find() {
    findDialog(this.bench, (line) => this.#go(line, 0));
  }
}
