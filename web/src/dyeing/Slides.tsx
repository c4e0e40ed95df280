// The sliders: what they are at is asked as fast as the answers come, in full when they rest.
import type { ComponentChildren, JSX } from "preact";
import { useId } from "preact/hooks";
import { Arrow } from "../charts/ProcessCurve";
import { number, trimmed } from "../fmt";
import { told } from "../ui/Field";
import { FindingText, Shape } from "../ui/parts";
import type { Finding } from "../types";
import { DOSE_GROUPS, doseMinutes, withDoseMinutes, type DoseGroup } from "./changes";
import type { Study } from "./state";
import type { Changes, CurveKind, DyeStep, Simulated, StepChange } from "./types";
import { verdictWord } from "./Verdict";
import { w } from "./words";
import "../ui/slide.css";

const NBSP = "\u00a0";
const CURVES: CurveKind[] = ["linear", "progressive", "degressive", "portions"];
const EXPONENT: Partial<Record<CurveKind, number>> = { progressive: 2, degressive: 0.5 };
const PORTIONS = 4;

const HAS_SLIDER = /^(speed_m_per_min|dose_\w+_min|salt_pct|alkali_pct|temp_shift_c|uneven_preparation_pct|tube_share_pct|strike_limit_pct_per_contact)$/;

interface SlideProps {
  label: string;
  low: number;
  high: number;
  step: number;
  value: number;
  planned: number;
  say: (value: number) => string;
  verdict: string;
  finding?: Finding | undefined;
  note?: ComponentChildren;
  move: (value: number, light: boolean) => void;
}

function Slide({ label, low, high, step, value, planned, say, verdict, finding, note, move }: SlideProps): JSX.Element {
  const id = useId();
  const here = Math.min(high, Math.max(low, value));
  // The steps go through what stands there, so that a first touch does not move it.
  const least = here - step * Math.floor((here - low) / step + 1e-9);
  const changed = Math.abs(value - planned) > step / 20;
  const at = high > least ? (planned - least) / (high - least) : 0;
  return (
    <div class="slide">
      <label for={id}>{label}</label>
      <output for={id}>{say(value)}</output>
      <span class="slide-track">
        {at >= 0 && at <= 1 ? <i class="slide-mark" style={{ "--at": String(at) }} /> : null}
        <input id={id} type="range" min={least} max={high} step={step} value={here} aria-valuetext={w.slides.heard(say(here), verdict)}
          {...(finding ? { "aria-invalid": "true" as const, "aria-describedby": `${id}-say` } : {})}
          onInput={(event) => move(Number(event.currentTarget.value), true)} onChange={(event) => move(Number(event.currentTarget.value), false)} />
      </span>
      <p class="dye-note">{changed ? w.slides.planned(say(planned)) : ""}{note ? <>{changed ? " · " : ""}{note}</> : null}</p>
      {finding ? <p class="field-say" id={`${id}-say`}>{told(finding)}</p> : null}
    </div>
  );
}

const minutes = (v: number): string => `${trimmed(v, v < 10 ? 1 : 0)}${NBSP}min`;
const per = (v: number): string => `${number(v, 1)}${NBSP}°C/min`;
const pct = (v: number): string => `${trimmed(v, 0)}${NBSP}%`;
const signed = (v: number): string => `${v > 0 ? "+" : ""}${trimmed(v, 1)}${NBSP}°C`;

interface Props {
  study: Study;
  a: Simulated;
  planned: Simulated;
}

