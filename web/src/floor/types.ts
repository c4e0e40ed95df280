// A running lot as the server tells it (docs/formats.md). Times are UTC milliseconds; 0: not yet.
import type { StepKind } from "../types";
import type { SampleFields } from "./curve";

export type BatchState = "idle" | "running" | "paused" | "held" | "complete" | "released" | "stopped" | "rejected";
export type StepState = "waiting" | "running" | "done" | "left-out";
export type Decision = "pass" | "accept" | "repeat" | "correct" | "stop";
export type Interrupt = "machine" | "tangle" | "material" | "check" | "steam" | "water" | "power" | "person" | "other";

export interface RunItem {
  item: number;
  material_id: string;
  name: string;
  mass_mg: number;
  volume_l: number;
  dye: boolean;
  weighed_mg: number;
  weighed_by: string;
  checked_by: string;
  stock_lot: string;
  cautions: string[];
}
export interface RunCheck {
  kind: string;
  words: string;
  unit: string;
  low: number | null;
  high: number | null;
  expected: number | null;
  method: string;
  remedy: string;
  on_fail: string;
  cooled: boolean;
  /** What can be read at all. */
  least: number;
  most: number;
}
export interface SampleColour {
  l: number;
  a: number;
  b: number;
  swatch: string;
  in_gamut: boolean;
}
/** The sample of a shade check beside its standard; the parts are sample less standard. */
export interface Measured {
  sample_id: string;
  name: string;
  substrate: string;
  standard_id: string;
  specular: string;
  caption: string;
  difference: number;
  dl: number;
  dc: number;
  dh: number;
  da: number;
  db: number;
  standard: SampleColour;
  sample: SampleColour;
}
export interface RunStep {
  key: string;
  bath: number;
  kind: StepKind;
  words: string;
  note: string;
  start_min: number;
  minutes: number;
  temp_start_c: number;
  temp_end_c: number;
  volume_l: number;
  water_temp_c: number;
  flow_l_per_min: number;
  liquor_l: number;
  beside: boolean;
  curve: string | null;
  /** Not of the steps of a remedy. */
  curve_words?: string;
  portions: number;
  /** 0: of the plan. */
  remedy_number: number;
  state: StepState;
  begun_utc_ms: number;
  ended_utc_ms: number;
  cautions: string[];
  items: RunItem[];
  check: RunCheck | null;
  reading: number | null;
  in_limits: boolean;
  /** Of the newest reading of a shade, when a sample was measured. Not of the steps of a remedy. */
  measured?: Measured | null;
  /** A sample waits on this device to be measured by the server (expect.ts). */
  sampleWaits?: boolean;
  reading_seq: number;
  /** Of the newest reading; null: nobody has decided yet. */
  decision: Decision | null;
  dosed: boolean;
}
export interface RunBath {
  number: number;
  name: string;
  stage: string;
  liquor_l: number;
}
export interface BatchHead {
  batch_id: string;
  lot_id: string;
  order_id: string;
  article_id: string;
  shade_id: string;
  swatch: string;
  machine_id: string;
  route_id: string;
  route_version: number;
  load_kg: number;
  liquor_l: number;
  cycle_min: number;
  total_min: number;
  state: BatchState;
  state_words: string;
  operator: string;
  begun_utc_ms: number;
  forecast_end_utc_ms: number;
  paused_since_utc_ms: number;
  paused_ms: number;
  interrupt: Interrupt | null;
  interrupt_words: string | null;
  remedies: number;
  corrections: number;
  accepted: number;
  right_first: boolean;
  last_seq: number;
  head: string;
}
export interface BatchDoc {
  now_utc_ms: number;
  batch: BatchHead;
  baths: RunBath[];
  steps: RunStep[];
  now: number;
  curve: [t_min: number, temp_c: number, liquor_l: number][];
  /** Weighings that another person has still to check; absent in what an older server told. */
  to_check?: { step: string; item: number; name: string; weighed_by: string }[];
  /** Doses do not begin before they were checked. */
  check_blocks?: boolean;
}
/** Nothing has happened since the one that is known. */
export interface Unchanged {
  unchanged: true;
  now_utc_ms: number;
  last_seq: number;
  forecast_end_utc_ms: number;
}

