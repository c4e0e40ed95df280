// The dyeing of a lot: what the dyes do on the rope while the programme runs, sliders to try another
// one, what comes of it, and the shortest programme that stays level.
import type { JSX } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { Unreachable, offline } from "../api";
import { useReloadWith } from "../bath/BathPage";
import { makeMeasure } from "../charts/measure";
import { PRINT_WIDTH, useFonts, usePrinting, useWidth } from "../charts/ProcessCurve";
import { trimmed } from "../fmt";
import { href, place, swap } from "../place";
import { editorOf } from "../plan/editor";
import { tabPath } from "../plan/LotTabs";
import type { Plan } from "../types";
import { FindingText, Failure, Loading, Shape } from "../ui/parts";
import { Scope } from "../ui/Num";
import { Why } from "../why/Why";
import { Answers } from "./Answers";
import { DyeKey, FiguresTable, Lower, Readout, Upper } from "./Chart";
import { isChanged, stepAt } from "./changes";
import { seenOf, type Seen } from "./figures";
import type { MapView } from "./mapPaint";
import { MapHead, MapKey, RopeMap } from "./RopeMap";
import { dyeScene } from "./scene";
import { Shorten } from "./Shorten";
import { Slides } from "./Slides";
import { studyOf, type Study } from "./state";
import type { Simulated } from "./types";
import { HeadFigures, RatesNote, Verdict } from "./Verdict";
import { w } from "./words";
import "./dyeing.css";
import "./dyechart.css";

export function DyeingPage({ lot }: { lot: string }): JSX.Element | null {
  const plan = editorOf(lot).stored.value;
  return plan ? <OfPlan plan={plan} lot={lot} /> : null;
}

/**
 * Changes in the address win over those that stood here; what is changed now goes into it when it
 * rests. What this page wrote there itself is not taken from it.
 */
function useAddress(study: Study, path: string[]): string {
  const asked = place.value.query.get("d");
  const [text, setText] = useState(study.text);
  const mine = useRef<string | null | undefined>(undefined);
  useEffect(() => {
    if (asked === mine.current) return;
    if (asked !== null && asked !== study.text) study.adopt(asked);
  }, [asked]);
  const now = study.text;
  const resting = !study.busy.value;
  useEffect(() => {
    if (resting) setText(now);
  }, [now, resting]);
  useEffect(() => {
    const { query } = place.peek();
    mine.current = text || null;
    if (text === (query.get("d") ?? "")) return;
    const why = query.get("why");
    swap(href(path, { ...(text ? { d: text } : {}), ...(why === null ? {} : { why }) }));
  }, [text]);
  return text;
}

function OfPlan({ plan, lot }: { plan: Plan; lot: string }): JSX.Element {
  const study = studyOf(lot);
  useReloadWith(plan, study.renew);
  const path = useMemo(() => tabPath(lot, "dyeing"), [lot]);
  const text = useAddress(study, path);
  useEffect(() => {
    if (!study.answer.peek() && !study.busy.peek()) study.ask();
  }, [lot]);
  const away = offline.value;
  useEffect(() => {
    if (!away && study.error.peek() instanceof Unreachable) study.ask();
  }, [away]);
  const answer = study.answer.value;
  const error = study.error.value;
  const seen = useMemo(() => (answer?.simulated ? seenOf(answer) : null), [answer]);
  const base = study.planned.value;
  const planned = useMemo(() => (base ? seenOf(base) : null), [base]);
  const { currency } = plan.site;
  const scope = useMemo(() => ({ path, currency, query: (text ? { d: text } : {}) as Record<string, string> }), [path, currency, text]);
  return (
    <Scope.Provider value={scope}>
      <article class="dyeing plan">
        {error && !(answer && error instanceof Unreachable) ? <Failure error={error} reload={() => study.ask()} /> : null}
        {answer?.simulated && seen ? <Sheet study={study} plan={plan} a={answer} base={base} seen={seen} planned={isChanged(study.shown.value) ? planned : null} />
          : answer && !answer.simulated ? <NotSimulated study={study} words={answer.reason?.words ?? ""} />
          : error || study.problems.value.length ? <NothingYet study={study} />
          : <Loading />}
      </article>
      {seen ? <Why plan={seen} /> : null}
    </Scope.Provider>
  );
}

function NotSimulated({ study, words: why }: { study: Study; words: string }): JSX.Element {
  return (
    <>
      <p class="quiet-state">{why}</p>
      {isChanged(study.shown.value) ? <button type="button" class="button" onClick={() => study.reset()}>{w.reset}</button> : null}
    </>
  );
}

/** What the address asked for cannot be: the plan is still there. */
function NothingYet({ study }: { study: Study }): JSX.Element | null {
  const problems = study.problems.value;
  const changed = isChanged(study.shown.value);
  if (!problems.length && !changed) return null;
  return (
    <div class="failure" role="alert">
      <Shape kind="stop" />
      <div>
        {problems.map((one) => <FindingText key={one.place + one.message} finding={one} />)}
        {changed ? <button type="button" class="button" onClick={() => study.reset()}>{w.reset}</button> : null}
      </div>
    </div>
  );
}

