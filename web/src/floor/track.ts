// Where a running lot stands, as geometry: the curve as planned, as run so far, and as it is
// expected to go on. No DOM here.
import type { BatchDoc, RunStep } from "./types";
import { over } from "./expect";

const MIN_MS = 60_000;

export interface Point {
  t: number; // minutes since the lot was begun
  c: number;
}
export interface Mark {
  step: RunStep;
  from: number;
  to: number;
  done: boolean;
}
export interface Track {
  /** As planned; drawn from the planned begin. */
  plan: Point[];
  run: Point[];
  forecast: Point[];
  now: number;
  end: number;
  planEnd: number;
  marks: Mark[];
  /** Stretches of the axis by bath. */
  baths: { number: number; name: string; from: number; to: number }[];
}

/** Minutes a step that runs has still to go; one that is over its time ends any moment. */
function rest(step: RunStep, begun: number, now: number): number {
  return Math.max(0, step.minutes - (now - begun));
}

export function trackOf(doc: BatchDoc, nowMs: number): Track {
  const { batch, steps, baths } = doc;
  const zero = batch.begun_utc_ms || nowMs;
  const at = (ms: number): number => (ms - zero) / MIN_MS;
  const now = at(nowMs);
  const run: Point[] = [];
  const marks: Mark[] = [];
  let cursor = batch.begun_utc_ms ? now : 0;
  const forecast: Point[] = [];
  for (const step of steps) {
    if (step.state === "left-out" && !step.begun_utc_ms) continue;
    const main = !step.beside;
    if (over(step) || step.state === "running") {
      const from = step.begun_utc_ms ? at(step.begun_utc_ms) : (run[run.length - 1]?.t ?? 0);
      const to = step.ended_utc_ms ? at(step.ended_utc_ms) : now;
      const part = step.state === "running" && step.minutes > 0 ? Math.min(1, (now - from) / step.minutes) : 1;
      const c = step.temp_start_c + (step.temp_end_c - step.temp_start_c) * part;
      if (main) run.push({ t: from, c: step.temp_start_c }, { t: Math.max(from, to), c });
      const left = step.state === "running" ? rest(step, from, now) : 0;
      marks.push({ step, from, to: Math.max(from, to) + left, done: over(step) });
      if (main && step.state === "running") {
        forecast.push({ t: now, c }, { t: now + left, c: step.temp_end_c });
        cursor = now + left;
      }
    } else {
      const to = cursor + (main ? step.minutes : 0);
      marks.push({ step, from: cursor, to: main ? to : cursor + step.minutes, done: false });
      if (main) forecast.push({ t: cursor, c: step.temp_start_c }, { t: to, c: step.temp_end_c });
      cursor = to;
    }
  }
  const last = run[run.length - 1];
  const [first] = forecast;
  if (last && first && first.t - last.t > 0.01) forecast.unshift({ t: last.t, c: last.c });
  const end = batch.forecast_end_utc_ms && steps.some((s) => !over(s)) ? Math.max(at(batch.forecast_end_utc_ms), now) : cursor;
  return {
    plan: doc.curve.map(([t, c]) => ({ t, c })), run, forecast, now, end, planEnd: batch.total_min, marks,
    baths: baths.flatMap(({ number, name }) => {
      const of = marks.filter((m) => m.step.bath === number);
      return of.length ? [{ number, name, from: Math.min(...of.map((m) => m.from)), to: Math.max(...of.map((m) => m.to)) }] : [];
    }),
  };
}

/** The window of the bath that the lot is in, with a little of what was before and comes after. */
export function windowOf(track: Track, bath: number | null): [number, number] {
  const one = track.baths.find((b) => b.number === bath);
  const whole: [number, number] = [0, Math.max(track.end, track.planEnd, track.now, 1)];
  if (!one) return whole;
  const room = Math.max(5, (one.to - one.from) * 0.08);
  return [Math.max(0, Math.min(one.from, track.now) - room), Math.max(one.to, track.now) + room];
}
