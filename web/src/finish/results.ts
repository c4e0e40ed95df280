// The question whether a lot can go: what was measured after washing, against its specification.
import { signal, type Signal } from "@preact/signals";
import { ApiError, Unreachable, api } from "../api";
import { parse, raw } from "../fmt";
import type { DeskAnswer, Finding, Plan } from "../types";
import type { Finish } from "./types";

export type ListName =
  | "length_after_cm" | "width_after_cm" | "sample_g" | "measured" | "diagonal_ac_cm" | "diagonal_bd_cm" | "spirality_deg" | "bow_cm" | "skew_cm";
export type NumberName =
  | "mark_cm" | "sample_cm2" | "gsm" | "gsm_tol_pct" | "width" | "width_tol" | "length_shrink_pct" | "width_shrink_pct" | "growth_pct"
  | "twist_max_pct" | "spirality_max_deg" | "bow_max_pct" | "skew_max_pct" | "courses_per_cm" | "moisture_pct";
export const GRADES = ["pilling", "wash_change", "wash_stain", "sweat_change", "sweat_stain", "rub_dry", "rub_wet", "light"] as const;
export type GradeName = (typeof GRADES)[number];
/** By diagonals of a square, in per cent, or by the angle, in degrees: two methods, never mixed. */
export type Twist = "square" | "angle";

export interface Form {
  lists: Record<ListName, string[]>;
  numbers: Record<NumberName, string>;
  grades: Partial<Record<GradeName | `${GradeName}_min`, string>>;
  twist: Twist;
  answer: DeskAnswer | null;
  /** What the answer was asked with. */
  asked: string;
  error: Error | null;
  busy: boolean;
}

const READINGS = 3; // pieces that are usually washed
export const READINGS_MOST = 24;

const forms = new Map<string, Signal<Form>>();
/** Outlives the page. Limits are those the plan holds the lot against. */
export function formOf(plan: Plan, finish: Finish): Signal<Form> {
  const { lot_id } = plan.lot;
  let form = forms.get(lot_id);
  if (!form) forms.set(lot_id, (form = signal(freshForm(plan, finish))));
  return form;
}

function freshForm(plan: Plan, finish: Finish): Form {
  const { article } = plan.lot;
  const flat = finish.tube ? 0.5 : 1;
  const limits = (what: string): { low: number; high: number } => finish.outcome.find((one) => one.what === what) ?? { low: 0, high: 0 };
  const width = limits("width");
  const gsm = limits("gsm");
  const length = limits("length-shrinkage");
  const names: ListName[] = ["length_after_cm", "width_after_cm", "sample_g", "measured", "diagonal_ac_cm", "diagonal_bd_cm", "spirality_deg", "bow_cm", "skew_cm"];
  return {
    lists: Object.fromEntries(names.map((name) => [name, Array.from({ length: READINGS }, () => "")])) as Form["lists"],
    numbers: {
      mark_cm: "35", sample_cm2: "100", gsm: raw(article.finished_gsm), gsm_tol_pct: raw((100 * (gsm.high - gsm.low)) / (gsm.high + gsm.low), 2),
      width: raw(article.finished_width_cm * flat, 2), width_tol: raw(((width.high - width.low) / 2) * flat, 2),
      length_shrink_pct: raw(length.high), width_shrink_pct: raw(limits("width-shrinkage").high), growth_pct: raw(-length.low),
      twist_max_pct: raw(limits("spirality").high), spirality_max_deg: "", bow_max_pct: "", skew_max_pct: "", courses_per_cm: "", moisture_pct: "8.5",
    },
    grades: {}, twist: "square", answer: null, asked: "", error: null, busy: false,
  };
}

function valueOf(text: string): number | null {
  const typed = parse(text);
  return "value" in typed ? typed.value : null;
}
function given(list: string[]): string[] {
  return list.filter((text) => text.trim() !== "");
}
/** Something stands there that is no number: not sent until it is put right. */
export function hasWrong({ lists, numbers }: Form): boolean {
  return [...Object.values(lists).flat(), ...Object.values(numbers)].some((text) => text.trim() !== "" && valueOf(text) === null);
}

type Question = Record<string, unknown>;

export function questionOf(form: Form, finish: Finish, machines: Question): Question {
  const { tube } = finish;
  const out: Question = { do: "result", line: tube ? "tubular" : "open-width", ...machines };
  const list = (name: ListName, key: string = name): void => {
    const texts = given(form.lists[name]);
    if (texts.length) out[key] = texts.map(valueOf);
  };
  const number = (name: NumberName, key: string = name, times = 1): void => {
    const value = valueOf(form.numbers[name]);
    if (value !== null) out[key] = value * times;
  };
  list("length_after_cm");
  list("width_after_cm");
  if (out["length_after_cm"] || out["width_after_cm"]) number("mark_cm");
  list("sample_g");
  if (out["sample_g"]) number("sample_cm2");
  list("measured", tube ? "measured_layflat_cm" : "measured_width_cm");
  number("gsm");
  number("gsm_tol_pct");
  number("width", tube ? "layflat_cm" : "width_cm");
  number("width_tol", tube ? "layflat_tol_cm" : "width_tol_cm");
  for (const name of ["length_shrink_pct", "width_shrink_pct", "growth_pct", "courses_per_cm"] as const) number(name);
  number("moisture_pct", "moisture_kg_per_kg", 0.01);
  if (form.twist === "square") {
    list("diagonal_ac_cm");
    list("diagonal_bd_cm");
    number("twist_max_pct");
  } else {
    list("spirality_deg");
    number("spirality_max_deg");
  }
  if (!tube) {
    list("bow_cm");
    list("skew_cm");
    number("bow_max_pct");
    number("skew_max_pct");
  }
  for (const [key, grade] of Object.entries(form.grades)) if (grade) out[key] = grade;
  return out;
}

