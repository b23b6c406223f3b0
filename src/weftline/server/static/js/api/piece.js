/** Asks the server for a piece and for the bakes of its cloth. */
/** @import { Piece } from "../state/design.js" */

/**
 * @param {string} id
 * @returns {Promise<Piece | null>} null where the server is away
 */
export async function fetchPiece(id) {
  try {
    const response = await fetch(`/api/pieces/${id}/cloth`, { headers: { Accept: "application/json" } });
    return response.ok ? await response.json() : null;
  } catch {
    return null;
  }
}

/**
 * @param {string} id
 * @param {Record<string, string | number>} about
 * @returns {Promise<ArrayBuffer | null>}
 */
export async function fetchBakes(id, about) {
  const query = new URLSearchParams(Object.entries(about).map(([name, value]) => [name, String(value)]));
  try {
    const response = await fetch(`/api/pieces/${id}/bakes?${query}`);
    return response.ok ? await response.arrayBuffer() : null;
  } catch {
    return null;
  }
}
