/** What the painters of cloth take and give. Bands, rows and columns are counted as in the bakes: band i + 1 is pick i's. */

/** Pixels, four bytes each, the first row at the top; an ImageData is one. */
export interface Raster {
  readonly data: Uint8ClampedArray;
  readonly width: number;
  readonly height: number;
}

export interface PanelPlan {
  readonly width: number;
  readonly edges: boolean;
  /** From which column, how many, to which x (px from the strip's left edge), how often side by side. */
  readonly places: readonly (readonly [source: number, width: number, x: number, times: number])[];
}

/** Everything that the bakes of one strip at one size have in common. */
export interface BakeRecipe {
  readonly width: number;
  readonly column_px: number;
  readonly line_px: number;
  readonly margins: readonly [number, number];
  readonly overhang: number;
  readonly picks: number;
  readonly around: number;
  readonly phase: number;
  readonly panels: readonly PanelPlan[];
  readonly colour?: { readonly brightest: number; readonly seen: readonly number[] };
  readonly sheds?: readonly number[];
  readonly lines?: readonly number[];
}

export interface Hairs {
  readonly count: number;
  readonly row: Uint16Array;
  readonly column: Uint16Array;
  /** Place in `depends`. */
  readonly code: Uint8Array;
  /** 0 to 1. */
  readonly opacity: Float32Array;
}

/** One band of one panel, colourless; rows downwards. */
export interface Bake {
  readonly id: number;
  readonly rows: number;
  readonly width: number;
  /** Pick counted from the band's own; -128 where none shows. */
  readonly which: Int8Array;
  /** (place in `others` + 1) * 256 + shade; below 256 where none shows. */
  readonly mix: Uint16Array;
  readonly others: Int8Array;
  /** The others, then picks of which only a hair is seen. */
  readonly depends: Int16Array;
  readonly hairs: Hairs;
  /** For each of the others, once asked for: from and to which place (row * width + column) it shows. */
  runs: (Int32Array | undefined)[];
}

/** The picks of a strip as they lie: own sheds, and the row where each begins; the last row is the top. */
export interface Lie {
  readonly shed: ArrayLike<number>;
  readonly feet: ArrayLike<number>;
}

/** The types and rows of the picks around one band, from the lowest; -1 where there is no pick. */
export interface Around {
  readonly types: Int32Array;
  readonly rows: Int32Array;
}

export interface Answer {
  readonly recipe: BakeRecipe;
  readonly bands: readonly { readonly band: number; readonly bakes: readonly Bake[] }[];
}

/** What stands in for a bake that is not here yet. */
export interface StandIn {
  readonly bake: Bake;
  /** For each of the bake's `depends` the pick, counted from the band's own, that is meant here. */
  readonly meant: Int32Array;
}

/** A bake in its place: the pick, counted from the strip's foot, that each of its `depends` is. */
export interface Laid {
  readonly bake: Bake;
  readonly picks: Int32Array;
  /** Whether it is the band's own, not one that stands in. */
  readonly own: boolean;
}

/** Columns of a panel and where they lie in a raster. */
export interface Piece {
  readonly source: number;
  readonly x: number;
  readonly width: number;
}

/**
 * A text for each band from..to; bands of one text look alike, at the edges of the strip too where `edges` is true.
 * It must tell apart all that a bake depends on, the variation with it.
 */
export type Signatures = (from: number, to: number, edges: boolean) => readonly string[];

/** The strip that is painted. */
export interface Scene extends Lie {
  /** Winding of each pick. */
  readonly wound: ArrayLike<number>;
  /** 256 colours of each winding, as `packed` gives them. */
  readonly tables: Uint32Array;
  /** The same function as long as the structure is the same. */
  readonly signatures: Signatures;
}

/** Rows of a raster: from the first to the one after the last. */
export type Span = readonly [from: number, to: number];

export interface Painted {
  /** What was painted anew. */
  readonly spans: readonly Span[];
  /** Bands that are looked at and have no bake of their own yet. */
  readonly missing: readonly number[];
}

