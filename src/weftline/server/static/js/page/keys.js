/** Keys: undo and redo everywhere, single letters only while the cloth has the focus. */

/** @type {Readonly<Record<string, string>>} */
const LETTERS = { t: "Turn over", y: "Marks" };

/** @param {KeyboardEvent} event */
export function onKey(event) {
  const target = event.target;
  const writes = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement;
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !isEdited(target)) {
    const button = document.getElementById(event.shiftKey ? "redo" : "undo");
    if (button instanceof HTMLButtonElement && !button.disabled) {
      event.preventDefault();
      button.click();
    }
    return;
  }
  if (event.ctrlKey || event.metaKey || event.altKey || writes) return;
  if (document.documentElement.dataset["keys"] === "off" || !(target instanceof HTMLElement) || target.id !== "work") return;
  const words = LETTERS[event.key.toLowerCase()];
  const link = [...document.querySelectorAll("#views a")].find((one) => words && one.textContent?.trim() === words);
  if (link instanceof HTMLAnchorElement) {
    event.preventDefault();
    link.click();
  }
}

/** Whether something is being written that is not sent yet: its own undo comes first. @param {EventTarget | null} target */
function isEdited(target) {
  if (target instanceof HTMLTextAreaElement) return target.value !== target.defaultValue;
  return target instanceof HTMLInputElement && !["radio", "checkbox"].includes(target.type) && target.value !== target.defaultValue;
}
