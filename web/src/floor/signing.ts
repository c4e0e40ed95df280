// Acts that are signed. A signature needs the line: the secret goes with the entry, at that moment, and is kept
// nowhere. What waits to be signed is kept on the device without it, in sight, until somebody signs or takes
// it back.
import { computed, signal } from "@preact/signals";
import { api, offline } from "../api";
import { may, who } from "../people/session";
import { kept, tell, uniqueId, type Entry } from "./queue";
import type { EntryKind, Fields } from "./types";

export interface Draft {
  entry_id: string;
  batch_id: string;
  lot_id: string;
  kind: EntryKind;
  fields: Fields;
  device_utc_ms: number;
}
export interface Secret {
  person_id?: string;
  badge?: string;
  password?: string;
  pin?: string;
}

const KEEP = "madder.to-sign";
function recall(): Draft[] {
  try {
    return JSON.parse(localStorage.getItem(KEEP) ?? "[]") as Draft[];
  } catch {
    return [];
  }
}
export const drafts = signal<Draft[]>(recall());
/** The one whose pad is open. */
export const signing = signal<Draft | null>(null);

function keep(all: Draft[]): void {
  drafts.value = all;
  try {
    localStorage.setItem(KEEP, JSON.stringify(all));
  } catch {
    // a browser that keeps nothing: it waits as long as the page is open
  }
}

const MEANINGS: Partial<Record<EntryKind, string>> = { "remedy-approved": "approved", "batch-released": "released", "weighing-checked": "checked" };
export function meaningOf(one: Pick<Draft, "kind" | "fields">): string | null {
  return one.kind === "decision" ? (one.fields["decision"] === "accept" ? "accepted" : null) : (MEANINGS[one.kind] ?? null);
}
/** A mill without people signs nothing; when it is not known who is signed in, the server will ask. */
export function isSigned(entry: Entry): boolean {
  return !who.value?.demo && entry.kind !== "weighing-checked" && meaningOf({ kind: entry.kind, fields: entry.fields ?? {} }) !== null;
}
const RIGHTS: Partial<Record<EntryKind, string>> = { "remedy-approved": "remedy-approve", decision: "remedy-approve", "batch-released": "release", "weighing-checked": "run-enter" };
export const rightOf = (one: Draft): string => RIGHTS[one.kind] ?? "";
export const mayOwn = (one: Draft): boolean => may(rightOf(one));

/** Lays it before whoever signs. */
export function toSign(batch: { batch_id: string; lot_id: string }, entry: Entry): void {
  const draft = { entry_id: uniqueId(), batch_id: batch.batch_id, lot_id: batch.lot_id, kind: entry.kind, fields: entry.fields ?? {}, device_utc_ms: Date.now() };
  // the same act twice is one
  keep([...drafts.peek().filter((d) => d.batch_id !== draft.batch_id || d.kind !== draft.kind || d.fields["step"] !== draft.fields["step"] || d.fields["item"] !== draft.fields["item"]), draft]);
  signing.value = draft;
}
export function takeBack(one: Draft): void {
  keep(drafts.peek().filter((d) => d.entry_id !== one.entry_id));
  if (signing.peek()?.entry_id === one.entry_id) signing.value = null;
}

/** Entries of the batch that still wait here go first: the record is in order. */
export const before = computed(() => (signing.value ? kept.value.filter((k) => k.batch_id === signing.value?.batch_id).length : 0));
export const ready = computed(() => !offline.value && before.value === 0);

export async function sign(one: Draft, secret: Secret): Promise<void> {
  const answer = await api.enter(one.batch_id, { ...one.fields, kind: one.kind, entry_id: one.entry_id, device_utc_ms: one.device_utc_ms, sent_utc_ms: Date.now(), signature: { ...secret } });
  takeBack(one);
  tell(one.batch_id, answer.state);
}
