// One lot on the desk: the stored plan, the changes tried, and the plan with them.
// Editors outlive the page they are shown on, so that nothing typed is lost by looking elsewhere.
import { batch, computed, effect, signal } from "@preact/signals";
import { ApiError, Unreachable, api, offline } from "../api";
import { parse, type Typed } from "../fmt";
import type { Finding, Plan, RouteDoc } from "../types";
import { words } from "../words";
import { NO_DRAFT, countChanges, draftOf, rebased, removeStep, stepAt, uidOf, whatIf, type At, type Draft, type LotField } from "./draft";

const DEBOUNCE_MS = 120;

export type Editor = ReturnType<typeof makeEditor>;

const editors = new Map<string, Editor>();
export function editorOf(lot: string): Editor {
  let editor = editors.get(lot);
  if (!editor) {
    editor = makeEditor(lot);
    editors.set(lot, editor);
  }
  return editor;
}

function makeEditor(lot: string) {
  const stored = signal<Plan | null>(null);
  const tried = signal<Plan | null>(null);
  const draft = signal<Draft>(NO_DRAFT);
  /** The draft that `tried` was planned from; the newest one may still be on its way. */
  const triedFrom = signal<Draft>(NO_DRAFT);
  /** Text of every field that was touched, as typed. */
  const typed = signal<Record<string, string>>({});
  const loadError = signal<Error | null>(null);
  const problems = signal<Finding[]>([]);
  const conflict = signal(false);
  const busy = signal(false);
  const notice = signal("");
  const waiting = signal(false); // the server is away, the change is kept
  /** Drafts of routes looked at and left again in the select. */
  const routeDrafts = new Map<string, RouteDoc>();

  const shown = computed(() => tried.value ?? stored.value);
  const wrong = computed(() => Object.values(typed.value).filter((text) => "wrong" in parse(text)).length);
  const changes = computed(() => countChanges(draft.value, baseRoute()) + wrong.value);
  const routeChanges = computed(() => countChanges({ lot: {}, route: draft.value.route }, baseRoute()));
  const dirty = computed(() => changes.value > 0);

  /** The route the draft started from; kept when another one is tried. */
  const bases = new Map<string, RouteDoc>();
  function baseRoute(): RouteDoc | null {
    const id = draft.value.route?.route_id ?? stored.value?.route.route_id;
    return id === undefined ? null : (bases.get(id) ?? stored.value?.route ?? null);
  }

  let timer: ReturnType<typeof setTimeout> | undefined;
  let running: AbortController | undefined;

  async function load(): Promise<void> {
    try {
      const plan = await api.plan(lot);
      batch(() => {
        stored.value = plan;
        loadError.value = null;
      });
    } catch (error) {
      loadError.value = error as Error;
    }
  }

  /** Nothing asked before may answer after this. */
  function hush(): void {
    clearTimeout(timer);
    running?.abort();
  }

  function later(): void {
    notice.value = "";
    hush();
    if (countChanges(draft.peek(), baseRoute()) === 0) void replan(); // back to what is stored: nothing to ask
    else {
      busy.value = true; // nothing is saved that has not been planned
      timer = setTimeout(replan, DEBOUNCE_MS);
    }
  }

  async function replan(): Promise<void> {
    const now = draft.peek();
    if (countChanges(now, baseRoute()) === 0) {
      batch(() => {
        tried.value = null;
        problems.value = [];
        busy.value = false;
        waiting.value = false;
      });
      return;
    }
    const mine = new AbortController();
    running = mine;
    busy.value = true;
    try {
      const plan = await api.replan(lot, whatIf(now), mine.signal);
      if (mine.signal.aborted) return;
      batch(() => {
        tried.value = plan;
        triedFrom.value = now;
        problems.value = [];
        busy.value = false;
        waiting.value = false;
      });
    } catch (error) {
      if (mine.signal.aborted) return;
      batch(() => {
        busy.value = false;
        fail(error);
      });
    }
  }

  function fail(error: unknown): void {
    if (error instanceof Unreachable) waiting.value = true;
    else if (error instanceof ApiError) {
      if (error.status === 409 && (error.body.place === "revision" || error.body.place === "version")) conflict.value = true;
      problems.value = error.all;
    } else problems.value = [{ message: String(error), place: "", value: "", allowed: "", remedy: "" }];
  }

  // The connection is back: what was waiting is planned now.
  effect(() => {
    if (!offline.value && waiting.peek()) later();
  });

  function setLot(change: Partial<Draft["lot"]>, drop: (keyof Draft["lot"])[] = []): void {
    const next = { ...draft.peek().lot, ...change };
    for (const key of drop) delete next[key];
    draft.value = { ...draft.peek(), lot: next };
    later();
  }

  function setTyped(field: string, text: string | null): void {
    const next = { ...typed.peek() };
    if (text === null) delete next[field];
    else next[field] = text;
    typed.value = next;
  }

  function typeLot(field: LotField, text: string, storedValue: number): void {
    setTyped(field, text);
    const value = parse(text);
    if ("wrong" in value) {
      if (text.trim() === "") {
        setTyped(field, null); // an empty field asks for the stored value again
        setLot({}, [field]);
      }
      return;
    }
    if (value.value === storedValue) setLot({}, [field]);
    else setLot({ [field]: value.value });
  }

  /** The number in the field is final: the field shows it the app's way again. */
  function settle(field: string): void {
    const text = typed.peek()[field];
    if (text !== undefined && !("wrong" in parse(text))) setTyped(field, null);
  }

  function pickMachine(id: string): void {
    if (id === stored.peek()?.machine.machine_id) setLot({}, ["machine_id"]);
    else setLot({ machine_id: id });
  }

  function pickRoute(id: string): void {
    const now = draft.peek();
    if (now.route) routeDrafts.set(now.route.route_id, now.route);
    const { route_id: _old, ...rest } = now.lot;
    const same = id === stored.peek()?.route.route_id;
    draft.value = { lot: same ? rest : { ...rest, route_id: id }, route: routeDrafts.get(id) ?? null };
    later();
  }

  function ensureDraftRoute(): RouteDoc | null {
    const now = draft.peek();
    if (now.route) return now.route;
    const plan = shown.peek();
    if (!plan) return null;
    bases.set(plan.route.route_id, plan.route);
    const route = draftOf(plan.route);
    draft.value = { ...now, route };
    return route;
  }

  function setRoute(change: (route: RouteDoc) => RouteDoc): void {
    const route = ensureDraftRoute();
    if (!route) return;
    draft.value = { ...draft.peek(), route: change(route) };
    later();
  }

  function typeRoute(field: string, text: string, apply: (route: RouteDoc, value: number) => RouteDoc): void {
    setTyped(field, text);
    const value: Typed = parse(text);
    if ("value" in value) setRoute((route) => apply(route, value.value));
  }

  function remove(at: At): void {
    const route = ensureDraftRoute();
    const step = route ? stepAt(route, at) : undefined;
    if (!step) return;
    const prefix = `${uidOf(step)}.`;
    typed.value = Object.fromEntries(Object.entries(typed.peek()).filter(([field]) => !field.startsWith(prefix)));
    setRoute((now) => removeStep(now, at));
  }

  function discard(): void {
    hush();
    batch(() => {
      draft.value = NO_DRAFT;
      typed.value = {};
      tried.value = null;
      problems.value = [];
      conflict.value = false;
      busy.value = false;
      waiting.value = false;
      notice.value = "";
    });
    routeDrafts.clear();
    void load();
  }

  async function saveLot(): Promise<void> {
    const base = stored.peek();
    if (!base) return;
    hush();
    busy.value = true;
    try {
      const plan = await api.saveLot(lot, { ...draft.peek().lot, revision: base.lot.revision });
      batch(() => {
        stored.value = plan;
        draft.value = { lot: {}, route: draft.peek().route };
        problems.value = [];
        notice.value = words.whatIf.saved;
        busy.value = false;
        tried.value = null;
      });
      if (draft.peek().route) void replan();
    } catch (error) {
      batch(() => {
        busy.value = false;
        fail(error);
      });
    }
  }

  async function saveRoute(): Promise<void> {
    const { route } = draft.peek();
    if (!route) return;
    hush();
    busy.value = true;
    try {
      const done = await api.saveRoute(route);
      const plan = await api.plan(lot);
      batch(() => {
        bases.delete(route.route_id);
        routeDrafts.delete(route.route_id);
        stored.value = plan;
        tried.value = null;
        draft.value = { ...draft.peek(), route: null };
        problems.value = [];
        notice.value = words.whatIf.routeSaved(done.route_id, done.version);
        busy.value = false;
      });
      void replan();
    } catch (error) {
      batch(() => {
        busy.value = false;
        fail(error);
      });
    }
  }

  /** After a conflict: take the newer state and lay the changes over it. */
  async function rebase(): Promise<void> {
    const base = baseRoute();
    const { route } = draft.peek();
    try {
      const plan = await api.plan(lot);
      const newer = route && route.route_id !== plan.route.route_id ? await api.replan(lot, { route_id: route.route_id }) : plan;
      const merged = route && base ? rebased(route, base, newer.route) : null;
      batch(() => {
        stored.value = plan;
        conflict.value = false;
        problems.value = route && !merged ? [{ message: words.whatIf.cannotMerge, place: "", value: "", allowed: "", remedy: "" }] : [];
        if (route && merged) {
          bases.set(route.route_id, newer.route);
          draft.value = { ...draft.peek(), route: merged };
        }
      });
      if (!route || merged) later();
    } catch (error) {
      fail(error);
    }
  }

  return {
    lot, stored, shown, draft, triedFrom, typed, loadError, problems, conflict, busy, notice, waiting, changes, routeChanges, dirty, wrong,
    baseRoute, load, typeLot, settle, pickMachine, pickRoute, typeRoute, discard, saveLot, saveRoute, rebase, ensureDraftRoute, setRoute, remove,
  };
}

addEventListener("beforeunload", (event) => {
  for (const editor of editors.values()) if (editor.dirty.peek()) event.preventDefault();
});
