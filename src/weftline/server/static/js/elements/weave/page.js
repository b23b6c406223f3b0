/** The Weave page: throws are counted here at once, kept in this browser, and sent as soon as somebody takes them. */
import { listen } from "../../api/client.js";
import { fetchPiece } from "../../api/piece.js";
import { fetchFacts } from "../../api/weaving.js";
import { expandStrip } from "../../model/expand.js";
import { PlannedThrows } from "../../model/throwing.js";
import { element } from "../../page/element.js";
import { freshId } from "../../page/holding.js";
import { sayWord } from "../../page/says.js";
import { factsOf } from "../../scene/strip.js";
import { isFromLeft, shuttleKey, weave } from "../../state/weaving.js";
import { FellView } from "./fell.js";
import { hearPresses } from "./presses.js";
import { Prompt, shuttleOf, signOf } from "./prompt.js";
import { createSending } from "./sending.js";
import { createSenses, stayAwake } from "./senses.js";
import { dialogOf, openUnweave, openWhere, readMeasures } from "./sheets.js";
/** @import { Facts, KeptEntry } from "../../api/weaving.js" */
/** @import { Piece } from "../../state/design.js" */
/** @import { Woven } from "../../state/weaving.js" */

/** So long after a word from the server the page waits for its own answers before it asks anew. */
const SETTLE_MS = 400;

/** @param {Facts} facts @returns {Woven} */
function wovenOf(facts) {
  /** @type {Record<string, number>} */
  const passes = {};
  for (const [strip, own] of Object.entries(facts.passes)) for (const [strands, times] of own) passes[shuttleKey(strip, strands)] = times;
  for (const { strip, strands } of facts.recent) {
    const key = shuttleKey(strip, strands);
    passes[key] = (passes[key] ?? 0) + 1;
  }
  const laid = facts.recent.map(({ strip, shed, strands, before, plan }) => ({ strip, shed, strands, before, plan }));
  return { ordinal: facts.ordinal, laid, below: facts.count - laid.length, passes };
}

/** @param {Piece} piece @param {Facts} facts */
function planOf(piece, facts) {
  const about = factsOf(piece);
  return new PlannedThrows(
    piece.tree.children.map((section, place) => ({
      pieces: facts.pieces[place] ?? 1,
      strips: section.children.map((strip) => ({ id: strip.id, cloth: expandStrip(strip, about) })),
    })),
  );
}

/** @param {number} toSend @param {boolean} isAway */
function sayKept(toSend, isAway) {
  const sent = document.getElementById("sent");
  const word = sent?.querySelector(".sent-word");
  if (!sent || !word) return;
  sent.classList.toggle("away", isAway && toSend > 0);
  const device = matchMedia("(pointer: coarse)").matches ? (innerWidth < 600 ? "phone" : "tablet") : "computer";
  word.textContent = toSend ? (isAway ? `kept on this ${device}, ${toSend} to send` : "keeping") : isAway ? "no connection, all picks kept" : "all picks kept";
}

class WeavePage {
  /** @param {HTMLElement} area @param {string} id @param {Piece} piece @param {Facts} facts */
  constructor(area, id, piece, facts) {
    this.id = id;
    this.url = `/api/pieces/${id}/log`;
    this.senses = createSenses();
    this.sending = createSending({ kept: (entries, seq, isEmpty) => this.#kept(entries, seq, isEmpty), refused: (says) => void this.#refused(says), words: sayKept });
    this.area = area;
    this.piece = piece;
    this.facts = facts;
    this.plan = planOf(piece, facts);
    this.woven = wovenOf(facts);
    this.known = facts.seq;
    this.spoken = element("p", { class: "unseen", role: "status" });
    area.append(this.spoken);
    this.prompt = new Prompt(piece, facts, this.plan);
    this.fell = new FellView(/** @type {HTMLElement} */ (document.getElementById("fell")), { id, planSeq: facts.plan_seq }, piece);
    this.#followHere();
    this.show(false);
    this.#elsewhere();
    void this.#prepare();
  }

  /** What the log says is followed here, not by a new page. */
  #followHere() {
    document.body.dataset["seq"] = String(Number.MAX_SAFE_INTEGER);
  }

  async #prepare() {
    await this.fell.prepare(this.woven, this.plan);
  }

