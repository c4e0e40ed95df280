// What a key of the floor screen enters. One act may be several entries: they are kept together.
import { besideOf, nextOf } from "./batch";
import { over } from "./expect";
import type { Entry } from "./queue";
import type { BatchDoc, RunStep } from "./types";

/** Everything the step gives has been weighed. */
export function weighed(step: RunStep): boolean {
  return step.items.every((item) => item.weighed_mg > 0);
}

/** What another person has to check before the step may begin. */
export function unchecked(doc: BatchDoc, step: RunStep): { name: string; weighed_by: string } | undefined {
  return doc.check_blocks ? doc.to_check?.find((one) => one.step === step.key) : undefined;
}

/** A drain, an unloading and a new bath wait for what runs beside; nothing else does. */
export function alone(doc: BatchDoc, step: RunStep): boolean {
  const before = doc.steps[doc.steps.indexOf(step) - 1];
  return step.kind === "drain" || step.kind === "unload" || (before !== undefined && before.bath !== step.bath);
}
/** A step that may follow by itself: nothing to be read first, nothing to be weighed, nothing to wait for. */
function followsAtOnce(doc: BatchDoc, step: RunStep | undefined, ended?: RunStep): step is RunStep {
  if (step === undefined || step.kind === "check" || !weighed(step) || unchecked(doc, step)) return false;
  const before = doc.steps.slice(0, doc.steps.indexOf(step)).filter((s) => s !== ended && !over(s));
  return before.every((s) => s.state === "running" && s.beside) && !(before.length && alone(doc, step));
}

function begun(step: RunStep): Entry {
  return { kind: "step-begun", fields: { step: step.key } };
}

export function beginLot(doc: BatchDoc): Entry[] {
  const [first] = doc.steps;
  return [{ kind: "batch-begun" }, ...(followsAtOnce(doc, first) ? [begun(first)] : [])];
}
export function beginStep(step: RunStep): Entry[] {
  return [begun(step)];
}

/** The step is over; the next one begins when nothing stands before it. */
export function endStep(doc: BatchDoc, step: RunStep, temp_c?: number): Entry[] {
  const next = nextOf(doc, step);
  const out: Entry[] = [];
  if (step.kind === "dose" && !step.dosed) out.push({ kind: "dosed", fields: { step: step.key } });
  out.push({ kind: "step-ended", fields: { step: step.key, ...(temp_c === undefined ? {} : { temp_c }) } });
  // What runs beside has its own key: it does not move the lot on.
  if (!besideOf(doc).includes(step) && followsAtOnce(doc, next, step)) out.push(begun(next));
  return out;
}

/** How long the step has still to run, ms; below 0: over its time; null: it has no time. */
export function leftMs(doc: BatchDoc, step: RunStep, nowMs: number): number | null {
  if (step.state !== "running" || step.begun_utc_ms === 0 || step.minutes <= 0) return null;
  const now = doc.batch.state === "paused" && doc.batch.paused_since_utc_ms ? doc.batch.paused_since_utc_ms : nowMs;
  return step.begun_utc_ms + step.minutes * 60_000 - now;
}

const TIME_MATTERS = new Set<RunStep["kind"]>(["hold", "dose", "rinse"]);
const EARLY_PART = 0.05;
const EARLY_LEAST_MS = 60_000;
/** Ending now would take from the step what its time is for; a tank that fills sooner is no harm. */
export function isEarly(step: RunStep, left: number | null): boolean {
  return left !== null && TIME_MATTERS.has(step.kind) && left > Math.max(EARLY_LEAST_MS, EARLY_PART * step.minutes * 60_000);
}
/** A reading out of its limits waits for somebody to decide. */
export function isHeld(doc: BatchDoc, step: RunStep | undefined): boolean {
  return doc.batch.state === "held" && step?.kind === "check" && step.reading !== null && !step.in_limits;
}
