// One step of the route as it can be changed.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Finding, Plan, PlanBath, PlanStep, RouteItem, RouteStep } from "../types";
import { NumberField } from "../ui/Field";
import { words } from "../words";
import { ADDABLE, changeStep, changeTemperature, originOf, placeKey, stepAt, uidOf, type AddableKind } from "./draft";
import type { Editor } from "./editor";

const w = words.edit;

interface Props {
  step: PlanStep;
  number: number;
  count: number;
  bath: PlanBath;
  editor: Editor;
  plan: Plan;
}

type NumberKey = "minutes" | "temp_c" | "rate_c_per_min" | "share_pct";
interface Asked {
  key: NumberKey;
  unit: string;
  hint?: string;
}

const ASKED: Partial<Record<string, Asked[]>> = {
  fill: [{ key: "temp_c", unit: "°C" }],
  rinse: [{ key: "minutes", unit: "min" }, { key: "temp_c", unit: "°C" }],
  heat: [{ key: "temp_c", unit: "°C" }, { key: "rate_c_per_min", unit: "°C/min", hint: w.rateZero }],
  cool: [{ key: "temp_c", unit: "°C" }, { key: "rate_c_per_min", unit: "°C/min", hint: w.rateZero }],
  hold: [{ key: "minutes", unit: "min" }],
  check: [{ key: "minutes", unit: "min" }],
  dose: [{ key: "minutes", unit: "min" }, { key: "share_pct", unit: "%" }],
  load: [{ key: "minutes", unit: "min" }],
  unload: [{ key: "minutes", unit: "min" }],
};
const AMOUNT_UNITS: Record<string, string> = { g_per_l: "g/L", ml_per_l: "mL/L", pct_owf: "% owf", kg_per_load: "kg" };
const DEFAULTS: Record<NumberKey, number> = { minutes: 0, temp_c: 0, rate_c_per_min: 0, share_pct: 100 };

export function EditStep({ step, number, count, bath, editor, plan }: Props): JSX.Element | null {
  const route = editor.draft.value.route ?? plan.route;
  const asked = stepAt(route, step.at);
  if (!asked) return null;
  const origin = originOf(asked);
  const before = origin === null ? undefined : storedStep(editor, origin);
  const name = `${bath.number}.${number}`;
  const fields = ASKED[asked.do] ?? [];
  return (
    <li class="step edit" id={`step-${bath.number}-${number}`} tabIndex={-1}>
      <span class="step-no">{number}</span>
      <fieldset class="edit-fields">
        <legend><strong>{step.words}</strong>{origin === null ? <span class="step-new">{words.plan.isNew}</span> : null}{step.note ? ` · ${step.note}` : ""}</legend>
        {fields.map((f) => <StepField key={f.key} field={f} asked={asked} before={before} step={step} editor={editor} />)}
        {(asked.items ?? []).map((item, i) => <ItemField key={i} item={item} index={i} before={before?.items?.[i]} asked={asked} step={step} editor={editor} plan={plan} />)}
        {rest(editor.problems.value, step.at, asked).map((finding) => (
          <p key={finding.place + finding.message} class="field-say">{[finding.message, finding.allowed ? `${words.allowed}: ${finding.allowed}.` : "", finding.remedy].filter(Boolean).join(" ")}</p>
        ))}
      </fieldset>
      <div class="edit-acts">
        <Act word={w.up} name={name} path="M2 8 6 3l4 5" disabled={number === 1} onClick={() => editor.move(step.at, -1)} />
        <Act word={w.down} name={name} path="M2 4l4 5 4-5" disabled={number === count} onClick={() => editor.move(step.at, 1)} />
        <Act word={w.remove} name={name} path="M2.5 2.5l7 7m0-7l-7 7" disabled={count < 2} onClick={() => editor.remove(step.at)} />
      </div>
    </li>
  );
}

function storedStep(editor: Editor, origin: string): RouteStep | undefined {
  const [s = 0, b = 0, k = 0] = origin.split(".").map(Number);
  const base = editor.baseRoute();
  return base ? stepAt(base, [s, b, k]) : undefined;
}

