// The answer of POST /api/fabric with a map, and GET /api/articles (docs/api.md).
export interface Article {
  article_id: string;
  name: string;
  construction: string;
  construction_words: string;
  yarn_ne: number;
  loop_mm: number;
  gauge_per_inch: number;
  diameter_inch: number;
  feeders: number;
  elastane_pct: number;
  finished_gsm: number;
  finished_width_cm: number;
  shrink_length_max_pct: number;
  shrink_width_max_pct: number;
  spirality_max_pct: number;
}

export interface Range {
  low: number;
  high: number;
}
export interface Window {
  width_cm: Range;
  gsm: Range;
}
/** Full open width cm, weight g/m2. */
export type Point = readonly [width_cm: number, gsm: number];
/** Members to ask again with; null: to leave out. */
export type Sets = Record<string, number | null>;

export type ClashOf = "width_against_shrinkage" | "gsm_against_width" | "gsm_against_shrinkage";
export interface Clash {
  of: ClashOf;
  pct: number;
  by_cm?: number;
  by_gsm?: number;
  above: boolean;
}
export type CureOf = "loop" | "yarn" | "needles" | "feeders" | "spirality_pct" | "gsm" | "width_cm" | "length_shrink_pct" | "width_shrink_pct";
export interface Cure {
  of: CureOf;
  upper?: boolean;
  limit?: number;
  by?: number;
  change_pct?: number;
  set: Sets;
}
export interface Frame {
  change_pct: number;
  loop_cm: number | null;
  verdict: "met" | "not_met";
  relaxed: { gsm: number; width_cm: number };
  best: { width_cm: number; gsm: number; length_shrink_pct: number; width_shrink_pct: number; strain_pct: number };
  clashes: Clash[];
  spirality?: { feeder_pct: number; total_pct: number; over_pct: number };
  cures: Cure[];
  set: Sets;
  allowed: Point[];
  feasible: Point[];
  width_lines: [width_shrink_pct: number, width_cm: number][];
}
export interface FabricMap {
  window: Window;
  box: Window;
  length_lines: { length_shrink_pct: number; points: Point[] }[];
  now: number;
  frames: Frame[];
}
export interface Because {
  label: string;
  words: string;
  source: string;
  anchor: string;
}
export interface FabricAnswer {
  result: Record<string, unknown>;
  why: Because[];
  notes: string[];
  map: FabricMap;
}