export interface Remedy {
  remedy_id: string;
  title: string;
  words: string;
  minutes: number;
  water_l: number;
  /** What is to be read after it, and how far it may be off. */
  expected: { value: number; low: number; high: number; unit: string } | null;
  approve: string;
  approve_words: string;
  /** Beside those of the products it gives: what is to be minded with this remedy. */
  cautions: string[];
  steps: RunStep[];
  why: { rule: string; title: string; words: string; working: string; source: string }[];
}
/** What the dyes of a measured sample did. */
export interface Correction {
  way: string;
  way_words: string;
  dyes: { dye_id: string; name: string; strength_pct: number; known: boolean; add_pct_owf: number }[];
}
export interface RemedyAnswer {
  verdict: string;
  verdict_words: string;
  words: string;
  remedies: Remedy[];
  /** What keeps other remedies from being offered. */
  missing?: string[];
  correction?: Correction | null;
}

export interface RunEvent {
  seq: number;
  kind: string;
  words: string;
  at_utc_ms: number;
  device_utc_ms?: number;
  /** By the server's clock, less the time it waited on its device. */
  happened_utc_ms: number;
  by: string;
  by_name?: string;
  hash: string;
  step?: string;
  item?: number;
  mass_mg?: number;
  material_id?: string;
  stock_lot?: string;
  temp_c?: number;
  value?: number;
  measured?: { sample_id?: string; name?: string };
  instrument?: string;
  decision?: Decision;
  remedy_id?: string;
  interrupt?: Interrupt;
  of_seq?: number;
  field?: string;
  was?: string;
  is?: string;
  text?: string;
  meaning?: string;
  signed_by?: string;
  signed_name?: string;
  signed_as?: string;
}

/** What a person enters; the fields of each kind as in docs/formats.md. */
export type EntryKind =
  | "batch-begun" | "step-begun" | "step-ended" | "step-skipped" | "weighed" | "weighing-checked" | "dosed" | "reading"
  | "decision" | "remedy-approved" | "interrupted" | "resumed" | "taken-over" | "remark" | "corrected" | "batch-stopped"
  | "batch-released" | "batch-rejected";
export type Fields = Record<string, string | number | boolean | SampleFields>;
export interface EntryAnswer {
  event: RunEvent;
  state: BatchDoc;
  again?: boolean;
}

/** A record that cannot be read: only what its row says is there. */
export interface BrokenBatch {
  batch_id: string;
  lot_id: string;
  machine_id: string;
  state: "broken";
  state_words: string;
  waits_for: string;
}
export interface HallBatch {
  batch_id: string;
  lot_id: string;
  shade_id: string;
  swatch: string;
  article_id: string;
  machine_id: string;
  state: BatchState;
  state_words: string;
  step: { key: string; kind: StepKind; words: string; bath: string; state: StepState } | null;
  waits_for: string | null;
  begun_utc_ms: number;
  forecast_end_utc_ms: number;
  planned_end_utc_ms: number;
  late_min: number;
  steps_done: number;
  steps: number;
  load_kg: number;
  /** The fabric is off the machine. */
  unloaded: boolean;
}
export interface HallMachine {
  machine_id: string;
  name: string;
  batch_id: string | null;
  next_lot_id: string | null;
}
/** Whether the record is as it was written, as far as the server has looked it through since its start. */
export interface RecordSeen {
  state: "unseen" | "checking" | "whole" | "broken" | "failed";
  words: string;
  checked: number;
  of: number;
  seq: number;
  batch_id: string | null;
  remedy: string | null;
}
export interface HallDoc {
  record: RecordSeen;
  now_utc_ms: number;
  batches: (HallBatch | BrokenBatch)[];
  machines: HallMachine[];
}
