// A round of dips in millilitres, and the sheet to dye them by.
import type { JSX } from "preact";
import { useEffect, useId } from "preact/hooks";
import { ApiError, Unreachable } from "../api";
import { number, trimmed } from "../fmt";
import { told } from "../ui/Field";
import { FindingText, Shape } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import { words } from "../words";
import { Small } from "./Conditions";
import { Basis } from "./LaboratoryPage";
import { dose } from "./RecipesTab";
import { DIPS_MOST, type NumberKey, addDip, addShown, dips, dispensing, numbers, printError, printing, question, recipeIn, removeDip, saveSheet, setDip, setNumber, setText, texts } from "./dispensing";
import { chosen } from "./state";
import type { Dispensed } from "./types";
import { w } from "./words";

const FIELDS: [NumberKey, string, string, string?][] = [
  ["sample_g", w.sampleMass, "g"], ["ratio_l_per_kg", w.ratio, "L/kg"], ["stock_g_per_l", w.stock, "g/L"], ["pipette_least_ml", w.pipetteLeast, "mL"], ["pipette_step_ml", w.pipetteStep, "mL"],
  ["vessel_ml", w.vessel, "mL", w.anyVessel], ["salt_g_per_l", w.saltField, "g/L", w.byTable], ["alkali_g_per_l", w.alkaliField, "g/L", w.byTable],
];
/** Told at the field, or at the dips. */
const AT_FIELDS = new Set<string>([...FIELDS.map(([key]) => key), "recipe", "dips", "round"]);

export function DispenseTab(): JSX.Element {
  useEffect(() => void dispensing.ask(), []);
  const failed = dispensing.error.value ?? printError.value;
  const faults = failed instanceof ApiError ? failed.all : [];
  const others = failed instanceof ApiError ? faults.filter((p) => !AT_FIELDS.has(p.place)) : null;
  const answer = dispensing.answer.value;
  const at = (place: string): string | null => { const p = faults.find((one) => one.place === place); return p ? told(p) : null; };
  return (
    <section class="lab-correct lab-dispense">
      <p class="section-lead">{w.dispenseLead}</p>
      <form class="lab-dispense-form" noValidate onSubmit={(event) => event.preventDefault()}>
        <Dips fault={at("recipe") ?? at("dips")} />
        <div class="lab-fields">
          {FIELDS.map(([key, label, unit, hint]) => <Small key={key} label={label} unit={unit} text={numbers.value[key]} {...(hint ? { hint } : {})} wrong={at(key)} onType={(text) => setNumber(key, text)} />)}
        </div>
        <SheetFields round={at("round")} />
      </form>
      {failed && !others ? <p class="lab-near"><Shape kind="stop" /> {failed instanceof Unreachable ? words.unreachable : failed.message}</p> : null}
      {others?.length ? <div class="failure" role="alert"><Shape kind="stop" /><div>{others.map((p) => <FindingText key={p.place + p.message} finding={p} />)}</div></div> : null}
      <div class="lab-dispensed" aria-live="polite" aria-busy={dispensing.busy.value}>
        {answer && dips.value.length && question() ? <Answer a={answer} /> : <p class="quiet-state">{w.noDips}</p>}
      </div>
    </section>
  );
}

function Dips({ fault }: { fault: string | null }): JSX.Element {
  const id = useId();
  return (
    <fieldset class="lab-dyed lab-dips">
      <legend>{w.dips}. {w.dipHint}</legend>
      {dips.value.map((row, i) => {
        const wrong = row.recipe.trim() && recipeIn(row.recipe) === null ? w.dipHint : null;
        return (
          <div class="lab-dip-row" key={i}>
            <input class="input" type="text" autocomplete="off" aria-label={w.dip(i + 1)} placeholder={w.dip(i + 1)} value={row.id} onInput={(event) => setDip(i, { id: event.currentTarget.value })} />
            <input class="input" type="text" autocomplete="off" spellcheck={false} aria-label={w.dipRecipe(i + 1)} value={row.recipe} aria-invalid={wrong ? "true" : "false"} {...(wrong ? { "aria-describedby": `${id}-${i}` } : {})} onInput={(event) => setDip(i, { recipe: event.currentTarget.value })} />
            <button type="button" class="button" aria-label={w.removeDip(i + 1)} onClick={() => removeDip(i)}>{w.remove}</button>
            {wrong ? <p class="field-say" id={`${id}-${i}`}>{wrong}</p> : null}
          </div>
        );
      })}
      {fault ? <p class="field-say" role="alert">{fault}</p> : null}
      {dips.value.length < DIPS_MOST ? (
        <p class="lab-dip-ways no-print">
          {chosen.value ? <button type="button" class="button button-strong" onClick={addShown}>{w.addShown}</button> : null}
          <button type="button" class="button" onClick={() => addDip("")}>{w.addDip}</button>
        </p>
      ) : null}
    </fieldset>
  );
}

