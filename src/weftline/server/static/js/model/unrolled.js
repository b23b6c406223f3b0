/**
 * A band with its mirror and repeats written out: plain lines that give the same cloth, pick for pick and line for line.
 *
 * *Rows* are the lines of a band as they would be written without `*n`; *runs* are the lines that it makes when its
 * first pick is not dropped, each a row forth or back, some without their first pick.
 */
import { PieceError } from "./draft.js";
import { expandStrip } from "./expand.js";
import { lineText, NOT_THROWN, readLine, timed } from "./line.js";
/** @import { Tree, WrittenLine } from "./types.d.ts" */

/** So many lines are written out at most. */
export const MOST_LINES = 10_000;

/**
 * @typedef {object} Run
 * @property {number} row
 * @property {number} written index of the written line that the row comes from
 * @property {WrittenLine} line as it is thrown here, once
 * @property {boolean} isHome whether it is the row itself, not a repeat of it
 */

/**
 * @typedef {object} Unrolled
 * @property {readonly Run[]} runs
 * @property {number} copy how many runs each repeat has where all are alike; 0 where they are not
 */

/**
 * A line to be written: its text, and the written line that it is, if it is one.
 * @typedef {{ text: string, node: Tree | null }} Writing
 */

/**
 * @param {Tree} band
 * @returns {Unrolled}
 * @throws {PieceError} for a line that cannot be read, or too many lines
 */
export function unrolled(band) {
  const lines = band.children.map((child) => readLine(child.fields["text"]));
  const rows = lines.flatMap(({ times }, written) => Array.from({ length: Math.min(times, MOST_LINES + 1) }, () => written));
  const picks = thrown(band, rows, lines);
  /** @type {Run[]} */
  const runs = [];
  for (let pick = 0; pick < picks.length; ) {
    const row = picks.written[pick] ?? 0;
    const written = rows[row] ?? 0;
    const source = lines[written];
    /** @type {number[]} */
    const slots = [];
    for (const own = picks.line[pick]; pick < picks.length && picks.line[pick] === own; pick += 1) slots.push(picks.slot[pick] ?? 0);
    if (source) runs.push({ row, written, line: thrownAs(source, slots), isHome: runs.length < rows.length });
  }
  const { times = 1, mirror = "none", middle = "single" } = band.fields;
  const areAlike = times > 1 && (mirror === "none" || (band.fields["joint"] ?? middle) === "double");
  return { runs, copy: areAlike ? runs.length / times : 0 };
}

/** The picks of a band without `resume`, each row a line of its own. @param {Tree} band @param {readonly number[]} rows @param {readonly WrittenLine[]} lines */
function thrown(band, rows, lines) {
  const { resume: _resume, sheds: _sheds, ...fields } = band.fields;
  const keys = new Set(lines.flatMap(({ tokens }) => tokens.flatMap((token) => token.split("+"))));
  const facts = {
    sheds: (lines[0]?.tokens ?? []).map((_, slot) => 1 << slot),
    strands: Object.fromEntries([...keys].map((key) => [key, 1])),
    lineMm: 1,
  };
  const texts = lines.map((line) => lineText({ ...line, times: 1 }));
  const children = rows.map((written) => ({ id: "", kind: /** @type {const} */ ("line"), fields: { text: texts[written] ?? "" }, children: [] }));
  const alone = { ...band, fields, children };
  const { picks, troubles } = expandStrip({ id: "", kind: "strip", fields: {}, children: [alone] }, facts);
  const trouble = rows.length > MOST_LINES || picks.lines > MOST_LINES ? "this band makes more than 10,000 lines, too many to write out" : troubles[0]?.says;
  if (trouble) throw new PieceError(trouble);
  return picks;
}

/** @param {WrittenLine} source @param {readonly number[]} slots in the order thrown @returns {WrittenLine} */
function thrownAs({ tokens, back }, slots) {
  const [first = 0, second] = slots;
  const thrown = new Set(slots);
  return {
    tokens: tokens.map((token, slot) => (thrown.has(slot) ? token : NOT_THROWN)),
    back: second === undefined ? back : first > second,
    times: 1,
  };
}

/**
 * Runs as lines to be written. Rows of one `*n` stay together where they follow one another; run `alone` stands alone.
 * @param {Tree} band
 * @param {readonly Run[]} runs
 * @param {number} [alone]
 * @returns {Writing[]}
 */
export function writings(band, runs, alone = -1) {
  /** @type {Writing[]} */
  const found = [];
  for (let at = 0; at < runs.length; ) {
    const start = at;
    let step = 0;
    for (at += 1; at < runs.length && at !== alone && start !== alone; at += 1) {
      const own = joins(runs[at - 1], runs[at]);
      if (!own || (step && own !== step)) break;
      step = own;
    }
    const run = runs[start];
    if (run) found.push(writing(band, run, at - start));
  }
  return found;
}

/** How one run follows another of the same `*n`: 1 forth, -1 back, 0 not at all. @param {Run | undefined} one @param {Run | undefined} other */
function joins(one, other) {
  if (!one || !other || one.written !== other.written || one.isHome !== other.isHome) return 0;
  const step = other.row - one.row;
  return Math.abs(step) === 1 && lineText(one.line) === lineText(other.line) ? step : 0;
}

/** @param {Tree} band @param {Run} run the first of them @param {number} times @returns {Writing} */
function writing(band, run, times) {
  const node = band.children[run.written];
  const source = readLine(node?.fields["text"] ?? "");
  const isAsWritten = lineText({ ...source, times: 1 }) === lineText(run.line);
  const text = isAsWritten && node ? timed(node.fields["text"], times) : lineText({ ...run.line, times });
  return { text, node: run.isHome ? (node ?? null) : null };
}

/**
 * The runs without their first pick, as a band gives them that resumes.
 * @param {readonly Run[]} runs
 * @returns {Run[]}
 */
export function withoutFirstPick(runs) {
  const [first, ...rest] = runs;
  if (!first) return [];
  const { tokens, back } = first.line;
  const thrown = tokens.flatMap((token, slot) => (token === NOT_THROWN ? [] : [slot]));
  const dropped = back ? thrown.at(-1) : thrown[0];
  const left = tokens.map((token, slot) => (slot === dropped ? NOT_THROWN : token));
  return thrown.length < 2 ? rest : [{ ...first, line: { ...first.line, tokens: left } }, ...rest];
}
