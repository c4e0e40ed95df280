// The finishing line of a lot: what was read, and the line as it is set from it. Lines outlive the
// page they are shown on; the last picture stays until a newer one has come.
import { batch, computed, signal } from "@preact/signals";
import { ApiError, Unreachable, api } from "../api";
import type { Finding } from "../types";
import { isEmpty, readBack, readingsOf, written, type AllTyped, type FieldName, type Typed } from "./readings";
import type { FinishAnswer, Reading } from "./types";

const DEBOUNCE_MS = 150;

export interface Picture {
  readings: Reading[];
  /** answers[n] is the line with the first n readings: behind a pass is measured against those before it. */
  answers: FinishAnswer[];
}
export type Line = ReturnType<typeof makeLine>;

const lines = new Map<string, Line>();
export function lineOf(lot: string): Line {
  let line = lines.get(lot);
  if (!line) lines.set(lot, (line = makeLine(lot)));
  return line;
}

/** Kept for the tab; a browser that keeps nothing still has them in the address. */
function store(lot: string, text: string): void {
  try {
    if (text) sessionStorage.setItem(`readings/${lot}`, text);
    else sessionStorage.removeItem(`readings/${lot}`);
  } catch {
    // not allowed here
  }
}
export function storedReadings(lot: string): string {
  try {
    return sessionStorage.getItem(`readings/${lot}`) ?? "";
  } catch {
    return "";
  }
}

function makeLine(lot: string) {
  const typed = signal<AllTyped>({});
  const picture = signal<Picture | null>(null);
  /** Places are PASS.FIELD. */
  const problems = signal<Finding[]>([]);
  const error = signal<Error | null>(null);
  const busy = signal(false);
  const text = computed(() => written(typed.value));

  let known = new Map<string, FinishAnswer>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  let running: AbortController | undefined;

  async function answerTo(readings: Reading[], abort: AbortSignal): Promise<FinishAnswer> {
    const key = JSON.stringify(readings);
    const mine = known;
    let answer = mine.get(key);
    if (!answer) {
      answer = await api.finish(lot, readings, abort);
      mine.set(key, answer);
    }
    return answer;
  }

  async function ask(): Promise<void> {
    clearTimeout(timer);
    running?.abort();
    const mine = new AbortController();
    running = mine;
    busy.value = true;
    const readings = readingsOf(typed.peek());
    try {
      const answers: FinishAnswer[] = [];
      for (let n = 0; n <= readings.length; n++) {
        answers.push(await answerTo(readings.slice(0, n), mine.signal));
        // Something to look at at once; a reading that is refused must not hide the line.
        if (!picture.peek()) picture.value = { readings: [], answers: [...answers] };
      }
      if (mine.signal.aborted) return;
      batch(() => {
        picture.value = { readings, answers };
        problems.value = [];
        error.value = null;
        busy.value = false;
      });
    } catch (cause) {
      if (mine.signal.aborted) return;
      batch(() => {
        const placed = cause instanceof ApiError ? placedBy(cause.all, readings) : [];
        problems.value = placed;
        error.value = placed.length ? null : (cause as Error);
        busy.value = false;
      });
    }
  }

  function change(next: AllTyped): void {
    typed.value = next;
    store(lot, text.peek());
    clearTimeout(timer);
    running?.abort(); // no older answer may come after what stands there now
    busy.value = true;
    timer = setTimeout(() => void ask(), DEBOUNCE_MS);
  }

  return {
    lot, typed, picture, problems, error, busy, text, ask,
    /** What was planned has changed: nothing that was answered holds any more. */
    renew(): void {
      known = new Map();
      void ask();
    },
    /** From an address, or from before a reload. */
    adopt(from: string): void {
      if (from === text.peek()) return;
      typed.value = readBack(from);
      store(lot, text.peek());
      void ask();
    },
    type(pass: number, field: FieldName, value: string): void {
      const one: Typed = { ...typed.peek()[pass], [field]: value };
      change({ ...typed.peek(), [pass]: one });
    },
    fill(pass: number, values: Typed): void {
      change({ ...typed.peek(), [pass]: { ...values, ...withoutBlanks(typed.peek()[pass] ?? {}) } });
    },
    clear(pass?: number): void {
      const next = { ...typed.peek() };
      if (pass !== undefined) delete next[pass];
      change(pass === undefined ? {} : next);
    },
    get any(): boolean {
      return Object.values(typed.value).some((one) => !isEmpty(one));
    },
    get away(): boolean {
      return error.value instanceof Unreachable;
    },
  };
}

function withoutBlanks(typed: Typed): Typed {
  return Object.fromEntries(Object.entries(typed).filter(([, text]) => text.trim() !== ""));
}

/** "readings[0].lies_cm" is a field of the pass that was read first. */
function placedBy(all: Finding[], readings: Reading[]): Finding[] {
  return all.flatMap((finding) => {
    const [, index = "", field = ""] = /^readings\[(\d+)\]\.(\w+)$/.exec(finding.place) ?? [];
    const reading = readings[Number(index || NaN)];
    return reading ? [{ ...finding, place: `${reading.pass}.${field}` }] : [];
  });
}
