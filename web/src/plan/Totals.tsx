import type { JSX } from "preact";
import { joined, weight } from "../fmt";
import type { Plan, PlanTotal } from "../types";
import { Num } from "../ui/Num";
import { Sheet, type SheetRow } from "../ui/Sheet";
import { Shape } from "../ui/parts";
import { words } from "../words";

const w = words.plan;

export function Totals({ plan, stored }: { plan: Plan; stored: Plan }): JSX.Element {
  const before = plan === stored ? null : new Map(stored.totals.map((t) => [t.material_id, t]));
  return (
    <section class="totals" aria-labelledby="totals-title">
      <h2 id="totals-title">{w.totals}</h2>
      {plan.totals.length ? (
        <Sheet late by="totals-title" head={w.material} columns={[w.toWeigh, w.stock, w.cost].map((title) => ({ title }))} rows={[
          ...plan.totals.map((total) => row(total, before?.get(total.material_id))),
          {
            head: w.sum, sum: true, cells: [
              <Num q={plan.headline.chemicals_kg} was={before ? stored.headline.chemicals_kg : undefined} look="weigh" />, "",
              <Num q={plan.headline.chemicals_minor} was={before ? stored.headline.chemicals_minor : undefined} />,
            ],
          },
        ]} />
      ) : <p>{w.totalsEmpty}</p>}
    </section>
  );
}

function row(total: PlanTotal, was: PlanTotal | undefined): SheetRow {
  const lack = total.mass_kg.value - total.stock_kg;
  return {
    head: <>{total.name} <span class="item-id">{total.material_id}</span></>,
    cells: [
      <strong><Num q={total.mass_kg} was={was?.mass_kg} look="weigh" /></strong>,
      <>
        {joined(weight(total.stock_kg))}
        {lack > 1e-9 ? <span class="stock-short"><Shape kind="warning" />{w.short(joined(weight(lack)))}</span> : null}
      </>,
      <Num q={total.cost_minor} was={was?.cost_minor} />,
    ],
  };
}

export function Passes({ plan }: { plan: Plan }): JSX.Element | null {
  if (!plan.passes.length) return null;
  return (
    <section class="passes" aria-labelledby="passes-title">
      <h2 id="passes-title">{w.passes}</h2>
      <ol>
        {plan.passes.map((pass, i) => <li key={i}><span class="pass-no">{i + 1}</span><strong>{pass.words}</strong>{pass.note ? <span class="muted"> {pass.note}</span> : null}</li>)}
      </ol>
    </section>
  );
}
