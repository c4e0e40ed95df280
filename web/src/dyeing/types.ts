// The shapes of a lot's dyeing and of the shortest safe programme, as docs/api.md describes them.
import type { Plan, RouteDoc } from "../types";

export type Gives = "salt" | "dye" | "alkali" | "other";
export type CurveKind = "linear" | "progressive" | "degressive" | "portions";

/** A step of the dyeing programme; which members are there depends on its kind. */
export interface DyeStep {
  /** Its number in the bath, from 1. */
  step: number;
  kind: "dose" | "ramp" | "run";
  gives: Gives | null;
  words: string;
  start_min: number;
  end_min: number;
  minutes: number;
  minutes_planned: number;
  changed: boolean;
  /** Runs beside the steps that follow. */
  beside: boolean;
  offset_min: number;
  limit: string | null;
  /** A dose: false, when it does not matter how it is given. */
  can_change?: boolean;
  least_min?: number;
  kg?: number;
  amount_pct?: number;
  curve?: CurveKind;
  exponent?: number | null;
  portions?: number | null;
  /** Rounds of the rope while it is given. */
  cycles?: number;
  from_c?: number;
  to_c?: number;
  rate_c_per_min?: number;
  rate_asked_c_per_min?: number | null;
  steepest_c_per_min?: number;
  reached?: boolean;
  temp_c?: number;
  check?: string | null;
}

export interface Programme {
  start_min: number;
  minutes: number;
  minutes_planned: number;
  speed_m_per_min: number;
  speed_planned_m_per_min: number;
  speed_least_m_per_min: number;
  speed_most_m_per_min: number;
  steps: DyeStep[];
}

export interface RopeFigures {
  load_kg: number;
  tubes: number;
  held_l_per_kg: number;
  free_l: number;
  cycle_min: number;
  tube_cycle_min: number[];
  tube_share_pct: number[];
  zone_pct: number;
  exchange_per_min: number;
  flow_l_per_kg_min: number | null;
  bath_cycle_min: number | null;
  slices: number;
}

export interface DyeCurves {
  dye_id: string;
  given_pct: number[];
  on_fibre_pct: number[];
  fixed_pct: number[];
  bath_pct: number[];
  held_pct: number[];
  hydrolysed_pct: number[];
  strike_pct_per_contact: number[];
  of_final_pct: number[];
}
export interface Curves {
  t_min: number[];
  contact_limit_pct: number;
  strike_pct_per_contact: number[];
  spread_pct: (number | null)[];
  de: (number | null)[];
  dyes: DyeCurves[];
}

export type RatesKnown = "fitted" | "partly" | "placeholder";
export interface DyeFigures {
  dye_id: string;
  name: string;
  swatch: string;
  depth_pct_owf: number;
  kg: number;
  rates: RatesKnown;
  rates_words: string;
  exhaustion_before_alkali_pct: number | null;
  exhaustion_pct: number;
  fixation_pct: number | null;
  yield_pct: number | null;
  hydrolysed_pct: number | null;
  loose_pct: number | null;
  bath_pct: number;
  half_min: number;
  strike_most_pct_per_contact: number;
  strike_at_min: number;
  over_limit_min: number;
  known_exhaustion_pct: number | null;
  known_fixation_pct: number | null;
  spread_end_pct: number;
}

export interface Strike {
  limit_pct_per_contact: number;
  most_pct_per_contact: number;
  dye_id: string;
  at_min: number;
  step: number | null;
  over_min: number;
  most_pct_per_min: number;
  limit_pct_per_min: number;
  level: boolean;
  words: string;
}
export interface LevelAt {
  spread_pct: number;
  along_rope_pct: number;
  between_tubes_pct: number;
  de_most: number;
  de_tubes: number;
  at_min: number;
}
export interface Level {
  alkali_at_min: number | null;
  before_alkali: LevelAt | null;
  fixing: LevelAt | null;
  end: LevelAt;
  peak: LevelAt | null;
  limit_de: number;
  fixing_limit_de: number;
  judged_words: string;
  verdict: "level" | "doubtful" | "unlevel";
  words: string;
  colour_from: string;
  colour_words: string;
}
export interface Tone {
  apart_most_pct: number;
  at_min: number;
  first_dye_id: string;
  last_dye_id: string;
  limit_pct: number;
  verdict: "together" | "apart";
  words: string;
}
export interface WashOff {
  loose_mg_per_kg: number;
  planned_loose_mg_per_kg: number | null;
  target_mg_per_kg: number;
  baths_needed: number;
  baths_planned: number;
  words: string;
}
export interface Mishap {
  what: string;
  words: string;
  fixation_pct: number | null;
  de: number;
  dl: number;
  de_most: number;
  strike_pct_per_contact: number;
  loose_mg_per_kg: number | null;
}
export type Range = [low: number, high: number];
export interface Margin {
  fixation_pct: Range | null;
  de_most: Range;
  strike_pct_per_contact: Range;
  de_shade: number;
  words: string;
}
/** Bytes in base64, time by time; `slices` are all of them, rope after rope. */
export interface RopeMap {
  times: number;
  slices: number;
  tubes: number;
  t_min: number[];
  rgb: string;
  off: string;
  off_pct_per_count: number;
}
export interface Because {
  label: string;
  words: string;
  source: string;
  anchor: string;
}
export type WhyKey =
  | "exhaustion" | "fixation" | "strike" | "level" | "tone" | "wash_off" | "rope" | "course" | "ph" | "colour" | "sensitivity" | "margin" | "rates";

