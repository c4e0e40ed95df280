// What a batch will look like when the waiting entries have arrived, as far as that is sure: a step
// that was ended is over, a reading inside its limits has passed. The server has the last word.
import type { BatchDoc, Fields, RunCheck, RunStep } from "./types";
import type { Kept } from "./store";

export interface Expected {
  doc: BatchDoc;
  /** Keys of steps that show something not yet confirmed; "" for the batch itself. */
  unconfirmed: ReadonlySet<string>;
}

/** A sample has no number: it is looked at. */
export const isLooked = (check: RunCheck): boolean => check.kind === "sample";
export function within(step: RunStep, value: number): boolean {
  const { check } = step;
  if (!check) return true;
  if (isLooked(check) && check.low === null && check.high === null) return value > 0.5; // 1 is good
  return (check.low === null || value >= check.low) && (check.high === null || value <= check.high);
}

export function expected(doc: BatchDoc, entries: readonly Kept[], offsetMs: number): Expected {
  const mine = entries.filter((one) => one.batch_id === doc.batch.batch_id && !one.refusal);
  const unconfirmed = new Set<string>();
  if (!mine.length) return { doc, unconfirmed };
  const copy = structuredClone(doc);
  for (const one of mine) {
    const step = copy.steps.find((s) => s.key === one.fields["step"]);
    unconfirmed.add(step?.key ?? "");
    apply(copy, one.kind, step, one.fields, one.device_utc_ms + offsetMs);
  }
  const at = copy.steps.findIndex((s) => !over(s));
  copy.now = at < 0 ? copy.steps.length : at;
  if (at < 0 && copy.batch.state === "running") copy.batch.state = "complete";
  return { doc: copy, unconfirmed };
}

export function over(step: RunStep): boolean {
  return step.state === "done" || step.state === "left-out";
}

function apply(doc: BatchDoc, kind: Kept["kind"], step: RunStep | undefined, fields: Fields, at: number): void {
  const { batch } = doc;
  switch (kind) {
    case "batch-begun":
      batch.state = "running";
      batch.begun_utc_ms = at;
      break;
    case "interrupted":
      batch.state = "paused";
      batch.paused_since_utc_ms = at;
      batch.interrupt = fields["interrupt"] as BatchDoc["batch"]["interrupt"];
      batch.interrupt_words = null;
      break;
    case "resumed":
      batch.state = doc.steps.some((s) => s.kind === "check" && s.state === "running" && s.reading !== null && s.decision === null) ? "held" : "running";
      batch.paused_since_utc_ms = 0;
      break;
    case "batch-stopped":
      batch.state = "stopped";
      break;
    case "step-begun": case "step-ended": case "step-skipped": case "dosed": case "reading": case "decision":
      if (step) applyStep(doc, kind, step, fields, at);
      break;
    case "remark": case "taken-over": case "corrected": case "weighed": case "weighing-checked": case "remedy-approved":
    case "batch-released": case "batch-rejected":
      break; // shown when the server has them
  }
}

function applyStep(doc: BatchDoc, kind: "step-begun" | "step-ended" | "step-skipped" | "dosed" | "reading" | "decision", step: RunStep, fields: Fields, at: number): void {
  switch (kind) {
    case "step-begun":
      step.state = "running";
      step.begun_utc_ms = at;
      break;
    case "step-ended":
      step.state = "done";
      step.ended_utc_ms = at;
      break;
    case "step-skipped":
      step.state = "left-out";
      step.ended_utc_ms = at;
      break;
    case "dosed":
      step.dosed = true;
      break;
    case "reading": {
      // Only the server can measure it: neither passed nor failed till then.
      if (fields["sample"] !== undefined) {
        step.state = "running";
        step.begun_utc_ms ||= at;
        step.sampleWaits = true;
        break;
      }
      const value = Number(fields["value"]);
      step.state = "running";
      step.begun_utc_ms ||= at;
      step.reading = value;
      step.in_limits = within(step, value);
      step.decision = step.in_limits ? "pass" : null;
      if (step.in_limits) {
        step.state = "done";
        step.ended_utc_ms = at;
      } else doc.batch.state = "held";
      break;
    }
    case "decision":
      step.decision = fields["decision"] as RunStep["decision"];
      if (fields["decision"] === "repeat") doc.batch.state = "running";
      else if (fields["decision"] === "accept") {
        step.state = "done";
        step.ended_utc_ms = at;
        doc.batch.state = "running";
      }
      break;
  }
}
