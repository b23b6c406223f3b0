/** The sheets of the Weave page: unweaving whole lines, where one is, measuring with the arc of the weft, and the rest. */
import { arcWords, corrected } from "../../model/arc.js";
import { element } from "../../page/element.js";
import { isFromLeft, weave } from "../../state/weaving.js";
import { drawn, shuttleOf } from "./prompt.js";
/** @import { Facts } from "../../api/weaving.js" */
/** @import { PlannedThrows } from "../../model/throwing.js" */
/** @import { Woven } from "../../state/weaving.js" */
/** @import { Winding } from "../../model/types.d.ts" */

/** @typedef {{ name: string, throws: number, strands: Winding[] }} TopLine a line at the top, and how many throws go with it when it is unwoven */

/** @param {string} id */
export function dialogOf(id) {
  return /** @type {HTMLDialogElement} */ (document.getElementById(id));
}

/**
 * The last lines, the highest first.
 * @param {Woven} woven @param {PlannedThrows} plan @param {number} most
 * @returns {TopLine[]}
 */
export function topLines(woven, plan, most) {
  /** @type {(TopLine & { key: string })[]} */
  const found = [];
  for (let place = woven.laid.length - 1; place >= 0; place -= 1) {
    const laid = woven.laid[place];
    const own = laid && plan.at(laid.plan ?? laid.before);
    if (!laid || !own) break;
    const key = [own.section, own.piece, own.line].join(" ");
    const last = found.at(-1);
    if (last?.key === key) {
      last.throws += 1;
      last.strands.unshift(laid.strands);
    } else {
      if (found.length === most) break;
      found.push({ key, name: `Line ${own.line}`, throws: (last?.throws ?? 0) + 1, strands: [laid.strands] });
    }
  }
  return found;
}

/** Where each shuttle lies: on the side that it comes from next. @param {Woven} woven @param {Facts} facts */
function shuttleWords(woven, facts) {
  /** @type {Map<string, string>} */
  const sides = new Map();
  for (const { strip, strands } of woven.laid.slice(-60)) {
    const side = isFromLeft(woven, strip, strands) ? "left" : "right";
    sides.set(shuttleOf(facts, strands).name, side);
  }
  return [...sides].map(([name, side]) => `${name} ${side}`).join(", ");
}

/** @param {Facts} facts @param {readonly Winding[]} strands */
function swatches(facts, strands) {
  return strands.map((one) => element("span", { class: "then-yarn", title: shuttleOf(facts, one).name }, drawn(shuttleOf(facts, one).swatch)));
}

/**
 * @param {{ woven: Woven, plan: PlannedThrows, facts: Facts }} at
 * @param {(throws: number) => void} unweave
 */
export function openUnweave({ woven, plan, facts }, unweave) {
  const sheet = dialogOf("sheet-unweave");
  const list = document.getElementById("unweave-lines");
  const lines = topLines(woven, plan, 12);
  list?.replaceChildren(
    ...lines.map(({ name, throws, strands }) => {
      const after = weave(woven, { type: "unwoven", throws });
      const next = plan.at(after.ordinal);
      const words = shuttleWords({ ...after, laid: woven.laid }, facts);
      const start = next ? `then line ${next.line}, pick ${next.pick} is next; shuttles: ${words}` : words;
      const take = () => {
        unweave(throws);
        sheet.close();
      };
      return element("li", {}, element("button", { type: "button", onclick: take }, element("span", { class: "row" }, element("b", {}, name), ...swatches(facts, strands)), element("span", { class: "far" }, `${throws} ${throws === 1 ? "pick" : "picks"} back, ${start}`)));
    }),
  );
  if (!lines.length) list?.replaceChildren(element("li", {}, "Nothing is woven that this page could take back."));
  sheet.showModal();
}

/**
 * @param {{ woven: Woven, plan: PlannedThrows, facts: Facts }} at
 * @param {(canvas: HTMLCanvasElement, lines: number) => void} paint
 */
export function openWhere({ woven, plan, facts }, paint) {
  const lines = topLines(woven, plan, 6);
  const list = document.getElementById("where-lines");
  list?.replaceChildren(...lines.map(({ name, strands }) => element("li", {}, element("span", { class: "row" }, element("b", {}, name.replace("Line ", "")), ...swatches(facts, strands)))));
  const says = document.getElementById("where-says");
  if (says) says.textContent = lines.length ? `The last ${lines.length === 1 ? "line" : `${lines.length} lines`}, the highest on top. Hold them against the fell; where it looks different, unweave.` : "Nothing woven yet.";
  dialogOf("sheet-where").showModal();
  const canvas = document.getElementById("where-cloth");
  if (canvas instanceof HTMLCanvasElement && lines.length) paint(canvas, lines.length);
}

/**
 * @param {Facts} facts
 * @param {(entry: { width_mm?: number, length_mm?: number }) => void} keep
 */
export function readMeasures(facts, keep) {
  const form = document.getElementById("measure");
  if (!(form instanceof HTMLFormElement)) return;
  const says = /** @type {HTMLElement} */ (document.getElementById("measure-says"));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    says.textContent = "";
    /** @type {{ width_mm?: number, length_mm?: number }} */
    const entry = {};
    for (const [name, key] of /** @type {const} */ ([["width", "width_mm"], ["length", "length_mm"]])) {
      const field = form.elements.namedItem(name);
      const text = field instanceof HTMLInputElement ? field.value.trim().replace(",", ".") : "";
      if (!text) continue;
      const value = Number(text) * (facts.imperial ? 25.4 : 1);
      if (!(value > 0 && value <= 100_000)) {
        says.textContent = `${name === "width" ? "Width" : "Length"}: a number above 0, as the tape says it, not ${text}.`;
        return;
      }
      entry[key] = Math.round(value * 10) / 10;
    }
    if (!Object.keys(entry).length) {
      says.textContent = "Write a width or a length, or both.";
      return;
    }
    keep(entry);
    if (entry.width_mm) {
      const { width_mm: width, share } = facts.arc;
      const arc = document.getElementById("arc");
      if (arc) arc.textContent = arcWords(width, corrected(width, share, entry.width_mm), facts.imperial);
    }
    form.reset();
  });
}
