// What GET /api/learn answers: docs/formats.md, What the lots teach.
export type GroupBy = "shade" | "machine" | "dye_set" | "article" | "month";

export interface Grouping {
  by: GroupBy;
  groups: number;
  lots: number;
  alike: boolean;
  chi_square: number;
  worth_lots: number | null;
}
export interface Group {
  by: GroupBy;
  id: string;
  lots: number;
  right_first: number;
  rate_pct: number;
  low_pct: number;
  high_pct: number;
  expected_pct: number;
  own_weight_pct: number;
  lost_lots: number;
  rank: number;
  verdict: "chance" | "worse" | "better";
}
export interface Chart {
  chart: string;
  words: string;
  kind: "individuals" | "ewma" | "fraction" | "counts";
  unit: string;
  points: number;
  base: number;
  centre: number;
  sigma: number;
  out: number;
  provisional: boolean;
  state: "steady" | "out" | "no_spread";
}
export interface ChartPoint {
  chart: string;
  at: string;
  value: number | null;
  lower: number | null;
  upper: number | null;
  lots: number | null;
  z: number | null;
  in_base: boolean;
  few: boolean;
  rules: string;
}
export interface Rule {
  rule: string;
  words: string;
  points: number;
  source: string;
}
export interface DyeSpread {
  dye_id: string;
  lots: number;
  left_out: number;
  lot_spread_pct: number;
  cell_spread_pct: number;
  machine_spread_pct: number;
}
export interface Factor {
  dye_id: string;
  level: "mill" | "machine" | "cell";
  shade_id: string;
  machine_id: string;
  factor: number;
  low: number;
  high: number;
  lots: number;
  own_weight_pct: number;
  multiply: number;
  if_asked: "applied" | "unproven" | "beyond";
  words: string;
}
export interface Taught {
  lots: number;
  from: string;
  to: string;
  right_first: number;
  rate_pct: number;
  low_pct: number;
  high_pct: number;
  additions_per_lot: number;
  /** Groups, points and factors come in parts: what the next one is asked for by, or null. */
  rows_next: number | null;
  groupings: Grouping[];
  groups: Group[];
  charts: Chart[];
  points: ChartPoint[];
  rules: Rule[];
  dyes: DyeSpread[];
  factors: Factor[];
}
export interface LearnAnswer {
  do: "learn";
  caption: string;
  /** Before any lot was run there is nothing but their number, 0. */
  result: Taught | { lots: 0 };
  why: { label: string; words: string; source: string; anchor: string }[];
  notes: string[];
  notices: { message: string; place: string; value: string }[];
}
