import type { JSX } from "preact";
import { joined, weight } from "../fmt";
import type { Plan, PlanTotal } from "../types";
import { Num } from "../ui/Num";
import { Shape } from "../ui/parts";
import { words } from "../words";

const w = words.plan;

export function Totals({ plan, stored }: { plan: Plan; stored: Plan }): JSX.Element {
  const before = plan === stored ? null : new Map(stored.totals.map((t) => [t.material_id, t]));
  return (
    <section class="totals" aria-labelledby="totals-title">
      <h2 id="totals-title">{w.totals}</h2>
      {plan.totals.length ? (
        <table class="totals-table">
          <thead>
            <tr><th scope="col">{w.material}</th><th scope="col" class="right">{w.toWeigh}</th><th scope="col" class="right">{w.stock}</th><th scope="col" class="right">{w.cost}</th></tr>
          </thead>
          <tbody>{plan.totals.map((total) => <Row key={total.material_id} total={total} was={before?.get(total.material_id)} />)}</tbody>
          <tfoot>
            <tr>
              <th scope="row">{w.sum}</th>
              <td class="right"><Num q={plan.headline.chemicals_kg} was={before ? stored.headline.chemicals_kg : undefined} look="weigh" /></td>
              <td />
              <td class="right"><Num q={plan.headline.chemicals_minor} was={before ? stored.headline.chemicals_minor : undefined} /></td>
            </tr>
          </tfoot>
        </table>
      ) : <p>{w.totalsEmpty}</p>}
    </section>
  );
}

function Row({ total, was }: { total: PlanTotal; was: PlanTotal | undefined }): JSX.Element {
  const lack = total.mass_kg.value - total.stock_kg;
  return (
    <tr>
      <th scope="row">{total.name} <span class="item-id">{total.material_id}</span></th>
      <td class="right strong"><Num q={total.mass_kg} was={was?.mass_kg} look="weigh" /></td>
      <td class="right">
        {joined(weight(total.stock_kg))}
        {lack > 1e-9 ? <span class="stock-short"><Shape kind="warning" />{w.short(joined(weight(lack)))}</span> : null}
      </td>
      <td class="right">{total.cost_minor ? <Num q={total.cost_minor} was={was?.cost_minor} /> : words.none}</td>
    </tr>
  );
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
