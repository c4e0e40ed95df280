// The lots that are at hand. Years of them are not fetched at once: those under way and the last done come
// first, earlier ones when asked for, and a filter looks through all of them on the server.
import { computed, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { api } from "../api";
import type { LotRow, LotsPart } from "../types";
import { useResource } from "../ui/resource";

const PAUSE_MS = 250;

/** Outlives the page: coming back from a lot finds the list as it was left. */
export const filter = signal("");
/** Parts asked for, and the lot that the first list ended with then: when it ends elsewhere they no longer join on. */
const further = signal<{ from: string | null; parts: LotsPart[] }>({ from: null, parts: [] });
const found = signal<{ text: string; part: LotsPart } | null>(null);

const wanted = computed(() => filter.value.trim());

export interface LotList {
  data: LotRow[] | null;
  error: Error | null;
  reload: () => void;
  all: number;
  /** Lots that are not here, as far as no filter looks for them. */
  more: (() => Promise<void>) | null;
  looking: boolean;
  tooMany: boolean;
}

export function useLots(): LotList {
  const first = useResource("lots", () => api.lots());
  const from = first.data?.earlier ?? null;
  const parts = further.value.from === from ? further.value.parts : [];
  const last = parts.at(-1) ?? first.data;
  const before = last?.earlier ?? null;
  const text = wanted.value;
  const search = before !== null && text !== "";
  useEffect(() => {
    if (!search || found.peek()?.text === text) return undefined;
    let left = false;
    const later = setTimeout(() => {
      api.lots(text).then((part) => !left && (found.value = { text, part }), () => undefined); // what is here stays filtered
    }, PAUSE_MS);
    return () => {
      left = true;
      clearTimeout(later);
    };
  }, [search, text]);
  const hits = search && found.value?.text === text ? found.value.part : null;
  const more = async (): Promise<void> => {
    const part = await api.lots("", before ?? "");
    further.value = { from, parts: [...parts, part] };
  };
  return {
    data: first.data ? joined([...parts, ...(hits ? [hits] : [])], first.data) : null, error: first.error, reload: first.reload,
    all: first.data?.all ?? 0, more: before !== null && !text ? more : null, looking: search && !hits, tooMany: hits?.earlier != null,
  };
}

/** Each lot once; what came last is what the first list says, which is read anew with the page. */
function joined(parts: LotsPart[], first: LotsPart): LotRow[] {
  const rows = new Map<string, LotRow>();
  for (const part of [...parts, first]) for (const row of part.lots) rows.set(row.lot_id, row);
  return [...rows.values()];
}
