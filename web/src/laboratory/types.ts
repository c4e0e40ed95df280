// The answers of POST /api/recipe (docs/api.md).
import type { Because } from "../fabric/types";

export interface LabFile {
  name: string;
  text: string;
}
export const FILE_KEYS = ["spectra", "standard_file", "ladder", "dyes", "dose_table", "dose_band"] as const;
export type FileKey = (typeof FILE_KEYS)[number];
export type LabFiles = Partial<Record<FileKey | "sample_file", LabFile>>;

export interface Colour {
  l: number;
  a: number;
  b: number;
  c: number;
  h_deg: number;
  swatch: string;
  in_gamut: boolean;
  difference?: number;
}
export type Seen = Record<string, Colour>;
export type Point = readonly [number, number];

export interface LightView {
  light: string;
  caption: string;
  standard: Colour;
  within_ab: Point[];
  within_cl: Point[];
}
export interface Dose {
  dye_id: string;
  depth_pct_owf: number;
}
/** Salt and alkali by the tables of the dyes; null: deeper than the table. */
export interface Baths {
  salt_g_per_l?: number | null;
  alkali_g_per_l?: number | null;
  salt?: FromTable;
  alkali?: FromTable;
}
export interface FromTable {
  table_id: string;
  title: string;
  source: string;
  counted_as: string;
  decided_by: string;
  words: string;
}
export interface Recipe extends Baths {
  dyes: Dose[];
  difference: Record<string, number>;
  cost_per_kg: number;
  price_missing: boolean;
  against: string[];
  curve: number[];
  seen: Seen;
}
interface Answer {
  why: Because[];
  notes: string[];
}
/** What the lots taught of a dye, from laboratory to bulk. */
export interface BulkDye {
  dye_id: string;
  multiply: number;
  factor: number;
  low: number;
  high: number;
  lots: number;
  use: "applied" | "unproven" | "beyond" | "not_asked";
  words: string;
}
export interface Bulk {
  shade_id: string;
  machine_id: string;
  best_guess: boolean;
  lots: number;
  dyes: BulkDye[];
}
export interface Found extends Answer {
  result: {
    verdict: "reached" | "undyed" | "not_reached";
    sets: number;
    reached: number;
    tolerance: number;
    nearest?: { recipe: string; difference: number; limited_by?: string; limited_dye?: string };
  };
  found: { start_nm: number; step_nm: number; standard: number[]; lights: LightView[]; recipes: Recipe[]; nearest: Recipe; bulk?: Bulk };
}
export interface Predicted extends Answer {
  result: { cost_per_kg: number; price_missing: "yes" | "no" };
  curves: { predicted: number[]; seen: Seen };
  doses?: Baths;
}

export interface Rung {
  sample: string;
  depth_pct_owf: number;
  cmc: number;
  dose_error_pct: number;
  verdict: "good" | "wrong_dose" | "noisy_spectrum" | "odd_shade" | "cannot_tell";
  action: "keep" | "measure_again" | "dye_again" | "dye_more_depths";
}
export interface Sample extends Partial<Colour> {
  name: string;
  file: "spectra" | "standard_file" | "sample_file" | "mill";
  kind: "cloth" | "dyed" | "other";
}
export interface Calibrated extends Answer {
  result: { surface: { kind: "none" | "limit" | "saunderson"; k1: number; k2: number; cmc_rms?: number; cmc_rms_none?: number }; dyes: number; samples: number; cmc_rms?: number; rungs: Rung[] };
  laboratory: { samples: Sample[]; dyes: { dye_id: string; most_pct_owf: number }[]; illuminants: string[] };
}

export interface OfDye {
  strength_pct: number;
  strength_low_pct: number;
  strength_high_pct: number;
  known: "yes" | "no";
  add_pct_owf: number;
  next_pct_owf: number;
}
export interface Corrected extends Answer {
  result: {
    caption: string;
    way: string;
    before: { difference: number };
    after: { difference: number };
    add_total_pct: number;
    unexplained: number;
    next: number;
  } & Record<string, unknown>;
  colours: Record<"standard" | "sample" | "after", { seen: Seen }>;
}

/** POST /api/colour, `difference`. */
export interface LightVerdict {
  illuminant: string;
  passes: boolean;
  de: number;
  most_de: number;
  dl: number;
  da: number;
  db: number;
  dc: number;
  dh: number;
  metamerism_de: number | null;
  over: string;
  words: string;
  standard_swatch: string;
  standard_in_gamut: boolean;
  sample_swatch: string;
  sample_in_gamut: boolean;
}
export interface Judged extends Answer {
  caption: string;
  notices: { message: string; place: string; value: string }[];
  result: { standard: string; passed: number; n: number; verdicts: { sample: string; passes: boolean; worst_illuminant: string; worst_de: number; most_de: number; over: string; words: string }[]; lights: LightVerdict[] };
}

export interface Dispensed extends Answer {
  result: { solutions: { solution: string; g_per_l: number; weigh_g: number; take_ml: number; flask_ml: number; needed_ml: number }[] };
  dips: (Baths & {
    dip_id: string;
    liquor_ml: number;
    dyes: { dye_id: string; depth_pct_owf: number; level: number; ml: number; exact_ml: number; error_pct: number; g: number }[];
    salt_g: number;
    alkali_g: number;
    water_ml: number;
  })[];
}

/** GET /api/laboratory. */
export interface Dip {
  dip_id: string;
  shade_id: string;
  round: number;
  made: string;
  state: "made" | "submitted" | "approved" | "rejected";
  state_words: string;
  may: string[];
  substrate: string;
  recipe: string;
  dyes: (Dose & { name: string })[];
  sample_id: string | null;
  decided_by: string;
  decided: string | null;
  remark: string;
  revision: number;
  colour: Colour | null;
  difference: number | null;
  within: boolean | null;
}
export interface BenchShade {
  shade_id: string;
  name: string;
  dye_class: string;
  tolerance_de: number;
  swatch: string;
  standard: string | null;
  recipe: string;
  dyes: (Dose & { name: string })[];
  /** Factors that are in the depths; null: they are the laboratory's. */
  bulk: { machine_id: string; dyes: { dye_id: string; multiply: number; words: string }[] } | null;
  lots_running: string[];
  dips: Dip[];
}
export interface Bench {
  substrates: { substrate: string; cloth: string | null; rungs: number; dyes: { dye_id: string; name: string; dye_class: string; swatch: string; most_pct_owf: number }[] }[];
  samples: { sample_id: string; kind: string; name: string; substrate: string; shade_id: string; specular: string; colour: Colour | null }[];
  shades: BenchShade[];
}
/** Samples of the mill in place of files. */
export interface From {
  substrate: string;
  shade: string;
  standard: string;
  name: string;
  tolerance: number;
}
