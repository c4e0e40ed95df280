// The ranked recipes for a standard, the two fields side by side, and a slider for each dose.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { ApiError, api } from "../api";
import { number, parse, sentence, trimmed } from "../fmt";
import { told } from "../ui/Field";
import { Shape } from "../ui/parts";
import { useResource } from "../ui/resource";
import { words } from "../words";
import { Bulk } from "./Bulk";
import { Curves } from "./Curves";
import { Basis } from "./LaboratoryPage";
import { Planes } from "./Plane";
import { Field } from "./Swatches";
import { Conditions, Lights, Narrow } from "./Conditions";
import { Outcome } from "./DipsTab";
import { NEW_DIP, PICK, acting, newDip, pickRecipe } from "./bench";
import { formula, light, lights } from "./compare";
import { ask, busy, calibrated, chosen, doses, dyesMax, error, found, from, isMoved, lightView, match, pick, picked, samples, slide, stale, standard, standardName, tolerance, toleranceNumber, wordOf } from "./state";
import type { Baths, FromTable, Recipe } from "./types";
import { w } from "./words";

const NBSP = "\u00a0";

export function RecipesTab(): JSX.Element {
  const answer = found.value;
  return (
    <>
      <Question />
      {answer ? (
        <div class={stale.value ? "lab-recipes is-stale" : "lab-recipes"} aria-busy={busy.value}>
          <Verdict />
          <div class="lab-main">
            <Picture />
          </div>
          <Doses />
          <Ranked />
          <div class="lab-drawn">
            <Curves />
            <Planes />
          </div>
          <Basis notes={answer.notes} why={answer.why} />
        </div>
      ) : null}
    </>
  );
}

/* -- what is asked -- */

function Question(): JSX.Element {
  const id = useId();
  const typed = parse(tolerance.value);
  const failed = error.value instanceof ApiError ? error.value.all.find((p) => p.place === "tolerance") : undefined;
  const wrong = "wrong" in typed ? words.whatIf.wrong[typed.wrong] : failed ? told(failed) : null;
  return (
    <form class="lab-ask no-print" noValidate onSubmit={(event) => event.preventDefault()}>
      {from.value ? null : <StandardField />}
      <div class="field lab-short">
        <label for={`${id}-t`}>{w.tolerance}</label>
        <input class="input" id={`${id}-t`} type="text" inputMode="decimal" autocomplete="off" value={tolerance.value} aria-invalid={wrong ? "true" : "false"} {...(wrong ? { "aria-describedby": `${id}-say` } : {})}
          onInput={(event) => { tolerance.value = event.currentTarget.value; if (toleranceNumber() !== null) ask(); }} />
        {wrong ? <p class="field-say" id={`${id}-say`}>{wrong}</p> : null}
      </div>
      <div class="field lab-short">
        <label for={`${id}-d`}>{w.dyesMax}</label>
        <select class="select" id={`${id}-d`} value={dyesMax.value} onChange={(event) => { dyesMax.value = event.currentTarget.value; ask(); }}>
          {["1", "2", "3", "4"].map((n) => <option key={n} value={n}>{n}</option>)}
        </select>
      </div>
      <Lights />
      <Conditions />
      <Narrow />
    </form>
  );
}

export function StandardField({ then }: { then?: () => void }): JSX.Element {
  const id = useId();
  const all = samples.value.filter((s) => s.kind !== "cloth" && s.swatch);
  const others = all.filter((s) => s.kind === "other");
  const dyed = all.filter((s) => s.kind === "dyed");
  const option = (name: string): JSX.Element => <option key={name} value={name}>{name}</option>;
  return (
    <div class="field lab-standard">
      <label for={id}>{w.standard}</label>
      <select class="select" id={id} value={standard.value} onChange={(event) => { standard.value = event.currentTarget.value; ask(); then?.(); }}>
        {standard.value ? null : <option value="">{w.pickStandard}</option>}
        {others.length ? <optgroup label={w.fromStandards}>{others.map((s) => option(s.name))}</optgroup> : null}
        {dyed.length ? <optgroup label={w.fromDyed}>{dyed.map((s) => option(s.name))}</optgroup> : null}
      </select>
      {others.length ? null : <p class="field-hint">{w.noStandards}</p>}
    </div>
  );
}