interface SheetProps {
  study: Study;
  plan: Plan;
  a: Simulated;
  base: Simulated | null;
  seen: Seen;
  planned: Seen | null;
}

function Sheet({ study, plan, a, base, seen, planned }: SheetProps): JSX.Element {
  const reruns = study.reruns.value;
  return (
    <>
      <section class="dye-top" aria-labelledby="dye-verdict" aria-busy={study.busy.value}>
        <State study={study} a={a} />
        <div class="dye-top-grid">
          <Verdict a={a} />
          <HeadFigures a={a} seen={seen} planned={planned} margin={a.margin ?? reruns?.margin ?? null} fresh={study.settled.value && a.margin !== null} />
        </div>
        <RatesNote a={a} margin={a.margin ?? reruns?.margin ?? null} />
      </section>
      <Picture study={study} a={a} base={base} />
      <Answers a={a} seen={seen} planned={planned} study={study} />
      <Shorten study={study} plan={plan} />
    </>
  );
}

/** Which bath, which programme, and that it is being worked out. */
function State({ study, a }: { study: Study; a: Simulated }): JSX.Element {
  const changed = isChanged(study.shown.value);
  const preview = study.preview.value !== null;
  const baths = [a.bath.number, ...a.bath.others].sort((p, q) => p - q);
  return (
    <div class="dye-state">
      {baths.length > 1 ? (
        <label class="dye-bath no-print">{w.bath}{" "}
          <select class="select" value={String(a.bath.number)} onChange={(event) => study.takeBath(Number(event.currentTarget.value))}>
            {baths.map((n) => <option key={n} value={String(n)}>{n === a.bath.number ? `${n} ${a.bath.name}` : String(n)}</option>)}
          </select>
        </label>
      ) : <p>{a.bath.number} {a.bath.name}</p>}
      <p class={changed ? "dye-changed" : ""}>{preview ? w.previewed(trimmed(a.programme.minutes, 0)) : changed ? w.changed : w.asked}</p>
      {changed ? <button type="button" class="button no-print" onClick={() => study.reset()}>{w.reset}</button> : null}
      <p class="dye-busy" role="status">
        {study.away ? <><Shape kind="warning" /> {w.waiting}</> : study.problems.value.length ? <><Shape kind="stop" /> {w.refused}</> : study.busy.value ? <span class="dye-working"><span class="spinner" aria-hidden="true" />{w.working}</span> : null}
      </p>
    </div>
  );
}

/** Outlives the page: the next lot is looked at the same way. */
let lastView: MapView = "colour";

function Picture({ study, a, base }: { study: Study; a: Simulated; base: Simulated | null }): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const width = useWidth(host);
  const fonts = useFonts();
  const printing = usePrinting();
  const measure = useMemo(makeMeasure, [fonts]);
  const [minute, setMinute] = useState<number | null>(null);
  const [asTable, setAsTable] = useState(false);
  const [view, setView] = useState<MapView>(lastView);
  const wide = printing ? PRINT_WIDTH : width;
  const changed = isChanged(study.shown.value);
  // The axis is as long as the longer of the two, so that a shorter programme is seen to be shorter.
  const to = Math.max(1, a.programme.minutes, changed ? (base?.programme.minutes ?? 0) : 0);
  const scene = useMemo(() => (wide > 0 ? dyeScene(a, changed ? base : null, { width: wide, from: 0, to, measure }) : null), [a, base, changed, wide, to, measure]);
  const pick = (t: number): void => {
    const at = Math.round(Math.min(a.programme.minutes, Math.max(0, t)));
    setMinute(at);
    const step = stepAt(a.programme, at);
    if (step) study.step.value = step.step;
  };
  const walk = (by: number): void => pick(minute === null && by < 1e5 ? 0 : (minute ?? 0) + by);
  const choose = (next: MapView): void => {
    lastView = next;
    setView(next);
  };
  const selected = study.step.value;
  const { map } = a;
  return (
    <div class="dye-picture">
      <section class="dye-chart" aria-labelledby="dye-chart-title" ref={host}>
        <div class="curve-head">
          <h2 id="dye-chart-title" tabIndex={-1}>{w.chart.title}</h2>
          <button type="button" class="button no-print" aria-pressed={asTable} onClick={() => setAsTable(!asTable)}>{w.chart.table}</button>
        </div>
        {scene ? <DyeKey a={a} scene={scene} /> : null}
        <div class={asTable ? "is-hidden dye-figure" : "dye-figure"}>
          {scene ? <Upper a={a} scene={scene} minute={minute} pick={pick} walk={walk} selected={selected} /> : null}
        </div>
        {asTable ? <FiguresTable a={a} /> : null}
      </section>
      {map && scene ? (
        <section class="dye-map" aria-labelledby="rope-title">
          <MapHead ropes={a.rope.tubes} map={map} view={view} choose={choose} />
          <RopeMap a={a} map={map} scene={scene} view={view} minute={minute} pick={pick} />
          <MapKey view={view} />
        </section>
      ) : null}
      <Slides study={study} a={a} planned={base ?? a} />
      <section class="dye-below" aria-label={w.chart.title}>
        {scene ? <Lower scene={scene} minute={minute} pick={pick} /> : null}
        <Readout a={a} minute={minute} walk={walk} />
      </section>
    </div>
  );
}
