// The sliders: the loop length follows the finger through what is already here, the others ask.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { raw, trimmed } from "../fmt";
import { numberIn } from "./fields";
import { YARN_STEP, apply, ask, frame, frameNo, slide, sweep, typed, view, yarnRange } from "./state";
import { w } from "./words";
import "../ui/slide.css";

const NBSP = "\u00a0";

export function Slides(): JSX.Element | null {
  const map = sweep.value?.map;
  const shows = view.value;
  if (!map || !shows) return null;
  const yarn = typed.value["yarn_unit"] === "by_tex" ? "tex" : "ne";
  const counts = typed.value["mode"] === "knitted" ? yarnRange.value : null;
  return (
    <section class="slides no-print" aria-label={w.sliders}>
      <LoopSlide />
      {counts ? <AskedSlide of={yarn} label={w.yarn} low={counts.low} high={counts.high} step={YARN_STEP} say={(v) => (yarn === "ne" ? `Ne${NBSP}${trimmed(v, 1)}` : `${trimmed(v, 1)}${NBSP}tex`)} /> : null}
      <AskedSlide of="width_cm" label={w.wantedWidth} low={shows.width_cm.low} high={shows.width_cm.high} step={0.5} say={(v) => `${trimmed(v, 1)}${NBSP}cm`} />
      <AskedSlide of="gsm" label={w.wantedWeight} low={shows.gsm.low} high={shows.gsm.high} step={1} say={(v) => `${trimmed(v, 1)}${NBSP}g/m²`} />
    </section>
  );
}

function verdictWord(): string {
  return frame.value?.verdict === "met" ? w.met : w.notMet;
}

function LoopSlide(): JSX.Element | null {
  const map = sweep.value?.map;
  const id = useId();
  if (!map) return null;
  const at = Math.min(frameNo.value, map.frames.length - 1);
  const here = map.frames[at];
  if (!here) return null;
  const most = map.frames.length - 1;
  const change = `${here.change_pct > 0 ? "+" : ""}${trimmed(here.change_pct, 1)}${NBSP}%`;
  const value = here.loop_cm === null ? change : `${raw(here.loop_cm, 4)}${NBSP}cm`;
  return (
    <div class="slide">
      <label for={id}>{here.loop_cm === null ? w.loopChange : w.loop}</label>
      <output for={id}>{value}{here.loop_cm !== null && at !== map.now ? <small> {change}</small> : null}</output>
      <span class="slide-track">
        <i class="slide-mark" style={{ "--at": String(most ? map.now / most : 0.5) }} />
        <input id={id} type="range" min={0} max={most} step={1} value={at} aria-valuetext={w.heard(value, verdictWord())}
          onInput={(event) => (frameNo.value = Number(event.currentTarget.value))} />
      </span>
      <p class="slide-keep">{at === map.now ? w.asKnitted(here.loop_cm === null ? "" : value) : <button type="button" class="button" onClick={() => apply({})}>{w.takeLoop(value)}</button>}</p>
    </div>
  );
}

interface Props {
  of: string;
  label: string;
  low: number;
  high: number;
  step: number;
  say: (value: number) => string;
}

function AskedSlide({ of, label, low, high, step, say }: Props): JSX.Element {
  const id = useId();
  const value = numberIn(typed.value, of);
  const here = value === null ? low : Math.min(high, Math.max(low, value));
  // The steps go through what stands there, so that a first touch does not move it.
  const least = here - step * Math.floor((here - low) / step + 1e-9);
  return (
    <div class="slide">
      <label for={id}>{label}</label>
      <output for={id}>{value === null ? "–" : say(value)}</output>
      <span class="slide-track">
        <input id={id} type="range" min={least} max={high} step={step} value={here} disabled={value === null} aria-valuetext={w.heard(say(here), verdictWord())}
          onInput={(event) => slide(of, Number(event.currentTarget.value))} onChange={() => ask()} />
      </span>
    </div>
  );
}
