// One step as it is to be done: when, what, how much.
import { useComputed, type Signal } from "@preact/signals";
import type { ComponentChildren, JSX } from "preact";
import { number, shown, trimmed } from "../fmt";
import type { PlanBath, PlanItem, PlanStep, Selected } from "../types";
import { Num } from "../ui/Num";
import { words } from "../words";
import { stepId } from "../place";

const w = words.plan;

interface Props {
  step: PlanStep;
  number: number;
  bath: PlanBath;
  /** The same step of the stored plan; undefined: not comparable, null: it is new. */
  before: PlanStep | null | undefined;
  selected: Signal<Selected>;
  select: (bath: number, step: number) => void;
}

export function Step({ step, number: n, bath, before, selected, select }: Props): JSX.Element {
  // Watched as yes or no: moving on redraws the step left and the step reached, not all of them.
  const chosen = useComputed(() => selected.value?.bath === bath.number && selected.value.step === n).value;
  const was = before ?? undefined;
  const isNew = before === null;
  return (
    <li class={`step step-${step.kind}${chosen ? " is-chosen" : ""}${isNew ? " is-new" : ""}`} id={stepId(bath.number, n)} tabIndex={-1}>
      <button type="button" class="step-no" aria-label={`${words.edit.step(`${bath.number}.${n}`)}: ${step.words}`} aria-pressed={chosen} onClick={() => select(bath.number, n)}>{n}</button>
      <span class="step-start"><Num q={step.start_min} look="clock" /></span>
      <div class="step-what">
        <p class="step-words">
          <strong>{step.words}</strong> <Detail step={step} was={was} />
          {isNew ? <span class="step-new">{w.isNew}</span> : null}
        </p>
        {step.note ? <p class="step-note">{step.note}</p> : null}
        {step.items.length ? <Items step={step} was={was} /> : null}
        {step.check ? <p class="step-note">{sentence(step.check.method)} {w.ifNot}: {sentence(step.check.on_fail_words)} {sentence(step.check.remedy)}</p> : null}
      </div>
      <span class="step-temp"><Temp step={step} was={was} /></span>
      <span class="step-min"><Num q={step.minutes} was={was?.minutes} /></span>
    </li>
  );
}

function sentence(text: string): string {
  return text === "" || text.endsWith(".") ? text : `${text}.`;
}

function Temp({ step, was }: { step: PlanStep; was: PlanStep | undefined }): JSX.Element {
  const flat = Math.abs(step.temp_end_c.value - step.temp_start_c.value) < 0.05;
  return (
    <>
      {flat ? null : <><Num q={step.temp_start_c} unit={false} /> <span class="muted">{w.to}</span> </>}
      <Num q={step.temp_end_c} was={was?.temp_end_c} />
    </>
  );
}

function Detail({ step, was }: { step: PlanStep; was: PlanStep | undefined }): JSX.Element | null {
  const parts: ComponentChildren[] = [];
  if (step.kind === "fill" || step.kind === "rinse" || step.kind === "drain") {
    if (step.volume_l) parts.push(<Num q={step.volume_l} was={was?.volume_l} />);
    if (step.water_temp_c && step.kind !== "drain") parts.push(<>{w.at} <Num q={step.water_temp_c} was={was?.water_temp_c} /></>);
  }
  if (step.kind === "heat" || step.kind === "cool") {
    const { value } = step.minutes;
    const rise = Math.abs(step.temp_end_c.value - step.temp_start_c.value);
    if (value > 0) parts.push(words.curve.rate(number(rise / value, 1)));
    if (step.steam_kg) parts.push(<><Num q={step.steam_kg} was={was?.steam_kg} /> {w.fact.steam_kg.toLowerCase()}</>);
  }
  if (step.kind === "rinse" && step.kept_fraction) parts.push(<><Num q={step.kept_fraction} was={was?.kept_fraction} look="share" /> {w.dissolved}</>);
  if (step.kind === "dose") parts.push(...dose(step, was));
  if (step.check) {
    const { low, high, unit, words: name } = step.check;
    parts.push(<><span class="step-limits">{name}</span> {w.checkLimits(low === null ? null : trimmed(low, 2), high === null ? null : trimmed(high, 2), unit === "pH" ? "" : shown(0, unit, "").unit)}</>);
    const { expected, cooled } = step.check;
    if (expected) parts.push(<>{w.expected} <Num q={expected} />{cooled ? ` (${w.cooled})` : ""}</>);
  }
  return parts.length ? <span class="step-detail">{parts.map((part, i) => <span key={i}>{part}</span>)}</span> : null;
}

function dose(step: PlanStep, was: PlanStep | undefined): ComponentChildren[] {
  const parts: ComponentChildren[] = [];
  const { curve } = step;
  if (curve) parts.push(curve.kind === "portions" && curve.portions > 0 ? `${curve.portions} × ${curve.words}` : curve.words);
  if (step.share_pct < 100) parts.push(w.ofShare(trimmed(step.share_pct, 1)));
  if (step.tank_loads && step.tank_loads.value > 0) parts.push(<><Num q={step.tank_loads} was={was?.tank_loads} /> {w.tankLoads(step.tank_loads.value)}</>);
  if (step.tank_water_l && step.tank_water_l.value > 0) parts.push(<><Num q={step.tank_water_l} was={was?.tank_water_l} /> {w.waterFor}</>);
  if (step.beside) parts.push(w.besides);
  return parts;
}

function Items({ step, was }: { step: PlanStep; was: PlanStep | undefined }): JSX.Element {
  return (
    <ul class="items">
      {step.items.map((item) => <Item key={item.material_id} item={item} was={was?.items.find((other) => other.material_id === item.material_id)} />)}
    </ul>
  );
}

/** The amount as stated is already grams of product per litre of this bath. */
function saysItself(item: PlanItem): boolean {
  return item.basis === "g_per_l" && item.conc_g_per_l !== null && Math.abs(item.conc_g_per_l.value - item.amount.value) < 0.005 * item.amount.value;
}

function Item({ item, was }: { item: PlanItem; was: PlanItem | undefined }): JSX.Element {
  return (
    <li class="item">
      <span class="item-mass"><Num q={item.mass_kg} was={was?.mass_kg} look="weigh" /></span>
      <span class="item-name">{item.name} <span class="item-id">{item.material_id}</span></span>
      <span class="item-amount"><Num q={item.amount} was={was?.amount} />{/^[a-z]/.test(item.basis_words) && !item.basis_words.startsWith("g/") ? <span class="muted"> {item.basis_words}</span> : null}</span>
      <span class="item-volume">{item.volume_l ? <><Num q={item.volume_l} /> <span class="muted">{w.ofIt}</span></> : null}</span>
      <span class="item-conc">{item.conc_g_per_l && !saysItself(item) ? <><Num q={item.conc_g_per_l} /> <span class="muted">{w.inBath}</span></> : null}</span>
    </li>
  );
}
