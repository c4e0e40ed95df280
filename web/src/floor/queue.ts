// Every entry is kept on the device before it is sent, sent in its order, and leaves only when the
// server has it. The server knows an entry by its id: what arrives twice is stored once.
//
// An entry that the server refuses stays, and so do the later ones of its batch, until a person has
// decided: send it again, or put it into the record as a remark with the reason. None vanishes.
import { computed, effect, signal } from "@preact/signals";
import { api, offline, Unreachable, ApiError } from "../api";
import * as store from "./store";
import type { Kept, Refusal } from "./store";
import type { BatchDoc, EntryKind, Fields } from "./types";
import { w } from "./words";

export { durable } from "./store";
export type { Kept } from "./store";

export const kept = signal<Kept[]>([]);
export const waiting = computed(() => kept.value.filter((one) => one.refusal === null));
export const refused = computed(() => kept.value.filter((one) => one.refusal !== null));
/** Acts whose entries are not on the device yet. */
const taking = signal(0);
/** Everything that the server has not answered, those acts with it. */
export const unsent = computed(() => taking.value + waiting.value.length);
/** Why nothing goes at the moment, as far as it is not the line. */
export const trouble = signal("");

const LEASE_MS = 20_000; // longer than one request may take (api.ts, PATIENCE_MS)
const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 30_000;
/** Refused because of what it says, not because of the moment. */
const FINAL = (status: number): boolean => status >= 400 && status < 500 && ![401, 408, 425, 429].includes(status);

const tab = uniqueId();
const others = "BroadcastChannel" in window ? new BroadcastChannel("madder-entries") : null;
const heard = new Set<(batch_id: string, state: BatchDoc) => void>();

/** Not crypto.randomUUID: a page without TLS has none. */
export function uniqueId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return `${Date.now().toString(36)}-${Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("")}`;
}

/** Told of every state that an accepted entry brings back. */
export function onAnswer(hear: (batch_id: string, state: BatchDoc) => void): () => void {
  heard.add(hear);
  return () => void heard.delete(hear);
}

/** The same, of an entry that went another way. */
export function tell(batch_id: string, state: BatchDoc): void {
  for (const hear of heard) hear(batch_id, state);
}

export interface Entry {
  kind: EntryKind;
  fields?: Fields;
}
/** Keeps the entries of one act of a person, all or none; then they go by themselves. */
export async function enter(batch: { batch_id: string; lot_id: string }, entries: Entry[]): Promise<void> {
  const at = Date.now();
  taking.value += 1;
  try {
    await store.add(entries.map(({ kind, fields = {} }, i) => ({
      entry_id: uniqueId(), batch_id: batch.batch_id, lot_id: batch.lot_id, kind, fields, device_utc_ms: at + i, refusal: null,
    })));
    await changed();
  } finally {
    taking.value -= 1;
  }
  void send();
}

/** The batch has moved on, or what was in the way is gone: the same entry once more. */
export async function sendAgain(one: Kept): Promise<void> {
  await store.refuse(one.id, null);
  await changed();
  void send();
}
/** What was refused goes into the record as a remark: what, when, why not, and the person's reason. */
export async function asRemark(one: Kept, reason: string): Promise<void> {
  const text = w.queue.remark(w.entry(one), new Date(one.device_utc_ms), one.refusal?.message ?? "", reason);
  await store.add([{ entry_id: uniqueId(), batch_id: one.batch_id, lot_id: one.lot_id, kind: "remark", fields: { text }, device_utc_ms: Date.now(), refusal: null }], one.id);
  await changed();
  void send();
}

/** Of a lot that the server does not know: no record could hold it. */
export async function takeOff(one: Kept): Promise<void> {
  await store.remove(one.id);
  await changed();
  void send();
}

async function reload(): Promise<void> {
  kept.value = await store.all();
}
async function changed(): Promise<void> {
  await reload();
  others?.postMessage("changed");
}
others?.addEventListener("message", () => void reload());

/** The next one that may go: refused ones hold back the later ones of their batch. */
export function next(all: readonly Kept[]): Kept | undefined {
  const stuck = new Set(all.filter((one) => one.refusal).map((one) => one.batch_id));
  return all.find((one) => !one.refusal && (one.kind === "remark" || !stuck.has(one.batch_id)));
}

/** What waited when the page was closed, whether there is a line or not. */
void reload();

let sending = false;
let waitMs = FIRST_WAIT_MS;
let later: ReturnType<typeof setTimeout> | undefined;

export async function send(): Promise<void> {
  if (sending) return;
  sending = true;
  clearTimeout(later);
  try {
    while (await step()) waitMs = FIRST_WAIT_MS;
  } catch {
    again(); // the store failed: what is in it is tried again
  } finally {
    sending = false;
  }
}
/** One entry; false: nothing more to do now. */
async function step(): Promise<boolean> {
  await reload();
  if (!next(kept.peek())) return false;
  if (!(await store.lease(tab, LEASE_MS))) {
    again();
    return false;
  }
  // Read anew under the lease: another tab may have sent it meanwhile.
  await reload();
  const one = next(kept.peek());
  if (!one) {
    await store.release(tab);
    return false;
  }
  try {
    const answer = await api.enter(one.batch_id, { ...one.fields, kind: one.kind, entry_id: one.entry_id, device_utc_ms: one.device_utc_ms, sent_utc_ms: Date.now() });
    for (const hear of heard) hear(one.batch_id, answer.state);
    trouble.value = "";
    await store.remove(one.id);
    await changed();
    if (!next(kept.peek())) await store.release(tab);
    return true;
  } catch (cause) {
    if (cause instanceof ApiError && FINAL(cause.status)) {
      await store.refuse(one.id, refusalOf(cause));
      await changed();
      return true;
    }
    if (!(cause instanceof Unreachable)) trouble.value = cause instanceof Error ? cause.message : "";
    await store.release(tab);
    again();
    return false;
  }
}
function refusalOf({ status, body }: ApiError): Refusal {
  return { status, message: body.message, allowed: body.allowed, remedy: body.remedy };
}
function again(): void {
  clearTimeout(later);
  // Tablets that lost the line together do not come back together.
  later = setTimeout(() => void send(), waitMs * (0.7 + 0.6 * Math.random()));
  waitMs = Math.min(LONGEST_WAIT_MS, waitMs * 2);
}

/** The line is back: at once, not after the wait. */
effect(() => {
  if (offline.value) return;
  waitMs = FIRST_WAIT_MS;
  void send();
});
addEventListener("pagehide", () => void store.release(tab));
