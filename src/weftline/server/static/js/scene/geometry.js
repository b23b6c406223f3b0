/** Where everything lies on the bench: pure arithmetic, CSS pixels unless said otherwise. */

/** Bare warp above the fell, to be touched for the next line. */
export const ABOVE = 132;
/** Room below the first line: the numbers of the sheds. */
export const BELOW = 36;
/** Between two columns of the stair. */
export const STEP = 24;
const BANDS = 112;
const NUMBERS = 46;
const BESIDE = 26;
const WITHOUT_MARGIN = 701;

/**
 * How many ends are shown: all, or fewer by whole repeats.
 * @param {number} ends
 * @param {number} repeat
 * @param {number} pitch
 * @param {number} room
 * @returns {number}
 */
export function endsThatFit(ends, repeat, pitch, room) {
  const over = ends * pitch - room;
  if (over <= 0) return ends;
  const repeats = Math.ceil(over / (repeat * pitch));
  return Math.max(ends - repeats * repeat, ends % repeat || repeat, 1);
}

/**
 * How many ends lie left of the tuck; all where there is none.
 * @param {number} ends
 * @param {number} shown
 * @param {number} repeat
 * @returns {number}
 */
export function leftOfTuck(ends, shown, repeat) {
  if (shown >= ends) return shown;
  return Math.min(shown, Math.max(repeat, Math.floor(Math.floor((shown * 5) / 8) / repeat) * repeat));
}

/**
 * The ends that are shown, as seen: what lies in the tuck is left out.
 * @param {readonly number[]} ends
 * @param {number} shown
 * @param {number} repeat
 * @returns {readonly number[]}
 */
export function shownEnds(ends, shown, repeat) {
  const left = leftOfTuck(ends.length, shown, repeat);
  return shown < ends.length ? [...ends.slice(0, left), ...ends.slice(ends.length - (shown - left))] : ends;
}

/**
 * @typedef {object} Room
 * @property {number} width of the bench
 * @property {number} height of the bench
 * @property {number} slots columns of the stair
 */

/**
 * @typedef {object} Frame
 * @property {number} margin width of the margin with bands, numbers and stair; 0 where there is no room for it
 * @property {number} numbersX where line numbers end
 * @property {number} stairX middle of the stair's first column
 * @property {number} room width that the cloth may have
 * @property {boolean} narrow whether numbers stand right of the cloth
 */

/**
 * @param {Room} room
 * @returns {Frame}
 */
export function frameOf({ width, slots }) {
  const narrow = width < WITHOUT_MARGIN - 60;
  if (narrow) return { margin: 0, numbersX: width - 6, stairX: 0, room: width - 6, narrow };
  const margin = BANDS + NUMBERS + slots * STEP + 18;
  return { margin, numbersX: BANDS + 30, stairX: BANDS + NUMBERS + 8, room: width - margin - BESIDE, narrow };
}

/**
 * Where the cloth begins, so that margin and cloth stand in the middle together.
 * @param {Frame} frame
 * @param {number} width of the bench
 * @param {number} cloth its width
 * @param {number} beyond what is drawn beside each edge
 * @returns {{ clothX: number, shift: number }} and how far the margin moves with it
 */
export function clothPlace(frame, width, cloth, beyond) {
  if (frame.narrow) return { clothX: Math.round(Math.max(beyond, (width - 26 - cloth) / 2)), shift: 0 };
  const shift = Math.max(0, (width - frame.margin - cloth - 2 * beyond - BESIDE) / 2);
  return { clothX: Math.round(frame.margin + shift + beyond), shift: Math.round(shift) };
}

/**
 * The height of everything that can be scrolled through.
 * @param {number} cloth its height
 * @param {number} height of the bench
 * @returns {number}
 */
export function contentHeight(cloth, height) {
  return Math.max(height, ABOVE + cloth + BELOW);
}

/**
 * The pick of a column that lies nearest to a height.
 * @param {ArrayLike<number>} sheds
 * @param {ArrayLike<number>} middles rising heights
 * @param {number} shaft
 * @param {number} up
 * @returns {number} -1 where no pick covers the shaft
 */
export function nearestPick(sheds, middles, shaft, up) {
  const bit = 1 << (shaft - 1);
  let low = 0;
  let high = middles.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (/** @type {number} */ (middles[middle]) < up) low = middle + 1;
    else high = middle;
  }
  let [below, above] = [low - 1, low];
  while (below >= 0 && !(/** @type {number} */ (sheds[below]) & bit)) below--;
  while (above < middles.length && !(/** @type {number} */ (sheds[above]) & bit)) above++;
  if (below < 0) return above < middles.length ? above : -1;
  if (above >= middles.length) return below;
  const nearer = up - /** @type {number} */ (middles[below]) <= /** @type {number} */ (middles[above]) - up;
  return nearer ? below : above;
}
