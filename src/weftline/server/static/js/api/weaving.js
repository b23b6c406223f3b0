/** Asks the server for what the Weave page must know, and sends it what was thrown. */
/** @import { Winding } from "../model/types.d.ts" */
/** @import { Held } from "../types.d.ts" */

/**
 * @typedef {object} Facts
 * @property {number} seq
 * @property {number} plan_seq
 * @property {number} ordinal
 * @property {boolean} left
 * @property {number} count
 * @property {boolean} weaves_here
 * @property {number} held
 * @property {readonly { strip: string, shed: number, strands: Winding, before: number, left: boolean, plan: number | null }[]} recent
 * @property {Readonly<Record<string, readonly [Winding, number][]>>} passes
 * @property {Readonly<Record<string, { drawing: string, figure: string, words: string, spoken: string }>>} signs
 * @property {readonly [Winding, { name: string, swatch: string }][]} shuttles
 * @property {Readonly<Record<string, string>>} yarns
 * @property {readonly number[]} pieces
 * @property {boolean} imperial
 * @property {string} edge
 * @property {string} basis
 * @property {{ width_mm: number, share: number }} arc
 */

/**
 * @typedef {{ type: "kept", seq: number, kept: readonly KeptEntry[] }
 *   | { type: "refused", says: string, kept: readonly KeptEntry[] }
 *   | { type: "away" }} SentAnswer
 */
/** @typedef {{ id: string, seq: number, new: boolean, held: string | null, woven_picks: number }} KeptEntry */

/** @param {string} piece @returns {Promise<Facts | null>} null where the server is away */
export async function fetchFacts(piece) {
  try {
    const response = await fetch(`/pieces/${piece}/weave/facts`, { headers: { Accept: "application/json" } });
    return response.ok ? await response.json() : null;
  } catch {
    return null;
  }
}

/**
 * @param {string} piece
 * @param {Record<string, string | number>} about
 * @returns {Promise<ArrayBuffer | null>}
 */
export async function fetchFell(piece, about) {
  const query = new URLSearchParams(Object.entries(about).map(([name, value]) => [name, String(value)]));
  try {
    const response = await fetch(`/pieces/${piece}/weave/fell?${query}`);
    return response.ok ? await response.arrayBuffer() : null;
  } catch {
    return null;
  }
}

/**
 * Sends entries of the log, all to one address; sent again, the server answers with what it kept the first time.
 * @param {readonly Held[]} entries
 * @returns {Promise<SentAnswer>}
 */
export async function sendEntries(entries) {
  const headers = { Accept: "application/json", "Content-Type": "application/json" };
  const body = `{"entries":[${entries.map((one) => one.body).join(",")}]}`;
  try {
    const response = await fetch(entries[0]?.url ?? "", { method: "POST", headers, body });
    if (response.status >= 500) return { type: "away" };
    /** @type {{ seq?: number, entries?: KeptEntry[], detail?: string }} */
    const found = await response.json();
    if (response.ok) return { type: "kept", seq: found.seq ?? 0, kept: found.entries ?? [] };
    return { type: "refused", says: found.detail ?? "This was not understood.", kept: found.entries ?? [] };
  } catch {
    return { type: "away" };
  }
}
