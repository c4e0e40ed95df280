// The figures of an answer, so that each can be asked why: the server says how a kind of figure is
// worked out, the answer its values.
import type { Figure, MaybeQ, Rule } from "../types";
import type { Figures } from "../why/Why";
import type { LevelAt, Simulated, WhyKey } from "./types";
import { w } from "./words";

const of = w.why.of;
const PER_CONTACT = "% per contact";
const DE = "ΔE";

export interface Seen extends Figures {
  q: (key: string) => MaybeQ;
}

export function seenOf(a: Simulated): Seen {
  const figures: Record<string, Figure> = {};
  const add = (key: string, rule: WhyKey, label: string, value: number | null | undefined, unit: string, inputs?: string[]): void => {
    if (value !== null && value !== undefined) figures[key] = { label, value, unit, rule, ...(inputs ? { inputs } : {}) };
  };
  rope(a, add);
  add("minutes", "course", of.minutes, a.programme.minutes, "min");
  add("strike.most", "strike", of.strike, a.strike.most_pct_per_contact, PER_CONTACT, ["strike.limit", "cycle", "bath_cycle"]);
  add("strike.limit", "strike", of.limit, a.strike.limit_pct_per_contact, PER_CONTACT);
  add("strike.limit_lot", "strike", of.limitLot, a.strike.limit_pct_per_min, "%/min", ["strike.limit", "cycle", "bath_cycle"]);
  add("strike.over", "strike", of.over, a.strike.over_min, "min", ["strike.limit"]);
  add("tone.apart", "tone", of.apart, a.tone.apart_most_pct, "%");
  level("level.end", a.level.end, w.why.end, add);
  if (a.level.fixing) level("level.fixing", a.level.fixing, w.why.fixing, add);
  if (a.level.peak) level("level.peak", a.level.peak, w.why.peak, add);
  if (a.level.before_alkali) level("level.before", a.level.before_alkali, w.why.before, add);
  for (const dye of a.dyes) {
    const put = (name: string, rule: WhyKey, label: string, value: number | null, unit = "%"): void => add(`${dye.dye_id}.${name}`, rule, `${label}: ${dye.name}`, value, unit);
    put("before", "exhaustion", of.onBefore, dye.exhaustion_before_alkali_pct);
    put("on", "exhaustion", of.on, dye.exhaustion_pct);
    put("fixed", "fixation", of.fixed, dye.fixation_pct);
    put("yield", "fixation", of.yield, dye.yield_pct);
    put("hydrolysed", "fixation", of.hydrolysed, dye.hydrolysed_pct);
    put("loose", "fixation", of.loose, dye.loose_pct);
    put("left", "exhaustion", of.left, dye.bath_pct);
    put("half", "exhaustion", of.half, dye.half_min, "min");
    put("strike", "strike", of.strike, dye.strike_most_pct_per_contact, PER_CONTACT);
    put("over", "strike", of.over, dye.over_limit_min, "min");
  }
  add("wash.loose", "wash_off", of.looseMg, a.wash_off?.loose_mg_per_kg, "mg/kg", a.dyes.map((dye) => `${dye.dye_id}.loose`));
  add("wash.baths", "wash_off", of.baths, a.wash_off?.baths_needed, "", ["wash.loose"]);
  add("margin.shade", "margin", of.deShade, a.margin?.de_shade, DE);
  a.sensitivity?.forEach((one) => {
    const put = (name: string, label: string, value: number | null, unit: string): void => add(`${one.what}.${name}`, "sensitivity", `${label}: ${one.words}`, value, unit);
    put("fixation", of.fixation, one.fixation_pct, "%");
    put("de", of.shade, one.de, DE);
    put("dl", of.dl, one.dl, "ΔL");
    put("de_most", of.deMost, one.de_most, DE);
    put("strike", of.sensStrike, one.strike_pct_per_contact, PER_CONTACT);
    put("loose", of.sensLoose, one.loose_mg_per_kg, "mg/kg");
  });
  const q = (key: string): MaybeQ => {
    const figure = figures[key];
    return figure ? { value: figure.value, unit: figure.unit, figure: key } : null;
  };
  return { figures, rules: rulesOf(a), q };
}

type Add = (key: string, rule: WhyKey, label: string, value: number | null | undefined, unit: string, inputs?: string[]) => void;

function rope(a: Simulated, add: Add): void {
  add("cycle", "rope", of.cycle, a.rope.cycle_min, "min");
  add("bath_cycle", "rope", of.bathCycle, a.rope.bath_cycle_min, "min");
  add("held", "rope", of.held, a.rope.held_l_per_kg, "L/kg");
  add("free", "rope", of.free, a.rope.free_l, "L");
}

function level(key: string, at: LevelAt, when: string, add: Add): void {
  const put = (name: string, rule: WhyKey, label: string, value: number, unit: string): void => add(`${key}.${name}`, rule, `${label}, ${when}`, value, unit);
  put("spread", "level", of.spread, at.spread_pct, "%");
  put("along", "level", of.along, at.along_rope_pct, "%");
  put("between", "level", of.between, at.between_tubes_pct, "%");
  put("de", "colour", of.de, at.de_most, DE);
  put("de_tubes", "colour", of.deTubes, at.de_tubes, DE);
}

function rulesOf(a: Simulated): Record<string, Rule> {
  return Object.fromEntries(Object.entries(a.why).map(([key, { label, words, source, anchor }]) => [key, { title: label, words, source, anchor }]));
}
