/** What the model speaks of; free of the page. Arrays of picks run from the foot up, in the order thrown. */

export type Kind = "piece" | "section" | "strip" | "band" | "line";

/** A part of a piece: its keys as in the project file without the children; a line has its `text` and nothing else. */
export interface Tree {
  readonly id: string;
  readonly kind: Kind;
  readonly fields: Readonly<Record<string, any>>;
  readonly children: readonly Tree[];
}

/** One written line, read: a token for each shed (`-`, a yarn's key, or keys joined by `+`), and how it is thrown. */
export interface WrittenLine {
  readonly tokens: readonly string[];
  /** Whether the last shed is thrown first. */
  readonly back: boolean;
  /** How often the line comes in a row. */
  readonly times: number;
}

/** What one shuttle carries: yarns with their strands, in the order of their keys. */
export type Winding = readonly (readonly [key: string, strands: number])[];

/** What a strip needs to know of its piece. */
export interface PieceFacts {
  /** Bit masks of the technique's sheds (bit s - 1 for shaft s). */
  readonly sheds: readonly number[];
  /** How many strands each yarn has when its letter stands alone, in the order of the file. */
  readonly strands: Readonly<Record<string, number>>;
  /** Height of a whole line. */
  readonly lineMm: number;
  /** Shafts of the technique; without it 16. */
  readonly shafts?: number;
}

export interface Picks {
  readonly length: number;
  /** Bit mask of the shafts covered on the face. */
  readonly shed: Uint16Array;
  /** Index into the cloth's windings. */
  readonly wound: Int32Array;
  /** Running line, from 0 at the foot; never falls. */
  readonly line: Int32Array;
  /** Place of the pick's shed in the order of its band's sheds, from 0. */
  readonly slot: Int16Array;
  /** Index of the band in its strip. */
  readonly band: Int16Array;
  /** Index of the written line in its band. */
  readonly written: Int32Array;
  /** Height that the pick adds, mm. */
  readonly step: Float64Array;
  /** How many running lines there are. */
  readonly lines: number;
}

/** Something written that cannot be followed: which node, and one sentence. */
export interface Trouble {
  readonly node: string;
  readonly says: string;
}

export interface Cloth {
  readonly picks: Picks;
  readonly windings: readonly Winding[];
  readonly troubles: readonly Trouble[];
}

/** How running lines belong together. */
export interface LineKin {
  /** For each running line the first running line of the same written line. */
  readonly source: Int32Array;
  /** The first pick of each running line, and the number of picks at the end. */
  readonly starts: Int32Array;
}

export interface EdgeWarp {
  readonly kind: "none" | "floating" | "doubled";
  readonly ends: number;
}

/** One strip as it is looked at; rows in pixels from its foot. */
export interface Sight {
  /** Shafts, left to right as seen. */
  readonly ends: readonly number[] | Uint8Array;
  /** Each pick's shed without the shafts that the strip has no end on. */
  readonly shed: Uint16Array;
  readonly line: Int32Array;
  readonly wound: Int32Array;
  /** The row where each pick begins; the last is the top (picks + 1). */
  readonly feet: Int32Array;
  readonly back: boolean;
  readonly edge: EdgeWarp;
}

export type Single =
  | {
      readonly op: "set";
      readonly node: string;
      readonly field: string;
      readonly value?: unknown;
      readonly null?: boolean;
      readonly tidy?: number;
      readonly before?: string | null;
    }
  | { readonly op: "lay"; readonly line: string; readonly pick: number; readonly token: string }
  | { readonly op: "insert"; readonly parent: string; readonly after?: string | null; readonly node: Tree }
  | { readonly op: "remove"; readonly node: string }
  | { readonly op: "move"; readonly node: string; readonly parent: string; readonly after?: string | null };

/** A change of a piece, as the server takes it. */
export type Command = Single | { readonly op: "become"; readonly tree: Tree } | { readonly op: "together"; readonly ops: readonly Single[] };

/** Gives a fresh id for a node. */
export type NewId = () => string;

/** Linear light of red, green and blue, 0 to 1. */
export type Light = readonly [number, number, number];
