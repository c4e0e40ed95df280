// What can be typed: the members of the question, with their units and when they apply.
import { parse } from "../fmt";
import { words } from "../words";
import type { Article, Sets } from "./types";
import { w } from "./words";

export type Typed = Record<string, string>;

interface Common {
  key: string;
  when?: [choice: string, value: string];
}
export interface NumberField extends Common {
  type: "number";
  unit: string;
  optional?: boolean;
}
export interface ChoiceField extends Common {
  type: "choice";
  options: string[];
  /** Says what the form asks, not a member of the question. */
  form?: boolean;
}
export type FabricField = NumberField | ChoiceField;

const u = w.units;
const num = (key: string, unit: string, more: Partial<NumberField> = {}): NumberField => ({ type: "number", key, unit, ...more });

const CONSTRUCTIONS = ["single-jersey", "rib-1x1", "interlock", "pique", "fleece"];
export const KNITTED: FabricField[] = [
  { type: "choice", key: "construction", options: CONSTRUCTIONS },
  { type: "choice", key: "yarn_unit", options: ["by_ne", "by_tex"], form: true },
  num("ne", u.ne, { when: ["yarn_unit", "by_ne"] }), num("tex", u.tex, { when: ["yarn_unit", "by_tex"] }),
  num("loop_cm", u.cm),
  { type: "choice", key: "cylinder", options: ["by_gauge", "by_needles"], form: true },
  num("gauge_per_inch", u.perInch, { when: ["cylinder", "by_gauge"] }), num("diameter_inch", u.inch, { when: ["cylinder", "by_gauge"] }),
  num("needles", u.none, { when: ["cylinder", "by_needles"] }),
  num("feeders", u.none, { optional: true }), num("elastane_pct", u.pct, { optional: true }), num("torque_pct", u.pct, { optional: true }),
];
export const WASHED: FabricField[] = [num("relaxed_gsm", u.gsm), num("relaxed_width_cm", u.cm)];
const ASKED: FabricField[] = [
  num("width_cm", u.cm), num("width_tol_cm", u.cm), num("gsm", u.gsm), num("gsm_tol_pct", u.pct),
  num("length_shrink_pct", u.pct), num("width_shrink_pct", u.pct), num("growth_pct", u.pct),
];
const SPIRALITY: FabricField = num("spirality_pct", u.pct, { optional: true });

export function fabricFields(typed: Typed): FabricField[] {
  return (typed["mode"] === "washed" ? WASHED : KNITTED).filter((f) => !f.when || typed[f.when[0]] === f.when[1]);
}
export function askedFields(typed: Typed): FabricField[] {
  return typed["mode"] === "washed" ? ASKED : [...ASKED, SPIRALITY];
}
function fields(typed: Typed): FabricField[] {
  return [...fabricFields(typed), ...askedFields(typed)];
}

/** Why a field cannot be sent as it stands. */
export function wrongOf(field: FabricField, text: string): string | null {
  if (field.type === "choice" || (text.trim() === "" && field.optional)) return null;
  const parsed = parse(text);
  return "wrong" in parsed ? words.whatIf.wrong[parsed.wrong] : null;
}

/** null: something of it cannot be sent. */
export function questionOf(typed: Typed): Record<string, unknown> | null {
  const out: Record<string, unknown> = { do: typed["mode"] };
  for (const field of fields(typed)) {
    const text = typed[field.key] ?? "";
    if (wrongOf(field, text)) return null;
    if (field.type === "choice") {
      if (!field.form) out[field.key] = text;
    } else if (text.trim() !== "") {
      const parsed = parse(text);
      if ("value" in parsed) out[field.key] = parsed.value;
    }
  }
  return out;
}

export function isField(typed: Typed, key: string): boolean {
  return fields(typed).some((f) => f.key === key);
}

/** What stands in a field, as a number; null when it is none. */
export function numberIn(typed: Typed, key: string): number | null {
  const parsed = parse(typed[key] ?? "");
  return "value" in parsed ? parsed.value : null;
}

/** The answer's members typed in, with the choices that make room for them. */
export function withSets(typed: Typed, sets: Sets): Typed {
  const out = { ...typed };
  for (const [key, value] of Object.entries(sets)) out[key] = value === null ? "" : String(value);
  if (typeof sets["needles"] === "number") out["cylinder"] = "by_needles";
  return out;
}

/** Usual tolerances stand there from the beginning: docs/api.md. */
export const START: Typed = {
  mode: "knitted", construction: "single-jersey", yarn_unit: "by_ne", ne: "30", tex: "20", loop_cm: "0.278", cylinder: "by_gauge", gauge_per_inch: "24",
  diameter_inch: "30", needles: "2262", feeders: "90", elastane_pct: "", torque_pct: "", relaxed_gsm: "", relaxed_width_cm: "", width_cm: "151", width_tol_cm: "2.54",
  gsm: "145", gsm_tol_pct: "5", length_shrink_pct: "6", width_shrink_pct: "6", growth_pct: "2", spirality_pct: "5",
};

export function fromArticle(typed: Typed, a: Article): Typed {
  const { width_tol_cm = "", gsm_tol_pct = "", growth_pct = "" } = START;
  return {
    ...typed, mode: "knitted", construction: a.construction, yarn_unit: "by_ne", ne: String(a.yarn_ne), loop_cm: String(Number((a.loop_mm / 10).toFixed(5))),
    cylinder: "by_gauge", gauge_per_inch: String(a.gauge_per_inch), diameter_inch: String(a.diameter_inch), feeders: String(a.feeders),
    elastane_pct: a.elastane_pct ? String(a.elastane_pct) : "", torque_pct: "", relaxed_gsm: "", relaxed_width_cm: "", width_cm: String(a.finished_width_cm), gsm: String(a.finished_gsm),
    width_tol_cm, gsm_tol_pct, growth_pct, length_shrink_pct: String(a.shrink_length_max_pct), width_shrink_pct: String(a.shrink_width_max_pct),
    spirality_pct: String(a.spirality_max_pct),
  };
}