/* -- the answer -- */

function Verdict(): JSX.Element | null {
  const r = found.value?.result;
  const near = r?.nearest;
  if (!r) return null;
  return (
    <div class="lab-verdict" role="status">
      {r.verdict === "undyed" ? <p><Shape kind="ok" /><strong>{w.undyed}</strong></p> : r.verdict === "reached" ? (
        <p><Shape kind="ok" /><strong>{r.reached === 1 ? w.oneReached(r.sets) : w.reached(r.reached, r.sets)}</strong></p>
      ) : (
        <>
          <p><Shape kind="stop" /><strong>{w.notReached}</strong></p>
          {near ? <p class="lab-near">{w.nearestIs(near.recipe, number(near.difference, 2))}. {near.limited_by ? `${w.limitedBy}: ${w.obstacles[near.limited_by] ?? near.limited_by}` : ""}{near.limited_dye ? ` (${near.limited_dye})` : ""}.</p> : null}
        </>
      )}
      <p class="print-only">{w.standard}: {standardName.value}. {w.tolerance}: {tolerance.value}, {w.formulas[formula.value]}.</p>
      {stale.value ? <p class="lab-stale"><Shape kind="note" /> {w.stale}</p> : null}
    </div>
  );
}

/** Follows the sliders. */
function Picture(): JSX.Element | null {
  const view = lightView.value;
  const now = match.value?.seen[light.value];
  if (!view || !now) return null;
  return <Field left={{ word: standardName.value, colour: view.standard }} right={{ word: isMoved.value ? w.moved : w.matchField, colour: now }} light={view.light} caption={view.caption} />;
}

/** What the mill's prices are in; the files of the laboratory do not say. */
function useCurrency(): string {
  const mill = useResource("mill", api.mill);
  return from.value ? (mill.data?.currency ?? "") : "";
}

function Doses(): JSX.Element | null {
  const one = chosen.value;
  const shown = match.value;
  const currency = useCurrency();
  if (!one || !shown) return null;
  const limit = toleranceNumber() ?? Infinity;
  return (
    <section class="lab-doses" aria-label={w.doses}>
      {one.dyes.map((d) => <Slider key={`${picked.value} ${standard.value} ${d.dye_id}`} dye={d.dye_id} was={d.depth_pct_owf} now={doses.value.find((x) => x.dye_id === d.dye_id)?.depth_pct_owf ?? d.depth_pct_owf} />)}
      <table class="lab-seen">
        <thead class="visually-hidden"><tr><th scope="col">{w.light}</th><th scope="col">{w.difference}</th><th scope="col">{w.tolerance}</th></tr></thead>
        <tbody>
          {lights.value.filter((name) => shown.seen[name]).map((name) => {
            const de = shown.seen[name]?.difference ?? NaN;
            return (
              <tr key={name} class={de > limit ? "is-over" : ""}>
                <th scope="row">{w.under(name)}</th>
                <td>{number(de, 2)}</td>
                <td>{de > limit ? <><Shape kind="stop" /> {w.outside}</> : <><Shape kind="ok" /> {w.within}</>}</td>
              </tr>
            );
          })}
          <tr><th scope="row">{w.cost}</th><td>{number(shown.cost_per_kg, 3)}</td><td>{shown.price_missing ? w.priceMissing : w.costUnit(currency)}</td></tr>
        </tbody>
      </table>
      <BathLines of={shown.baths} />
      {one.against.length && !isMoved.value ? <p class="lab-against"><Shape kind="warning" /> {againstWords(one)}</p> : null}
      {from.value ? <Record /> : null}
      {from.value ? <Bulk /> : null}
      <p class="lab-back">{isMoved.value ? <button type="button" class="button no-print" onClick={() => pick(picked.value)}>{w.back}</button> : null}</p>
    </section>
  );
}

/** The recipe shown, for the mill: as a dip, or as the recipe of the shade. */
function Record(): JSX.Element {
  const now = wordOf(doses.value);
  return (
    <div class="lab-record no-print">
      <button type="button" class="button button-strong" disabled={acting.value} onClick={() => void newDip(now, w.dipMade)}>{w.makeDip}</button>
      <button type="button" class="button" disabled={acting.value} onClick={() => void pickRecipe(PICK, now, w.picked)}>{w.pickRecipe}</button>
      <Outcome at={NEW_DIP} />
      <Outcome at={PICK} />
    </div>
  );
}