export interface Simulated {
  lot: Plan["lot"];
  simulated: true;
  bath: { number: number; name: string; others: number[] };
  dye_class: string;
  programme: Programme;
  rope: RopeFigures;
  course: { columns: string[]; points: number[][] };
  curves: Curves;
  dyes: DyeFigures[];
  strike: Strike;
  level: Level;
  tone: Tone;
  wash_off: WashOff | null;
  sensitivity: Mishap[] | null;
  margin: Margin | null;
  map: RopeMap | null;
  why: Record<string, Because>;
  notes: string[];
}
export interface NotSimulated {
  lot: Plan["lot"];
  simulated: false;
  reason: { code: string; words: string } | null;
  notes: string[];
}
export type DyeingAnswer = Simulated | NotSimulated;

/* -- what may be asked -- */

export interface StepChange {
  step: number;
  minutes?: number;
  curve?: CurveKind;
  exponent?: number;
  portions?: number;
  amount_pct?: number;
  to_c?: number;
  rate_c_per_min?: number;
  offset_min?: number;
}
/** What changes the programme or what it meets. */
export interface Changes {
  bath?: number;
  speed_m_per_min?: number;
  dose_salt_min?: number;
  dose_dye_min?: number;
  dose_alkali_min?: number;
  salt_pct?: number;
  alkali_pct?: number;
  temp_shift_c?: number;
  tube_share_pct?: number[];
  uneven_preparation_pct?: number;
  steps?: StepChange[];
}
export type Question = Changes & { strike_limit_pct_per_contact?: number; sensitivity?: boolean; map?: boolean; slices?: number };

/* -- the shortest safe programme -- */

export interface Limits {
  strike_limit_pct_per_contact: number;
  de_limit: number;
  fixation_allowance_pct: number;
  fixation_allowance_worst_pct: number;
  run_least_min: number;
  turns_least_salt: number;
  turns_least_dye: number;
  turns_least_alkali: number;
}
export interface Effect {
  minutes: number;
  strike_pct_per_contact: number;
  strike_min: number;
  spread_before_pct: number | null;
  spread_fixing_pct: number;
  spread_end_pct: number;
  de_before: number | null;
  de_fixing: number;
  de_end: number;
  fixation_pct: number | null;
}
export interface ShortStep {
  step: number;
  kind: DyeStep["kind"];
  gives: Gives | null;
  words: string;
  minutes: number;
  minutes_planned: number;
  curve: CurveKind | null;
  exponent: number | null;
  rate_c_per_min: number | null;
  changed: boolean;
  why: string;
  why_words: string;
}
export interface Point {
  minutes: number;
  saved_min: number;
  factor: number;
  kept: boolean;
  less_level: boolean;
  effect: Effect;
  worst: Effect;
  fixed_less_pct: number;
  fixed_less_worst_pct: number;
  speed_m_per_min: number;
  steps: ShortStep[];
  changes: string[];
  dyeing: Changes;
  route: RouteDoc;
  lots_on_route: number;
  speed_changed: boolean;
}
export interface Shortened {
  lot: Plan["lot"];
  simulated: true;
  bath: { number: number; name: string; others: number[] };
  limits: { strike_pct_per_contact: number; de: number; de_fixing: number };
  base: Effect;
  base_worst: Effect;
  base_kept: boolean;
  points: Point[];
  wanted: number | null;
  as_level: number | null;
  words: string;
  runs: number;
  why: Record<string, Because>;
  notes: string[];
}
export type ShortenAnswer = Shortened | NotSimulated;
