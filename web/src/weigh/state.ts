// The queue of the weigh room, asked for again and again, and the weighing that is open.
import { effect, signal } from "@preact/signals";
import { api, offline } from "../api";
import { noteServerTime } from "../floor/clock";
import { kept, onAnswer } from "../floor/queue";
import type { Container, WeighDoc, WeighItem } from "./types";

const POLL_MS = 4000;
const POLL_HIDDEN_MS = 20_000;

export const doc = signal<WeighDoc | null>(null);
export const error = signal<Error | null>(null);
/** Key of the open weighing. */
export const open = signal<string | null>(null);
/** Who it is was shown by its label, or read by a person; of the open weighing. */
export const known = signal<{ by: "label" | "name"; container: Container | null } | null>(null);
export const said = signal<{ bad: boolean; text: string } | null>(null);

export const keyOf = (i: { batch_id: string; step: string; item: number }): string => `${i.batch_id} ${i.step} ${i.item}`;

/** What this device has entered and the server does not know yet. */
export function enteredHere(i: WeighItem): boolean {
  return kept.value.some((k) => !k.refusal && k.batch_id === i.batch_id && (k.kind === "weighed" || k.kind === "weighing-checked") && k.fields["step"] === i.step && k.fields["item"] === i.item);
}

let watching = 0;
let asking = false;
let timer: ReturnType<typeof setTimeout> | undefined;

export async function poll(): Promise<void> {
  clearTimeout(timer);
  if (asking || !watching) return;
  asking = true;
  const askedMs = Date.now();
  try {
    const got = await api.weighing();
    noteServerTime(got.now_utc_ms, askedMs, Date.now());
    doc.value = got;
    error.value = null;
  } catch (cause) {
    error.value = cause as Error;
  }
  asking = false;
  if (watching) timer = setTimeout(() => void poll(), document.hidden ? POLL_HIDDEN_MS : POLL_MS);
}
effect(() => {
  if (!offline.value) void poll();
});
export function watch(): () => void {
  watching += 1;
  const forget = onAnswer(() => void poll());
  void poll();
  return () => {
    watching -= 1;
    forget();
    clearTimeout(timer);
  };
}

export function choose(item: WeighItem | null): void {
  open.value = item ? keyOf(item) : null;
  known.value = null;
  said.value = null;
}
