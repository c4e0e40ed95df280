// The limits that a programme is held to, as they were typed; kept for the tab, lot by lot.
import { computed, signal } from "@preact/signals";
import { parse } from "../fmt";
import type { Limits } from "./types";

export type LimitName = keyof Limits;
export const USUAL: Limits = {
  strike_limit_pct_per_contact: 1, de_limit: 0.5, fixation_allowance_pct: 0.5, fixation_allowance_worst_pct: 2, run_least_min: 5,
  turns_least_salt: 5, turns_least_dye: 10, turns_least_alkali: 15,
};
export const LIMIT_NAMES = Object.keys(USUAL) as LimitName[];

export type LimitForm = ReturnType<typeof makeForm>;
const forms = new Map<string, LimitForm>();
export function limitsOf(lot: string): LimitForm {
  let form = forms.get(lot);
  if (!form) forms.set(lot, (form = makeForm()));
  return form;
}

function makeForm() {
  const typed = signal<Partial<Record<LimitName, string>>>({});
  const keepSpeed = signal(false);
  /** Null: one of them is not a number. */
  const limits = computed<Limits | null>(() => {
    const out = { ...USUAL };
    for (const name of LIMIT_NAMES) {
      const text = typed.value[name];
      if (text === undefined) continue;
      const read = parse(text);
      if ("wrong" in read) return null;
      out[name] = read.value;
    }
    return out;
  });
  /** The limit that the chart draws; null: the usual one. */
  const strike = computed(() => {
    const text = typed.value.strike_limit_pct_per_contact;
    const read = text === undefined ? null : parse(text);
    return read && "value" in read ? read.value : null;
  });
  return { typed, keepSpeed, limits, strike };
}
