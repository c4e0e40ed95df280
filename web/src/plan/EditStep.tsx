// One step of the route as it can be changed. Drawn from the draft, not from the plan: what was
// added or moved stays in sight even when it cannot be planned yet.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Finding, Plan, PlanStep, RouteItem, RouteStep } from "../types";
import { NumberField } from "../ui/Field";
import { words } from "../words";
import { stepId } from "../place";
import {
  ADDABLE, addStep, changeStep, changeTemperature, moveStep, originOf, placeKey, stepAt, uidOf, type AddableKind, type At,
} from "./draft";
import type { Editor } from "./editor";

const w = words.edit;

type NumberKey = "minutes" | "temp_c" | "rate_c_per_min" | "share_pct";
interface Asked {
  key: NumberKey;
  unit: string;
  hint?: string;
}

const TEMP: Asked = { key: "temp_c", unit: "°C" };
const MINUTES: Asked = { key: "minutes", unit: "min" };
const RATE: Asked = { key: "rate_c_per_min", unit: "°C/min", hint: w.rateZero };
const ASKED: Record<RouteStep["do"], Asked[]> = {
  load: [MINUTES], fill: [TEMP], dose: [MINUTES, { key: "share_pct", unit: "%" }], heat: [TEMP, RATE], cool: [TEMP, RATE],
  hold: [MINUTES], check: [MINUTES], rinse: [MINUTES, TEMP], drain: [], unload: [MINUTES],
};
const AMOUNT_UNITS: Record<string, string> = { g_per_l: "g/L", ml_per_l: "mL/L", pct_owf: "% owf", kg_per_load: "kg" };

interface BathProps {
  editor: Editor;
  plan: Plan;
  stage: number;
  bath: number;
  number: number;
}

export function EditSteps({ editor, plan, stage, bath, number }: BathProps): JSX.Element | null {
  const steps = editor.draft.value.route?.stages[stage]?.baths[bath]?.steps;
  if (!steps) return null;
  return (
    <>
      <ol class="steps">
        {steps.map((asked, k) => (
          <EditStep key={uidOf(asked)} asked={asked} at={[stage, bath, k]} bath={number} count={steps.length} editor={editor} plan={plan} />
        ))}
      </ol>
      <AddStep editor={editor} stage={stage} bath={bath} />
    </>
  );
}

interface StepProps {
  asked: RouteStep;
  at: At;
  bath: number;
  count: number;
  editor: Editor;
  plan: Plan;
}

function EditStep({ asked, at, bath, count, editor, plan }: StepProps): JSX.Element {
  const origin = originOf(asked);
  const before = origin === null ? undefined : storedStep(editor, origin);
  const planned = plan.baths.flatMap((b) => b.steps).find((s) => placeKey(s.at) === placeKey(at) && s.kind === asked.do);
  const name = `${bath}.${at[2] + 1}`;
  const check = planned?.check?.words; // two checks are told apart by what they are of
  return (
    <li class="step edit" id={stepId(bath, at[2] + 1)} tabIndex={-1}>
      <span class="step-no">{at[2] + 1}</span>
      <fieldset class="edit-fields">
        <legend><strong>{w.kinds[asked.do]}</strong>{check ? <span class="muted"> {check}</span> : null}{asked.note ? <span class="muted"> {asked.note}</span> : null}{origin === null ? <span class="step-new">{words.plan.isNew}</span> : null}</legend>
        {ASKED[asked.do].map((field) => <StepField key={field.key} field={field} asked={asked} before={before} at={at} planned={planned} editor={editor} />)}
        {(asked.items ?? []).map((item, i) => <ItemField key={i} item={item} index={i} before={before?.items?.[i]} asked={asked} at={at} editor={editor} plan={plan} />)}
        {unplaced(editor.problems.value, at, asked).map((finding) => (
          <p key={finding.place + finding.message} class="field-say">{[finding.message, finding.allowed ? `${words.allowed}: ${finding.allowed}.` : "", finding.remedy].filter(Boolean).join(" ")}</p>
        ))}
      </fieldset>
      <div class="edit-acts">
        <Act word={w.up} name={name} path="M2 8 6 3l4 5" disabled={at[2] === 0} onClick={() => editor.setRoute((route) => moveStep(route, at, -1))} />
        <Act word={w.down} name={name} path="M2 4l4 5 4-5" disabled={at[2] === count - 1} onClick={() => editor.setRoute((route) => moveStep(route, at, 1))} />
        <Act word={w.remove} name={name} path="M2.5 2.5l7 7m0-7l-7 7" disabled={count < 2} onClick={() => editor.remove(at)} />
      </div>
    </li>
  );
}

