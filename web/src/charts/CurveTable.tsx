// The curve's twin: everything it shows, as a table.
import type { JSX } from "preact";
import { clock, number, short, shown, trimmed } from "../fmt";
import type { Plan, PlanStep } from "../types";
import { words } from "../words";
import { limits } from "./scene";

const w = words.curve;

export function CurveTable({ plan }: { plan: Plan }): JSX.Element {
  const c = w.columns;
  return (
    <div class="twin" role="region" tabIndex={0} aria-labelledby="curve-title">
      <table>
        <thead>
          <tr>
            <th scope="col">{c.step}</th><th scope="col" class="right">{c.start}</th><th scope="col" class="right">{c.end}</th><th scope="col">{c.what}</th>
            <th scope="col" class="right">{c.temp}</th><th scope="col" class="right">{c.rate}</th><th scope="col" class="right">{c.level}</th><th scope="col">{c.given}</th>
          </tr>
        </thead>
        {plan.baths.map((bath) => (
          <tbody key={bath.number}>
            <tr class="twin-bath"><th scope="rowgroup" colSpan={8}>{bath.number} {bath.name}</th></tr>
            {bath.steps.map((step, k) => (
              <tr key={k}>
                <th scope="row">{bath.number}.{k + 1}</th>
                <td class="right">{clock(step.start_min.value)}</td>
                <td class="right">{clock(step.end_min.value)}</td>
                <td>{step.words}</td>
                <td class="right">{temperature(step)}</td>
                <td class="right">{rate(step)}</td>
                <td class="right">{number(step.liquor_end_l)}</td>
                <td>{given(step)}</td>
              </tr>
            ))}
          </tbody>
        ))}
      </table>
    </div>
  );
}

function temperature(step: PlanStep): string {
  const a = trimmed(step.temp_start_c.value, 0);
  const b = trimmed(step.temp_end_c.value, 0);
  return a === b ? b : `${a}–${b}`;
}
function rate(step: PlanStep): string {
  const change = step.temp_end_c.value - step.temp_start_c.value;
  const ramp = step.kind === "heat" || step.kind === "cool";
  return ramp && step.minutes.value > 0 ? number(change / step.minutes.value, 1) : "";
}
function given(step: PlanStep): string {
  const items = step.items.map((item) => `${item.name} ${short(item.mass_kg.value)}`);
  if (step.check) items.push(`${step.check.words} ${limits(step.check.low, step.check.high)} ${shown(0, step.check.unit, "").unit}`.trim());
  return items.join(", ");
}
