// What was changed of a programme. No DOM here.
import type { Changes, DyeStep, Gives, Programme, StepChange } from "./types";

export const NO_CHANGES: Changes = {};

/** Another bath of the same lot is no change of it. */
export function isChanged({ bath: _bath, ...rest }: Changes): boolean {
  return Object.values(rest).some((value) => (Array.isArray(value) ? value.length > 0 : value !== undefined));
}

/** What an address says; null when it is no such thing. What it may hold is for the server to judge. */
export function readBack(text: string): Changes | null {
  try {
    const read: unknown = JSON.parse(text);
    if (typeof read !== "object" || read === null || Array.isArray(read)) return null;
    const { steps } = read as { steps?: unknown };
    return steps === undefined || (Array.isArray(steps) && steps.every((one) => typeof one === "object" && one !== null)) ? (read as Changes) : null;
  } catch {
    return null;
  }
}

export function withStep(changes: Changes, part: StepChange): Changes {
  const steps = changes.steps ?? [];
  const old = steps.find((one) => one.step === part.step);
  // The exponent and the portions are those of a curve.
  const { exponent: _exponent, portions: _portions, ...kept } = old ?? {};
  const next = { ...(part.curve ? kept : old), ...part };
  return { ...changes, steps: old ? steps.map((one) => (one === old ? next : one)) : [...steps, next] };
}

export type DoseGroup = Exclude<Gives, "other">;
export const DOSE_GROUPS: DoseGroup[] = ["salt", "dye", "alkali"];

function dosesOf(programme: Programme, gives: DoseGroup): DyeStep[] {
  return programme.steps.filter((step) => step.gives === gives);
}
/** Minutes of all doses of a kind; null: there is none. */
export function doseMinutes(programme: Programme, gives: DoseGroup): { now: number; planned: number; count: number; least: number } | null {
  const doses = dosesOf(programme, gives);
  // A vat dye that is in before its reducer goes on with that.
  if (doses.every((step) => step.can_change === false)) return null;
  const sum = (of: (step: DyeStep) => number): number => doses.reduce((total, step) => total + of(step), 0);
  return { now: sum((s) => s.minutes), planned: sum((s) => s.minutes_planned), count: doses.length, least: sum((s) => s.least_min ?? 0) };
}
/** All doses of a kind together; what was said of the minutes of a single one of them no longer holds. */
export function withDoseMinutes(changes: Changes, programme: Programme, gives: DoseGroup, minutes: number): Changes {
  const mine = new Set(dosesOf(programme, gives).map((step) => step.step));
  const steps = (changes.steps ?? []).flatMap((one): StepChange[] => {
    if (!mine.has(one.step)) return [one];
    const { minutes: _old, ...rest } = one;
    return Object.keys(rest).length > 1 ? [rest] : [];
  });
  const { steps: _steps, ...other } = changes;
  return { ...other, [`dose_${gives}_min`]: minutes, ...(steps.length ? { steps } : {}) };
}

/** The step at a minute; of two that run at once, the one that gives something. */
export function stepAt(programme: Programme, t: number): DyeStep | undefined {
  const there = programme.steps.filter((step) => t >= step.start_min && t < step.end_min);
  return there.find((step) => step.kind === "dose") ?? there[0] ?? programme.steps.at(-1);
}
