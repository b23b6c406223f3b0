/** Joins the parts: forms are held until they are kept, pages follow new entries, keys and drops are heard. */
import { listen, page } from "./api/client.js";
import { mountCloth } from "./elements/cloth/mount.js";
import { watchDrops } from "./page/drop.js";
import { createHolding, freshId } from "./page/holding.js";
import { onKey } from "./page/keys.js";
import { sayBeside, sayKept, sayWord } from "./page/says.js";
import { settle, show } from "./page/swap.js";
/** @import { Held } from "./types.d.ts" */

const holding = createHolding({
  settled: (href) => follow(href || here()),
  stray: (says, status, held) => refused(null, held, says, status),
});
const cloth = mountCloth({ holding, refresh, freshId });

/** @param {HTMLFormElement | null} form @param {Held} held @param {string} says @param {number} status */
function refused(form, held, says, status) {
  if (status !== 409) {
    sayBeside(form, says);
    renew(form);
    return;
  }
  const mine = async () => {
    await refresh();
    const body = new URLSearchParams(held.body);
    body.set("base", document.body.dataset["seq"] ?? "0");
    body.set("entry", freshId());
    holding.hold(held.url, body);
  };
  sayBeside(form, "Another window changed this too. Keep yours or theirs?", () => void mine(), () => void follow(here()));
}

/** A form that was sent gets a new entry id: what it says next is another thing. @param {HTMLFormElement | null} form */
function renew(form) {
  const entry = form?.elements.namedItem("entry");
  if (entry instanceof HTMLInputElement) entry.value = freshId();
}

function here() {
  return location.pathname + location.search;
}

/** The page at an address; beside a cloth that is painted here only what stands around it. @param {string} href */
function around(href) {
  return page(cloth ? `${href}${href.includes("?") ? "&" : "?"}part=beside` : href);
}

/** Goes to where a change is shown: this page anew, or another. @param {string} href */
async function follow(href) {
  const [path = "", anchor] = href.split("#");
  if (path.split("?")[0] !== location.pathname) {
    location.assign(href);
    return;
  }
  const text = await around(cloth ? here() : path);
  if (text === null) return;
  show(text, cloth ? here() : path);
  sayKept(holding.words(), false);
  if (anchor && path !== here()) document.getElementById(anchor)?.scrollIntoView({ block: "nearest" });
  await cloth?.shown();
}

async function refresh() {
  const text = await around(here());
  if (text !== null) show(text, here());
  await cloth?.shown();
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form instanceof HTMLFormElement && form.dataset["says"]) sayWord(form.dataset["says"]);
  if (!(form instanceof HTMLFormElement) || form.method !== "post" || form.enctype === "multipart/form-data") return;
  event.preventDefault();
  const body = new URLSearchParams();
  for (const [name, value] of new FormData(form, event.submitter)) if (typeof value === "string") body.append(name, value);
  const { pathname, search } = new URL(form.action);
  holding.hold(pathname + search, body, {
    kept: () => settle(form),
    refused: (says, status, held) => refused(form, held, says, status),
  });
  renew(form);
});

document.addEventListener("click", async (event) => {
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!link || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  const href = link.getAttribute("href") ?? "";
  const to = new URL(href, location.href);
  const isView = to.origin === location.origin && to.pathname === location.pathname && to.search !== "" && to.search !== location.search;
  if (!isView || !document.body.classList.contains("bench")) return;
  event.preventDefault();
  const text = await around(to.pathname + to.search);
  if (text === null) {
    sayWord("No connection. The page stays as it is.");
    return;
  }
  history.pushState(null, "", to);
  show(text, to.pathname + to.search);
  if (to.hash) document.getElementById(to.hash.slice(1))?.scrollIntoView({ block: "nearest" });
  await cloth?.shown();
});
addEventListener("popstate", () => void refresh());
document.addEventListener("keydown", onKey);
watchDrops();

listen({
  entry(piece, seq) {
    const own = document.body.dataset["piece"];
    const shown = Number(document.body.dataset["seq"] ?? 0);
    if ((own ? piece === own && seq > shown : true) && holding.isEmpty()) void refresh();
  },
  here() {
    if (holding.isAway()) {
      holding.here();
      void refresh();
    }
    void holding.flush();
  },
  away: holding.away,
});
void holding.flush();
