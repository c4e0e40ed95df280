// The shapes of the API, as docs/formats.md describes them. Every physical field ends in its unit.

/** A quantity: its value, its unit and the key of the figure that explains it. */
export interface Q {
  value: number;
  unit: string;
  figure: string;
}
export type MaybeQ = Q | null;

export type Severity = "stop" | "warning" | "note";
export type StepKind =
  | "load" | "fill" | "dose" | "heat" | "cool" | "hold" | "check" | "rinse" | "drain" | "unload";

export interface Mill {
  name: string;
  currency: string;
  invented: boolean;
  version: string;
}

export interface LotRow {
  lot_id: string;
  order_id: string;
  customer: string;
  article_id: string;
  article: string;
  construction: string;
  shade_id: string;
  shade: string;
  swatch: string;
  machine_id: string;
  machine: string;
  route_id: string;
  route: string;
  load_kg: number;
  n_rolls: number;
  stage: string;
  stage_words: string;
  due: string | number;
  revision: number;
}

/** Lots under way and the last done; `earlier`: more of them, before this lot. */
export interface LotsPart {
  lots: LotRow[];
  all: number;
  earlier: string | null;
}

export interface Machine {
  machine_id: string;
  name: string;
  kind: string;
  kind_words: string;
  tubes: number;
  load_min_kg: number;
  load_max_kg: number;
  ratio_min_l_per_kg: number;
  speed_min_m_per_min: number;
  speed_max_m_per_min: number;
  cycle_max_min: number;
  temp_max_c: number;
  tank_l: number;
}

export interface RouteRow {
  route_id: string;
  name: string;
  version: number;
  dye_class: string;
  purpose: string;
  lots: number;
}

export interface RouteItem {
  material_id?: string;
  basis: string;
  amount?: number;
  of_active?: boolean;
  table_id?: string;
  dye_table?: string;
}
export interface RouteStep {
  do: StepKind;
  note?: string;
  temp_c?: number;
  rate_c_per_min?: number;
  minutes?: number;
  share_pct?: number;
  items?: RouteItem[];
  [other: string]: unknown;
}
export interface RouteBath {
  name: string;
  steps: RouteStep[];
}
export interface RouteStage {
  kind: string;
  name: string;
  baths: RouteBath[];
  [other: string]: unknown;
}
export interface RouteDoc {
  route_id: string;
  name: string;
  version: number;
  stages: RouteStage[];
  [other: string]: unknown;
}

export interface OrderRow {
  order_id: string;
  customer: string;
  article_id: string;
  article: string;
  shade_id: string;
  shade: string;
  swatch: string;
  ordered_kg: number;
  grey_kg: number;
  due: string | number;
}

export interface Advice {
  machine_id: string;
  machine: string;
  lots: number;
  lot_kg: number;
  fill_pct: number;
  ratio_l_per_kg: number;
  liquor_l: number;
  rope_m: number;
  cycle_min: number;
  suits: boolean;
  reasons: string[];
}
export interface OrderAdvice {
  order_id: string;
  grey_kg: number;
  advice: Advice[];
}

