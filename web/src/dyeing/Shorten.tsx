// The shortest programme that stays level: limits, the trade-off, what is different, and its way into
// the route. Nothing is stored before it was said what it costs.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { number, trimmed } from "../fmt";
import { may } from "../people/session";
import { editorOf } from "../plan/editor";
import type { Plan } from "../types";
import { NumberField } from "../ui/Field";
import { Failure, Shape } from "../ui/parts";
import { Sheet, type SheetRow } from "../ui/Sheet";
import { words } from "../words";
import { isChanged } from "./changes";
import { LIMIT_NAMES, USUAL, limitsOf } from "./limits";
import { searchOf, type Search } from "./search";
import { measureOf, TradeOff } from "./TradeOff";
import type { Study } from "./state";
import type { Effect, Point, Shortened } from "./types";
import { w } from "./words";
import "./shorten.css";

const t = w.shorten;
const NBSP = "\u00a0";
const min = (v: number): string => `${number(v)}${NBSP}min`;

export function Shorten({ study, plan }: { study: Study; plan: Plan }): JSX.Element {
  const { lot } = study;
  const search = searchOf(lot);
  const answer = search.answer.value;
  const error = search.error.value;
  return (
    <section class="dye-section shorten" aria-labelledby="shorten-title" aria-busy={search.busy.value}>
      <h2 id="shorten-title">{t.title}</h2>
      <p class="section-lead">{t.lead} {isChanged(study.changes.value) ? t.of.changed : t.of.planned}</p>
      <LimitForm study={study} search={search} />
      {error ? <Failure error={error} reload={() => void search.ask()} /> : null}
      <SavedNote search={search} />
      {answer?.simulated ? <Found study={study} search={search} plan={plan} a={answer} /> : answer ? <p class="quiet-state">{answer.reason?.words ?? t.none}</p> : null}
    </section>
  );
}

function LimitForm({ study, search }: { study: Study; search: Search }): JSX.Element {
  const form = limitsOf(study.lot);
  const problems = [...search.problems.value, ...study.problems.value];
  const busy = search.busy.value;
  return (
    <form class="shorten-form no-print" onSubmit={(event) => { event.preventDefault(); void search.ask(); }}>
      <fieldset>
        <legend>{t.limits}</legend>
        <div class="shorten-fields">
          {LIMIT_NAMES.map((name) => (
            <NumberField key={name} label={t.limit[name]} unit={t.unit[name]} value={USUAL[name]} stored={USUAL[name]} typed={form.typed.value[name]} finding={problems.find((one) => one.place === name)}
              onType={(text) => {
                form.typed.value = { ...form.typed.peek(), [name]: text };
                search.problems.value = search.problems.peek().filter((one) => one.place !== name);
              }}
              onSettle={() => { if (name === "strike_limit_pct_per_contact" && form.typed.peek()[name] !== undefined && form.limits.peek()) study.ask(); }} />
          ))}
        </div>
      </fieldset>
      <div class="shorten-go">
        <label class="tick-box"><input type="checkbox" checked={form.keepSpeed.value} onChange={(event) => (form.keepSpeed.value = event.currentTarget.checked)} /><span>{t.keepSpeed}</span></label>
        <button type="submit" class="button button-strong" disabled={busy || search.question.value === null}>{search.answer.value ? t.goAgain : t.go}</button>
        <p role="status">{busy ? <><span class="spinner" aria-hidden="true" />{t.searching}</> : search.stale.value ? <><Shape kind="note" /> {t.stale}</> : null}</p>
      </div>
    </form>
  );
}

function SavedNote({ search }: { search: Search }): JSX.Element | null {
  const saved = search.saved.value;
  if (!saved) return null;
  return (
    <div class="shorten-saved" role="status">
      <p><Shape kind="ok" /> {saved.route} {saved.speed !== null && saved.speedProblem === null ? t.speedSaved : null}</p>
      {saved.speedProblem === null ? null : (
        <p><Shape kind="warning" /> {t.speedFailed(saved.speedProblem)} <button type="button" class="button" disabled={search.saving.value} onClick={() => void search.speedAgain()}>{t.speedAgain}</button></p>
      )}
    </div>
  );
}

function Found({ study, search, plan, a }: { study: Study; search: Search; plan: Plan; a: Shortened }): JSX.Element {
  const chosen = study.preview.value ? search.chosen.value : null;
  const point = chosen === null ? undefined : a.points[chosen];
  const stale = search.stale.value;
  return (
    <div class={stale ? "shorten-found is-before" : "shorten-found"}>
      <p class="shorten-words">{a.words}</p>
      <h3 id="trade-title">{measureOf(a).words.title}</h3>
      <TradeOff a={a} chosen={chosen} choose={(index) => search.choose(index)} />
      <Points a={a} chosen={chosen} choose={(index) => search.choose(index)} />
      {point ? <Chosen key={chosen} search={search} plan={plan} a={a} point={point} stale={stale} /> : null}
      {a.notes.length ? <ul class="dye-notes">{a.notes.map((note) => <li key={note}><Shape kind="note" /><span>{note}</span></li>)}</ul> : null}
      <p class="section-lead">{t.runs(a.runs)}</p>
    </div>
  );
}

function cells(effect: Effect, worst: Effect, saved: number | null, kept: boolean, speed: string): SheetRow["cells"] {
  return [
    saved === null ? words.none : number(saved), number(effect.strike_pct_per_contact, 2), number(effect.de_end, 2), number(worst.de_end, 2), effect.fixation_pct === null ? words.none : trimmed(effect.fixation_pct, 1), speed,
    <span key="k" class="keeps"><Shape kind={kept ? "ok" : "warning"} />{kept ? t.keeps : t.breaks}</span>,
  ];
}

