/** The only module that talks to the server. */
/** @import { Answer, Held } from "../types.d.ts" */

/**
 * Sends a form; sent again, the server answers with what it kept the first time.
 * @param {Held} form
 * @returns {Promise<Answer>}
 */
export async function send(form) {
  try {
    const headers = { Accept: "application/json", "Content-Type": "application/x-www-form-urlencoded;charset=UTF-8" };
    return await read(await fetch(form.url, { method: "POST", headers, body: form.body }));
  } catch {
    return { type: "away" };
  }
}

/**
 * @param {string} url
 * @param {FormData} data
 * @returns {Promise<Answer>}
 */
export async function sendFile(url, data) {
  try {
    return await read(await fetch(url, { method: "POST", headers: { Accept: "application/json" }, body: data }));
  } catch {
    return { type: "away" };
  }
}

/**
 * @param {Response} response
 * @returns {Promise<Answer>}
 */
async function read(response) {
  /** @type {{ href?: string, detail?: string }} */
  const found = await response.json();
  if (response.ok && found.href) return { type: "kept", href: found.href };
  return { type: "refused", says: found.detail ?? "This was not understood.", status: response.status };
}

/**
 * The text of a page, or null where the server is away.
 * @param {string} href
 * @returns {Promise<string | null>}
 */
export async function page(href) {
  try {
    const response = await fetch(href, { headers: { Accept: "text/html" } });
    return response.ok ? await response.text() : null;
  } catch {
    return null;
  }
}

/** @returns {Promise<boolean>} */
export async function isHere() {
  try {
    return (await fetch("/health", { headers: { Accept: "application/json" } })).ok;
  } catch {
    return false;
  }
}

/**
 * Listens to new entries.
 * @param {{ entry: (piece: string, seq: number) => void, here: () => void, away: () => void }} tell
 */
export function listen(tell) {
  const source = new EventSource("/events");
  source.addEventListener("here", () => tell.here());
  source.addEventListener("entry", (event) => {
    /** @type {{ piece: string, seq: number }} */
    const data = JSON.parse(event.data);
    tell.entry(data.piece, data.seq);
  });
  source.addEventListener("error", () => tell.away());
  addEventListener("pagehide", () => source.close());
}