function SheetFields({ round }: { round: string | null }): JSX.Element {
  const id = useId();
  const t = texts.value;
  return (
    <fieldset class="lab-dyed lab-for-sheet no-print">
      <legend>{w.forSheet}</legend>
      <div class="lab-fields">
        {(["shade", "cloth"] as const).map((key) => (
          <div class="field" key={key}>
            <label for={`${id}-${key}`}>{key === "shade" ? w.sheetShade : w.sheetCloth}</label>
            <input class="input" id={`${id}-${key}`} type="text" autocomplete="off" value={t[key]} onInput={(event) => setText(key, event.currentTarget.value)} />
          </div>
        ))}
        <Small label={w.round} text={numbers.value.round} wrong={round} onType={(text) => setNumber("round", text)} />
        <div class="field lab-programme">
          <label for={`${id}-p`}>{w.programme}</label>
          <textarea class="input" id={`${id}-p`} rows={3} value={t.programme} onInput={(event) => setText("programme", event.currentTarget.value)} />
        </div>
      </div>
      <p><button type="button" class="button button-strong" disabled={!question() || printing.value} onClick={() => void saveSheet()}>{printing.value ? w.printing : w.print}</button></p>
    </fieldset>
  );
}

function Answer({ a }: { a: Dispensed }): JSX.Element {
  return (
    <>
      <h2 id="lab-solutions">{w.solutions}</h2>
      <Sheet by="lab-solutions" head={w.solution} late
        columns={[{ title: w.strength, unit: "g/L" }, { title: w.make, left: true }, { title: w.flask, unit: "mL" }, { title: w.needed, unit: "mL" }]}
        rows={a.result.solutions.map((s) => ({ head: s.solution, cells: [trimmed(s.g_per_l, 4), s.weigh_g > 0 ? w.weighed(number(s.weigh_g, 2)) : w.taken(trimmed(s.take_ml, 2)), trimmed(s.flask_ml, 0), trimmed(s.needed_ml, 2)] }))} />
      <div class="lab-dip-cards">
        {a.dips.map((d, i) => <DipCard key={i} d={d} n={i + 1} />)}
      </div>
      <Basis notes={a.notes} why={a.why} />
    </>
  );
}

function DipCard({ d, n }: { d: Dispensed["dips"][number]; n: number }): JSX.Element {
  const id = useId();
  const off = (pct: number): string => (Math.abs(pct) < 0.05 ? "" : `${pct > 0 ? "+" : ""}${number(pct, 1)} %`);
  const aux = ([["salt", w.salt], ["alkali", w.alkali]] as const).filter(([key]) => d[`${key}_g`] > 0);
  return (
    <section class="lab-dip">
      <h3 id={id}>{d.dip_id || w.dip(n)} <span class="muted">{w.liquor(trimmed(d.liquor_ml, 1))}</span></h3>
      <Sheet by={id} head={w.from} late
        columns={[{ title: w.asked }, { title: w.pipette }, { title: w.rounded }]}
        rows={[
          ...d.dyes.map((one) => ({ head: w.stockWord(one.dye_id, one.level), cells: [`${dose(one.depth_pct_owf)} ${w.owf}`, <strong>{number(one.ml, 2)} mL</strong>, off(one.error_pct)] })),
          ...aux.map(([key, word]) => ({ head: <>{word} <small class="muted">{d[key] ? `${d[key]?.counted_as}, ${d[key]?.table_id}` : w.weighIn}</small></>, cells: ["", <strong>{number(d[`${key}_g`], 2)} g</strong>, ""] })),
          { head: w.water, cells: [w.topUp, <strong>{number(d.water_ml, 2)} mL</strong>, ""] },
        ]} />
    </section>
  );
}