  /** @param {boolean} runsIn */
  show(runsIn) {
    const next = this.plan.at(this.woven.ordinal);
    if (!next || this.facts.left) {
      if (runsIn) void this.#reload();
      return;
    }
    if (!this.prompt.show(this.woven)) {
      void this.#reload();
      return;
    }
    this.fell.show({ next, fromLeft: isFromLeft(this.woven, next.stripId, next.strands), woven: this.woven, plan: this.plan }, runsIn);
  }

  /** What the server shows of the end of a plan, once all is sent. */
  async #reload() {
    await this.sending.flush();
    if (this.sending.isEmpty()) location.reload();
    else sayWord("That was the last pick. Everything is kept here until the workbench is back.");
  }

  /** Knocks for the pick that is next, and says it. */
  #tell() {
    const next = this.plan.at(this.woven.ordinal);
    if (!next) return;
    const way = isFromLeft(this.woven, next.stripId, next.strands) ? "left" : "right";
    const shed = Math.max(0, Object.keys(this.facts.signs).indexOf(String(next.shed)));
    const words = `${shuttleOf(this.facts, next.strands).name}, from the ${way}, ${signOf(this.facts, next).spoken}`;
    this.spoken.textContent = `${words}. Line ${next.line}, pick ${next.pick}.`;
    this.senses.prompt(words, shed);
  }

  throwNext() {
    const next = this.plan.at(this.woven.ordinal);
    if (!next || this.facts.left) return;
    this.woven = weave(this.woven, { type: "thrown", throw: { strip: next.stripId, shed: next.shed, strands: next.strands, plan: next.ordinal } });
    this.#send({ kind: "thrown", throws: [{ plan: { seq: this.facts.plan_seq, ordinal: next.ordinal } }] });
    this.show(true);
    this.#tell();
    if (next.ordinal % 30 === 0) void this.#prepare();
  }

  /** @param {number} throws */
  unweave(throws) {
    if (!this.woven.laid.length) {
      sayWord(this.woven.ordinal > 1 ? "This page knows no earlier picks; open it again when the workbench is there." : "Nothing woven yet.");
      return;
    }
    const count = Math.min(throws, this.woven.laid.length);
    this.woven = weave(this.woven, { type: "unwoven", throws: count });
    this.#send({ kind: "unwoven", throws: count });
    this.show(false);
    this.#tell();
  }

  skip() {
    this.woven = weave(this.woven, { type: "skipped", throws: 1 });
    this.#send({ kind: "skipped", throws: 1 });
    this.show(false);
    this.#tell();
  }

  /** @param {Record<string, unknown>} entry */
  #send(entry) {
    this.sending.send(this.url, { id: freshId(), when: new Date().toISOString(), ...entry });
  }

  /** @param {readonly KeptEntry[]} entries @param {number} seq @param {boolean} isEmpty */
  #kept(entries, seq, isEmpty) {
    this.known = Math.max(this.known, seq);
    this.#followHere();
    const isHeld = entries.some((one) => one.held !== null);
    const count = this.woven.below + this.woven.laid.length;
    if (isHeld || (isEmpty && entries.at(-1)?.woven_picks !== count)) this.#renewSoon();
  }

  /** @param {string} says */
  async #refused(says) {
    sayWord(`${says.charAt(0).toUpperCase()}${says.slice(1)}`);
    await this.renew();
  }

  /** @param {string} piece @param {number} seq */
  heard(piece, seq) {
    if (piece === this.id && seq > this.known) this.#renewSoon();
  }

  #renewSoon() {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => void this.renew(), SETTLE_MS);
  }

  /** Takes up what the server knows, unless something is still to be sent. */
  async renew() {
    if (!this.sending.isEmpty()) return;
    const before = this.woven;
    const facts = await fetchFacts(this.id);
    if (!facts || !this.sending.isEmpty() || this.woven !== before) return;
    if (facts.plan_seq !== this.facts.plan_seq || facts.left !== this.facts.left) {
      location.reload();
      return;
    }
    this.facts = facts;
    this.known = Math.max(this.known, facts.seq);
    this.woven = wovenOf(facts);
    this.prompt = new Prompt(this.piece, facts, this.plan);
    this.show(false);
    this.#elsewhere();
  }

  /** Says that another device weaves, where it does. */
  #elsewhere() {
    document.querySelector(".elsewhere")?.remove();
    if (this.facts.weaves_here) return;
    const says = document.createElement("p");
    says.className = "elsewhere";
    const button = document.createElement("button");
    button.type = "button";
    button.className = "btn btn-main";
    button.textContent = "Weave here";
    button.addEventListener("click", () => {
      this.facts = { ...this.facts, weaves_here: true };
      says.remove();
      this.#send({ kind: "weave-here" });
    });
    says.append(this.facts.held ? `Another device weaves this piece; ${this.facts.held} of this one's entries wait for a choice.` : "Another device weaves this piece.", button);
    document.getElementById("fell")?.append(says);
  }

  listen() {
    // for whoever is told of the page instead of seeing it: the tap as a button
    this.area.querySelector(".place")?.append(element("span", { class: "unseen" }, element("button", { type: "button", id: "do-throw" }, "Woven, next pick")));
    hearPresses(this.area, /** @type {HTMLElement} */ (document.getElementById("do-unweave")), {
      on: () => this.throwNext(),
      back: () => this.unweave(1),
      lines: () => this.#lines(),
    });
    const on = (/** @type {string} */ name, /** @type {() => void} */ act) => document.getElementById(name)?.addEventListener("click", act);
    on("do-where", () => openWhere(this, (canvas, lines) => {
      const next = this.plan.at(this.woven.ordinal);
      if (next) this.fell.lastLines(canvas, { next, fromLeft: true, woven: this.woven, plan: this.plan }, lines);
    }));
    on("do-measure", () => dialogOf("sheet-measure").showModal());
    on("do-more", () => dialogOf("sheet-more").showModal());
    on("do-differs", () => {
      dialogOf("sheet-where").close();
      this.#lines();
    });
    on("do-skip", () => {
      dialogOf("sheet-more").close();
      this.skip();
    });
    on("do-lines", () => {
      dialogOf("sheet-more").close();
      this.#lines();
    });
    on("do-rejoin", () => {
      this.#send({ kind: "rejoined" });
      void this.#reload();
    });
    readMeasures(this.facts, (entry) => this.#send({ kind: "measured", ...entry }));
    listen({
      entry: (piece, seq) => this.heard(piece, seq),
      here: () => void this.sending.back(),
      away: () => this.sending.away(),
    });
    void stayAwake((words) => {
      const says = document.getElementById("awake-says");
      if (says) says.textContent = words;
    });
  }

  #lines() {
    openUnweave(this, (throws) => this.unweave(throws));
  }
}

/** What an earlier visit left is sent before the page asks where the weaving stands. */
async function sendWhatIsLeft() {
  await createSending({ kept: () => {}, refused: (says) => sayWord(says), words: () => {} }).flush();
}

const area = document.getElementById("weave");
const id = area?.dataset["piece"];
if (area && id) {
  document.documentElement.classList.add("live"); // nothing of this page is exchanged for a fresh one while it weaves
  await sendWhatIsLeft();
  const [piece, facts] = await Promise.all([fetchPiece(id), fetchFacts(id)]);
  if (piece && facts) {
    new WeavePage(area, id, piece, facts).listen();
    document.documentElement.classList.add("weaves");
  }
}
