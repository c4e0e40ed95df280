// What a person has changed of a lot and its route, before anything is saved. Pure: no server.
import type { PlanBath, PlanStep, Plan, RouteDoc, RouteStep, StepKind, WhatIf } from "../types";

/** Hidden in a draft's step (JSON leaves symbols out): which it is, and where it came from. */
const META = Symbol("meta");
interface Meta {
  uid: string;
  /** Place in the stored route; null for a step that was added. */
  origin: string | null;
}
export type DraftStep = RouteStep & { [META]?: Meta };

let lastUid = 0;
function tagged(step: RouteStep, origin: string | null): DraftStep {
  lastUid += 1;
  return { ...step, [META]: { uid: `u${lastUid}`, origin } };
}
export function uidOf(step: RouteStep): string {
  return (step as DraftStep)[META]?.uid ?? "";
}
export function originOf(step: RouteStep): string | null {
  return (step as DraftStep)[META]?.origin ?? null;
}

/** Place of a step in its route: stage, bath, step, counted from 0. */
export type At = readonly [number, number, number];

export function placeKey(at: At): string {
  return at.join(".");
}

/** A copy of the resolved route that can be edited; every step knows where it came from. */
export function draftOf(route: RouteDoc): RouteDoc {
  return {
    ...route,
    stages: route.stages.map((stage, s) => ({
      ...stage,
      baths: stage.baths.map((bath, b) => ({
        ...bath,
        steps: bath.steps.map((step, k) => tagged(step, placeKey([s, b, k]))),
      })),
    })),
  };
}

type Steps = (steps: RouteStep[]) => RouteStep[];
function changeBath(route: RouteDoc, stage: number, bath: number, change: Steps): RouteDoc {
  return {
    ...route,
    stages: route.stages.map((st, s) => {
      if (s !== stage) return st;
      // A stage that was taken from another route is this route's own from the first edit on.
      const { from_route: _route, from_stage: _stage, ...own } = st;
      return { ...own, baths: st.baths.map((b, i) => (i === bath ? { ...b, steps: change(b.steps) } : b)) } as typeof st;
    }),
  };
}

export function changeStep(route: RouteDoc, at: At, change: (step: RouteStep) => RouteStep): RouteDoc {
  return changeBath(route, at[0], at[1], (steps) => steps.map((step, k) => (k === at[2] ? change(step) : step)));
}
const SETS_TEMPERATURE = new Set<StepKind>(["fill", "heat", "cool", "rinse"]);

/**
 * A new target temperature, and with it what the runs that follow say must have been reached:
 * else every change of a target would leave them waiting for a temperature that never comes.
 */
export function changeTemperature(route: RouteDoc, at: At, temp_c: number): RouteDoc {
  const before = stepAt(route, at)?.temp_c;
  return changeBath(route, at[0], at[1], (steps) => {
    let follows = true;
    return steps.map((step, k) => {
      if (k === at[2]) return { ...step, temp_c };
      if (k < at[2] || !follows) return step;
      if (SETS_TEMPERATURE.has(step.do)) follows = false;
      return follows && step.temp_c !== undefined && step.temp_c === before ? { ...step, temp_c } : step;
    });
  });
}

export function moveStep(route: RouteDoc, at: At, by: -1 | 1): RouteDoc {
  return changeBath(route, at[0], at[1], (steps) => {
    const to = at[2] + by;
    const step = steps[at[2]];
    const other = steps[to];
    if (!step || !other) return steps;
    return steps.map((each, k) => (k === at[2] ? other : k === to ? step : each));
  });
}
export function removeStep(route: RouteDoc, at: At): RouteDoc {
  return changeBath(route, at[0], at[1], (steps) => steps.filter((_, k) => k !== at[2]));
}

const FRESH: Partial<Record<StepKind, RouteStep>> = {
  heat: { do: "heat", temp_c: 60, rate_c_per_min: 2 },
  cool: { do: "cool", temp_c: 40, rate_c_per_min: 2 },
  hold: { do: "hold", minutes: 10 },
  rinse: { do: "rinse", minutes: 10, temp_c: 40 },
};
export type AddableKind = "heat" | "cool" | "hold" | "rinse";
export const ADDABLE: AddableKind[] = ["hold", "heat", "cool", "rinse"];

