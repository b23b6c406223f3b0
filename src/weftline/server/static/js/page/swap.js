/** Shows a page anew in its place: the parts that changed are exchanged, what a hand is at stays as it was. */

/**
 * @param {string} text
 * @param {string} href
 */
export function show(text, href) {
  const fresh = new DOMParser().parseFromString(text, "text/html");
  const hand = remember();
  for (const selector of parts()) {
    const now = document.querySelector(selector);
    const next = fresh.querySelector(selector);
    if (now && next) now.replaceWith(document.adoptNode(next));
  }
  tellBench(fresh);
  document.title = fresh.title;
  const { seq, piece } = fresh.body.dataset;
  if (seq !== undefined) document.body.dataset["seq"] = seq;
  if (piece !== undefined) document.body.dataset["piece"] = piece;
  if (href !== location.pathname + location.search) history.replaceState(null, "", href);
  recall(hand);
}

/** What is exchanged: beside a cloth that is being painted only what stands around it. */
function parts() {
  const live = document.documentElement.classList.contains("live");
  return live ? ["header.top", "#hand", "#panel", ".flat", "footer.foot"] : ["header.top", "main", "footer.foot"];
}

/** What is seen of a cloth is told by its bench. @param {Document} fresh */
function tellBench(fresh) {
  const [now, next] = [document.getElementById("work"), fresh.getElementById("work")];
  if (now && next) for (const [name, value] of Object.entries(next.dataset)) now.dataset[name] = value;
}

/**
 * @typedef {{ id: string, value: string | null, start: number | null }} Focus
 * @typedef {{ focus: Focus | null, drafts: Map<string, string>, open: string[], scroll: [number, number][] }} Hand
 */

const SCROLLS = ["#work", ".side"];

/** @returns {Hand} */
function remember() {
  const active = document.activeElement;
  /** @type {Map<string, string>} */
  const drafts = new Map();
  for (const field of fields()) {
    if (field.id && field.value !== field.defaultValue) drafts.set(field.id, field.value);
  }
  const isField = active instanceof HTMLInputElement || active instanceof HTMLTextAreaElement;
  return {
    focus: active?.id ? { id: active.id, value: isField ? active.value : null, start: isField && active.type !== "number" ? active.selectionStart : null } : null,
    drafts,
    open: [...document.querySelectorAll("details[open][id]")].map((one) => one.id),
    scroll: SCROLLS.map((one) => document.querySelector(one)).map((one) => (one ? [one.scrollLeft, one.scrollTop] : [0, 0])),
  };
}

/** @returns {(HTMLInputElement | HTMLTextAreaElement)[]} */
function fields() {
  return [...document.querySelectorAll("textarea, input")].filter(
    (one) => one instanceof HTMLTextAreaElement || (one instanceof HTMLInputElement && ["text", "number", "search"].includes(one.type)),
  ).map((one) => /** @type {HTMLInputElement | HTMLTextAreaElement} */ (one));
}

/** @param {Hand} hand */
function recall(hand) {
  for (const [id, value] of hand.drafts) {
    const field = document.getElementById(id);
    if (field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement) field.value = value;
  }
  for (const id of hand.open) document.getElementById(id)?.setAttribute("open", "");
  SCROLLS.forEach((selector, place) => {
    if (selector === "#work" && document.documentElement.classList.contains("live")) return;
    const one = document.querySelector(selector);
    const to = hand.scroll[place];
    if (one && to) one.scrollTo(to[0], to[1]);
  });
  const again = hand.focus && document.getElementById(hand.focus.id);
  if (again) {
    again.focus({ preventScroll: true });
    if (hand.focus?.start != null && again instanceof HTMLInputElement && again.type === "text") {
      again.setSelectionRange(hand.focus.start, hand.focus.start);
    }
  }
}

/** Takes back what was typed into a form, now that it is kept. @param {HTMLFormElement} form */
export function settle(form) {
  for (const field of form.elements) {
    if (field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement) field.defaultValue = field.value;
  }
}