export function Slides({ study, a, planned }: Props): JSX.Element {
  const changes = study.shown.value;
  const problem = (place: string): Finding | undefined => study.problems.value.find((one) => one.place === place);
  const verdict = verdictWord(a);
  const set = (part: Changes, light: boolean): void => study.set(part, { light });
  const p = planned.programme;
  // Where no slider of what stands here is meant, it is said above them all.
  const unplaced = study.problems.value.filter((one) => !(HAS_SLIDER.test(one.place) || one.place.startsWith(`step ${study.step.value ?? firstOf(a.programme.steps)?.step}.`)));
  return (
    <section class="dye-slides no-print" aria-label={w.slides.title}>
      {unplaced.length ? <div class="dye-unplaced" role="alert"><Shape kind="stop" /><div>{unplaced.map((one) => <FindingText key={one.place + one.message} finding={one} />)}</div></div> : null}
      <div class="dye-slides-main">
        <Slide label={w.slides.speed} low={p.speed_least_m_per_min} high={p.speed_most_m_per_min} step={5} value={changes.speed_m_per_min ?? p.speed_m_per_min} planned={p.speed_planned_m_per_min}
          say={(v) => `${trimmed(v, 0)}${NBSP}m/min`} verdict={verdict} finding={problem("speed_m_per_min")} move={(v, light) => set({ speed_m_per_min: v }, light)} />
        {DOSE_GROUPS.map((gives) => <DoseSlide key={gives} study={study} a={a} planned={planned} gives={gives} verdict={verdict} finding={problem(`dose_${gives}_min`)} />)}
      </div>
      <OneStep study={study} a={a} planned={planned} />
      <details class="dye-off">
        <summary>{w.slides.off}</summary>
        <div class="dye-slides-main">
          {planned.programme.steps.some((s) => s.gives === "salt") ? <Slide label={w.slides.salt_pct} low={0} high={200} step={5} value={changes.salt_pct ?? 100} planned={100} say={pct} verdict={verdict} finding={problem("salt_pct")} move={(v, light) => set({ salt_pct: v }, light)} /> : null}
          {planned.programme.steps.some((s) => s.gives === "alkali") ? <Slide label={w.slides.alkali_pct} low={0} high={200} step={5} value={changes.alkali_pct ?? 100} planned={100} say={pct} verdict={verdict} finding={problem("alkali_pct")} move={(v, light) => set({ alkali_pct: v }, light)} /> : null}
          <Slide label={w.slides.temp_shift_c} low={-15} high={15} step={1} value={changes.temp_shift_c ?? 0} planned={0} say={signed} verdict={verdict} finding={problem("temp_shift_c")} move={(v, light) => set({ temp_shift_c: v }, light)} />
          <Slide label={w.slides.uneven_preparation_pct} low={0} high={50} step={1} value={changes.uneven_preparation_pct ?? 0} planned={0} say={(v) => `±${NBSP}${trimmed(v, 0)}${NBSP}%`} verdict={verdict} finding={problem("uneven_preparation_pct")}
            move={(v, light) => set({ uneven_preparation_pct: v }, light)} />
          {planned.rope.tubes > 1 ? <ShareSlide a={planned} share={changes.tube_share_pct} verdict={verdict} finding={problem("tube_share_pct")} move={(v, light) => set({ tube_share_pct: v }, light)} /> : null}
        </div>
      </details>
    </section>
  );
}

function DoseSlide({ study, planned, gives, verdict, finding }: Props & { gives: DoseGroup; verdict: string; finding: Finding | undefined }): JSX.Element | null {
  const changes = study.shown.value;
  const all = doseMinutes(planned.programme, gives);
  if (!all) return null;
  const single = new Map((changes.steps ?? []).map((one) => [one.step, one.minutes]));
  const group = changes[`dose_${gives}_min`];
  // All together, then what was said of a single one.
  const now = planned.programme.steps.filter((s) => s.gives === gives)
    .reduce((sum, s) => sum + (single.get(s.step) ?? (group === undefined ? s.minutes_planned : all.planned > 0 ? (group * s.minutes_planned) / all.planned : group / all.count)), 0);
  const low = Math.max(1, Math.ceil(all.least));
  const high = Math.max(90, Math.ceil((all.planned * 2) / 10) * 10);
  return <Slide label={w.slides.dose[gives]} low={low} high={high} step={1} value={now} planned={all.planned} say={minutes} verdict={verdict} finding={finding}
    note={all.count > 1 ? w.slides.doses(all.count) : null}
    move={(v, light) => {
      study.changes.value = withDoseMinutes(study.shown.peek(), planned.programme, gives, v);
      study.preview.value = null;
      study.ask({ light });
    }} />;
}

/** The load that the first rope takes; the others share the rest. */
function ShareSlide({ a, share, verdict, finding, move }: { a: Simulated; share: number[] | undefined; verdict: string; finding: Finding | undefined; move: (share: number[], light: boolean) => void }): JSX.Element {
  const { tubes } = a.rope;
  const even = 100 / tubes;
  const of = (first: number): number[] => Array.from({ length: tubes }, (_, i) => (i === 0 ? first : (100 - first) / (tubes - 1)));
  return <Slide label={w.slides.tube_share} low={even * 0.7} high={even * 1.3} step={even / 50} value={share?.[0] ?? even} planned={even} say={(v) => `${number(v, 1)}${NBSP}%`} verdict={verdict} finding={finding}
    move={(v, light) => move(of(v), light)} />;
}

/* -- one step -- */

