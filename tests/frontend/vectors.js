/** Reads the cases that Python wrote, and says what a function gives or refuses. */
import { readFileSync } from "node:fs";

/** @param {string} name */
export function vectors(name) {
  return JSON.parse(readFileSync(new URL(`../vectors/${name}.json`, import.meta.url), "utf8"));
}

/** What a function gives, or the message that it refuses with. @param {() => unknown} ask */
export function given(ask) {
  try {
    return { value: ask() };
  } catch (error) {
    return { error: error instanceof Error ? error.message : String(error), code: /** @type {{ code?: string }} */ (error).code };
  }
}

/** Picks as the cases hold them. @param {Record<string, number[]> & { step: [number, number][], lines: number }} data */
export function picksOf(data) {
  const step = data.step.flatMap(([count, mm]) => Array.from({ length: count }, () => mm));
  return {
    length: step.length,
    shed: Uint16Array.from(data.shed),
    wound: Int32Array.from(data.wound),
    line: Int32Array.from(data.line),
    slot: Int16Array.from(data.slot ?? []),
    band: Int16Array.from(data.band ?? []),
    written: Int32Array.from(data.written ?? []),
    step: Float64Array.from(step),
    lines: (data.line.at(-1) ?? -1) + 1,
  };
}
