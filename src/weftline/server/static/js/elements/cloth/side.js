/** Everything around the cloth that follows it: yarns in hand, the line's card, the spoken grid, the piece in small. */
import { element } from "../../page/element.js";
import { at, pickOf, writtenLine } from "../../scene/strip.js";
import { groundOf } from "../../state/design.js";
import { LineCard } from "./card.js";
import { ClothGrid } from "./grid.js";
import { Hints } from "./hints.js";
import { lineOf } from "./pegs.js";
import { drawRibs } from "./ribs.js";
import { Small } from "./small.js";
/** @import { Bench } from "./bench.js" */
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Design, Piece } from "../../state/design.js" */
/** @import { CardInfo, CardPick } from "./card.js" */

/** Spoken words wait until the hand rests. */
const SPEAK_MS = 60;
/** The card follows so long after the pick is seen. */
const CARD_MS = 16;
/** The ribs of the card follow when the hand rests. */
const RIBS_MS = 30;
/** Up to this width parts of the page open above the foot. */
const NARROW = 1100;

export class Side {
  /** @param {Bench} bench */
  constructor(bench) {
    this.bench = bench;
    const card = /** @type {HTMLElement} */ (document.getElementById("card"));
    this.card = new LineCard(card, {
      run: (id) => bench.doings.run(id),
      pick: (slot) => this.#layInCard(slot),
      write: (node, text) => bench.edit({ type: "writeText", node, text, sheds: bench.slots }),
      above: (node, text) => bench.edit({ type: "paste", line: node, texts: [text], sheds: bench.slots }, "insert line"),
    });
    this.grid = new ClothGrid(bench.work, (line, slot) => this.#came(line, slot));
    this.hints = new Hints(bench.painting.stage);
    this.small = new Small(bench, /** @type {HTMLElement} */ (document.getElementById("whole")));
    this.spoken = element("p", { class: "unseen", "aria-live": "polite", id: "spoken" });
    bench.work.append(this.spoken);
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.speaking = undefined;
    this.infoKey = "";
    /** @type {{ cloth: unknown, cursor: unknown }} */
    this.gridded = { cloth: null, cursor: null };
    /** What is marked on the page as in hand, and as seen. */
    this.marked = "";
    this.valued = false;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.ribs = undefined;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.later = undefined;
    /** Which sheet is open, where there is no room beside the cloth. */
    this.open = "";
    document.addEventListener("click", (event) => this.#clicked(event));
    document.addEventListener("change", (event) => this.#chosen(event));
  }

  /** @param {Piece} piece */
  ground(piece) {
    return groundOf(piece);
  }

  /** Whether parts of the page open above the foot. */
  get isNarrow() {
    return innerWidth <= NARROW;
  }

  /** The page around was exchanged: yarns are made ready to be taken in hand. */
  shown() {
    document.getElementById("line-card")?.remove();
    document.querySelector(".flat.plain")?.replaceChildren();
    for (const name of document.querySelectorAll("#hand [data-take]")) {
      if (!(name instanceof HTMLElement) || name.closest(".warp-yarn")) continue;
      const take = element("button", { type: "button", class: "yarn-take", "data-take": name.dataset["take"] ?? "" });
      take.textContent = name.textContent;
      name.replaceWith(take);
    }
    this.#markHand(this.bench.state);
    this.#markViews(this.bench.state);
    this.#showWhere();
    if (this.open) this.#laySheet(this.open);
    this.infoKey = "";
  }

  /** Findings that have a line of their own get a button that goes there. */
  #showWhere() {
    const { piece } = this.bench.state;
    document.querySelectorAll("#findings .says-list > li").forEach((row, place) => {
      const [node] = piece.findings[place]?.nodes ?? [];
      if (!node || row.querySelector("button")) return;
      const go = () => {
        const line = lineOf(this.bench.scene, node);
        if (line >= 0) this.bench.place({ line, slot: 0 });
        this.sheet("");
      };
      row.querySelector(".remedy")?.after(" ", element("button", { type: "button", class: "bareword", onclick: go }, "Show where"));
    });
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  draw(state, scene) {
    if (state.hand !== this.marked) this.#markHand(state);
    if (state.view.values !== this.valued) this.#markViews(state);
    this.later ??= setTimeout(() => this.settle(), CARD_MS);
    this.#drawGrid(state, scene);
    this.#drawWords(state);
    const ground = groundOf(state.piece);
    const name = state.piece.yarns.find((yarn) => yarn.key === ground)?.name ?? ground;
    this.hints.show(scene.cloth.picks.lines, name.toLowerCase());
    this.small.draw(state, scene);
  }

  /** @param {Design} state */
  #markHand(state) {
    this.marked = state.hand;
    for (const row of document.querySelectorAll("#hand [data-yarn]")) {
      if (!(row instanceof HTMLElement)) continue;
      const isIt = row.dataset["yarn"] === state.hand;
      if (row.classList.contains("in-hand") !== isIt) row.classList.toggle("in-hand", isIt);
      row.querySelector(".yarn-take")?.setAttribute("aria-pressed", String(isIt));
    }
  }

  /** Draws the card if it has not followed yet; asked for also before anything of it is used. */
  settle() {
    if (this.later === undefined) return;
    clearTimeout(this.later);
    this.later = undefined;
    this.#drawCard(this.bench.state, this.bench.scene);
  }

  /** @param {Design} state */
  #markViews(state) {
    this.valued = state.view.values;
    document.querySelector('[data-view="values"]')?.setAttribute("aria-pressed", String(state.view.values));
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  #drawCard(state, scene) {
    const key = JSON.stringify([state.cursor, state.selection, state.hand, state.copied.length, scene.node.id, scene.cloth.picks.lines]);
    const cursor = state.cursor;
    const written = cursor && writtenLine(scene, cursor.line);
    const told = `${key} ${written?.node.fields["text"] ?? ""} ${written?.band.fields["name"] ?? ""}`;
    if (told === this.infoKey) {
      this.#drawRibs(state);
      return;
    }
    this.infoKey = told;
    this.card.show(cursor && written ? this.#info(state, scene, cursor, written) : null);
    this.#drawRibs(state);
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   * @param {{ line: number, slot: number }} cursor
   * @param {NonNullable<ReturnType<typeof writtenLine>>} written
   * @returns {CardInfo}
   */
  #info(state, scene, cursor, written) {
    const place = scene.node.children.indexOf(written.band) + 1;
    const source = at(scene.kin.source, cursor.line);
    const times = scene.kin.source.reduce((count, one) => count + Number(one === source), 0);
    const again = source !== cursor.line ? `, as line ${source + 1}` : times > 1 ? `, comes ${times} times` : "";
    const { selection } = state;
    const selected = selection ? selection.to - selection.from + 1 : 0;
    return {
      node: written.node.id,
      title: selected > 1 && selection ? `Lines ${selection.from + 1} to ${selection.to + 1}` : `Line ${cursor.line + 1}`,
      about: `${written.band.fields["name"] || `Band ${place}`}${again}`,
      text: String(written.node.fields["text"]),
      picks: written.tokens.map((token, slot) => this.#pickInfo(state, scene, cursor, token, slot)),
      isRepeat: times > 1,
      selected,
      canPaste: state.copied.length > 0,
    };
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   * @param {{ line: number, slot: number }} cursor
   * @param {string} token
   * @param {number} slot
   * @returns {CardPick}
   */
  #pickInfo({ piece }, scene, cursor, token, slot) {
    const keys = token === "-" ? [] : token.split("+");
    const yarns = keys.flatMap((key) => piece.yarns.filter((yarn) => yarn.key === key));
    const pick = pickOf(scene, cursor.line, slot);
    return { slot, yarns, isHere: slot === cursor.slot, float: pick < 0 ? null : floatOf(at(scene.cloth.picks.shed, pick), this.#ends(), piece.pitch_mm) };
  }

  /** Every end of the strip, also those in the tuck. @returns {readonly number[]} */
  #ends() {
    const { piece, section, strip } = this.bench.state;
    return piece.sections[section]?.strips[strip]?.ends ?? [];
  }

  /** The ribs of the card follow when the hand rests. @param {Design} state */
  #drawRibs({ cursor }) {
    if (!cursor) return;
    clearTimeout(this.ribs);
    this.ribs = setTimeout(() => drawRibs(this.card.canvas, this.bench.painting, this.bench.state, this.bench.scene), RIBS_MS);
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  #drawGrid(state, scene) {
    if (this.gridded.cloth === scene.cloth && this.gridded.cursor === state.cursor) return;
    this.gridded = { cloth: scene.cloth, cursor: state.cursor };
    const lines = scene.cloth.picks.lines;
    const last = { line: Math.max(0, lines - 1), slot: 0 };
    this.grid.show({
      lines,
      slots: this.bench.slots,
      at: state.cursor ?? last,
      lineAt: (line) => {
        const slots = writtenLine(scene, line)?.tokens.length ?? this.bench.slots;
        return { number: line + 1, picks: Array.from({ length: slots }, (_, slot) => this.bench.yarnWords(line, slot)) };
      },
    });
  }

  /** @param {Design} state */
  #drawWords({ pointed, cursor }) {
    const words = document.querySelector("#views .held-words");
    if (!words) return;
    const { scene } = this.bench;
    if (pointed >= 0 && pointed < scene.cloth.picks.length) {
      words.textContent = this.bench.words(at(scene.cloth.picks.line, pointed), at(scene.cloth.picks.slot, pointed));
    } else if (cursor) words.textContent = this.bench.words(cursor.line, cursor.slot);
  }

  /** Says something to those who listen. @param {string} text */
  speak(text) {
    clearTimeout(this.speaking);
    this.speaking = setTimeout(() => {
      this.spoken.textContent = text;
    }, SPEAK_MS);
  }

  /** A cell of the grid was reached. @param {number} line @param {number} slot */
  #came(line, slot) {
    const { cursor } = this.bench.state;
    if (document.documentElement.dataset["by"] !== "keys") return;
    if (cursor?.line !== line || cursor.slot !== slot) this.bench.place({ line, slot });
  }

  /** @param {number} slot */
  #layInCard(slot) {
    const { cursor } = this.bench.state;
    if (!cursor) return;
    this.bench.place({ line: cursor.line, slot }, false);
    this.bench.lay(cursor.line, slot);
  }

