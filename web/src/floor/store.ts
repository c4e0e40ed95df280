// Entries that wait to be sent, kept on this device. IndexedDB with strict durability is on the
// disk before it says so, which localStorage is not, and its transactions hold between tabs.
import { signal } from "@preact/signals";
import type { EntryKind, Fields } from "./types";

export interface Refusal {
  status: number;
  message: string;
  allowed: string;
  remedy: string;
}
export interface Kept {
  /** Order of entering on this device; given by the store. */
  id: number;
  entry_id: string;
  batch_id: string;
  lot_id: string;
  kind: EntryKind;
  fields: Fields;
  /** Clock of this device. */
  device_utc_ms: number;
  /** The server said no: a person has to look at it. */
  refusal: Refusal | null;
}
export type Fresh = Omit<Kept, "id">;
interface Lease {
  name: "sender";
  tab: string;
  until_utc_ms: number;
}

/** False: this browser keeps nothing; entries are lost when the page is closed before they are sent. */
export const durable = signal(true);

const NAME = "madder-entries";
let opened: Promise<IDBDatabase | null> | undefined;

function open(): Promise<IDBDatabase | null> {
  opened ??= new Promise<IDBDatabase | null>((resolve) => {
    try {
      const asked = indexedDB.open(NAME, 1);
      asked.onupgradeneeded = () => {
        asked.result.createObjectStore("kept", { keyPath: "id", autoIncrement: true });
        asked.result.createObjectStore("lease", { keyPath: "name" });
      };
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => resolve(null);
      asked.onblocked = () => resolve(null);
    } catch {
      resolve(null);
    }
  }).then((db) => {
    durable.value = db !== null;
    return db;
  });
  return opened;
}

/** Runs `work` in one transaction; resolves when it is on the disk. */
function within<T>(db: IDBDatabase, stores: string[], mode: IDBTransactionMode, work: (t: IDBTransaction, give: (value: T) => void) => void): Promise<T> {
  return new Promise((resolve, reject) => {
    const t = db.transaction(stores, mode, { durability: mode === "readwrite" ? "strict" : "default" });
    let given: T;
    t.oncomplete = () => resolve(given);
    t.onerror = t.onabort = () => reject(t.error ?? new Error("not kept"));
    work(t, (value) => void (given = value));
  });
}

// The stand-in where nothing can be kept.
const memory: Kept[] = [];
let memoryId = 0;

export async function all(): Promise<Kept[]> {
  const db = await open();
  if (!db) return [...memory];
  return within<Kept[]>(db, ["kept"], "readonly", (t, give) => {
    const asked = t.objectStore("kept").getAll() as IDBRequest<Kept[]>;
    asked.onsuccess = () => give(asked.result);
  });
}

/** Puts `fresh` in, all or none of them, in this order; `instead` leaves in the same moment. */
export async function add(fresh: Fresh[], instead?: number): Promise<void> {
  const db = await open();
  if (!db) {
    if (instead !== undefined) drop(instead);
    for (const one of fresh) memory.push({ ...one, id: (memoryId += 1) });
    return;
  }
  await within<void>(db, ["kept"], "readwrite", (t) => {
    const kept = t.objectStore("kept");
    if (instead !== undefined) kept.delete(instead);
    for (const one of fresh) kept.add(one);
  });
}

export async function refuse(id: number, refusal: Refusal | null): Promise<void> {
  const db = await open();
  if (!db) {
    const at = memory.findIndex((one) => one.id === id);
    const one = memory[at];
    if (one) memory[at] = { ...one, refusal };
    return;
  }
  await within<void>(db, ["kept"], "readwrite", (t) => {
    const kept = t.objectStore("kept");
    const asked = kept.get(id) as IDBRequest<Kept | undefined>;
    asked.onsuccess = () => {
      if (asked.result) kept.put({ ...asked.result, refusal });
    };
  });
}

export async function remove(id: number): Promise<void> {
  const db = await open();
  if (!db) return drop(id);
  await within<void>(db, ["kept"], "readwrite", (t) => void t.objectStore("kept").delete(id));
}
function drop(id: number): void {
  const at = memory.findIndex((one) => one.id === id);
  if (at >= 0) memory.splice(at, 1);
}

/** One tab of the device sends at a time. True: this one may, until so many ms from now. */
export async function lease(tab: string, ms: number): Promise<boolean> {
  const db = await open();
  if (!db) return true;
  return within<boolean>(db, ["lease"], "readwrite", (t, give) => {
    const store = t.objectStore("lease");
    const asked = store.get("sender") as IDBRequest<Lease | undefined>;
    asked.onsuccess = () => {
      const held = asked.result;
      const now = Date.now();
      // A lease from the future: the clock of the device was set back.
      const free = !held || held.tab === tab || held.until_utc_ms <= now || held.until_utc_ms > now + 2 * ms;
      if (free) store.put({ name: "sender", tab, until_utc_ms: now + ms } satisfies Lease);
      give(free);
    };
  });
}
export async function release(tab: string): Promise<void> {
  const db = await open();
  if (!db) return;
  await within<void>(db, ["lease"], "readwrite", (t) => {
    const store = t.objectStore("lease");
    const asked = store.get("sender") as IDBRequest<Lease | undefined>;
    asked.onsuccess = () => {
      if (asked.result?.tab === tab) store.delete("sender");
    };
  });
}