export interface PlanItem {
  material_id: string;
  name: string;
  form: string;
  basis: string;
  basis_words: string;
  of_active: boolean;
  table_id: string;
  amount: Q;
  active_kg: Q;
  mass_kg: Q;
  volume_l: MaybeQ;
  conc_g_per_l: MaybeQ;
  cost_minor: MaybeQ;
  cautions: string[];
}
export interface PlanCheck {
  kind: string;
  words: string;
  unit: string;
  low: number | null;
  high: number | null;
  /** Read on a sample cooled to 25 degC, not in the bath. */
  cooled: boolean;
  /** What it is reckoned to read, as it is read. */
  expected: MaybeQ;
  method: string;
  on_fail: string;
  on_fail_words: string;
  remedy: string;
}
export interface PlanStep {
  kind: StepKind;
  words: string;
  note: string;
  /** Place in the route: stage, bath, step, counted from 0. */
  at: [number, number, number];
  start_min: Q;
  minutes: Q;
  end_min: Q;
  temp_start_c: Q;
  temp_end_c: Q;
  volume_l: MaybeQ;
  water_temp_c: MaybeQ;
  steam_kg: MaybeQ;
  kept_fraction: MaybeQ;
  tank_water_l: MaybeQ;
  tank_loads: MaybeQ;
  least_minutes: MaybeQ;
  cycles: MaybeQ;
  beside: boolean;
  liquor_start_l: number;
  liquor_end_l: number;
  rate_c_per_min: number;
  cautions: string[];
  curve: { kind: string; words: string; exponent: number; portions: number } | null;
  share_pct: number;
  items: PlanItem[];
  check: PlanCheck | null;
  /** At the end of the step, in the bath. */
  ph: MaybeQ;
  /** What a sample cooled to 25 degC reads; checks of pH only. */
  ph_cold: MaybeQ;
  uncertainty_ph: number | null;
  peroxide_mg_per_l: MaybeQ;
  dithionite_g_per_l: MaybeQ;
}
export interface PlanMass {
  material_id: string;
  carried_in_kg: number;
  fibre_in_kg: number;
  dosed_kg: number;
  consumed_kg: number;
  rinsed_kg: number;
  drained_kg: number;
  fixed_kg: number;
  fibre_out_kg: number;
  carried_out_kg: number;
}
export interface Dissolved {
  substance: string;
  words: string;
  start_g_per_l: MaybeQ;
  end_g_per_l: MaybeQ;
}
export interface PlanBath {
  number: number;
  stage: { kind: string; name: string };
  name: string;
  continues: boolean;
  ratio_l_per_kg: MaybeQ;
  liquor_l: MaybeQ;
  carried_l: MaybeQ;
  additions_l: MaybeQ;
  fill_l: MaybeQ;
  final_l: MaybeQ;
  drained_l: MaybeQ;
  retained_l: MaybeQ;
  rinse_l: MaybeQ;
  water_l: MaybeQ;
  steam_kg: MaybeQ;
  minutes: Q;
  start_min: Q;
  end_min: Q;
  ph_start: MaybeQ;
  ph_end: MaybeQ;
  hardness_total_dh: MaybeQ;
  /** What no sequestrant holds. */
  hardness_dh: MaybeQ;
  electrolyte_g_per_l: MaybeQ;
  peroxide_mg_per_l: MaybeQ;
  dithionite_g_per_l: MaybeQ;
  /** Dye on the fibre that is not fixed, after the bath. */
  loose_mg_per_kg: MaybeQ;
  dissolved: Dissolved[];
  steps: PlanStep[];
  masses: PlanMass[];
}
export interface PlanTotal {
  material_id: string;
  name: string;
  mass_kg: Q;
  cost_minor: MaybeQ;
  stock_kg: number;
}
export interface PlanWarning {
  id: string;
  severity: Severity;
  text: string;
  bath: number | null;
  step: number | null;
  figure: string | null;
}
export interface Figure {
  label: string;
  value: number;
  unit: string;
  rule?: string;
  inputs?: string[];
  source?: { table: string; record_id: string; field: string };
}
export interface Rule {
  title: string;
  words: string;
  source: string;
  anchor: string;
}
export type HeadlineKey =
  | "load_kg" | "ratio_l_per_kg" | "liquor_l" | "fabric_m" | "rope_m" | "speed_m_per_min"
  | "cycle_min" | "total_min" | "water_l" | "water_l_per_kg" | "steam_kg" | "power_kwh"
  | "chemicals_kg" | "depth_pct_owf" | "chemicals_minor" | "utilities_minor" | "cost_minor"
  | "cost_minor_per_kg";

