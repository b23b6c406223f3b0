/** Knuckles, keys, pedals and presenters: what moves on, what takes back, and what does not count. */
import { pedal } from "../../state/weaving.js";

const ON = new Set([" ", "Enter", "PageDown", "ArrowRight", "ArrowDown", "MediaTrackNext"]);
const BACK = new Set(["PageUp", "ArrowLeft", "ArrowUp", "Backspace", "MediaTrackPrevious"]);
/** A finger that lies so long asks for whole lines. */
const HOLD_MS = 500;

/** @param {EventTarget | null} target */
function takesKeys(target) {
  if (!(target instanceof HTMLElement)) return false;
  if (target.closest("dialog, input, textarea, select")) return true;
  return target.closest("button, a, summary") !== null && target.matches(":focus-visible");
}

/**
 * @param {HTMLElement} area where a tap moves on
 * @param {HTMLElement} unweave
 * @param {{ on: () => void, back: () => void, lines: () => void }} tell
 */
export function hearPresses(area, unweave, tell) {
  const counts = pedal();
  const countsBack = pedal();
  area.addEventListener("click", (event) => {
    if (event.target instanceof Element && event.target.closest("a, button:not(#do-throw), .elsewhere")) return;
    if (counts(event.timeStamp, false)) tell.on();
  });
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || document.querySelector("dialog[open]")) return;
    const isOn = ON.has(event.key);
    if (!isOn && !BACK.has(event.key)) return;
    if (takesKeys(event.target) && (event.key === " " || event.key === "Enter")) return;
    event.preventDefault();
    if (isOn ? counts(event.timeStamp, event.repeat) : countsBack(event.timeStamp, event.repeat)) (isOn ? tell.on : tell.back)();
  });
  hearHold(unweave, () => {
    if (countsBack(performance.now(), false)) tell.back();
  }, tell.lines);
  // a button that was touched must not take the next press of the space bar
  document.addEventListener("pointerup", () => requestAnimationFrame(() => {
    const active = document.activeElement;
    if (active instanceof HTMLElement && active.closest(".weave-bar, .weave")) active.blur();
  }));
}

/** @param {HTMLElement} button @param {() => void} once @param {() => void} held */
function hearHold(button, once, held) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let waiting;
  let isHeld = false;
  button.addEventListener("pointerdown", () => {
    isHeld = false;
    waiting = setTimeout(() => {
      isHeld = true;
      held();
    }, HOLD_MS);
  });
  for (const name of ["pointerup", "pointercancel", "pointerleave"]) button.addEventListener(name, () => clearTimeout(waiting));
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  button.addEventListener("click", () => {
    if (!isHeld) once();
    isHeld = false;
  });
}
