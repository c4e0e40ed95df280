// The numbers of several answers beside each other: the line as planned, and as set from readings.
import type { Figure, MaybeQ, Q } from "../types";
import type { Figures } from "../why/Why";
import type { Picture } from "./state";
import type { Behind, Finish, FinishAnswer, FinishPass } from "./types";

/** The figure of an answer with fewer readings than the newest: "pass.2.width_cm@0". */
function tag(key: string, n: number): string {
  return `${key}@${n}`;
}

function tagged<T>(value: T, n: number): T {
  if (Array.isArray(value)) return value.map((one) => tagged(one as unknown, n)) as T;
  if (typeof value !== "object" || value === null) return value;
  const out = Object.fromEntries(Object.entries(value).map(([key, one]) => [key, key === "figure" && typeof one === "string" ? tag(one, n) : tagged(one as unknown, n)]));
  return out as T;
}

export interface Shown {
  now: FinishAnswer;
  /** As planned, before any reading; null: no reading, so nothing to compare with. */
  planned: Finish | null;
  /** Behind which pass is measured against what: the pass as it was set before it was read. */
  passes: FinishPass[];
  /** Readings that came before pass i. */
  before: number[];
  figures: Figures;
}

export function shownOf({ readings, answers }: Picture): Shown | null {
  const now = answers[answers.length - 1];
  const [first] = answers;
  if (!now?.finish || !first?.finish) return null;
  const newest = answers.length - 1;
  const before = now.finish.passes.map((_, i) => readings.filter((r) => r.pass < i + 1).length);
  const passes = now.finish.passes.map((pass, i) => {
    const n = before[i] ?? newest;
    const old = n === newest ? undefined : answers[n]?.finish?.passes[i];
    // What was read is of the newest answer; what should have been is not.
    return old ? { ...tagged(old, n), read: pass.read } : pass;
  });
  const figures: Record<string, Figure> = { ...now.figures };
  answers.slice(0, newest).forEach((answer, n) => {
    for (const [key, figure] of Object.entries(answer.figures))
      figures[tag(key, n)] = figure.inputs ? { ...figure, inputs: figure.inputs.map((input) => tag(input, n)) } : figure;
  });
  const rules = Object.assign({}, ...answers.map((answer) => answer.rules)) as FinishAnswer["rules"];
  return { now, planned: newest > 0 ? first.finish : null, passes, before, figures: { figures, rules } };
}

export function lies(of: { width_cm: Q; layflat_cm?: MaybeQ }): Q {
  return of.layflat_cm ?? of.width_cm;
}
export function liesOf(behind: Behind): Q {
  return lies(behind);
}
/** A tube of so much circumference lies half as wide; its why is that of the whole. */
export function halved(q: Q): Q {
  return { ...q, value: q.value / 2 };
}
