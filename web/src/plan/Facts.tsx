import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { HeadlineKey, Plan } from "../types";
import { Num, type Look } from "../ui/Num";
import { words } from "../words";

const w = words.plan;
const MAIN: HeadlineKey[] = ["load_kg", "ratio_l_per_kg", "liquor_l", "cycle_min", "total_min", "water_l_per_kg", "cost_minor_per_kg"];
const MORE: HeadlineKey[] = [
  "fabric_m", "rope_m", "speed_m_per_min", "depth_pct_owf", "water_l", "steam_kg", "power_kwh", "chemicals_kg",
  "chemicals_minor", "utilities_minor", "cost_minor",
];

export function look(key: HeadlineKey): Look {
  return key === "total_min" ? "clock" : "plain";
}

export function Facts({ plan, stored }: { plan: Plan; stored: Plan }): JSX.Element {
  const changed = plan !== stored;
  const [open, setOpen] = useState(() => matchMedia("(min-width: 600px)").matches);
  const list = (keys: HeadlineKey[], name: string): JSX.Element => (
    <dl class={name}>
      {keys.map((key) => (
        <div key={key} data-fact={key}>
          <dt>{w.fact[key]}</dt>
          <dd><Num q={plan.headline[key]} was={changed ? stored.headline[key] : undefined} look={look(key)} />{look(key) === "clock" && plan.headline[key] ? <span class="fact-unit">{words.curve.lanes.time}</span> : null}</dd>
        </div>
      ))}
    </dl>
  );
  return (
    <section class="facts" aria-label={w.facts}>
      {list(MAIN, "facts-main")}
      <details class="facts-fold" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>{w.more}</summary>
        {list(MORE, "facts-more")}
      </details>
    </section>
  );
}
