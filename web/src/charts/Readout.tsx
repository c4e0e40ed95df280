import type { JSX } from "preact";
import { number } from "../fmt";
import { Num } from "../ui/Num";
import { words } from "../words";
import { Arrow } from "./ProcessCurve";
import { doseText, limits, type StepMark } from "./scene";

const w = words.curve;

interface Props {
  mark: StepMark | undefined;
  last: number;
  walk: (by: number) => void;
  goTo: (bath: number, step: number) => void;
}

export function Readout({ mark, last, walk, goTo }: Props): JSX.Element {
  return (
    <div class="readout">
      <Arrow left word={w.previousStep} disabled={mark === undefined || mark.index === 0} onClick={() => walk(-1)} />
      <Arrow word={w.nextStep} disabled={mark?.index === last} onClick={() => walk(1)} />
      {mark ? <Reading mark={mark} /> : <p class="readout-hint">{w.hint}</p>}
      {mark ? <button type="button" class="button" onClick={() => goTo(mark.bath.number, mark.number)}>{w.goTo}</button> : null}
    </div>
  );
}

function Reading({ mark }: { mark: StepMark }): JSX.Element {
  const { step, bath } = mark;
  const change = step.temp_end_c.value - step.temp_start_c.value;
  const flat = Math.abs(change) < 0.05;
  return (
    <p class="reading">
      <strong>{bath.number}.{mark.number} {step.words}</strong>
      <span><Num q={step.start_min} look="clock" />–<Num q={step.end_min} look="clock" /></span>
      <span>{flat ? null : <><Num q={step.temp_start_c} unit={false} /> {words.plan.to} </>}<Num q={step.temp_end_c} /></span>
      {flat || step.minutes.value <= 0 ? null : <span>{words.curve.rate(number(Math.abs(change) / step.minutes.value, 1))}</span>}
      <span>{number(step.liquor_end_l)} L</span>
      {step.items.length ? <span>{doseText(step).full}</span> : null}
      {step.check ? <span>{step.check.words} {limits(step.check.low, step.check.high)} {step.check.unit === "pH" ? "" : step.check.unit}</span> : null}
    </p>
  );
}