export interface Plan {
  lot: {
    lot_id: string;
    order_id: string;
    customer: string;
    article: {
      article_id: string;
      name: string;
      construction: string;
      finished_gsm: number;
      finished_width_cm: number;
      remark: string;
    };
    shade: {
      shade_id: string;
      name: string;
      dye_class: string;
      swatch: string;
      in_gamut: boolean;
      lab: [number, number, number];
    };
    stage: string;
    stage_words: string;
    due: string | number;
    n_rolls: number;
    /** As stored; 0: what the rolls weigh, the machine's fastest, all its ropes. */
    weighed_kg: number;
    ratio_l_per_kg: number;
    speed_m_per_min: number;
    tubes_used: number;
    revision: number;
  };
  machine: Machine;
  route: RouteDoc;
  site: { name: string; currency: string; invented: boolean };
  headline: Record<HeadlineKey, MaybeQ>;
  footprint: Footprint;
  baths: PlanBath[];
  totals: PlanTotal[];
  warnings: PlanWarning[];
  curve: [number, number, number][];
  passes: { kind: string; words: string; note: string }[];
  figures: Record<string, Figure>;
  rules: Record<string, Rule>;
  cautions: Record<string, string>;
}

export type LoadKey =
  | "water_l" | "effluent_l" | "steam_kg" | "power_kwh" | "chemicals_kg" | "salt_kg" | "dye_kg" | "cod_kg"
  | "solids_kg" | "co2_kg" | "water_minor" | "effluent_minor" | "steam_minor" | "power_minor"
  | "chemicals_minor" | "cost_minor";
export type PerKgKey =
  | "water_l_per_kg" | "steam_kg_per_kg" | "power_kwh_per_kg" | "cod_g_per_kg" | "solids_kg_per_kg"
  | "co2_kg_per_kg" | "cost_minor_per_kg";

/** What a stage, or the whole lot, takes and sends away. */
export interface FootprintPart extends Record<LoadKey, MaybeQ> {
  kind: string;
  words: string;
  name: string;
}
export interface FootprintBand {
  what: string;
  unit: string;
  low: number;
  high: number;
  value: number;
  verdict: "below" | "within" | "above";
  source: string;
  to_confirm: boolean;
}
export interface Footprint {
  stages: FootprintPart[];
  total: FootprintPart;
  per_kg: Record<PerKgKey, MaybeQ>;
  unknown_cod_kg: MaybeQ;
  unknown_co2_kg: MaybeQ;
  bands: FootprintBand[];
}
export interface FootprintSide {
  route_id: string;
  name: string;
  total_min: MaybeQ;
  /** Warnings that would stop the lot on its machine. */
  stops: number;
  footprint: Footprint;
}
export interface FootprintAnswer {
  lot_id: string;
  currency: string;
  a: FootprintSide;
  b: FootprintSide | null;
}

export interface BathCheck {
  bath: number;
  step: number;
  t_min: number;
  kind: string;
  low: number | null;
  high: number | null;
  unit: string;
  value: number | null;
}
/** The chemistry of a lot over its time; a point holds the columns in their order, null: not known. */
export interface BathTime {
  lot_id: string;
  cold_c: number;
  columns: string[];
  points: (number | null)[][];
  baths: { number: number; name: string; stage: string; start_min: number; end_min: number }[];
  doses: { bath: number; step: number; start_min: number; end_min: number; text: string; more: number }[];
  checks: BathCheck[];
}

/** What the bath desk answers. */
export interface DeskAnswer {
  result: Record<string, unknown>;
  why: { label: string; words: string; source: string; anchor: string }[];
  notes: (string | { text: string })[];
}

/** The step that curve and tables point at; both counted from 1. */
export type Selected = { bath: number; step: number } | null;

/** What a request may change of a lot before planning it. */
export interface WhatIf {
  machine_id?: string;
  route_id?: string;
  load_kg?: number;
  ratio_l_per_kg?: number;
  speed_m_per_min?: number;
  tubes_used?: number;
  route?: RouteDoc;
}

export interface Finding {
  place: string;
  value: string;
  allowed: string;
  remedy: string;
  message: string;
}
export interface ApiErrorBody extends Finding {
  code: string;
  more?: Finding[];
  total?: number;
}
