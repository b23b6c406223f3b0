/** The line in hand: five ribs enlarged, its picks as buttons, the line as text, and what can be done with it. */
import { element, swatchOf } from "../../page/element.js";
/** @import { YarnLook } from "../../state/design.js" */

/**
 * @typedef {object} CardPick
 * @property {number} slot from 0
 * @property {readonly YarnLook[]} yarns none where nothing is thrown
 * @property {boolean} isHere
 * @property {{ ends: number, mm: number } | null} float what it floats over behind the cloth
 */

/**
 * @typedef {object} CardInfo
 * @property {string} node id of the written line
 * @property {string} title "Line 12"
 * @property {string} about the band, and where the line comes again
 * @property {string} text
 * @property {readonly CardPick[]} picks
 * @property {boolean} isRepeat
 * @property {number} selected how many lines are selected
 * @property {boolean} canPaste
 */

/** What can be done with a line: the id of the command, and its word. */
const DOINGS = /** @type {const} */ ([
  ["fill", "Fill"],
  ["insert", "Insert above"],
  ["double", "Double"],
  ["moveUp", "Move up"],
  ["moveDown", "Move down"],
  ["copy", "Copy"],
  ["paste", "Paste above"],
  ["selectUp", "Select more"],
  ["ownBand", "Make a band"],
  ["mirror", "Repeat or mirror"],
  ["keep", "Keep as motif"],
  ["swap", "Swap a yarn"],
  ["unlink", "Unlink"],
  ["remove", "Remove"],
]);

export class LineCard {
  /**
   * @param {HTMLElement} root
   * @param {{ run: (id: string) => void, pick: (slot: number) => void, write: (node: string, text: string) => void, above: (node: string, text: string) => void }} act
   */
  constructor(root, act) {
    this.root = root;
    this.act = act;
    /** @type {CardInfo | null} */
    this.info = null;
    this.title = element("h2", {});
    this.about = element("span", { class: "quiet small" });
    this.canvas = element("canvas", { width: 320, height: 180, "aria-hidden": "true" });
    this.picks = element("div", { role: "group", "aria-label": "Picks of the line" });
    this.text = element("input", { name: "text", maxlength: 400, autocomplete: "off", spellcheck: "false", class: "written", id: "card-text" });
    this.above = element("input", { name: "text", maxlength: 400, autocomplete: "off", spellcheck: "false", class: "written", id: "card-above" });
    this.float = element("p", { class: "small card-float" });
    this.says = element("p", { class: "card-says small", role: "alert" });
    /** @type {Map<string, HTMLButtonElement>} */
    this.buttons = new Map();
    const doings = element("div", { class: "card-do" });
    for (const [id, word] of DOINGS) {
      const button = element("button", { type: "button", class: "btn", onclick: () => act.run(id) }, word);
      this.buttons.set(id, button);
      doings.append(button);
    }
    root.replaceChildren(
      element("div", { class: "panel-head" }, this.title, this.about),
      element("div", { class: "card-picks" }, this.canvas, element("div", {}, this.picks, this.float)),
      this.#form("The line as text", this.text, "Write", (text) => this.info && act.write(this.info.node, text)),
      this.#form("A new line above it", this.above, "Insert above", (text) => this.info && act.above(this.info.node, text)),
      this.says,
      doings,
    );
  }

  /**
   * @param {string} word
   * @param {HTMLInputElement} input
   * @param {string} verb
   * @param {(text: string) => void} done
   */
  #form(word, input, verb, done) {
    const submit = (/** @type {Event} */ event) => {
      event.preventDefault();
      event.stopPropagation();
      done(input.value);
    };
    const label = element("label", { class: "field grow" }, element("span", {}, word), input);
    return element("form", { class: "line", onsubmit: submit, "data-own": true }, label, element("button", { class: "btn" }, verb));
  }

  /** @param {string} text */
  say(text) {
    this.says.textContent = text;
  }

  /** @param {CardInfo | null} info */
  show(info) {
    this.root.hidden = !info;
    const before = this.info;
    this.info = info;
    if (!info) return;
    this.title.textContent = info.title;
    this.about.textContent = info.about;
    if (before?.node !== info.node || before.text !== info.text) {
      this.text.value = info.text;
      this.above.value = info.text;
      this.say("");
    }
    this.picks.replaceChildren(...[...info.picks].reverse().map((pick) => this.#pick(pick)));
    this.#showFloat(info.picks.find((pick) => pick.isHere)?.float ?? null);
    const shown = { unlink: info.isRepeat, paste: info.canPaste, keep: true };
    for (const [id, button] of this.buttons) button.hidden = id in shown && !shown[/** @type {"unlink"} */ (id)];
  }

  /** @param {CardPick["float"]} float */
  #showFloat(float) {
    this.float.replaceChildren();
    if (!float) return;
    const long = element("span", { class: "fig fig-computed", tabindex: 0 }, `${float.ends} ${float.ends === 1 ? "end" : "ends"}, ${float.mm} mm`);
    long.append(element("span", { class: "basis" }, " computed"));
    this.float.append("back float ", long);
  }

  /** @param {CardPick} pick */
  #pick({ slot, yarns, isHere }) {
    const button = element("button", { type: "button", class: "card-pick", "aria-pressed": String(isHere), onclick: () => this.act.pick(slot) });
    button.append(element("span", { class: "num" }, `${slot + 1}`));
    const [first] = yarns;
    button.append(first ? swatchOf(first, inkOn(first.colour), 22) : element("span", {}));
    const names = yarns.map((yarn) => yarn.name).join(" with ") || "not thrown";
    button.append(element("span", {}, names));
    return button;
  }
}

/**
 * Dark or light, whichever is seen better on a colour.
 * @param {string} colour #rrggbb
 * @returns {string}
 */
export function inkOn(colour) {
  const part = (/** @type {number} */ at) => {
    const value = parseInt(colour.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5) > 0.178 ? "#0d0d0d" : "#f5f5f5";
}
