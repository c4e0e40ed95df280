// Machine, route and the lot's own numbers: change one, and the plan is worked out again.
import type { JSX } from "preact";
import { api } from "../api";
import { number, trimmed } from "../fmt";
import type { Finding, Machine, Plan } from "../types";
import { NumberField } from "../ui/Field";
import { Was } from "../ui/Num";
import { FindingText, Shape } from "../ui/parts";
import { useResource } from "../ui/resource";
import { words } from "../words";
import { LOT_FIELDS, type LotField } from "./draft";
import type { Editor } from "./editor";

const w = words.whatIf;
const UNITS: Record<LotField, string> = { load_kg: "kg", ratio_l_per_kg: "L/kg", speed_m_per_min: "m/min", tubes_used: "" };

/** What the lot asks for; null: nothing of its own, so the rolls or the machine decide. */
function askedValue(plan: Plan, field: LotField): number | null {
  const asked = field === "load_kg" ? plan.lot.weighed_kg : plan.lot[field];
  return asked > 0 ? asked : null;
}
function usualValue(plan: Plan, field: LotField): number {
  return field === "tubes_used" ? plan.machine.tubes : (plan.headline[field]?.value ?? 0);
}

/** What the machine can take: known before anything is tried. */
function range(machine: Machine, field: LotField): string {
  const between = (low: number, high: number): string => (low === high ? number(low) : `${number(low)}–${number(high)}`);
  switch (field) {
    case "load_kg": return between(machine.load_min_kg, machine.load_max_kg);
    case "ratio_l_per_kg": return w.least(trimmed(machine.ratio_min_l_per_kg, 1));
    case "speed_m_per_min": return between(machine.speed_min_m_per_min, machine.speed_max_m_per_min);
    default: return between(1, machine.tubes);
  }
}

export function findingFor(problems: Finding[], field: string): Finding | undefined {
  return problems.find((p) => !p.place.includes("steps[") && (p.place === field || p.place.endsWith(`.${field}`)));
}

export function WhatIfForm({ editor, plan, stored }: { editor: Editor; plan: Plan; stored: Plan }): JSX.Element {
  const { lot } = editor.draft.value;
  const problems = editor.problems.value;
  const rest = problems.filter((p) => !LOT_FIELDS.some((f) => findingFor([p], f)) && !p.place.includes("steps["));
  return (
    <section class="what-if no-print" aria-labelledby="what-if-title">
      <div class="what-if-head">
        <h2 id="what-if-title">{w.title}</h2>
        <p>{w.lead}</p>
      </div>
      <form class="what-if-fields" onSubmit={(event) => event.preventDefault()}>
        <MachineSelect editor={editor} plan={plan} stored={stored} />
        <RouteSelect editor={editor} plan={plan} stored={stored} />
        {LOT_FIELDS.map((field) => {
          const asked = askedValue(stored, field);
          const was = asked ?? usualValue(stored, field);
          const now = asked ?? usualValue(plan, field);
          // Typing what is stored takes the change back; another machine's usual value is not stored.
          const back = asked ?? (plan.machine.machine_id === stored.machine.machine_id ? was : NaN);
          return (
            <NumberField key={field} label={w[field]} unit={UNITS[field]} value={lot[field] ?? now} stored={was} hint={range(plan.machine, field)} typed={editor.typed.value[field]}
              finding={findingFor(problems, field)} onType={(text) => editor.typeLot(field, text, back)} onSettle={() => editor.settle(field)} />
          );
        })}
      </form>
      {rest.length ? (
        <div class="what-if-problem" role="alert">
          <Shape kind="stop" />
          <div>
            <p class="what-if-cannot">{w.problem}</p>
            {rest.map((finding) => <FindingText key={finding.place + finding.message} finding={finding} />)}
          </div>
        </div>
      ) : null}
    </section>
  );
}

interface SelectProps {
  editor: Editor;
  plan: Plan;
  stored: Plan;
}

function MachineSelect({ editor, plan, stored }: SelectProps): JSX.Element {
  const machines = useResource("machines", api.machines);
  const now = editor.draft.value.lot.machine_id ?? stored.machine.machine_id;
  const list = machines.data ?? [stored.machine];
  return (
    <div class="field field-machine">
      <label for="what-if-machine">{w.machine}</label>
      <select class="select" id="what-if-machine" value={now} onChange={(event) => editor.pickMachine(event.currentTarget.value)}>
        {list.map((m) => (
          <option key={m.machine_id} value={m.machine_id}>{w.machineOption(m.name, m.kind_words ?? m.kind, number(m.load_min_kg), number(m.load_max_kg))}</option>
        ))}
      </select>
      {now === stored.machine.machine_id
        ? <span class="field-hint">{plan.machine.kind_words} · {w.tubes(plan.machine.tubes)}</span> : <Was text={stored.machine.name} />}
    </div>
  );
}

function RouteSelect({ editor, plan, stored }: SelectProps): JSX.Element {
  const routes = useResource("routes", api.routes);
  const now = editor.draft.value.lot.route_id ?? stored.route.route_id;
  const list = routes.data ?? [stored.route];
  return (
    <div class="field field-route">
      <label for="what-if-route">{w.route}</label>
      <select class="select" id="what-if-route" value={now} onChange={(event) => editor.pickRoute(event.currentTarget.value)}>
        {list.map((r) => <option key={r.route_id} value={r.route_id}>{`${r.name} · ${w.version(r.version)}`}</option>)}
      </select>
      {now === stored.route.route_id
        ? <span class="field-hint">{plan.route.route_id} · {w.version(plan.route.version)}</span> : <Was text={stored.route.name} />}
    </div>
  );
}
