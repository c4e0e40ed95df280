// The dips of a shade, round by round: what they are, how far from the standard, what may be done.
import type { JSX } from "preact";
import { type Signal, signal } from "@preact/signals";
import { useId } from "preact/hooks";
import { ApiError, Unreachable } from "../api";
import { number } from "../fmt";
import { href } from "../place";
import { Shape } from "../ui/parts";
import { words } from "../words";
import { may } from "../people/session";
import { acting, bench, measureDip, moveDip, pickRecipe, shade, told } from "./bench";
import { FILE_MAX_BYTES } from "./state";
import { dose } from "./RecipesTab";
import { takeRound } from "./dispensing";
import type { BenchShade, Dip } from "./types";
import { w } from "./words";

const isDecision = (state: string): boolean => state === "approved" || state === "rejected";
/** Who decides: kept from one decision to the next. */
const who = signal("");

export function DipsTab(): JSX.Element | null {
  const one = shade.value;
  const id = useId();
  if (!one) return null;
  const rounds = [...new Set(one.dips.map((d) => d.round))].sort((a, b) => b - a);
  const decides = may("lab-approve") && one.dips.some((d) => d.may.some(isDecision));
  return (
    <section class="lab-dips-tab">
      <RecipeNow of={one} />
      {decides ? (
        <div class="field lab-who">
          <label for={id}>{w.who}</label>
          <input class="input" id={id} type="text" autocomplete="name" value={who.value} onInput={(event) => (who.value = event.currentTarget.value)} />
        </div>
      ) : null}
      {rounds.length ? rounds.map((round) => <Round key={round} of={one} round={round} />) : <p class="quiet-state">{w.noDipsYet}</p>}
    </section>
  );
}

function doseWords(dyes: { dye_id: string; depth_pct_owf: number }[]): JSX.Element[] {
  return [...dyes.map((d) => <span key={d.dye_id}>{d.dye_id} <b>{dose(d.depth_pct_owf)}</b></span>), <span key="" class="muted">{w.owf}</span>];
}

function RecipeNow({ of }: { of: BenchShade }): JSX.Element {
  return (
    <div class="lab-recipe-now">
      <h2>{of.shade_id} {of.name}</h2>
      <p><span class="muted">{w.recipeNow}: </span><span class="lab-card-dyes">{of.dyes.length ? doseWords(of.dyes) : w.noRecipe}</span></p>
      {of.bulk ? <p><Shape kind="note" /> {w.bulkIn(of.bulk.machine_id, of.bulk.dyes.filter((d) => d.multiply !== 1).map((d) => `${d.dye_id} × ${d.multiply}`).join(", "))}</p> : null}
      {of.lots_running.length ? <p class="lab-stale"><Shape kind="note" /> {w.running(of.lots_running.join(", "))}</p> : null}
    </div>
  );
}

function Round({ of, round }: { of: BenchShade; round: number }): JSX.Element {
  const dips = of.dips.filter((d) => d.round === round);
  return (
    <section class="lab-round">
      <div class="lab-round-head">
        <h3>{w.roundNo(round)}</h3>
        <a class="button no-print" href={href(["laboratory", "dispensing"])} onClick={() => takeRound(of, dips)}>{w.dispenseRound}</a>
      </div>
      <ul>{dips.map((d) => <DipItem key={d.dip_id} of={of} dip={d} />)}</ul>
    </section>
  );
}

/** How the last act on it ended. */
export function Outcome({ at }: { at: string }): JSX.Element | null {
  const one = told.value;
  if (one?.at !== at) return null;
  const e = one.error;
  if (!e) return <p class="lab-done" role="status"><Shape kind="ok" /> {one.words}</p>;
  const said = e instanceof ApiError ? e.all.map((p) => [p.message, p.allowed ? `${words.allowed}: ${p.allowed}.` : "", p.remedy].filter(Boolean).join(" ")).join(" ") : e instanceof Unreachable ? words.unreachable : e.message;
  return <p class="field-say" role="alert">{e instanceof ApiError && e.status === 409 ? `${w.conflict} ` : ""}{said}</p>;
}

/** As it was measured, else as the shade is described. */
function standardSwatch(of: BenchShade): string {
  return bench.value?.samples.find((s) => s.sample_id === of.standard)?.colour?.swatch ?? of.swatch;
}

const SHAPES = { made: "note", submitted: "note", approved: "ok", rejected: "stop" } as const;

