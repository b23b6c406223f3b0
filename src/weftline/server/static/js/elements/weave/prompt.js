/** What is said of the pick that is next: yarn, way, shed, what follows, line and band. Nothing changes place, only content. */
import { element } from "../../page/element.js";
import { isFromLeft, weave } from "../../state/weaving.js";
/** @import { Facts } from "../../api/weaving.js" */
/** @import { Planned, PlannedThrows } from "../../model/throwing.js" */
/** @import { Piece } from "../../state/design.js" */
/** @import { Woven } from "../../state/weaving.js" */
/** @import { Winding } from "../../model/types.d.ts" */

const THEN = 3;
/** A name of more letters is written smaller. */
const LONG_NAME = 9;

/** @param {string} markup of the server's own drawing */
export function drawn(markup) {
  return new DOMParser().parseFromString(markup, "text/html").body.firstElementChild ?? document.createElement("span");
}

/** @param {Facts} facts @param {Winding} strands */
export function shuttleOf(facts, strands) {
  const name = JSON.stringify(strands);
  const found = facts.shuttles.find(([one]) => JSON.stringify(one) === name);
  const keys = strands.map(([key]) => facts.yarns[key] ?? key);
  return found?.[1] ?? { name: keys.join(" with "), swatch: facts.shuttles.find(([[one]]) => one?.[0] === strands[0]?.[0])?.[1].swatch ?? "<svg></svg>" };
}

/** @param {Facts} facts @param {Planned} next */
export function signOf(facts, next) {
  return facts.signs[next.shed] ?? { drawing: "<svg></svg>", figure: "", words: "", spoken: "" };
}

/**
 * A length of cloth: to a tenth of a centimetre, long ones that rest on common practice to a whole one; inches alike.
 * @param {number} mm
 * @param {{ imperial: boolean, basis: string }} about
 */
export function lengthWords(mm, { imperial, basis }) {
  const value = mm / (imperial ? 25.4 : 10);
  const digits = basis === "default" && value >= (imperial ? 30 : 50) ? 0 : 1;
  return `${value.toFixed(digits)} ${imperial ? "in" : "cm"}`;
}

/** @param {Planned} next @param {boolean} fromLeft @param {Facts} facts */
export function wayWords(next, fromLeft, facts) {
  return [`from the ${fromLeft ? "left" : "right"}`, ...(facts.edge === "floating" ? ["over the edge end"] : [])];
}

export class Prompt {
  /** @param {Piece} piece @param {Facts} facts @param {PlannedThrows} plan */
  constructor(piece, facts, plan) {
    this.piece = piece;
    this.facts = facts;
    this.plan = plan;
  }

  /** @param {Woven} woven @returns {boolean} whether the page has a place for it; the end of the plan is shown by the server */
  show(woven) {
    const { facts, plan } = this;
    const next = plan.at(woven.ordinal);
    if (!next || !document.getElementById("swatch")) return false;
    const fromLeft = isFromLeft(woven, next.stripId, next.strands);
    const shuttle = shuttleOf(facts, next.strands);
    const sign = signOf(facts, next);
    replace("swatch", drawn(shuttle.swatch));
    say("yarn", shuttle.name);
    document.getElementById("yarn")?.classList.toggle("long", shuttle.name.length > LONG_NAME);
    const [first = "", second] = wayWords(next, fromLeft, facts);
    replace("way", second ? `${first},` : first, ...(second ? [document.createElement("br"), second] : []));
    replace("sign", drawn(sign.drawing));
    say("figure", sign.figure);
    document.getElementById("figure")?.classList.toggle("figure-long", sign.figure.length > 1);
    say("moves", sign.words);
    this.#then(woven);
    say("line", `Line ${next.line}, pick ${next.pick} of ${next.of}`);
    say("band", this.bandName(next));
    const { lines, mm } = plan.toGo(woven.ordinal);
    const figure = element("span", { class: `fig fig-${facts.basis}` }, lengthWords(mm, facts));
    replace("to-go", `${lines} ${lines === 1 ? "line" : "lines"}, `, figure, " to go");
    this.#turns(next, woven.ordinal);
    return true;
  }

  /** @param {Woven} woven */
  #then(woven) {
    let ahead = woven;
    /** @type {Node[]} */
    const found = [];
    for (let place = 0; place <= THEN; place += 1) {
      const one = this.plan.at(ahead.ordinal);
      if (!one) break;
      if (place) {
        const shuttle = shuttleOf(this.facts, one.strands);
        found.push(thenOne(drawn(shuttle.swatch), shuttle.name, signOf(this.facts, one).figure));
      }
      ahead = weave(ahead, { type: "thrown", throw: { strip: one.stripId, shed: one.shed, strands: one.strands, plan: one.ordinal } });
    }
    replace("then", element("span", {}, found.length ? "then" : "then all is woven"), ...found);
  }

  /** @param {Planned} next */
  bandName(next) {
    const strip = this.piece.tree.children[next.section]?.children[next.strip];
    const name = strip?.children[next.band]?.fields["name"];
    return typeof name === "string" ? name : `Band ${next.band + 1}`;
  }

  /**
   * Small cloths in the yarn that each strip gets next, and whose turn it is.
   * @param {Planned} next
   * @param {number} ordinal
   */
  #turns(next, ordinal) {
    const list = document.getElementById("turns");
    const strips = this.piece.sections[next.section]?.strips ?? [];
    if (!list) return;
    list.hidden = strips.length < 2;
    if (list.hidden) return;
    const ahead = strips.map((_, place) => this.plan.at(ordinal + place));
    list.replaceChildren(
      ...strips.map((strip, place) => {
        const own = ahead.find((one) => one?.section === next.section && one.strip === place);
        const swatch = own ? [element("span", { class: "then-yarn" }, drawn(shuttleOf(this.facts, own.strands).swatch))] : [];
        return element("li", place === next.strip ? { "aria-current": "step" } : {}, ...swatch, element("span", { class: "turn-name" }, strip.name));
      }),
    );
  }
}

/** @param {Element} swatch @param {string} name @param {string} figure */
function thenOne(swatch, name, figure) {
  const bold = element("b", figure.length > 1 ? { class: "long" } : {}, figure);
  return element("span", { class: "then-one" }, element("span", { class: "then-yarn" }, swatch), element("span", { class: "unseen" }, `${name}, shed `), bold);
}

/** @param {string} id @param {string} text */
function say(id, text) {
  const found = document.getElementById(id);
  if (found && found.textContent !== text) found.textContent = text;
}

/** @param {string} id @param {...(Node | string)} within */
function replace(id, ...within) {
  document.getElementById(id)?.replaceChildren(...within);
}
