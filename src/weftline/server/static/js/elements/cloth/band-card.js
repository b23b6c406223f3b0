/** The card of a band beside the cloth: opened where it is asked for, and the page's address remembers which one is open. */
/** @import { Bench } from "./bench.js" */

/**
 * Opens the card of a band.
 * @param {Bench} bench
 * @param {string} id
 * @param {string} focus what in it gets the focus
 */
export async function openBandCard(bench, id, focus) {
  const to = new URL(location.href);
  to.searchParams.set("at", id);
  history.replaceState(null, "", to);
  await bench.page.refresh();
  const details = document.getElementById(`band-${id}`);
  details?.setAttribute("open", "");
  if (bench.side.isNarrow && bench.side.open !== "bands") bench.side.sheet("bands");
  details?.scrollIntoView({ block: "start" });
  const field = details?.querySelector(focus || "summary");
  if (field instanceof HTMLElement) field.focus({ preventScroll: true });
}

/** A band's card that was closed stays closed when the page around is shown anew. @param {MouseEvent} event */
export function bandCardPressed({ target }) {
  const details = target instanceof Element ? target.closest("#bands summary")?.parentElement : null;
  if (!(details instanceof HTMLDetailsElement) || !details.open) return;
  const to = new URL(location.href);
  to.searchParams.delete("at");
  history.replaceState(null, "", to);
}
