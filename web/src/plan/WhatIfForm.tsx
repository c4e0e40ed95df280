// Machine, route and the lot's own numbers: change one, and the plan is worked out again.
import type { JSX } from "preact";
import { api } from "../api";
import { number } from "../fmt";
import type { Finding, Plan } from "../types";
import { NumberField } from "../ui/Field";
import { Was } from "../ui/Num";
import { FindingText, Shape } from "../ui/parts";
import { useResource } from "../ui/resource";
import { words } from "../words";
import { LOT_FIELDS, type LotField } from "./draft";
import type { Editor } from "./editor";

const w = words.whatIf;
const UNITS: Record<LotField, string> = { load_kg: "kg", ratio_l_per_kg: "L/kg", speed_m_per_min: "m/min", tubes_used: "" };

/** What the stored plan asks for. The ratio the machine runs at may be higher than the one asked. */
function storedValue(plan: Plan, field: LotField): number {
  const asked = plan.figures[`lot.${field}`]?.value;
  if (asked !== undefined && asked > 0) return asked;
  if (field === "tubes_used") return plan.machine.tubes;
  return plan.headline[field]?.value ?? 0;
}

export function findingFor(problems: Finding[], field: string): Finding | undefined {
  return problems.find((p) => p.place === field || p.place.endsWith(`.${field}`));
}

export function WhatIfForm({ editor, stored }: { editor: Editor; stored: Plan }): JSX.Element {
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
        <MachineSelect editor={editor} stored={stored} />
        <RouteSelect editor={editor} stored={stored} />
        {LOT_FIELDS.map((field) => {
          const was = storedValue(stored, field);
          return (
            <NumberField key={field} label={w[field]} unit={UNITS[field]} value={lot[field] ?? was} stored={was} typed={editor.typed.value[field]}
              finding={findingFor(problems, field)} onType={(text) => editor.typeLot(field, text, was)} onSettle={() => editor.settle(field)} />
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

function MachineSelect({ editor, stored }: { editor: Editor; stored: Plan }): JSX.Element {
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
      {now === stored.machine.machine_id ? null : <Was up text={stored.machine.name} />}
    </div>
  );
}

function RouteSelect({ editor, stored }: { editor: Editor; stored: Plan }): JSX.Element {
  const routes = useResource("routes", api.routes);
  const now = editor.draft.value.lot.route_id ?? stored.route.route_id;
  const list = routes.data ?? [stored.route];
  return (
    <div class="field field-route">
      <label for="what-if-route">{w.route}</label>
      <select class="select" id="what-if-route" value={now} onChange={(event) => editor.pickRoute(event.currentTarget.value)}>
        {list.map((r) => <option key={r.route_id} value={r.route_id}>{`${r.name} · v${r.version}`}</option>)}
      </select>
      {now === stored.route.route_id ? null : <Was up text={stored.route.name} />}
    </div>
  );
}
