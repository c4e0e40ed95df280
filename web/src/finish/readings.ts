// What was read behind the passes, as typed, and its way into the address and back.
import { parse, raw } from "../fmt";
import type { Reading } from "./types";

export const FIELDS = ["lies_cm", "courses_per_cm", "moisture_pct", "wet_gsm"] as const;
export type FieldName = (typeof FIELDS)[number];
/** What the rest of the line cannot be set without. */
export const NEEDED = ["lies_cm", "courses_per_cm", "moisture_pct"] as const satisfies readonly FieldName[];

export type Typed = Partial<Record<FieldName, string>>;
/** Pass, from 1 -> what stands in its fields. */
export type AllTyped = Record<number, Typed>;

function valueOf(text: string | undefined): number | null {
  const typed = parse(text ?? "");
  return "value" in typed ? typed.value : null;
}

export function isEmpty(typed: Typed | undefined): boolean {
  return !typed || FIELDS.every((name) => (typed[name] ?? "").trim() === "");
}

/** The readings that are whole and can be sent; a wrong text in the one that may be left out holds it back too. */
export function readingsOf(all: AllTyped): Reading[] {
  return Object.keys(all).map(Number).sort((a, b) => a - b).flatMap((pass): Reading[] => {
    const typed = all[pass];
    if (!typed) return [];
    const [lies_cm, courses_per_cm, moisture_pct] = NEEDED.map((name) => valueOf(typed[name]));
    if (lies_cm == null || courses_per_cm == null || moisture_pct == null) return [];
    if ((typed.wet_gsm ?? "").trim() === "") return [{ pass, lies_cm, courses_per_cm, moisture_pct }];
    const wet_gsm = valueOf(typed.wet_gsm);
    return wet_gsm === null ? [] : [{ pass, lies_cm, courses_per_cm, moisture_pct, wet_gsm }];
  });
}

/** "1,168,16.2,82,_2,158,,," - only what is a number: 1,000 must not come back as 1.000. */
export function written(all: AllTyped): string {
  return Object.keys(all).map(Number).sort((a, b) => a - b).flatMap((pass) => {
    const values = FIELDS.map((name) => valueOf(all[pass]?.[name]));
    return values.every((v) => v === null) ? [] : [[pass, ...values.map((v) => (v === null ? "" : raw(v)))].join(",")];
  }).join("_");
}

const PASSES_MOST = 12;
export function readBack(text: string): AllTyped {
  const all: AllTyped = {};
  for (const part of text.split("_").slice(0, PASSES_MOST)) {
    const [pass = "", ...values] = part.split(",");
    const n = Number(pass);
    if (!Number.isInteger(n) || n < 1 || n > PASSES_MOST) continue;
    const typed: Typed = {};
    FIELDS.forEach((name, i) => {
      const value = values[i];
      if (value && valueOf(value) !== null) typed[name] = value;
    });
    if (!isEmpty(typed)) all[n] = typed;
  }
  return all;
}