/** Salt and alkali, and where they come from. */
export function BathLines({ of }: { of: Baths }): JSX.Element | null {
  const lines: [string, number | null | undefined, FromTable | undefined][] = [[w.salt, of.salt_g_per_l, of.salt], [w.alkali, of.alkali_g_per_l, of.alkali]];
  const known = lines.filter(([, , from]) => from);
  if (!known.length) return null;
  return (
    <dl class="lab-baths">
      {known.map(([word, value, from]) => (
        <div key={word}>
          <dt>{word}</dt>
          <dd>{value === null || value === undefined ? w.deeper : <><b>{trimmed(value, 1)}</b>{NBSP}{w.gPerL}</>} <small>{sentence(from?.title ?? "")} {sentence(from?.words ?? "")}</small></dd>
        </div>
      ))}
    </dl>
  );
}

/** About three figures of a dose. */
export function dose(depth: number): string {
  return trimmed(depth, depth < 0.1 ? 4 : depth < 1 ? 3 : 2);
}

/** As far as the dye's samples tell, but fine enough to aim with: a few times the dose. */
const AROUND = 2.5;
const STEPS = 500;

function Slider({ dye, was, now }: { dye: string; was: number; now: number }): JSX.Element {
  const id = useId();
  const deepest = calibrated.value?.laboratory.dyes.find((d) => d.dye_id === dye)?.most_pct_owf ?? was;
  const most = Math.min(deepest, Math.max(AROUND * was, 0.05));
  const step = most / STEPS;
  const text = `${dose(now)}${NBSP}${w.owf}`;
  return (
    <div class="lab-slide">
      <label for={id}>{dye}</label>
      <output for={id}>{dose(now)}<small>{NBSP}{w.owf}</small></output>
      <span class="lab-track no-print">
        <svg class="lab-mark" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true"><path d={`M${(100 * was) / most} 0v10`} /></svg>
        <input id={id} type="range" min={0} max={STEPS} step={1} value={Math.round(now / step)} aria-valuetext={text}
          onInput={(event) => {
            const at = Math.max(1, Number(event.currentTarget.value)); // a dose of nothing would be another recipe
            slide(dye, at === Math.round(was / step) ? was : at * step);
          }} />
      </span>
    </div>
  );
}

function againstWords(r: Recipe): string {
  return r.against.map((id) => w.against[id] ?? id).join(", ");
}

function Ranked(): JSX.Element | null {
  const f = found.value;
  if (!f) return null;
  const list = f.found.recipes;
  return (
    <section class="lab-ranked">
      <h2>{w.recipes}</h2>
      <p class="lab-caption">{w.recipesLead}</p>
      <ol>
        {list.map((r, i) => <li key={r.dyes.map((d) => d.dye_id).join()}><Card r={r} n={i} /></li>)}
      </ol>
    </section>
  );
}

function Card({ r, n }: { r: Recipe; n: number }): JSX.Element {
  const view = lightView.value;
  const seen = r.seen[light.value];
  const on = picked.value === n;
  const currency = useCurrency();
  return (
    <button type="button" class="lab-card" aria-pressed={on} onClick={() => pick(n)}>
      <span class="visually-hidden">{w.recipe(n + 1)}: </span>
      {view && seen ? <svg class="lab-chip" viewBox="0 0 20 10" preserveAspectRatio="none" aria-hidden="true"><path d="M0 0h10v10H0z" fill={view.standard.swatch} /><path d="M10 0h10v10H10z" fill={seen.swatch} /></svg> : null}
      <span class="lab-card-dyes">{r.dyes.map((d) => <span key={d.dye_id}>{d.dye_id} <b>{dose(d.depth_pct_owf)}</b></span>)}</span>
      <span class="lab-card-facts">
        {Object.keys(r.difference).map((name) => <span key={name}>{name} <b>{number(r.difference[name] ?? NaN, 2)}</b></span>)}
        <span>{w.cost} <b>{number(r.cost_per_kg, 3)}</b> {currency}</span>
      </span>
      {r.against.length ? <span class="lab-card-against"><Shape kind="warning" /> {againstWords(r)}</span> : null}
    </button>
  );
}
