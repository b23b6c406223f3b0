/** The marks of yarns: read from their drawings, and laid on beads so that colour is never the only way to tell yarns. */
/** @import { Mark, Pen, Step, WindingLook } from "./types.d.ts" */
/** @import { WoolPainter } from "./wool.js" */

const SQUARE = 12;
/** Beads that are smaller wear no mark, px of the page. */
const SMALLEST = 10;
/** A mark is at most so large, px of the page. */
const LARGEST = 26;

/**
 * Reads a drawing: circles and paths, in groups that are moved and made smaller.
 * @param {string} drawing svg inner markup, in a square of 12 by 12
 * @returns {Mark}
 */
export function readMark(drawing) {
  /** @type {{ steps: readonly Step[], stroke: number }[]} */
  const parts = [];
  const frames = [{ scale: 1, x: 0, y: 0 }];
  for (const [, closing, name, written] of drawing.matchAll(/<(\/?)(\w+)([^>]*?)\/?>/g)) {
    const frame = frames.at(-1) ?? { scale: 1, x: 0, y: 0 };
    if (name === "g") {
      if (closing) frames.pop();
      else frames.push(within(frame, attributes(written ?? "").get("transform") ?? ""));
      continue;
    }
    const given = attributes(written ?? "");
    const steps = name === "circle" ? circle(given) : name === "path" ? pathSteps(given.get("d") ?? "") : [];
    if (!steps.length) continue;
    const stroked = given.has("stroke") && given.get("stroke") !== "none";
    const stroke = stroked ? Number(given.get("stroke-width") ?? 1) * frame.scale : 0;
    parts.push({ steps: steps.map((step) => moved(step, frame)), stroke });
  }
  return { parts };
}

/** @typedef {{ scale: number, x: number, y: number }} Frame */