function Points({ a, chosen, choose }: { a: Shortened; chosen: number | null; choose: (index: number | null) => void }): JSX.Element {
  const c = t.columns;
  const pick = (index: number | null, text: string, tag: string | null): JSX.Element => (
    <label class="point-pick"><input type="radio" name="dye-point" checked={chosen === index} onChange={() => choose(index)} /><span>{text}{tag ? <small>{tag}</small> : null}</span></label>
  );
  const rows = [
    ...a.points.map((p, i): SheetRow => ({ head: pick(i, t.look(number(p.minutes)), a.wanted === i ? t.key.wanted : null), cells: cells(p.effect, p.worst, p.saved_min, p.kept, number(p.speed_m_per_min)) })),
    { head: pick(null, t.look(number(a.base.minutes)), t.base), cells: cells(a.base, a.base_worst, null, a.base_kept, words.none), sum: true },
  ];
  return (
    <div role="radiogroup" aria-labelledby="trade-title" class="points">
      <Sheet late by="trade-title" head={t.looks} rows={rows}
        columns={[{ title: c.saved, unit: "min" }, { title: c.strike, unit: "%/contact" }, { title: c.de, unit: "ΔE" }, { title: c.worst, unit: "ΔE" }, { title: c.fixed, unit: "%" }, { title: c.speed, unit: "m/min" }, { title: c.keeps, left: true }]} />
    </div>
  );
}

interface ChosenProps {
  search: Search;
  plan: Plan;
  a: Shortened;
  point: Point;
  stale: boolean;
}

function Chosen({ search, plan, a, point, stale }: ChosenProps): JSX.Element {
  return (
    <div class="chosen">
      <div class="chosen-head">
        <h3>{t.differences}: {min(point.minutes)}</h3>
        <button type="button" class="button no-print" onClick={toPicture}>{t.toPicture}</button>
      </div>
      {point.changes.length ? <ul class="chosen-list">{point.changes.map((one) => <li key={one}>{one}</li>)}</ul> : <p>{t.noDifference}</p>}
      <details class="chosen-steps">
        <summary id="chosen-steps">{t.steps}</summary>
        <Sheet late by="chosen-steps" head={t.stepHead} columns={[{ title: t.stepColumns.minutes }, { title: t.stepColumns.planned }, { title: t.stepColumns.how, left: true }, { title: t.stepColumns.why, left: true }]}
          rows={point.steps.map((s): SheetRow => ({
            head: `${s.step} ${s.words}`,
            cells: [s.changed ? <b key="m">{trimmed(s.minutes, 1)}</b> : trimmed(s.minutes, 1), trimmed(s.minutes_planned, 1), howOf(s), s.why_words],
          }))} />
      </details>
      <Accept search={search} plan={plan} a={a} point={point} stale={stale} />
    </div>
  );
}
/** Its curves are far up the page. */
function toPicture(): void {
  const title = document.getElementById("dye-chart-title");
  title?.scrollIntoView({ block: "start" });
  title?.focus({ preventScroll: true });
}
function howOf(s: Point["steps"][number]): string {
  if (s.rate_c_per_min !== null && s.kind === "ramp") return `${number(s.rate_c_per_min, 1)} °C/min`;
  return s.curve ? w.slides.curves[s.curve] : "";
}

/** What is less safe than now is said before anything can be saved; then once more what will change. */
function Accept({ search, plan, a, point, stale }: ChosenProps): JSX.Element {
  const [sure, setSure] = useState(false);
  const editor = editorOf(plan.lot.lot_id);
  const blocked = editor.dirty.value;
  const saving = search.saving.value;
  const worse = point.less_level || !point.kept;
  if (search.conflict.value)
    return <div class="accept"><p><Shape kind="warning" /> {t.conflict}</p><button type="button" class="button button-strong" onClick={() => void search.afresh()}>{t.conflictLoad}</button></div>;
  return (
    <div class="accept no-print">
      <ul class="accept-says">
        {point.less_level ? <li class="is-worse"><Shape kind="warning" /><span>{t.lessLevel(trimmed(a.base.de_end, 2), trimmed(point.effect.de_end, 2))}</span></li> : null}
        {point.kept ? null : <li class="is-worse"><Shape kind="warning" /><span>{t.beyond}</span></li>}
        {point.fixed_less_pct >= 0.05 ? <li><Shape kind="note" /><span>{t.lessFixed(trimmed(point.fixed_less_pct, 1))}</span></li> : null}
        <li><Shape kind="note" /><span>{t.users(point.lots_on_route)}</span></li>
        {blocked ? <li><Shape kind="stop" /><span>{t.draft}</span></li> : null}
      </ul>
      {!may("route-change") ? <p><Shape kind="note" /> {words.whatIf.noSaveRoute}</p> : sure ? (
        <div class="accept-sure">
          <p><strong>{t.sure(plan.route.route_id, plan.route.version + 1)}</strong> {point.speed_changed ? t.speedToo(`${number(point.speed_m_per_min)}${NBSP}m/min`) : null}</p>
          <button type="button" class="button button-strong" disabled={saving || blocked || stale} onClick={() => void search.accept(point)}>{saving ? t.saving : t.save}</button>
          <button type="button" class="button" disabled={saving} onClick={() => setSure(false)}>{t.cancel}</button>
        </div>
      ) : <button type="button" class={worse ? "button" : "button button-strong"} disabled={blocked || stale} onClick={() => setSure(true)}>{worse ? t.acceptWith : t.accept}</button>}
      {search.saveProblem.value ? <Failure error={search.saveProblem.value} reload={() => void search.accept(point)} /> : null}
    </div>
  );
}
