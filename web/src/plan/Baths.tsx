import type { Signal } from "@preact/signals";
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { clock, number } from "../fmt";
import type { Plan, PlanBath, Selected } from "../types";
import { Num } from "../ui/Num";
import { Sheet } from "../ui/Sheet";
import { words } from "../words";
import { EditSteps } from "./EditStep";
import { Step } from "./Step";
import { beforeOf, type Before } from "./draft";
import type { Editor } from "./editor";
import "./baths.css";

const w = words.plan;

interface Props {
  plan: Plan;
  stored: Plan;
  editor: Editor;
  selected: Signal<Selected>;
  select: (bath: number, step: number) => void;
  goTo: (bath: number, step: number) => void;
}

export function Baths({ plan, stored, editor, selected, select, goTo }: Props): JSX.Element {
  const before = beforeOf(plan, stored, editor.triedFrom.value);
  return (
    <section class="baths" aria-labelledby="baths-title">
      <h2 id="baths-title">{w.baths}</h2>
      <nav class="jump no-print" aria-label={w.jump}>
        <ol>
          {plan.baths.map((bath) => (
            <li key={bath.number}>
              <button type="button" class="jump-to" onClick={() => goTo(bath.number, 0)}>
                <span class="jump-no">{bath.number}</span> {bath.name} <span class="jump-time">{clock(bath.start_min.value)}</span>
              </button>
            </li>
          ))}
        </ol>
      </nav>
      {plan.baths.map((bath, i) => (
        <Bath key={bath.number} bath={bath} before={before(bath)} stageHead={plan.baths[i - 1]?.stage.name !== bath.stage.name}
          plan={plan} editor={editor} select={select} selected={selected} />
      ))}
    </section>
  );
}

interface BathProps {
  bath: PlanBath;
  before: Before;
  stageHead: boolean;
  plan: Plan;
  editor: Editor;
  selected: Signal<Selected>;
  select: (bath: number, step: number) => void;
}

function Bath({ bath, before, stageHead, plan, editor, selected, select }: BathProps): JSX.Element {
  const [wanted, setEditing] = useState(false);
  const hasDraft = editor.draft.value.route !== null;
  const editing = wanted && hasDraft;
  useEffect(() => {
    if (!hasDraft) setEditing(false); // discarded or saved
  }, [hasDraft]);
  const first = bath.steps[0];
  const was = before.bath;
  return (
    <>
      {stageHead ? <h3 class="stage-head">{bath.stage.name}</h3> : null}
      <section class="bath" id={`bath-${bath.number}`} tabIndex={-1} aria-labelledby={`bath-${bath.number}-name`}>
        <header class="bath-head">
          <p class="bath-number" aria-hidden="true">{bath.number}</p>
          <div class="bath-name">
            <h4 id={`bath-${bath.number}-name`}><span class="visually-hidden">{w.bath} {bath.number}: </span>{bath.name}</h4>
            <p class="bath-time">
              <Num q={bath.start_min} was={was?.start_min} look="clock" />–<Num q={bath.end_min} was={was?.end_min} look="clock" />
              <span class="bath-minutes"><Num q={bath.minutes} was={was?.minutes} /></span>
              {bath.continues ? <span>{w.continues}</span> : null}
            </p>
          </div>
          <button type="button" class={editing ? "button button-strong no-print" : "button no-print"} onClick={() => { editor.ensureDraftRoute(); setEditing(!editing); }}>
            {editing ? words.edit.done : words.edit.start}<span class="visually-hidden"> {w.bath} {bath.number}</span>
          </button>
        </header>
        <Water bath={bath} was={was} />
        {editing && first ? <EditSteps editor={editor} plan={plan} stage={first.at[0]} bath={first.at[1]} number={bath.number} /> : (
          <ol class="steps">
            {bath.steps.map((step, k) => <Step key={k} step={step} number={k + 1} bath={bath} before={before.step(step)} selected={selected} select={select} />)}
          </ol>
        )}
        <Cautions bath={bath} plan={plan} />
        <Masses bath={bath} plan={plan} />
      </section>
    </>
  );
}

const WATER = ["fill_l", "carried_l", "additions_l", "final_l", "drained_l", "retained_l", "rinse_l", "steam_kg"] as const;

/** The bath's liquor, in the order it comes and goes. */
function Water({ bath, was }: { bath: PlanBath; was: PlanBath | undefined }): JSX.Element {
  return (
    <dl class="water">
      {WATER.map((key) => {
        const q = bath[key];
        // A drain that drains nothing, or no rinse at all, is not worth a place.
        return q && Math.abs(q.value) > 1e-9
          ? <div key={key}><dt>{w.balance[key]}</dt><dd><Num q={q} was={was ? was[key] : undefined} /></dd></div> : null;
      })}
    </dl>
  );
}

function Cautions({ bath, plan }: { bath: PlanBath; plan: Plan }): JSX.Element | null {
  const ids = new Set(bath.steps.flatMap((step) => [...step.cautions, ...step.items.flatMap((item) => item.cautions)]));
  const texts = [...ids].map((id) => plan.cautions[id] ?? id);
  if (!texts.length) return null;
  return (
    <div class="cautions">
      <h5>{w.cautions}</h5>
      <ul>{texts.map((text) => <li key={text}>{text}</li>)}</ul>
    </div>
  );
}

const MASSES = [
  "carried_in_kg", "fibre_in_kg", "dosed_kg", "consumed_kg", "rinsed_kg", "drained_kg", "fixed_kg", "fibre_out_kg", "carried_out_kg",
] as const;

function mass(kg: number): ComponentChildren {
  return Math.abs(kg) < 5e-5 ? <span class="num-none">{words.none}</span> : number(kg, Math.abs(kg) < 10 ? 3 : 2);
}

function Masses({ bath, plan }: { bath: PlanBath; plan: Plan }): JSX.Element | null {
  if (!bath.masses.length) return null;
  const id = `masses-${bath.number}`;
  const names = new Map(plan.totals.map((t) => [t.material_id, t.name]));
  return (
    <details class="masses no-print">
      <summary id={id}>{w.masses}<span class="visually-hidden">, {w.bath} {bath.number}</span></summary>
      <p>{w.massesLead}</p>
      <Sheet by={id} head={w.material} columns={MASSES.map((key) => ({ title: w.massColumns[key] }))} rows={bath.masses.map((m) => ({
        head: names.get(m.material_id) ?? m.material_id, cells: MASSES.map((key) => mass(m[key])),
      }))} />
    </details>
  );
}
