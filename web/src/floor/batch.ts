// One running lot as this device sees it: asked for every two seconds, kept on the device so that
// a reload without the server still shows where the lot stands, and laid over with what waits here.
import { batch as together, computed, signal } from "@preact/signals";
import { api, ApiError } from "../api";
import { noteServerTime, offsetMs } from "./clock";
import { expected, over, type Expected } from "./expect";
import { enter, kept, onAnswer, type Entry } from "./queue";
import type { BatchDoc, RunStep } from "./types";

const POLL_MS = 2000;
const POLL_HIDDEN_MS = 15_000;
const FORESEE_MS = 30_000;
const KEEP = "madder.batch.";

export type Run = ReturnType<typeof makeRun>;
const runs = new Map<string, Run>();
export function runOf(id: string): Run {
  let run = runs.get(id);
  if (!run) runs.set(id, (run = makeRun(id)));
  return run;
}

function recall(id: string): BatchDoc | null {
  try {
    return JSON.parse(localStorage.getItem(KEEP + id) ?? "null") as BatchDoc | null;
  } catch {
    return null;
  }
}
/** The last one looked at is enough: a device stands at one machine. */
function remember(doc: BatchDoc): void {
  try {
    for (const key of Object.keys(localStorage)) if (key.startsWith(KEEP) && key !== KEEP + doc.batch.batch_id) localStorage.removeItem(key);
    localStorage.setItem(KEEP + doc.batch.batch_id, JSON.stringify(doc));
  } catch {
    // no room: only the comfort of a reload is lost
  }
}

function makeRun(id: string) {
  const stored = signal<BatchDoc | null>(recall(id));
  const error = signal<Error | null>(null);
  const shown = computed<Expected | null>(() => (stored.value ? expected(stored.value, kept.value, offsetMs.value) : null));
  let timer: ReturnType<typeof setTimeout> | undefined;
  let watched = 0;
  let asking = false;
  /** What is shown came from the server, not only from what was kept here. */
  let fresh = false;
  let entered = 0;

  function take(doc: BatchDoc): void {
    const was = stored.peek();
    stored.value = doc;
    fresh = true;
    if (!was || was.batch.last_seq !== doc.batch.last_seq) remember(doc);
  }

  /** Nothing has happened, but time has passed. Minutes are shown: seconds draw nothing anew. */
  function foresee(end: number): void {
    const was = stored.peek();
    if (!was || Math.floor(was.batch.forecast_end_utc_ms / FORESEE_MS) === Math.floor(end / FORESEE_MS)) return;
    stored.value = { ...was, batch: { ...was.batch, forecast_end_utc_ms: end } };
  }

  async function poll(): Promise<void> {
    clearTimeout(timer);
    if (asking || !watched) return;
    asking = true;
    const askedMs = Date.now();
    const before = entered;
    try {
      const got = await api.batch(id, fresh ? (stored.peek()?.batch.last_seq ?? 0) : 0);
      noteServerTime(got.now_utc_ms, askedMs, Date.now());
      together(() => {
        if ("unchanged" in got) foresee(got.forecast_end_utc_ms);
        // The answer of an entry came while this one was under way: it may be the newer one.
        else if (before === entered) take(got);
        error.value = null;
      });
    } catch (cause) {
      error.value = cause as Error;
      if (cause instanceof ApiError && cause.status === 404) forget();
    }
    asking = false;
    if (watched) timer = setTimeout(() => void poll(), document.hidden ? POLL_HIDDEN_MS : POLL_MS);
  }
  function forget(): void {
    stored.value = null;
    try {
      localStorage.removeItem(KEEP + id);
    } catch {
      // nothing kept
    }
  }

  onAnswer((batch_id, state) => {
    if (batch_id !== id) return;
    entered += 1;
    take(state);
  });

  return {
    id, stored, shown, error, poll,
    watch(): () => void {
      watched += 1;
      const seen = (): void => {
        if (!document.hidden) void poll();
      };
      document.addEventListener("visibilitychange", seen);
      void poll();
      return () => {
        watched -= 1;
        document.removeEventListener("visibilitychange", seen);
        if (!watched) clearTimeout(timer);
      };
    },
    async enter(...entries: Entry[]): Promise<void> {
      const head = stored.peek()?.batch;
      if (head) await enter(head, entries);
    },
  };
}

/** The step that asks for the person: the first that is not over and does not merely run beside others. */
export function focusOf(doc: BatchDoc): RunStep | undefined {
  const open = doc.steps.filter((s) => !over(s));
  return open.find((s) => !(s.beside && s.state === "running")) ?? open[0];
}
/** Doses that run beside the step in focus. */
export function besideOf(doc: BatchDoc): RunStep[] {
  const focus = focusOf(doc);
  return doc.steps.filter((s) => s.state === "running" && s !== focus);
}
export function nextOf(doc: BatchDoc, after: RunStep): RunStep | undefined {
  return doc.steps.slice(doc.steps.indexOf(after) + 1).find((s) => s.state === "waiting");
}