function OneStep({ study, a, planned }: Props): JSX.Element | null {
  const id = useId();
  const { steps } = a.programme;
  const asked = study.step.value;
  const at = Math.max(0, steps.findIndex((s) => s.step === (asked ?? firstOf(steps)?.step)));
  const step = steps[at];
  const was = planned.programme.steps.find((s) => s.step === step?.step);
  if (!step || !was) return null;
  const go = (by: number): void => {
    const next = steps[at + by];
    if (next) study.step.value = next.step;
  };
  return (
    <div class="one-step">
      <div class="one-step-head">
        <label for={id}>{w.slides.one}</label>
        <Arrow left word={w.slides.previous} disabled={at <= 0} onClick={() => go(-1)} />
        <select class="select" id={id} value={String(step.step)} onChange={(event) => (study.step.value = Number(event.currentTarget.value))}>
          {steps.map((s) => <option key={s.step} value={String(s.step)}>{`${s.step}  ${s.words}`}</option>)}
        </select>
        <Arrow word={w.slides.next} disabled={at >= steps.length - 1} onClick={() => go(1)} />
      </div>
      <StepSlides study={study} step={step} was={was} verdict={verdictWord(a)} />
    </div>
  );
}
/** What is most often asked about: how fast it is heated; else the first dose of dye. */
function firstOf(steps: DyeStep[]): DyeStep | undefined {
  return steps.find((s) => s.kind === "ramp") ?? steps.find((s) => s.gives === "dye") ?? steps[0];
}

function StepSlides({ study, step, was, verdict }: { study: Study; step: DyeStep; was: DyeStep; verdict: string }): JSX.Element {
  const mine: StepChange | undefined = study.shown.value.steps?.find((one) => one.step === step.step);
  const set = (part: Omit<StepChange, "step">, light: boolean): void => study.setStep({ step: step.step, ...part }, { light });
  const problem = (field: string): Finding | undefined => study.problems.value.find((one) => one.place === `step ${step.step}.${field}` || (field === "minutes" && one.place === `step ${step.step}.`));
  const limit = step.limit ? w.slides.limits[step.limit] : null;
  if (step.kind === "ramp") {
    const planned = was.rate_asked_c_per_min ?? was.rate_c_per_min ?? 1;
    const steepest = step.steepest_c_per_min ?? 4;
    const now = mine?.rate_c_per_min ?? planned;
    return <Slide label={w.slides.rate} low={0.2} high={Math.max(steepest, planned)} step={0.1} value={now} planned={planned} say={per} verdict={verdict} finding={problem("rate_c_per_min")}
      note={limit ? `${limit} ${step.limit === "nothing-to-do" ? "" : w.slides.reached(number(step.rate_c_per_min ?? 0, 1))}` : null} move={(v, light) => set({ rate_c_per_min: Number(v.toFixed(2)) }, light)} />;
  }
  const planned = was.minutes_planned;
  const slide = (
    <Slide label={step.kind === "dose" ? w.slides.minutes : w.slides.hold} low={step.kind === "dose" ? Math.max(1, Math.ceil(step.least_min ?? 1)) : 0} high={Math.max(90, Math.ceil((planned * 2) / 10) * 10)} step={1}
      value={mine?.minutes ?? step.minutes} planned={planned} say={minutes} verdict={verdict} finding={problem("minutes")}
      note={limit ?? (step.cycles ? w.slides.turns(number(step.cycles, 1)) : null)} move={(v, light) => set({ minutes: v }, light)} />
  );
  return step.kind === "dose" ? <>{slide}<CurveChoice kind={mine?.curve ?? step.curve ?? "linear"} finding={problem("curve") ?? problem("exponent") ?? problem("portions")} set={(part) => set(part, false)} /></> : slide;
}

function CurveChoice({ kind: now, finding, set }: { kind: CurveKind; finding: Finding | undefined; set: (part: Omit<StepChange, "step">) => void }): JSX.Element {
  return (
    <fieldset class="segments dye-curve">
      <legend>{w.slides.curve}</legend>
      {CURVES.map((kind) => (
        <label key={kind} class="segment">
          <input type="radio" name="dye-curve" value={kind} checked={now === kind}
            onChange={() => set({ curve: kind, ...(EXPONENT[kind] ? { exponent: EXPONENT[kind] } : {}), ...(kind === "portions" ? { portions: PORTIONS } : {}) })} />
          <span><CurveSign kind={kind} />{w.slides.curves[kind]}</span>
        </label>
      ))}
      {finding ? <p class="field-say">{told(finding)}</p> : null}
    </fieldset>
  );
}
function CurveSign({ kind }: { kind: CurveKind }): JSX.Element {
  const d = { linear: "M1 15 23 1", progressive: "M1 15Q18 14 23 1", degressive: "M1 15Q5 2 23 1", portions: "M1 15v-3.500h5.500V8H12V4.500h5.500V1H23" }[kind];
  return <svg class="curve-sign" viewBox="0 0 24 16" width="24" height="16" aria-hidden="true"><path d={d} /></svg>;
}
