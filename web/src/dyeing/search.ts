// The search for the shortest safe programme of a lot: what was asked, what was found, which one is
// looked at, and its way into the route.
import { batch, computed, signal } from "@preact/signals";
import { ApiError, api, shorten } from "../api";
import { editorOf } from "../plan/editor";
import type { Finding } from "../types";
import { limitsOf } from "./limits";
import { studyOf } from "./state";
import type { Limits, Point, Question, ShortenAnswer } from "./types";
import { w } from "./words";

export type Search = ReturnType<typeof makeSearch>;

const searches = new Map<string, Search>();
export function searchOf(lot: string): Search {
  let search = searches.get(lot);
  if (!search) searches.set(lot, (search = makeSearch(lot)));
  return search;
}

/** What became of a programme that was accepted. */
export interface Saved {
  route: string;
  /** Null: the speed did not change, or is saved too. */
  speedProblem: string | null;
  speed: number | null;
}

function makeSearch(lot: string) {
  const study = studyOf(lot);
  const form = limitsOf(lot);
  const answer = signal<ShortenAnswer | null>(null);
  const asked = signal("");
  const busy = signal(false);
  const error = signal<Error | null>(null);
  /** Places are names of limits. */
  const problems = signal<Finding[]>([]);
  const chosen = signal<number | null>(null);
  const saving = signal(false);
  const conflict = signal(false);
  const saveProblem = signal<Error | null>(null);
  const saved = signal<Saved | null>(null);

  const question = computed<(Question & Limits & { keep_speed: boolean }) | null>(() =>
    form.limits.value && { ...study.changes.value, ...form.limits.value, keep_speed: form.keepSpeed.value });
  const stale = computed(() => answer.value !== null && JSON.stringify(question.value) !== asked.value);

  async function ask(): Promise<void> {
    const now = question.peek();
    if (!now || busy.peek()) return;
    choose(null);
    busy.value = true;
    saved.value = null;
    try {
      const got = await shorten(lot, now);
      batch(() => {
        answer.value = got;
        asked.value = JSON.stringify(now);
        problems.value = [];
        error.value = null;
      });
    } catch (cause) {
      batch(() => {
        const placed = cause instanceof ApiError && cause.status === 422;
        problems.value = placed ? cause.all : [];
        error.value = placed && cause.all.every((one) => one.place in now) ? null : (cause as Error);
      });
    }
    busy.value = false;
  }

  function choose(index: number | null): void {
    batch(() => {
      chosen.value = index;
      saveProblem.value = null;
      conflict.value = false;
    });
    const got = answer.peek();
    const point = index !== null && got?.simulated ? got.points[index] : undefined;
    if (point) study.look(point.dyeing);
    else if (study.preview.peek()) study.look(null);
  }

  /** Everything was worked out from what is no longer so. */
  async function afresh(): Promise<void> {
    batch(() => {
      answer.value = null;
      chosen.value = null;
      conflict.value = false;
      saveProblem.value = null;
    });
    study.forget();
    await editorOf(lot).load(); // a newer plan has the study ask anew
    study.renew();
  }

  async function saveSpeed(speed: number): Promise<string | null> {
    try {
      const plan = await api.plan(lot);
      await api.saveLot(lot, { revision: plan.lot.revision, speed_m_per_min: speed });
      return null;
    } catch (cause) {
      return (cause as Error).message;
    }
  }

  async function accept(point: Point): Promise<void> {
    saving.value = true;
    saveProblem.value = null;
    try {
      const done = await api.saveRoute(point.route);
      const speed = point.speed_changed ? point.speed_m_per_min : null;
      const speedProblem = speed === null ? null : await saveSpeed(speed);
      saved.value = { route: w.shorten.saved(done.route_id, done.version), speed, speedProblem };
      await afresh();
    } catch (cause) {
      if (cause instanceof ApiError && cause.status === 409) conflict.value = true;
      else saveProblem.value = cause as Error;
    }
    saving.value = false;
  }

  async function speedAgain(): Promise<void> {
    const now = saved.peek();
    if (!now || now.speed === null) return;
    saving.value = true;
    saved.value = { ...now, speedProblem: await saveSpeed(now.speed) };
    await afresh();
    saving.value = false;
  }

  return { answer, asked, busy, error, problems, chosen, saving, conflict, saveProblem, saved, question, stale, ask, choose, accept, speedAgain, afresh };
}