function storedStep(editor: Editor, origin: string): RouteStep | undefined {
  const [s = 0, b = 0, k = 0] = origin.split(".").map(Number);
  const base = editor.baseRoute();
  return base ? stepAt(base, [s, b, k]) : undefined;
}

function placeOf(at: At): string {
  return `stages[${at[0]}].baths[${at[1]}].steps[${at[2]}]`;
}
/** The finding about a field of this step; a place reads "stages[2].baths[0].steps[3].temp_c". */
function about(problems: Finding[], at: At, field: string): Finding | undefined {
  return problems.find((p) => p.place.endsWith(`${placeOf(at)}.${field}`));
}
/** Findings about the step that no field of it shows. */
function unplaced(problems: Finding[], at: At, asked: RouteStep): Finding[] {
  const shown = [...ASKED[asked.do].map((f) => f.key as string), ...(asked.items ?? []).map((_, i) => `items[${i}].amount`)];
  const ends = new RegExp(`${placeOf(at).replace(/[[\].]/g, "\\$&")}(\\.|$)`);
  return problems.filter((p) => ends.test(p.place) && !shown.some((field) => p.place.endsWith(`${placeOf(at)}.${field}`)));
}

interface StepFieldProps {
  field: Asked;
  asked: RouteStep;
  before: RouteStep | undefined;
  at: At;
  planned: PlanStep | undefined;
  editor: Editor;
}

/** What the plan uses where the route says nothing. */
function usual(key: NumberKey, planned: PlanStep | undefined): number {
  if (key === "share_pct") return 100;
  if (key === "rate_c_per_min") return 0;
  return (key === "minutes" ? planned?.minutes.value : planned?.temp_end_c.value) ?? 0;
}

function StepField({ field, asked, before, at, planned, editor }: StepFieldProps): JSX.Element {
  const id = `${uidOf(asked)}.${field.key}`;
  const { key, hint } = field;
  return (
    <NumberField small label={w[key]} unit={field.unit} value={asked[key] ?? usual(key, planned)}
      stored={before ? (before[key] ?? (asked[key] === undefined ? usual(key, planned) : undefined)) : undefined}
      typed={editor.typed.value[id]} finding={about(editor.problems.value, at, key)} {...(hint ? { hint } : {})}
      onSettle={() => editor.settle(id)}
      onType={(text) => editor.typeRoute(id, text, (route, value) => key === "temp_c"
        ? changeTemperature(route, at, value) : changeStep(route, at, (now) => ({ ...now, [key]: value })))} />
  );
}

interface ItemFieldProps {
  item: RouteItem;
  index: number;
  before: RouteItem | undefined;
  asked: RouteStep;
  at: At;
  editor: Editor;
  plan: Plan;
}

function ItemField({ item, index, before, asked, at, editor, plan }: ItemFieldProps): JSX.Element {
  const id = `${uidOf(asked)}.items.${index}`;
  const unit = AMOUNT_UNITS[item.basis];
  const name = item.material_id ? (plan.totals.find((t) => t.material_id === item.material_id)?.name ?? item.material_id) : w.recipe;
  return (
    <NumberField small label={name} unit={unit ?? "×"} value={item.amount ?? 1} stored={before ? (before.amount ?? 1) : undefined}
      typed={editor.typed.value[id]} finding={about(editor.problems.value, at, `items[${index}].amount`)} {...(unit ? {} : { hint: w.factor })}
      onSettle={() => editor.settle(id)}
      onType={(text) => editor.typeRoute(id, text, (route, value) => changeStep(route, at, (now) => ({
        ...now, items: (now.items ?? []).map((each, i) => (i === index ? { ...each, amount: value } : each)),
      })))} />
  );
}

function Act({ word, name, path, disabled, onClick }: { word: string; name: string; path: string; disabled: boolean; onClick: () => void }): JSX.Element {
  return (
    <button type="button" class="button button-icon" aria-label={`${word}: ${w.step(name)}`} disabled={disabled} onClick={onClick}>
      <svg viewBox="0 0 12 12" width="14" height="14" aria-hidden="true"><path class="arrow" d={path} /></svg>
    </button>
  );
}

function AddStep({ editor, stage, bath }: { editor: Editor; stage: number; bath: number }): JSX.Element {
  const [kind, setKind] = useState<AddableKind>("hold");
  const id = `add-${stage}-${bath}`;
  return (
    <div class="add-step">
      <label for={id}>{w.add}</label>
      <select class="select" id={id} value={kind} onChange={(event) => setKind(event.currentTarget.value as AddableKind)}>
        {ADDABLE.map((each) => <option key={each} value={each}>{w.kinds[each]}</option>)}
      </select>
      <button type="button" class="button" onClick={() => editor.setRoute((route) => addStep(route, stage, bath, kind))}>{w.addButton}</button>
    </div>
  );
}
