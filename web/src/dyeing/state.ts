// The dyeing of a lot as it is looked at: the programme with what was changed of it, and the last
// answer. One question is under way at most; what changed in the meantime is asked when it is back.
// While a slider moves only what is drawn is asked for; the reruns follow when it rests.
import { batch, computed, signal } from "@preact/signals";
import { ApiError, Unreachable, dyeing } from "../api";
import type { Finding } from "../types";
import { NO_CHANGES, isChanged, readBack, withStep } from "./changes";
import { limitsOf } from "./limits";
import type { Changes, DyeingAnswer, Margin, Mishap, Simulated, StepChange } from "./types";

export type Study = ReturnType<typeof makeStudy>;

const studies = new Map<string, Study>();
export function studyOf(lot: string): Study {
  let study = studies.get(lot);
  if (!study) studies.set(lot, (study = makeStudy(lot)));
  return study;
}

/** Places of what the server refused: "speed_m_per_min", "step 6.minutes". */
function placed(all: Finding[], asked: Changes): Finding[] {
  return all.map((finding) => {
    const [, index = "", field = ""] = /^steps\[(\d+)\]\.?(\w*)$/.exec(finding.place) ?? [];
    const change = asked.steps?.[Number(index || NaN)];
    if (asked.temp_shift_c !== undefined && /^course\[\d+\]\.temp_c$/.test(finding.place)) return { ...finding, place: "temp_shift_c" };
    return change ? { ...finding, place: `step ${change.step}.${field}` } : finding;
  });
}

function makeStudy(lot: string) {
  /** What the sliders say. */
  const changes = signal<Changes>(NO_CHANGES);
  /** A programme of the search that is looked at; the sliders start from it. */
  const preview = signal<Changes | null>(null);
  const shown = computed(() => preview.value ?? changes.value);
  const answer = signal<DyeingAnswer | null>(null);
  /** The lot as it is planned: what a change is measured against. */
  const planned = signal<Simulated | null>(null);
  /** Reruns are not asked for while a slider moves: the last ones stay, marked as of before. */
  const reruns = signal<{ sensitivity: Mishap[]; margin: Margin | null } | null>(null);
  const settled = signal(false);
  const problems = signal<Finding[]>([]);
  const error = signal<Error | null>(null);
  const busy = signal(false);
  /** The step that the sliders of one step are for. */
  const step = signal<number | null>(null);

  let wanted: { light: boolean } | null = null;
  let running = false;

  function ask({ light = false } = {}): void {
    wanted = { light };
    if (!running) void run();
  }

  async function run(): Promise<void> {
    running = true;
    busy.value = true;
    while (wanted) {
      const { light } = wanted;
      wanted = null;
      await once(light);
      if (!wanted && !planned.peek()) await base();
    }
    running = false;
    busy.value = false;
  }

  async function once(light: boolean): Promise<void> {
    const asked = shown.peek();
    const limits = limitsOf(lot);
    const strike = limits.strike.peek();
    try {
      const got = await dyeing(lot, { ...asked, ...(strike === null ? {} : { strike_limit_pct_per_contact: strike }), ...(light ? { sensitivity: false } : {}) });
      batch(() => {
        error.value = null;
        settled.value = !light;
        // A change that leaves nothing to reckon with is refused: the picture before it stays.
        if (!got.simulated && isChanged(asked) && answer.peek()?.simulated) {
          problems.value = [{ place: "", message: got.reason?.words ?? "", value: "", allowed: "", remedy: "" }];
          return;
        }
        answer.value = got;
        problems.value = [];
        if (!got.simulated) return;
        if (got.sensitivity) reruns.value = { sensitivity: got.sensitivity, margin: got.margin };
        if (!isChanged(asked)) planned.value = got;
      });
    } catch (cause) {
      batch(() => {
        if (cause instanceof ApiError && cause.status === 422) {
          problems.value = placed(cause.all, asked);
          error.value = null;
        } else error.value = cause as Error;
        settled.value = true;
      });
      if (cause instanceof Unreachable) wanted = null; // nothing more to be had until the server is back
    }
  }

  /** Opened with changes: what they are measured against is still to come. */
  async function base(): Promise<void> {
    const { bath } = shown.peek();
    if (!answer.peek()?.simulated || !isChanged(shown.peek())) return;
    try {
      const got = await dyeing(lot, { ...(bath === undefined ? {} : { bath }), sensitivity: false, map: false });
      if (got.simulated) planned.value = got;
    } catch {
      // nothing to compare with: the sliders still know what is planned
    }
  }

  function change(next: Changes, light: boolean): void {
    batch(() => {
      changes.value = next;
      preview.value = null;
    });
    ask({ light });
  }

  return {
    lot, changes, preview, shown, answer, planned, reruns, settled, problems, error, busy, step, ask,
    get away(): boolean {
      return error.value instanceof Unreachable;
    },
    /** What is changed, for the address; nothing while a slider moves. */
    get text(): string {
      return isChanged(changes.value) ? JSON.stringify(changes.value) : "";
    },
    /** From an address. */
    adopt(text: string): void {
      const read = readBack(text);
      if (read) change(read, false);
    },
    /** What was planned has changed: nothing that was answered holds any more. */
    renew(): void {
      planned.value = null;
      ask();
    },
    set(part: Changes, how: { light?: boolean } = {}): void {
      change({ ...shown.peek(), ...part }, how.light === true);
    },
    setStep(part: StepChange, how: { light?: boolean } = {}): void {
      change(withStep(shown.peek(), part), how.light === true);
    },
    /** Back to the plan, without asking. */
    forget(): void {
      const { bath } = changes.peek();
      batch(() => {
        changes.value = bath === undefined ? NO_CHANGES : { bath };
        preview.value = null;
      });
    },
    look(at: Changes | null): void {
      preview.value = at === null ? null : { ...changes.peek(), ...at };
      ask();
    },
    reset(): void {
      const { bath } = changes.peek();
      change(bath === undefined ? NO_CHANGES : { bath }, false);
    },
    takeBath(bath: number): void {
      planned.value = null;
      step.value = null;
      change({ bath }, false);
    },
  };
}