/** The finding about a field of this step; a place reads "stages[2].baths[0].steps[3].temp_c". */
function about(problems: Finding[], at: PlanStep["at"], field: string): Finding | undefined {
  const place = `stages[${at[0]}].baths[${at[1]}].steps[${at[2]}]`;
  return problems.find((p) => p.place.endsWith(`${place}.${field}`));
}

/** Findings about the step that no field of it shows. */
function rest(problems: Finding[], at: PlanStep["at"], asked: RouteStep): Finding[] {
  const place = `stages[${at[0]}].baths[${at[1]}].steps[${at[2]}]`;
  const shown = [...(ASKED[asked.do] ?? []).map((f) => f.key as string), ...(asked.items ?? []).map((_, i) => `items[${i}].amount`)];
  return problems.filter((p) => p.place.includes(place) && !shown.some((field) => p.place.endsWith(`${place}.${field}`)));
}

interface StepFieldProps {
  field: Asked;
  asked: RouteStep;
  before: RouteStep | undefined;
  step: PlanStep;
  editor: Editor;
}

function StepField({ field, asked, before, step, editor }: StepFieldProps): JSX.Element {
  const id = `${uidOf(asked)}.${field.key}`;
  const { hint } = field;
  const planned = field.key === "minutes" && asked.minutes === undefined ? step.minutes.value : undefined;
  return (
    <NumberField small label={w[field.key]} unit={field.unit} value={asked[field.key] ?? planned ?? DEFAULTS[field.key]}
      stored={before ? (before[field.key] ?? planned ?? DEFAULTS[field.key]) : undefined}
      typed={editor.typed.value[id]} finding={about(editor.problems.value, step.at, field.key)} {...(hint ? { hint } : {})}
      onSettle={() => editor.settle(id)}
      onType={(text) => editor.typeRoute(id, text, (route, value) => field.key === "temp_c"
        ? changeTemperature(route, step.at, value) : changeStep(route, step.at, (now) => ({ ...now, [field.key]: value })))} />
  );
}

interface ItemFieldProps {
  item: RouteItem;
  index: number;
  before: RouteItem | undefined;
  asked: RouteStep;
  step: PlanStep;
  editor: Editor;
  plan: Plan;
}

function ItemField({ item, index, before, asked, step, editor, plan }: ItemFieldProps): JSX.Element {
  const id = `${uidOf(asked)}.items.${index}`;
  const unit = AMOUNT_UNITS[item.basis];
  const known = step.items.find((planned) => planned.material_id === item.material_id);
  const name = known?.name ?? plan.totals.find((t) => t.material_id === item.material_id)?.name ?? known?.basis_words ?? (item.material_id || step.items[0]?.basis_words || item.basis);
  return (
    <NumberField small label={name} unit={unit ?? "×"} value={item.amount ?? 1} stored={before ? (before.amount ?? 1) : undefined}
      typed={editor.typed.value[id]} finding={about(editor.problems.value, step.at, `items[${index}].amount`)} {...(unit ? {} : { hint: w.factor })}
      onSettle={() => editor.settle(id)}
      onType={(text) => editor.typeRoute(id, text, (route, value) => changeStep(route, step.at, (now) => ({
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

export function AddStep({ editor, stage, bath }: { editor: Editor; stage: number; bath: number }): JSX.Element {
  const [kind, setKind] = useState<AddableKind>("hold");
  return (
    <div class="add-step">
      <label for={`add-${placeKey([stage, bath, 0])}`}>{w.add}</label>
      <select class="select" id={`add-${placeKey([stage, bath, 0])}`} value={kind} onChange={(event) => setKind(event.currentTarget.value as AddableKind)}>
        {ADDABLE.map((each) => <option key={each} value={each}>{w.kinds[each]}</option>)}
      </select>
      <button type="button" class="button" onClick={() => editor.add(stage, bath, kind)}>{w.addButton}</button>
    </div>
  );
}
