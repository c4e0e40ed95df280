// The step at hand: what it is, what to do, how long it has still to run.
import type { JSX } from "preact";
import { Shape } from "../ui/parts";
import { leftMs } from "./acts";
import { Band, limitsOf } from "./Band";
import { isLooked } from "./expect";
import { Key } from "./HoldKey";
import { isShade, ShadePanel } from "./Shade";
import type { BatchDoc, RunItem, RunStep } from "./types";
import { w } from "./words";

interface Props {
  doc: BatchDoc;
  step: RunStep;
  nowMs: number;
  unconfirmed: ReadonlySet<string>;
}

export function StepNow({ doc, step, nowMs, unconfirmed }: Props): JSX.Element {
  const bath = doc.baths.find((b) => b.number === step.bath);
  const title = w.isTitle(step);
  return (
    <section class="now" aria-labelledby="now-title">
      <div class="now-what">
        <p class="now-place">
          {step.remedy_number ? w.remedyStep(step.key, bath?.name ?? "") : w.step(step.key, step.bath, bath?.name ?? "")}
          {unconfirmed.size ? <span class="unconfirmed"><DottedRing /> {w.unconfirmed}</span> : null}
        </p>
        <h2 id="now-title" class={`now-title${title.length > 16 ? " is-long" : title.length > 12 ? " is-mid" : ""}`} aria-live="polite">{title}</h2>
        <p class="now-do">{w.sentence(step)}</p>
        {step.note ? <p class="now-note">{step.note}</p> : null}
        <Cautions step={step} />
      </div>
      <Clock doc={doc} step={step} nowMs={nowMs} />
      {step.items.length ? <Items step={step} /> : null}
      {step.check ? (isShade(step) ? <ShadePanel doc={doc} step={step} /> : <Hold step={step} />) : null}
    </section>
  );
}

export function DottedRing(): JSX.Element {
  return <svg class="shape" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true"><circle class="ring" cx="10" cy="10" r="8" /></svg>;
}

function Clock({ doc, step, nowMs }: { doc: BatchDoc; step: RunStep; nowMs: number }): JSX.Element {
  const left = leftMs(doc, step, nowMs);
  if (left === null) {
    return (
      <div class="left left-none">
        <p class="left-word">{step.state === "running" ? w.noTime : step.minutes > 0 ? w.takes(step.minutes) : w.noTime}</p>
      </div>
    );
  }
  const isOver = left < 0;
  const { value, unit } = w.span(Math.abs(left) / 1000);
  const part = Math.min(1, Math.max(0, 1 - left / (step.minutes * 60_000)));
  return (
    <div class={isOver ? "left is-past" : "left"} role="timer" aria-label={`${isOver ? w.over : w.left} ${value} ${unit}`}>
      <p class="left-word">{isOver ? <><Shape kind="warning" /> {w.over}</> : w.left}</p>
      <p class="left-value">{isOver ? "+" : ""}{value}<small> {unit}</small></p>
      <svg class="left-bar" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true"><path class="left-bar-all" d="M0 0h100v6H0z" /><path class="left-bar-done" d={`M0 0h${(part * 100).toFixed(1)}v6H0z`} /></svg>
      <p class="left-until">{w.until(new Date(nowMs + left))}</p>
    </div>
  );
}

function Cautions({ step }: { step: RunStep }): JSX.Element | null {
  const all = [...new Set([...step.cautions, ...step.items.flatMap((item) => item.cautions)])];
  if (!all.length) return null;
  return (
    <ul class="now-cautions" aria-label={w.cautionsTitle}>
      {all.map((one) => <li key={one}><Shape kind="warning" /> {w.cautions[one] ?? one}</li>)}
    </ul>
  );
}

function Items({ step }: { step: RunStep }): JSX.Element {
  return (
    <ul class={`doses${step.items.length > 2 ? " is-many" : ""}`} aria-label={w.items}>
      {step.items.map((item) => (
        <li key={item.item} class={item.weighed_mg ? "dose is-weighed" : "dose"}>
          <span class="dose-mass">{w.mass(item.mass_mg)}</span>
          <span class="dose-name">{item.name}{item.volume_l ? <small> {w.litres(item.volume_l)}</small> : null}</span>
          <Weighed item={item} />
        </li>
      ))}
    </ul>
  );
}
function Weighed({ item }: { item: RunItem }): JSX.Element {
  if (!item.weighed_mg) return <span class="dose-state"><Shape kind="note" /> {w.notWeighed}</span>;
  return <span class="dose-state"><Shape kind="ok" /> {w.weighed}{item.checked_by ? `, ${w.checkedBy(item.checked_by)}` : ""}</span>;
}

function Hold({ step }: { step: RunStep }): JSX.Element | null {
  const { check } = step;
  if (!check) return null;
  return (
    <div class="now-hold">
      {!isLooked(check) && (check.low !== null || check.high !== null) ? <Band limits={limitsOf(check)} value={step.reading} /> : null}
      <p>
        {!isLooked(check) && w.limits(check) ? `${w.pad.limits}: ${w.limits(check)}. ` : ""}
        {check.expected === null ? "" : `${w.pad.expected(w.read(check.expected, check.unit))} `}
        {check.cooled ? w.pad.cooled : ""}
      </p>
    </div>
  );
}

/** What runs beside the step at hand, each with the key that ends it. */
export function Beside({ doc, steps, nowMs, end }: { doc: BatchDoc; steps: RunStep[]; nowMs: number; end: ((step: RunStep) => void) | undefined }): JSX.Element | null {
  if (!steps.length) return null;
  return (
    <ul class="beside-list" aria-label={w.beside}>
      {steps.map((step) => {
        const left = leftMs(doc, step, nowMs);
        const { value, unit } = w.span(Math.abs(left ?? 0) / 1000);
        return (
          <li key={step.key}>
            <p><small>{w.beside}</small> <strong>{w.isTitle(step)}</strong></p>
            {left === null ? null : <p class={left < 0 ? "beside-left is-past" : "beside-left"}>{left < 0 ? <><Shape kind="warning" /> {w.over} +</> : null}{value} {unit}</p>}
            {end ? <Key onPress={() => end(step)} name={`end-${step.key}`}>{step.kind === "dose" ? w.keys.dosed : w.keys.end}</Key> : null}
          </li>
        );
      })}
    </ul>
  );
}
