// From an off-shade sample: what each dye really did, what to add, how to begin next time.
import type { JSX } from "preact";
import { useEffect, useId } from "preact/hooks";
import { ApiError, Unreachable } from "../api";
import { number, parse, trimmed } from "../fmt";
import { told } from "../ui/Field";
import { FindingText, Shape } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import { words } from "../words";
import { Basis } from "./LaboratoryPage";
import { Conditions, Lights } from "./Conditions";
import { light } from "./compare";
import { StandardField, dose } from "./RecipesTab";
import { Field } from "./Swatches";
import { asDyed, calibrated, chosen, correct, correctError, corrected, lightView, sampleName, samples, setRow, standard, standardName, takeShown } from "./state";
import type { Corrected, OfDye } from "./types";
import { w } from "./words";

export function CorrectTab(): JSX.Element {
  const answer = corrected.value;
  useEffect(() => void correct(), [standard.value]);
  const failed = correctError.value;
  const problems = failed instanceof ApiError ? failed.all.filter((p) => p.place !== "recipe") : null;
  return (
    <section class="lab-correct">
      <p class="section-lead">{w.correctLead}</p>
      <div class="lab-correct-two">
        <Asked />
        <div class="lab-correct-answer" aria-live="polite">
          {failed && !problems ? <p class="lab-near"><Shape kind="stop" /> {failed instanceof Unreachable ? words.unreachable : failed.message}</p> : null}
          {problems?.length ? <div class="failure" role="alert"><Shape kind="stop" /><div>{problems.map((p) => <FindingText key={p.place + p.message} finding={p} />)}</div></div> : null}
          {answer && !failed ? <Answer dyes={answer.dyes} a={answer.answer} /> : failed ? null : <p class="quiet-state">{w.correctFirst}</p>}
        </div>
      </div>
      {answer && !failed ? <Basis notes={answer.answer.notes} why={answer.answer.why} /> : null}
    </section>
  );
}

function Asked(): JSX.Element {
  const id = useId();
  const others = samples.value.filter((s) => s.kind !== "cloth" && s.swatch);
  const dyes = calibrated.value?.laboratory.dyes ?? [];
  const failed = correctError.value instanceof ApiError ? correctError.value.all.find((p) => p.place === "recipe") : undefined;
  return (
    <form class="lab-correct-form" noValidate onSubmit={(event) => event.preventDefault()}>
      <StandardField />
      <div class="field">
        <label for={`${id}-s`}>{w.sample}</label>
        <select class="select" id={`${id}-s`} value={sampleName.value} onChange={(event) => { sampleName.value = event.currentTarget.value; void correct(); }}>
          {sampleName.value ? null : <option value="">{w.pickSample}</option>}
          {others.map((s) => <option key={s.name} value={s.name}>{s.name}</option>)}
        </select>
      </div>
      <fieldset class="lab-dyed">
        <legend>{w.asDyed}</legend>
        {asDyed.value.map((row, i) => {
          const typed = parse(row.depth);
          const wrong = row.dye && "wrong" in typed && row.depth ? words.whatIf.wrong[typed.wrong] : null;
          return (
            <div class="lab-dyed-row" key={i}>
              <select class="select" aria-label={w.dyeNo(i + 1)} value={row.dye} onChange={(event) => { setRow(i, { dye: event.currentTarget.value }); void correct(); }}>
                <option value="">{w.noDye}</option>
                {dyes.map((d) => <option key={d.dye_id} value={d.dye_id}>{d.dye_id}</option>)}
              </select>
              <span class="field-box">
                <input class="input" type="text" inputMode="decimal" autocomplete="off" aria-label={w.depthOf(i + 1)} aria-invalid={wrong ? "true" : "false"} {...(wrong ? { "aria-describedby": `${id}-say${i}` } : {})} value={row.depth}
                  onInput={(event) => { setRow(i, { depth: event.currentTarget.value }); void correct(); }} />
                <span class="field-unit">{w.owf}</span>
              </span>
              {wrong ? <p class="field-say" id={`${id}-say${i}`}>{wrong}</p> : null}
            </div>
          );
        })}
        {failed ? <p class="field-say" role="alert">{told(failed)}</p> : null}
        {chosen.value ? <button type="button" class="button no-print" onClick={takeShown}>{w.fromFound}</button> : null}
      </fieldset>
      <Lights />
      <Conditions then={() => void correct()} />
    </form>
  );
}

function Answer({ dyes, a }: { dyes: string[]; a: Corrected }): JSX.Element {
  const r = a.result;
  const of = (which: "standard" | "sample" | "after") => a.colours[which].seen[light.value];
  const [s, sample, after] = [of("standard"), of("sample"), of("after")];
  const caption = lightView.value?.caption ?? r.caption;
  const fine = r.way === "accept" || r.way === "add";
  const adds = r.way !== "accept";
  const rows = dyes.map((id) => ({ id, d: r[id] as OfDye }));
  return (
    <>
      <p class="lab-way-word" role="status"><Shape kind={fine ? "ok" : "warning"} /> <strong>{w.ways[r.way] ?? r.way}</strong></p>
      {s && sample && after ? (
        <div class="lab-fields-two">
          <div><h3>{w.before} <b>{number(sample.difference ?? NaN, 2)}</b></h3><Field left={{ word: standardName.value, colour: s }} right={{ word: w.cameOut, colour: sample }} light={light.value} caption={caption} /></div>
          <div><h3>{w.after} <b>{number(after.difference ?? NaN, 2)}</b></h3><Field left={{ word: standardName.value, colour: s }} right={{ word: w.after, colour: after }} light={light.value} caption={caption} /></div>
        </div>
      ) : null}
      <h3 id="lab-adds" class="visually-hidden">{w.add}</h3>
      <Sheet by="lab-adds" head={w.dye} late
        columns={[{ title: w.worked, unit: "%" }, { title: w.range, unit: "%" }, { title: w.add, unit: w.owf }, { title: w.next, unit: w.owf }]}
        rows={rows.map(({ id, d }) => ({
          head: id,
          cells: [
            <>{trimmed(d.strength_pct, 0)}{d.known === "no" ? <small class="muted"> {w.untold}</small> : null}</>,
            `${trimmed(d.strength_low_pct, 0)} to ${trimmed(d.strength_high_pct, 0)}`,
            <strong>{adds && d.add_pct_owf > 0 ? dose(d.add_pct_owf) : "–"}</strong>,
            dose(d.next_pct_owf),
          ],
        }))} />
      <p class="muted">{w.unexplained(number(r.unexplained, 2))}.</p>
    </>
  );
}