  /** @param {MouseEvent} event */
  #clicked(event) {
    if (!(event.target instanceof Element)) return;
    const row = event.target.closest("#hand [data-yarn]");
    if (row instanceof HTMLElement && !row.classList.contains("warp-yarn") && row.dataset["yarn"]) {
      this.bench.store.dispatch({ type: "took", yarn: row.dataset["yarn"] });
    }
    if (event.target.closest("[data-view]")) this.sheet("");
    const view = event.target.closest('[data-view="values"]');
    if (view) this.bench.doings.run("values");
    const sheet = event.target.closest("[data-sheet]");
    if (sheet instanceof HTMLElement) this.sheet(sheet.dataset["sheet"] ?? "");
  }

  /** What is chosen in a band's form is done at once, and seen on the cloth. @param {Event} event */
  #chosen({ target }) {
    if (!(target instanceof HTMLInputElement || target instanceof HTMLSelectElement)) return;
    if (target.form?.hasAttribute("data-at-once") && target.name !== "name") target.form.requestSubmit();
  }

  /** Whether a sheet lies over the cloth. */
  get isSheeted() {
    return this.open !== "" && this.isNarrow;
  }

  /** Opens a part of the page above the foot where there is no room beside the cloth, or closes it if it is open. @param {string} name */
  sheet(name) {
    this.#laySheet(name === this.open ? "" : name);
    if (this.open === "card" && !this.bench.state.cursor) this.bench.doings.run("last");
  }

  /** @param {string} name of the part, or of what of the panel: "bands" */
  #laySheet(name) {
    for (const one of document.querySelectorAll(".sheet-open")) one.classList.remove("sheet-open", "only-bands", "no-bands");
    this.open = name;
    if (!name) return;
    const sheet = document.getElementById(name === "bands" ? "panel" : name);
    if (!sheet) return;
    sheet.classList.add("sheet-open");
    if (name === "bands" || name === "panel") sheet.classList.add(name === "bands" ? "only-bands" : "no-bands");
    if (!sheet.querySelector(":scope > .sheet-close")) {
      const close = element("button", { type: "button", class: "btn", onclick: () => this.sheet("") }, "Close this");
      sheet.prepend(element("p", { class: "sheet-close" }, close));
    }
  }
}

/**
 * The longest float of a shed behind the cloth.
 * @param {number} shed
 * @param {readonly number[]} ends
 * @param {number} pitch mm
 * @returns {{ ends: number, mm: number }}
 */
export function floatOf(shed, ends, pitch) {
  let [longest, run] = [0, 0];
  for (const shaft of ends) {
    run = (shed >> (shaft - 1)) & 1 ? 0 : run + 1;
    longest = Math.max(longest, run);
  }
  return { ends: longest, mm: Math.round((longest + 1) * pitch) };
}