function DipItem({ of, dip }: { of: BenchShade; dip: Dip }): JSX.Element {
  const also = useId();
  const wants = signalOf(dip.dip_id);
  const isRecipe = dip.recipe === of.recipe;
  const mine = dip.may.filter((state) => may(isDecision(state) ? "lab-approve" : "lab-enter"));
  const move = (state: string): void => {
    if (isDecision(state) && !who.peek().trim()) {
      told.value = { at: dip.dip_id, error: new Error(w.whoFirst), words: "" };
      return;
    }
    const picks = state === "approved" && wants.peek();
    void moveDip(dip, state, isDecision(state) ? who.peek().trim() : "", picks, (lots) => `${w.stateDone[state] ?? ""}${picks ? ` ${w.picked(lots)}` : ""}`);
  };
  return (
    <li class="lab-dip-item">
      {dip.colour && standardSwatch(of) ? (
        <svg class="lab-chip" viewBox="0 0 20 10" preserveAspectRatio="none" role="img" aria-label={w.dipAlt(dip.dip_id)}><path d="M0 0h10v10H0z" class="lab-half" fill={standardSwatch(of)} /><path d="M10 0h10v10H10z" class="lab-half" fill={dip.colour.swatch} /></svg>
      ) : <p class="lab-chip lab-unmeasured muted">{w.notMeasured}</p>}
      <p class="lab-dip-name"><strong>{dip.dip_id}</strong> <span class="lab-state"><Shape kind={SHAPES[dip.state]} /> {dip.state_words}</span></p>
      <p class="lab-card-dyes">{doseWords(dip.dyes)}</p>
      {dip.difference === null ? null : <p><Shape kind={dip.within ? "ok" : "stop"} /> {w.fromStandard(number(dip.difference, 2))}: {dip.within ? w.within : w.outside}<span class="lab-caption">{w.dipCaption}</span></p>}
      {dip.decided_by || dip.remark ? <p class="muted">{[dip.decided_by ? w.decidedBy(dip.decided_by, dip.decided ?? "") : "", dip.remark].filter(Boolean).join(". ")}</p> : null}
      {mine.includes("approved") ? <label class="lab-also-recipe" for={also}><input id={also} type="checkbox" checked={wants.value} onChange={(event) => (wants.value = event.currentTarget.checked)} /> {w.alsoRecipe}</label> : null}
      <div class="lab-dip-acts no-print">
        {mine.map((state) => <button key={state} type="button" class={state === "approved" ? "button button-strong" : "button"} disabled={acting.value} onClick={() => move(state)}>{w.stateActs[state] ?? state}<span class="visually-hidden"> {dip.dip_id}</span></button>)}
        {isRecipe ? <span class="lab-done"><Shape kind="ok" /> {w.isRecipe}</span> : dip.state === "approved" && may("lab-approve") ? <button type="button" class="button" disabled={acting.value} onClick={() => void pickRecipe(dip.dip_id, dip.recipe, w.picked)}>{w.pickRecipe}<span class="visually-hidden">: {dip.dip_id}</span></button> : null}
      </div>
      {mine.length < dip.may.length ? <p class="muted"><Shape kind="note" /> {w.noApprove}</p> : null}
      {!dip.sample_id && dip.state !== "rejected" && may("lab-enter") ? <Measure dip={dip} /> : null}
      <Outcome at={dip.dip_id} />
    </li>
  );
}

/** A dip that was dyed and measured: its file goes to the mill with it. */
function Measure({ dip }: { dip: Dip }): JSX.Element {
  const id = useId();
  const take = async (form: HTMLFormElement): Promise<void> => {
    const data = new FormData(form);
    const file = data.get("file");
    if (!(file instanceof File) || file.size === 0) {
      told.value = { at: dip.dip_id, error: new Error(w.measureFirst), words: "" };
      return;
    }
    if (file.size > FILE_MAX_BYTES) {
      told.value = { at: dip.dip_id, error: new Error(w.tooLarge(file.name)), words: "" };
      return;
    }
    await measureDip(dip, { name: file.name, text: await file.text() }, String(data.get("sample") ?? "").trim(), w.measureDone);
  };
  return (
    <details class="lab-measure no-print">
      <summary>{w.measure}<span class="visually-hidden">: {dip.dip_id}</span></summary>
      <form noValidate onSubmit={(event) => { event.preventDefault(); void take(event.currentTarget); }}>
        <div class="field"><label for={`${id}-f`}>{w.measureFile}</label><input class="input" id={`${id}-f`} name="file" type="file" /></div>
        <div class="field"><label for={`${id}-s`}>{w.measureSample}</label><input class="input" id={`${id}-s`} name="sample" type="text" autocomplete="off" defaultValue={dip.dip_id} /></div>
        <button class="button" type="submit" disabled={acting.value}>{w.measureTake}</button>
      </form>
    </details>
  );
}

/** Whether an approval also makes it the recipe; of each dip. */
const wanted = new Map<string, Signal<boolean>>();
function signalOf(dip: string): Signal<boolean> {
  const one = wanted.get(dip) ?? signal(false);
  wanted.set(dip, one);
  return one;
}