/** A new step before the bath's closing drain or unload, or at its end. */
export function addStep(route: RouteDoc, stage: number, bath: number, kind: AddableKind): RouteDoc {
  return changeBath(route, stage, bath, (steps) => {
    const fresh = FRESH[kind];
    if (!fresh) return steps;
    let end = steps.length;
    while (end > 0 && (steps[end - 1]?.do === "drain" || steps[end - 1]?.do === "unload")) end -= 1;
    return [...steps.slice(0, end), tagged(fresh, null), ...steps.slice(end)];
  });
}

export function stepAt(route: RouteDoc, at: At): RouteStep | undefined {
  return route.stages[at[0]]?.baths[at[1]]?.steps[at[2]];
}

export type LotField = "load_kg" | "ratio_l_per_kg" | "speed_m_per_min" | "tubes_used";
export const LOT_FIELDS: LotField[] = ["load_kg", "ratio_l_per_kg", "speed_m_per_min", "tubes_used"];

export interface Draft {
  lot: Omit<WhatIf, "route">;
  route: RouteDoc | null;
}
export const NO_DRAFT: Draft = { lot: {}, route: null };

export function whatIf(draft: Draft): WhatIf {
  return draft.route ? { ...draft.lot, route: draft.route } : draft.lot;
}

/** How many things differ from the stored lot and route. */
export function countChanges(draft: Draft, base: RouteDoc | null): number {
  return Object.keys(draft.lot).length + (draft.route && base ? changedSteps(draft.route, base) : 0);
}

function changedSteps(route: RouteDoc, base: RouteDoc): number {
  let changes = 0;
  const seen = new Set<string>();
  route.stages.forEach((stage, s) => stage.baths.forEach((bath, b) => {
    let last = -1;
    for (const step of bath.steps) {
      const origin = originOf(step);
      if (origin === null) {
        changes += 1;
        continue;
      }
      seen.add(origin);
      const index = Number(origin.split(".")[2]);
      const before = base.stages[s]?.baths[b]?.steps[index];
      if (index < last || JSON.stringify(before) !== JSON.stringify(step)) changes += 1;
      last = Math.max(last, index);
    }
  }));
  base.stages.forEach((stage, s) => stage.baths.forEach((bath, b) => bath.steps.forEach((_, k) => {
    if (!seen.has(placeKey([s, b, k]))) changes += 1;
  })));
  return changes;
}

/**
 * The draft laid over a newer version of its route: baths that were not touched come from there.
 * null: the newer one has other baths.
 */
export function rebased(route: RouteDoc, base: RouteDoc, newer: RouteDoc): RouteDoc | null {
  const shape = (doc: RouteDoc): string => JSON.stringify(doc.stages.map((stage) => [stage.name, stage.baths.map((bath) => bath.name)]));
  if (shape(base) !== shape(newer)) return null;
  const fresh = draftOf(newer);
  return {
    ...fresh,
    stages: fresh.stages.map((stage, s) => {
      const mine = route.stages[s];
      const touched = stage.baths.map((_, b) => JSON.stringify(mine?.baths[b]) !== JSON.stringify(base.stages[s]?.baths[b]));
      if (!mine || !touched.includes(true)) return stage;
      const { from_route: _route, from_stage: _stage, ...own } = stage;
      return { ...own, baths: stage.baths.map((bath, b) => (touched[b] ? (mine.baths[b] ?? bath) : bath)) } as typeof stage;
    }),
  };
}

export interface Before {
  bath: PlanBath | undefined;
  /** undefined: not comparable; null: the step is new. */
  step: (step: PlanStep) => PlanStep | null | undefined;
}

/**
 * Finds, for what is shown, the same thing in the stored plan. A different route is compared by
 * its key figures only: its steps are other steps.
 */
export function beforeOf(shown: Plan, stored: Plan, draft: Draft): (bath: PlanBath) => Before {
  const nothing: Before = { bath: undefined, step: () => undefined };
  if (shown === stored || shown.route.route_id !== stored.route.route_id) return () => nothing;
  const steps = new Map<string, PlanStep>();
  const baths = new Map<string, PlanBath>();
  for (const bath of stored.baths) {
    const first = bath.steps[0];
    if (first) baths.set(`${first.at[0]}.${first.at[1]}`, bath);
    for (const step of bath.steps) steps.set(placeKey(step.at), step);
  }
  const { route } = draft;
  return (bath) => {
    const first = bath.steps[0];
    return {
      bath: first ? baths.get(`${first.at[0]}.${first.at[1]}`) : undefined,
      step: (step) => {
        const asked = route ? stepAt(route, step.at) : undefined;
        const origin = asked ? originOf(asked) : placeKey(step.at);
        return origin === null ? null : steps.get(origin);
      },
    };
  };
}