/** What is drawn with: as much of a CanvasRenderingContext2D as is used. */
export interface Pen {
  fillStyle: string | CanvasGradient | CanvasPattern;
  strokeStyle: string | CanvasGradient | CanvasPattern;
  lineWidth: number;
  lineCap: CanvasLineCap;
  lineJoin: CanvasLineJoin;
  font: string;
  textAlign: CanvasTextAlign;
  textBaseline: CanvasTextBaseline;
  globalAlpha: number;
  lineDashOffset: number;
  save(): void;
  restore(): void;
  beginPath(): void;
  closePath(): void;
  moveTo(x: number, y: number): void;
  lineTo(x: number, y: number): void;
  bezierCurveTo(ax: number, ay: number, bx: number, by: number, x: number, y: number): void;
  ellipse(x: number, y: number, rx: number, ry: number, turn: number, from: number, to: number, left?: boolean): void;
  rect(x: number, y: number, width: number, height: number): void;
  fill(): void;
  stroke(): void;
  clip(): void;
  setLineDash(dash: number[]): void;
  fillText(text: string, x: number, y: number): void;
  measureText(text: string): { readonly width: number };
}

/** A rectangle, px. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** One step along a mark's outline, in its square of 12 by 12: move, line, part of an ellipse, close. */
export type Step =
  | readonly ["M", x: number, y: number]
  | readonly ["L", x: number, y: number]
  | readonly ["E", x: number, y: number, rx: number, ry: number, turn: number, from: number, to: number, left: boolean]
  | readonly ["Z"];

/** The mark of a yarn: its parts, filled, or stroked so wide (units of its square). */
export interface Mark {
  readonly parts: readonly { readonly steps: readonly Step[]; readonly stroke: number }[];
}

/** How what a shuttle carries is shown: the marks of its yarns, its colour, and the ink that is seen on it. */
export interface WindingLook {
  readonly marks: readonly Mark[];
  readonly colour: string;
  readonly ink: string;
}

/** A line of the cloth on the stair. */
export interface StairLine {
  /** From 1. */
  readonly number: number;
  /** Its upper border, and how high it is. */
  readonly y: number;
  readonly height: number;
  /** What is thrown in each shed, pick 1 first; null where nothing is. */
  readonly tokens: readonly (string | null)[];
  /** The number of the line that it repeats; null where it is written itself. */
  readonly source: number | null;
  /** Whether a band begins with it. */
  readonly foot: boolean;
}

export interface StairBand {
  readonly key: string;
  readonly name: string;
  /** "6, mirrored" */
  readonly says: string;
  /** From its upper to its lower border. */
  readonly top: number;
  readonly bottom: number;
  /** Where its middle lies, if it is mirrored. */
  readonly middle: number | null;
  /** Whether its handle is pointed at or open. */
  readonly open: boolean;
}

/** A pick by the number of its line and its place in it, from 0. */
export interface StairPick {
  readonly line: number;
  readonly slot: number;
}

export interface StairScene {
  /** Lines in sight, and the one below them, from the lowest. */
  readonly lines: readonly StairLine[];
  readonly bands: readonly StairBand[];
  readonly looks: (token: string) => WindingLook;
  readonly pointed: StairPick | null;
  /** The picks that are one with it. */
  readonly family: readonly StairPick[];
  /** The first and the last line selected. */
  readonly chosen: readonly [number, number] | null;
  /** Columns of the stair. */
  readonly slots: number;
  /** The height of the drawing. */
  readonly height: number;
  /** Where the strip's foot lies. */
  readonly foot: number;
}

/** Where the columns lie, and what everything is drawn with; px and CSS colours. */
export interface StairLook {
  readonly bracketX: number;
  /** Where the numbers end. */
  readonly numberX: number;
  /** The middle of the first column of ovals. */
  readonly stairX: number;
  readonly step: number;
  readonly ink: string;
  readonly quiet: string;
  readonly edge: string;
  /** What the drawing lies on. */
  readonly page: string;
  /** "14px Some Font", and the same in bold. */
  readonly font: string;
  readonly bold: string;
}

/** What can be touched. */
export type Hit = Box &
  (
    | { readonly kind: "line"; readonly line: number }
    | { readonly kind: "oval"; readonly line: number; readonly slot: number }
    | { readonly kind: "source"; readonly line: number; readonly source: number }
    | { readonly kind: "band" | "handle"; readonly band: string }
  );
