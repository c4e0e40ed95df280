// A question that follows what is typed: one under way at most, the last one asked again when it is back.
import { type Signal, signal } from "@preact/signals";

export interface Asking<T> {
  answer: Signal<T | null>;
  error: Signal<Error | null>;
  busy: Signal<boolean>;
  /** Asks; nothing while `question` is null. */
  ask: () => Promise<void>;
  clear: () => void;
}

export function asking<Q, T>(question: () => Q | null, send: (q: Q) => Promise<T>): Asking<T> {
  const answer = signal<T | null>(null);
  const error = signal<Error | null>(null);
  const busy = signal(false);
  let again = false;
  let epoch = 0;
  const ask = async (): Promise<void> => {
    if (busy.peek()) {
      again = true;
      return;
    }
    busy.value = true;
    do {
      again = false;
      const mine = epoch;
      const q = question();
      if (q === null) break;
      try {
        const got = await send(q);
        if (mine !== epoch) continue;
        answer.value = got;
        error.value = null;
      } catch (cause) {
        if (mine === epoch) error.value = cause as Error;
      }
    } while (again);
    busy.value = false;
  };
  const clear = (): void => {
    epoch += 1;
    answer.value = null;
    error.value = null;
  };
  return { answer, error, busy, ask, clear };
}