/** @param {string} written @returns {Map<string, string>} */
function attributes(written) {
  return new Map([...written.matchAll(/([\w-]+)=(["'])(.*?)\2/g)].map((found) => [found[1] ?? "", found[3] ?? ""]));
}

/** @param {Frame} frame @param {string} transform @returns {Frame} */
function within(frame, transform) {
  const [x = 0, y = 0] = (/translate\(([^)]*)\)/.exec(transform)?.[1] ?? "").split(/[\s,]+/).map(Number);
  const scale = Number(/scale\(([^)]*)\)/.exec(transform)?.[1] ?? 1);
  return { scale: frame.scale * scale, x: frame.x + frame.scale * x, y: frame.y + frame.scale * y };
}

/** @param {Step} step @param {Frame} frame @returns {Step} */
function moved(step, { scale, x, y }) {
  if (step[0] === "Z") return step;
  if (step[0] !== "E") return [step[0], x + scale * step[1], y + scale * step[2]];
  return ["E", x + scale * step[1], y + scale * step[2], scale * step[3], scale * step[4], step[5], step[6], step[7], step[8]];
}

/** @param {Map<string, string>} given @returns {Step[]} */
function circle(given) {
  const [x, y, r] = ["cx", "cy", "r"].map((name) => Number(given.get(name) ?? 0));
  return [["E", x ?? 0, y ?? 0, r ?? 0, r ?? 0, 0, 0, 2 * Math.PI, false], ["Z"]];
}

/**
 * The steps of a path in absolute or relative M, L, H, V, A and Z.
 * @param {string} path
 * @returns {Step[]}
 */
export function pathSteps(path) {
  /** @type {Step[]} */
  const steps = [];
  let [x, y, startX, startY] = [0, 0, 0, 0];
  for (const [, letter = "", written = ""] of path.matchAll(/([MLHVAZ])([^MLHVAZ]*)/gi)) {
    const numbers = (written.match(/-?(?:\d+\.?\d*|\.\d+)/g) ?? []).map(Number);
    const kind = letter.toUpperCase();
    if (kind === "Z") {
      steps.push(["Z"]);
      [x, y] = [startX, startY];
    }
    const size = { M: 2, L: 2, H: 1, V: 1, A: 7 }[kind] ?? numbers.length + 1;
    for (let at = 0; at + size <= numbers.length; at += size) {
      const own = numbers.slice(at, at + size);
      const [backX, backY] = letter === kind ? [0, 0] : [x, y];
      const to = {
        x: kind === "V" ? x : backX + (own[kind === "H" ? 0 : size - 2] ?? 0),
        y: kind === "H" ? y : backY + (own[size - 1] ?? 0),
      };
      if (kind === "A") steps.push(arc({ x, y }, own, to));
      else steps.push([kind === "M" && at === 0 ? "M" : "L", to.x, to.y]);
      [x, y] = [to.x, to.y];
      if (kind === "M" && at === 0) [startX, startY] = [x, y];
    }
  }
  return steps;
}

/**
 * An arc by its middle and angles (SVG 2, appendix B.2.4).
 * @param {{ x: number, y: number }} from
 * @param {readonly number[]} own radii, turn in degrees, whether the long way, whether clockwise
 * @param {{ x: number, y: number }} to
 * @returns {Step}
 */
function arc(from, [rx = 0, ry = 0, degrees = 0, long = 0, clockwise = 0], to) {
  const turn = (degrees * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const [dx, dy] = [(from.x - to.x) / 2, (from.y - to.y) / 2];
  const [px, py] = [cos * dx + sin * dy, cos * dy - sin * dx];
  const grown = Math.sqrt(Math.max(1, (px / rx) ** 2 + (py / ry) ** 2));
  const [wide, tall] = [rx * grown, ry * grown];
  const off = (wide * py) ** 2 + (tall * px) ** 2;
  const reach = Math.sqrt(Math.max(0, ((wide * tall) ** 2 - off) / off)) * (long === clockwise ? -1 : 1);
  const [ox, oy] = [(reach * wide * py) / tall, (-reach * tall * px) / wide];
  const x = cos * ox - sin * oy + (from.x + to.x) / 2;
  const y = sin * ox + cos * oy + (from.y + to.y) / 2;
  const angle = (/** @type {number} */ side) => Math.atan2((side * py - oy) / tall, (side * px - ox) / wide);
  return ["E", x, y, wide, tall, turn, angle(1), angle(-1), !clockwise];
}

/**
 * Draws a mark.
 * @param {Pen} pen
 * @param {Mark} mark
 * @param {{ x: number, y: number, size: number, ink: string }} place its middle, and how large its square is
 */
export function drawMark(pen, mark, { x, y, size, ink }) {
  const scale = size / SQUARE;
  const [left, top] = [x - size / 2, y - size / 2];
  for (const { steps, stroke } of mark.parts) {
    pen.beginPath();
    for (const step of steps) {
      if (step[0] === "Z") pen.closePath();
      else if (step[0] === "M") pen.moveTo(left + scale * step[1], top + scale * step[2]);
      else if (step[0] === "L") pen.lineTo(left + scale * step[1], top + scale * step[2]);
      else {
        const [, cx, cy, rx, ry, turn, from, to, isLeft] = step;
        pen.ellipse(left + scale * cx, top + scale * cy, scale * rx, scale * ry, turn, from, to, isLeft);
      }
    }
    if (stroke) {
      pen.strokeStyle = ink;
      pen.lineWidth = stroke * scale;
      pen.lineCap = "round";
      pen.lineJoin = "round";
      pen.stroke();
    } else {
      pen.fillStyle = ink;
      pen.fill();
    }
  }
}

/**
 * Draws what a shuttle carries: up to two marks side by side.
 * @param {Pen} pen
 * @param {readonly Mark[]} marks
 * @param {{ x: number, y: number, width: number, height: number, ink: string, largest?: number }} room
 */
export function drawMarks(pen, marks, { x, y, width, height, ink, largest = LARGEST }) {
  const shown = marks.slice(0, 2);
  const size = Math.min(0.66 * height, (0.85 * width) / shown.length, largest);
  shown.forEach((mark, place) => drawMark(pen, mark, { x: x + (place - (shown.length - 1) / 2) * size, y, size, ink }));
}

/**
 * @typedef {{ pick: number, x: number, y: number, width: number, height: number }} Bead its middle in the raster, px
 */

/** @typedef {Bead & { below: number, end: number }} Found with the pick below it in its column, -1 at the foot */

/**
 * Where marks stand: on the first bead of every run of one winding in a column, of those seen whole and large enough.
 * A float on the back wears its mark in the middle of the ends that it goes over.
 * @param {WoolPainter} painter
 * @param {ArrayLike<number>} wound
 * @param {{ ends: number, columnPx: number, back: boolean, ratio?: number }} strip `ratio` of raster to page
 * @returns {Bead[]}
 */
export function markPlaces(painter, wound, { ends, columnPx, back, ratio = 1 }) {
  const width = 0.96 * columnPx;
  if (width < SMALLEST * ratio) return [];
  /** @type {Found[]} */
  const found = [];
  for (let end = 0; end < ends; end++) {
    const x = Math.floor((end + 0.5) * columnPx) - painter.left;
    if (x < 0 || x >= painter.image.width) continue;
    found.push(...wholeBeads(painter.columnPicks(x)).map((bead) => ({ ...bead, x: x + 0.5, width, end })));
  }
  const shown = back ? middles(found) : found;
  return shown.filter(({ pick, below, height }) => {
    return height >= SMALLEST * ratio && (below < 0 || wound[below] !== wound[pick]);
  });
}

/**
 * @param {Int32Array} column the pick at each row, downwards
 * @returns {{ pick: number, below: number, y: number, height: number }[]} those that the raster does not cut
 */
function wholeBeads(column) {
  /** @type {{ pick: number, below: number, y: number, height: number }[]} */
  const found = [];
  let below = -1;
  for (let to = column.length; to > 0; ) {
    const pick = /** @type {number} */ (column[to - 1]);
    let from = to;
    while (from > 0 && column[from - 1] === pick) from--;
    if (to - from > 2) {
      if (pick >= 0 && from > 0 && to < column.length) found.push({ pick, below, y: (from + to) / 2, height: to - from });
      below = pick;
    }
    to = from;
  }
  return found;
}

/**
 * Of every float the bead on its middle end.
 * @param {readonly Found[]} beads from the left
 * @returns {Found[]}
 */
function middles(beads) {
  /** @type {Map<number, Found[][]>} */
  const floats = new Map();
  for (const bead of beads) {
    const own = floats.get(bead.pick) ?? [];
    floats.set(bead.pick, own);
    const last = own.at(-1);
    if (last && last.at(-1)?.end === bead.end - 1) last.push(bead);
    else own.push([bead]);
  }
  return [...floats.values()].flat().map((own) => /** @type {Found} */ (own[(own.length - 1) >> 1]));
}

/**
 * Lays marks on beads.
 * @param {Pen} pen
 * @param {readonly Bead[]} beads
 * @param {(pick: number) => WindingLook} lookOf
 * @param {number} [ratio] of raster to page
 */
export function markBeads(pen, beads, lookOf, ratio = 1) {
  for (const { pick, x, y, width, height } of beads) {
    const { marks, ink } = lookOf(pick);
    drawMarks(pen, marks, { x, y, width, height, ink, largest: LARGEST * ratio });
  }
}
