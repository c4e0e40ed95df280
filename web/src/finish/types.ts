// What the server answers about the finishing of a lot (docs/formats.md, finish).
import type { Figure, MaybeQ, PlanCheck, PlanWarning, Q, Rule } from "../types";

export interface PassSet {
  width_cm: MaybeQ;
  layflat_cm: MaybeQ;
  overfeed_pct: MaybeQ;
  length_loss_pct: MaybeQ;
  temp_c: MaybeQ;
  dwell_s: MaybeQ;
  speed_m_per_min: MaybeQ;
}
export interface Behind {
  width_cm: Q;
  layflat_cm: MaybeQ;
  courses_per_cm: Q;
  wales_per_cm: Q;
  wet_gsm: Q;
  conditioned_gsm: Q;
  moisture_pct: Q;
  length_m: Q;
}
export interface ReadBehind {
  lies_cm: number;
  courses_per_cm: number;
  moisture_pct: number;
  wet_gsm: number | null;
  weighed_off_pct: MaybeQ;
}
export interface FinishPass {
  kind: string;
  words: string;
  note: string;
  finisher_id: string | null;
  finisher: string | null;
  /** False: raising, whose doing nobody reckons. */
  shapes: boolean;
  set: PassSet;
  behind: Behind;
  /** The moisture it may leave, where the route says so. */
  check: PlanCheck | null;
  read: ReadBehind | null;
  minutes: MaybeQ;
  power_kwh: MaybeQ;
  evaporated_kg: MaybeQ;
  heat_mj: MaybeQ;
}
export type DemandName = "width" | "gsm" | "length-shrinkage" | "width-shrinkage" | "spirality";
export interface Outcome {
  what: DemandName;
  words: string;
  unit: string;
  low: number;
  high: number;
  value: MaybeQ;
  /** 0: met; above 0 too much, below 0 too little. */
  off: number;
}
export interface Finish {
  met: boolean;
  /** The article stays tubular. */
  tube: boolean;
  needles: Q;
  finished_kg: Q;
  minutes: Q;
  power_kwh: Q;
  evaporated_kg: Q;
  heat_mj: Q;
  relaxed: { from: string; from_words: string; samples: number; courses_per_cm: Q; wales_per_cm: Q; gsm: Q; width_cm: Q };
  aim: {
    feasible: boolean;
    width_cm: Q;
    gsm: Q;
    courses_per_cm: Q;
    length_shrinkage_pct: Q;
    width_shrinkage_pct: Q;
    strain_pct: Q;
  };
  start: { width_cm: Q; courses_per_cm: Q; wales_per_cm: Q; moisture_pct: Q; length_m: Q };
  passes: FinishPass[];
  outcome: Outcome[];
}
export interface FinishAnswer {
  /** Null: the route has no passes, or the article lacks what the finishing takes. */
  finish: Finish | null;
  warnings: PlanWarning[];
  figures: Record<string, Figure>;
  rules: Record<string, Rule>;
}

/** What was read behind a pass, as it is sent. */
export interface Reading {
  pass: number;
  lies_cm: number;
  courses_per_cm: number;
  moisture_pct: number;
  wet_gsm?: number;
}
