// The question as it stands, and its answers. One question is under way at most; what changed in
// the meantime is asked when it is back, so that a slow line is never filled with old questions.
//
// A full answer holds every loop length of the slider, which so needs no question at all. While
// another slider moves only the loop length that is shown is asked for: a small answer.
import { batch, computed, signal } from "@preact/signals";
import { ApiError, fabric } from "../api";
import { fromArticle, questionOf, START, withSets, type Typed } from "./fields";
import type { Article, FabricAnswer, Frame, Sets, Window } from "./types";

const FRAMES = 41;

export const typed = signal<Typed>(START);
/** The article that was taken, and what it filled in. */
export const article = signal<{ id: string; name: string; typed: Typed } | null>(null);
/** Every loop length of the slider. */
export const sweep = signal<FabricAnswer | null>(null);
/** The picture while a slider is under way, until the sweep is there again. */
const moving = signal<FabricAnswer | null>(null);
export const frameNo = signal(0);
export const error = signal<Error | null>(null);
export const busy = signal(false);
/** What the last answer was asked with. */
const asked = signal("");
/** What the map shows and the sliders reach; stays while they move. */
export const view = signal<Window | null>(null);
export const yarnRange = signal<{ low: number; high: number } | null>(null);
/** The question before the last cure was applied. */
export const before = signal<Typed | null>(null);

export const shown = computed(() => moving.value ?? sweep.value);
export const frame = computed<Frame | null>(() => {
  const map = moving.value?.map ?? sweep.value?.map;
  return map ? (map.frames[moving.value ? map.now : frameNo.value] ?? null) : null;
});
/** The picture is not of what stands in the form. */
export const stale = computed(() => {
  const question = questionOf(typed.value);
  return error.value !== null || question === null || (!busy.value && asked.value !== "" && JSON.stringify(question) !== asked.value);
});

export interface How {
  /** A slider is under way: only what is shown now. */
  light?: boolean;
  /** What the map shows is chosen anew. */
  fit?: boolean;
}
let wanted: How | null = null;
let running = false;

export function ask(how: How = {}): void {
  wanted = { light: how.light === true, fit: how.fit === true || wanted?.fit === true };
  if (!running) void run();
}

async function run(): Promise<void> {
  running = true;
  while (wanted) {
    const how: How = wanted;
    wanted = null;
    const question = questionOf(typed.peek());
    if (!question) break; // the fields say what is wrong
    busy.value = true;
    await once(question, how);
  }
  running = false;
  busy.value = false;
}

async function once(question: Record<string, unknown>, { light, fit }: How): Promise<void> {
  const loop = loopOf();
  const shows = fit ? null : view.peek();
  const more = {
    map_frames: light ? 1 : FRAMES,
    ...(shows ? { map_width_low_cm: shows.width_cm.low, map_width_high_cm: shows.width_cm.high, map_gsm_low: shows.gsm.low, map_gsm_high: shows.gsm.high } : {}),
  };
  try {
    const answer = await fabric({ ...question, ...(light ? loop : {}), ...more });
    batch(() => {
      error.value = null;
      asked.value = JSON.stringify(question);
      if (light) moving.value = answer;
      else take(answer);
      if (!shows) refit(answer);
    });
  } catch (cause) {
    error.value = cause as Error;
    if (!(cause instanceof ApiError)) wanted = null; // nothing more to be had until the server is back
  }
}

/** The loop length that the slider stands at, when it is not the one in the form. */
function loopOf(): Sets {
  const map = sweep.peek()?.map;
  const at = map?.frames[frameNo.peek()];
  return at && frameNo.peek() !== map.now && base === baseOf(typed.peek()) ? at.set : {};
}
/** What the loop slider starts from; another one is another slider. */
function baseOf(t: Typed): string {
  return (t["mode"] === "washed" ? ["washed", t["relaxed_gsm"], t["relaxed_width_cm"]] : [t["loop_cm"]]).join();
}
let base = "";

function take(answer: FabricAnswer): void {
  const old = sweep.peek()?.map;
  const same = old && base === baseOf(typed.peek()) && old.frames.length === answer.map.frames.length && old.now === answer.map.now;
  if (!same) frameNo.value = answer.map.now;
  base = baseOf(typed.peek());
  sweep.value = answer;
  moving.value = null;
}

function refit(answer: FabricAnswer): void {
  view.value = answer.map.window;
  const count = Number(typed.peek()[typed.peek()["yarn_unit"] === "by_tex" ? "tex" : "ne"]);
  const step = YARN_STEP;
  // A quarter thicker or finer: beyond that it is another article.
  yarnRange.value = count > 0 ? { low: Math.max(step, count - step * Math.round(count / 4 / step)), high: count + step * Math.round(count / 4 / step) } : null;
}
export const YARN_STEP = 0.5;

/* -- what people do -- */

export function type(key: string, text: string): void {
  typed.value = { ...typed.peek(), [key]: text };
}

export function slide(key: string, value: number): void {
  type(key, String(Number(value.toFixed(4))));
  ask({ light: true });
}

export function choose(key: string, value: string): void {
  const now = typed.peek();
  const relaxed = frame.peek()?.relaxed;
  type(key, value);
  // What is known until a sample is washed: what the knitting data say.
  if (key === "mode" && value === "washed" && !now["relaxed_gsm"] && relaxed)
    typed.value = { ...typed.peek(), relaxed_gsm: relaxed.gsm.toFixed(1), relaxed_width_cm: relaxed.width_cm.toFixed(1) };
  before.value = null;
  ask({ fit: true });
}

export function takeArticle(found: Article): void {
  const next = fromArticle(typed.peek(), found);
  typed.value = next;
  article.value = { id: found.article_id, name: found.name, typed: next };
  before.value = null;
  ask({ fit: true });
}

/** A cure, from where the loop slider stands. */
export function apply(sets: Sets): void {
  const now = typed.peek();
  before.value = now;
  typed.value = withSets(withSets(now, frame.peek()?.set ?? {}), sets);
  ask({ fit: true });
}

export function undo(): void {
  const old = before.peek();
  if (!old) return;
  typed.value = old;
  before.value = null;
  ask({ fit: true });
}
