/** The stair: each line as one half repeat at its true offsets, its number, and what it repeats. */
import { drawBands } from "./brackets.js";
import { drawMarks } from "./marks.js";
/** @import { Hit, Pen, StairLine, StairLook, StairPick, StairScene, WindingLook } from "./types.d.ts" */

/** Lines that are lower show no ovals, px. */
const LOWEST = 14;
/** Numbers stand no closer than this, px. */
const APART = 15;
/** Ties that are drawn at once. */
const MOST_TIES = 40;

/**
 * Draws what stands in the margin beside the cloth.
 * @param {Pen} pen
 * @param {StairScene} scene
 * @param {StairLook} look
 * @returns {Hit[]} what can be touched, the uppermost last
 */
export function drawStair(pen, scene, look) {
  pen.save();
  pen.lineWidth = 1;
  pen.textBaseline = "middle";
  const seen = scene.lines.filter(({ y, height }) => y + height > 0 && y < scene.height);
  const hits = drawBands(pen, scene, look);
  drawTies(pen, scene, look);
  hits.push(...seen.flatMap((line) => drawLine(pen, line, scene, look)));
  drawNumbers(pen, seen, scene, look);
  drawFeet(pen, scene, look);
  pen.restore();
  return hits;
}

/**
 * Where an oval lies: pick 1 lowest, each the share of the line higher that its pick is.
 * @param {StairLine} line
 * @param {number} slot from 0
 * @param {{ stairX: number, step: number }} look
 */
export function ovalAt({ y, height, tokens }, slot, { stairX, step }) {
  const part = (slot + 0.5) / Math.max(1, tokens.length);
  const rx = Math.min(0.44 * step, 0.6 * height);
  return { x: stairX + slot * step, y: y + height * (1 - part), rx, ry: Math.min(0.44 * height, 1.1 * rx) };
}

/**
 * Which picks wear a mark on the stair: where a yarn begins in its column, of lines that are written.
 * @param {readonly StairLine[]} lines from the lowest
 * @returns {Map<number, readonly boolean[]>} by number of the line
 */
export function beginnings(lines) {
  /** @type {StairLine | undefined} */
  let below;
  /** @type {Map<number, readonly boolean[]>} */
  const found = new Map();
  for (const line of lines) {
    const before = below && below.source === null && below.number === line.number - 1 ? below.tokens : null;
    found.set(line.number, line.tokens.map((token, slot) => token !== null && (!before || before[slot] !== token)));
    below = line;
  }
  return found;
}

/**
 * @param {Pen} pen
 * @param {StairLine} line
 * @param {StairScene} scene
 * @param {StairLook} look
 * @returns {Hit[]}
 */
function drawLine(pen, line, scene, look) {
  const { number, y, height } = line;
  /** @type {Hit[]} */
  const hits = [{ kind: "line", line: number, x: look.numberX - 34, y, width: 40, height }];
  if (height < LOWEST) return hits;
  const left = look.stairX - look.step / 2;
  if (line.source !== null) {
    const isPointed = scene.pointed?.line === number;
    pen.font = isPointed ? look.bold : look.font;
    pen.fillStyle = isPointed ? look.ink : look.quiet;
    pen.textAlign = "left";
    pen.fillText(`‹${line.source}`, left, y + height / 2);
    hits.push({ kind: "source", line: number, source: line.source, x: left, y, width: scene.slots * look.step, height });
    return hits;
  }
  const begins = beginnings(scene.lines).get(number) ?? [];
  line.tokens.forEach((token, slot) => {
    const oval = ovalAt(line, slot, look);
    if (token !== null) drawOval(pen, oval, { look, winding: scene.looks(token), marked: begins[slot] ?? false, pointed: isShown(scene, line, slot) });
    const box = { x: oval.x - look.step / 2, y: oval.y - height / 2, width: look.step, height };
    hits.push({ kind: "oval", line: number, slot, ...box });
  });
  return hits;
}

/**
 * Whether an oval is the one pointed at, itself or by a line that repeats its line.
 * @param {StairScene} scene
 * @param {StairLine} line
 * @param {number} slot
 */
function isShown({ pointed, family, lines }, line, slot) {
  if (!pointed) return false;
  if (pointed.line === line.number) return pointed.slot === slot;
  const source = lines.find((one) => one.number === pointed.line)?.source;
  return source === line.number && family.some((one) => one.line === line.number && one.slot === slot);
}

/**
 * @param {Pen} pen
 * @param {{ x: number, y: number, rx: number, ry: number }} oval
 * @param {{ look: StairLook, winding: WindingLook, marked: boolean, pointed: boolean }} how
 */