/** Where a fault of the server belongs: field, and which of its readings; those left blank were not sent. */
export function placeOf(form: Form, place: string): { name: string; at: number } {
  const [, key = place, index] = /^(\w+)(?:\[(\d+)\])?$/.exec(place) ?? [];
  const name = ({ measured_layflat_cm: "measured", measured_width_cm: "measured", layflat_cm: "width", width_cm: "width", layflat_tol_cm: "width_tol", width_tol_cm: "width_tol", moisture_kg_per_kg: "moisture_pct" } as Record<string, string>)[key] ?? key;
  if (!(name in form.lists)) return { name, at: -1 };
  const filled = form.lists[name as ListName].flatMap((text, i) => (text.trim() === "" ? [] : [i]));
  return { name, at: filled[Number(index ?? 0)] ?? 0 };
}
export function problemsOf(form: Form): Finding[] {
  return form.error instanceof ApiError ? form.error.all : [];
}

/** The newest question of a lot; an older answer that comes late is not taken. */
const running = new Map<string, AbortController>();

export async function ask(lot: string, form: Signal<Form>, finish: Finish): Promise<void> {
  if (hasWrong(form.peek())) return;
  running.get(lot)?.abort();
  const mine = new AbortController();
  running.set(lot, mine);
  form.value = { ...form.peek(), busy: true };
  const asked = answering(form.peek());
  try {
    const answer = await api.line(questionOf(form.peek(), finish, await machinesOf(finish)), mine.signal);
    form.value = { ...form.peek(), answer, asked, error: null, busy: false };
  } catch (error) {
    if (!mine.signal.aborted) form.value = { ...form.peek(), error: error as Error, busy: false };
  }
}
/** What decides the answer, to see whether it is still of what stands there. */
export function answering({ lists, numbers, grades, twist }: Form): string {
  return JSON.stringify([Object.values(lists).map(given), numbers, grades, twist]);
}

// What the machines of this line can be set to, from the table of the mill; without it the usual.

type Row = Record<string, string>;
let table: Promise<Row[]> | null = null;

function rowsOf(csv: string): Row[] {
  const lines = [...csv.matchAll(/(?:^|\n)((?:[^\n"]|"(?:[^"]|"")*")+)/g)].map((m) => cellsOf(m[1] ?? "")).filter(([first]) => first && !first.startsWith("#"));
  const [head = [], ...rows] = lines;
  return rows.map((cells) => Object.fromEntries(head.map((name, i) => [name, cells[i] ?? ""])));
}
function cellsOf(line: string): string[] {
  return [...line.replace(/\r$/, "").matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g)].map((m) => (m[1] === undefined ? (m[2] ?? "") : m[1].replace(/""/g, '"')));
}

/** A number of a row, under the name the question has for it; nothing where the table has nothing. */
function told(row: Row | undefined, names: Record<string, string>, times = 1): Question {
  const out: Question = {};
  for (const [key, column] of Object.entries(names)) {
    const text = row?.[column] ?? "";
    if (text !== "" && Number.isFinite(Number(text))) out[key] = Number(text) * times;
  }
  return out;
}

export async function machinesOf(finish: Finish): Promise<Question> {
  table ??= api.table("finisher").then(rowsOf);
  let rows: Row[];
  try {
    rows = await table;
  } catch (error) {
    table = null;
    if (error instanceof Unreachable) throw error;
    return {};
  }
  const of = (...kinds: string[]): Row | undefined => {
    const pass = finish.passes.find((one) => kinds.includes(one.kind));
    return rows.find((row) => row["finisher_id"] === pass?.finisher_id);
  };
  const wide = finish.tube ? "layflat" : "width";
  const grips = of("stenter", "heat-set", "spread");
  const dries = finish.tube ? of("relax-dry") : grips;
  const compacts = of("compact", "tube-compact");
  const pads = of("pad");
  return {
    ...told(grips, { [`${wide}_min_cm`]: "width_min_cm", [`${wide}_max_cm`]: "width_max_cm", overfeed_min_pct: "overfeed_min_pct", overfeed_max_pct: "overfeed_max_pct" }),
    ...told(pads, { pad_overfeed_pct: "overfeed_pct" }), ...told(pads, { pad_moisture_kg_per_kg: "moisture_out_pct" }, 0.01),
    ...(finish.tube ? told(dries, { dry_overfeed_pct: "overfeed_pct", dry_width_change_pct: "width_change_pct" }) : {}),
    ...told(dries, { dry_moisture_kg_per_kg: "moisture_out_pct" }, 0.01),
    ...told(compacts, { compact_min_pct: "overfeed_min_pct", compact_max_pct: "overfeed_max_pct", compact_overfeed_pct: "overfeed_pct", compact_width_change_pct: "width_change_pct" }),
    ...told(compacts, { compact_moisture_kg_per_kg: "moisture_out_pct" }, 0.01),
  };
}
