// A list or record from the server, with the last good copy kept on screen while it is away.
import { signal, type Signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { Unreachable, offline } from "../api";

export interface Resource<T> {
  data: T | null;
  error: Error | null;
}

const kept = new Map<string, Signal<Resource<unknown>>>();

export function useResource<T>(key: string, load: () => Promise<T>): Resource<T> & { reload: () => void } {
  let store = kept.get(key) as Signal<Resource<T>> | undefined;
  if (!store) {
    store = signal<Resource<T>>({ data: null, error: null });
    kept.set(key, store as Signal<Resource<unknown>>);
  }
  const mine = store;
  const reload = (): void => {
    load().then(
      (data) => (mine.value = { data, error: null }),
      (error: Error) => (mine.value = { data: mine.value.data, error }),
    );
  };
  useEffect(reload, [key]);
  const away = offline.value;
  useEffect(() => {
    if (!away && mine.peek().error instanceof Unreachable) reload();
  }, [away]);
  return { ...mine.value, reload };
}