function drawOval(pen, { x, y, rx, ry }, { look, winding, marked, pointed }) {
  const trace = (/** @type {number} */ more) => {
    pen.beginPath();
    pen.ellipse(x, y, rx + more, ry + more, 0, 0, 2 * Math.PI);
  };
  if (pointed) {
    trace(1.5);
    pen.fillStyle = look.ink;
    pen.fill();
    trace(0);
    pen.fillStyle = look.page;
    pen.fill();
    trace(-1);
    pen.fillStyle = winding.colour;
    pen.fill();
  } else {
    trace(0);
    pen.strokeStyle = look.edge;
    pen.lineWidth = 1;
    pen.stroke();
  }
  if (!marked && !pointed) return;
  const ink = pointed ? winding.ink : look.ink;
  drawMarks(pen, winding.marks, { x, y, width: 2.2 * rx, height: 1.9 * ry, ink, largest: 14 });
}

/**
 * Numbers of every fifth line, of band feet, of repeats, of the line pointed at and of the ends of a selection.
 * @param {Pen} pen
 * @param {readonly StairLine[]} lines
 * @param {StairScene} scene
 * @param {StairLook} look
 */
function drawNumbers(pen, lines, { pointed, chosen }, look) {
  pen.textAlign = "right";
  /** @type {{ line: StairLine, rank: number }[]} */
  const wanted = lines.map((line) => {
    const { number } = line;
    if (number === pointed?.line) return { line, rank: 0 };
    if (number === chosen?.[0] || number === chosen?.[1]) return { line, rank: 1 };
    if (line.foot) return { line, rank: 2 };
    if (number % 5 === 0) return { line, rank: 3 };
    return { line, rank: line.source === null || line.height < LOWEST ? 9 : 4 };
  });
  /** @type {number[]} */
  const taken = [];
  for (const { line, rank } of wanted.filter((one) => one.rank < 9).sort((one, other) => one.rank - other.rank)) {
    const y = line.y + line.height / 2;
    if (taken.some((other) => Math.abs(other - y) < APART)) continue;
    taken.push(y);
    pen.font = rank < 2 ? look.bold : look.font;
    pen.fillStyle = rank < 2 ? look.ink : look.quiet;
    pen.fillText(String(line.number), look.numberX, y);
  }
}

/**
 * The numbers of the sheds below the first line.
 * @param {Pen} pen
 * @param {StairScene} scene
 * @param {StairLook} look
 */
function drawFeet(pen, { foot, height, slots, lines }, look) {
  if (foot > height || !lines.length) return;
  pen.font = look.bold;
  pen.fillStyle = look.ink;
  pen.textAlign = "center";
  for (let slot = 0; slot < slots; slot++) pen.fillText(String(slot + 1), look.stairX + slot * look.step, foot + 14);
}

/**
 * Thin curves from the pick pointed at to all that are one with it, each with a dot at its end.
 * @param {Pen} pen
 * @param {StairScene} scene
 * @param {StairLook} look
 */
function drawTies(pen, { lines, pointed, family, height }, look) {
  const byNumber = new Map(lines.filter((one) => one.height >= LOWEST).map((one) => [one.number, one]));
  const from = pointed && anchor(byNumber.get(pointed.line), pointed, look);
  if (!from) return;
  pen.strokeStyle = look.ink;
  pen.fillStyle = look.ink;
  pen.lineWidth = 1;
  for (const pick of family.filter((one) => one.line !== pointed.line).slice(0, MOST_TIES)) {
    const to = anchor(byNumber.get(pick.line), pick, look);
    if (!to || to.y < -height || to.y > 2 * height) continue;
    const out = Math.max(from.x, to.x) + Math.min(20, 4 + 0.2 * Math.abs(to.y - from.y));
    pen.beginPath();
    pen.moveTo(from.x, from.y);
    pen.bezierCurveTo(out, from.y, out, to.y, to.x, to.y);
    pen.stroke();
    pen.beginPath();
    pen.ellipse(to.x, to.y, 2.5, 2.5, 0, 0, 2 * Math.PI);
    pen.fill();
  }
}

/**
 * Where a tie ends: at the right of the oval, or of the words of a repeat.
 * @param {StairLine | undefined} line
 * @param {StairPick} pick
 * @param {StairLook} look
 */
function anchor(line, { slot }, look) {
  if (!line) return null;
  if (line.source !== null) return { x: look.stairX - look.step / 2 + 34, y: line.y + line.height / 2 };
  const { x, y, rx } = ovalAt(line, slot, look);
  return { x: x + rx + 2, y };
}
