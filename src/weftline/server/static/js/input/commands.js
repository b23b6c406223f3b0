/** Everything that can be done on the cloth by a key: one table, read by the keys and by the page that lists them. */

/**
 * @typedef {object} Command
 * @property {string} id
 * @property {string} word
 * @property {readonly string[]} keys as `keyName` gives them
 * @property {string} group
 */

/** @type {readonly Command[]} */
export const COMMANDS = [
  { id: "up", word: "Line above", keys: ["ArrowUp"], group: "Go" },
  { id: "down", word: "Line below", keys: ["ArrowDown"], group: "Go" },
  { id: "right", word: "Next pick of the line", keys: ["ArrowRight"], group: "Go" },
  { id: "left", word: "Pick before", keys: ["ArrowLeft"], group: "Go" },
  { id: "first", word: "First line", keys: ["Home"], group: "Go" },
  { id: "last", word: "Last line", keys: ["End"], group: "Go" },
  { id: "pageUp", word: "Ten lines up", keys: ["PageUp"], group: "Go" },
  { id: "pageDown", word: "Ten lines down", keys: ["PageDown"], group: "Go" },
  { id: "goTo", word: "Go to a line by its number", keys: ["g"], group: "Go" },
  { id: "lay", word: "Lay the yarn in hand, step on; past the top a new line", keys: [" "], group: "Paint" },
  { id: "fill", word: "Fill the line", keys: ["f"], group: "Paint" },
  { id: "pickUp", word: "Pick up the yarn of this pick", keys: ["p"], group: "Paint" },
  { id: "exchange", word: "Exchange the yarn in hand with the last one", keys: ["x"], group: "Paint" },
  { id: "ask", word: "Ask what lies here", keys: ["a"], group: "Paint" },
  { id: "card", word: "The line's card", keys: ["Enter"], group: "Lines" },
  { id: "write", word: "Write lines as text", keys: ["w"], group: "Lines" },
  { id: "insert", word: "Insert a line above", keys: ["i"], group: "Lines" },
  { id: "double", word: "Double", keys: ["d"], group: "Lines" },
  { id: "remove", word: "Remove", keys: ["Delete", "Backspace"], group: "Lines" },
  { id: "moveUp", word: "Move up", keys: ["Alt+ArrowUp"], group: "Lines" },
  { id: "moveDown", word: "Move down", keys: ["Alt+ArrowDown"], group: "Lines" },
  { id: "selectUp", word: "Select upwards", keys: ["Shift+ArrowUp"], group: "Lines" },
  { id: "selectDown", word: "Select downwards", keys: ["Shift+ArrowDown"], group: "Lines" },
  { id: "selectAll", word: "Select all lines", keys: ["Ctrl+a"], group: "Lines" },
  { id: "copy", word: "Copy lines", keys: ["Ctrl+c"], group: "Lines" },
  { id: "cut", word: "Cut lines", keys: ["Ctrl+x"], group: "Lines" },
  { id: "paste", word: "Put copied lines above", keys: ["Ctrl+v"], group: "Lines" },
  { id: "unlink", word: "Unlink a repeated line", keys: ["u"], group: "Lines" },
  { id: "keep", word: "Keep the selected lines as a motif", keys: ["k"], group: "Lines" },
  { id: "band", word: "The band's card", keys: ["b"], group: "Bands" },
  { id: "ownBand", word: "Make a band of the selected lines", keys: ["n"], group: "Bands" },
  { id: "repeat", word: "Repeat the band", keys: ["r"], group: "Bands" },
  { id: "mirror", word: "Mirror the band", keys: ["m"], group: "Bands" },
  { id: "swap", word: "Swap a yarn", keys: ["s"], group: "Yarns" },
  { id: "turn", word: "Turn over", keys: ["t"], group: "See" },
  { id: "values", word: "Values", keys: ["v"], group: "See" },
  { id: "marks", word: "Yarn marks", keys: ["y"], group: "See" },
  { id: "larger", word: "Larger", keys: ["+", "="], group: "See" },
  { id: "smaller", word: "Smaller", keys: ["-"], group: "See" },
  { id: "history", word: "History", keys: ["h"], group: "See" },
  { id: "keys", word: "These keys", keys: ["?"], group: "See" },
  { id: "find", word: "Find a yarn or a band", keys: ["/"], group: "See" },
  { id: "drop", word: "Drop the stroke, then the selection", keys: ["Escape"], group: "Paint" },
];

const BY_KEY = new Map(COMMANDS.flatMap((command) => command.keys.map((key) => [key, command.id])));

/**
 * The name of a key with what is held down: "Ctrl+c", "Alt+ArrowUp", "?".
 * @param {{ key: string, ctrlKey: boolean, metaKey: boolean, altKey: boolean, shiftKey: boolean }} event
 * @returns {string}
 */
export function keyName({ key, ctrlKey, metaKey, altKey, shiftKey }) {
  const own = key.length === 1 ? key.toLowerCase() : key;
  const shift = shiftKey && key.length > 1;
  return `${ctrlKey || metaKey ? "Ctrl+" : ""}${altKey ? "Alt+" : ""}${shift ? "Shift+" : ""}${own}`;
}

/**
 * What a key does; a digit takes a yarn in hand ("yarn 3"; 0 is the tenth).
 * @param {string} name
 * @returns {string | null}
 */
export function commandFor(name) {
  if (/^[0-9]$/.test(name)) return `yarn ${name === "0" ? 10 : name}`;
  return BY_KEY.get(name) ?? null;
}

/**
 * Keys that two commands share.
 * @returns {string[]}
 */
export function sharedKeys() {
  const seen = new Set();
  return COMMANDS.flatMap((command) => command.keys).filter((key) => seen.size === seen.add(key).size);
}
