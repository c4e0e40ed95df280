// Does a sample pass against its standard: the verdict, both colours, every light with its parts.
import type { JSX } from "preact";
import { useEffect, useId } from "preact/hooks";
import { ApiError, Unreachable } from "../api";
import { number } from "../fmt";
import { told } from "../ui/Field";
import { FindingText, Shape } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import { words } from "../words";
import { Conditions, Lights } from "./Conditions";
import { light } from "./compare";
import { Basis } from "./LaboratoryPage";
import { StandardField } from "./RecipesTab";
import { Field } from "./Swatches";
import { judgedSample, judging, limitNumbers, limits } from "./judging";
import { from, samples, standard } from "./state";
import type { Judged, LightVerdict } from "./types";
import { w } from "./words";

export function VerdictTab(): JSX.Element {
  const id = useId();
  const again = (): void => void judging.ask();
  useEffect(again, [standard.value, judgedSample.value]);
  const failed = judging.error.value;
  const own = failed instanceof ApiError ? failed.all.find((p) => p.place === "tolerance") : undefined;
  const others = failed instanceof ApiError ? failed.all.filter((p) => p.place !== "tolerance") : null;
  const wrong = limitNumbers() === null ? w.tolerancesHint : own ? told(own) : null;
  const all = samples.value.filter((s) => s.kind !== "cloth" && s.swatch);
  const answer = judging.answer.value;
  useEffect(() => {
    if (judgedSample.peek() && !all.some((s) => s.name === judgedSample.peek())) {
      judgedSample.value = ""; // of other files, or of another shade
      judging.clear();
    }
  }, [samples.value]);
  return (
    <section class="lab-correct lab-judge">
      <p class="section-lead">{w.verdictLead}</p>
      <div class="lab-correct-two">
        <form class="lab-correct-form" noValidate onSubmit={(event) => event.preventDefault()}>
          <StandardField />
          <div class="field">
            <label for={`${id}-s`}>{w.judged}</label>
            <select class="select" id={`${id}-s`} value={judgedSample.value} onChange={(event) => (judgedSample.value = event.currentTarget.value)}>
              {judgedSample.value ? null : <option value="">{w.pickSample}</option>}
              {all.map((s) => <option key={s.name} value={s.name}>{s.name}</option>)}
            </select>
          </div>
          <div class="field">
            <label for={`${id}-t`}>{w.tolerances}</label>
            <input class="input" id={`${id}-t`} type="text" autocomplete="off" value={limits.value} aria-invalid={wrong ? "true" : "false"} {...(wrong ? { "aria-describedby": `${id}-say` } : {})} onInput={(event) => { limits.value = event.currentTarget.value; again(); }} />
            {wrong ? <p class="field-say" id={`${id}-say`}>{wrong}</p> : null}
          </div>
          <Lights />
          <Conditions then={again} />
        </form>
        <div class="lab-correct-answer" aria-live="polite" aria-busy={judging.busy.value}>
          {failed && !others ? <p class="lab-near"><Shape kind="stop" /> {failed instanceof Unreachable ? words.unreachable : failed.message}</p> : null}
          {others?.length ? <div class="failure" role="alert"><Shape kind="stop" /><div>{others.map((p) => <FindingText key={p.place + p.message} finding={p} />)}</div></div> : null}
          {answer && !failed ? <Answer a={answer} /> : failed ? null : <p class="quiet-state">{w.verdictFirst}</p>}
        </div>
      </div>
      {answer && !failed ? <Basis notes={[...answer.notes, ...answer.notices.map((n) => (from.value ? n.message : `${n.place}: ${n.message}`))]} why={answer.why} /> : null}
    </section>
  );
}

/** The caption of one light out of "D65, A; 10 degree observer; CMC(2:1)". */
function captionOf(caption: string, one: string): string {
  return [one, ...caption.split("; ").slice(1)].join(", ");
}

function Answer({ a }: { a: Judged }): JSX.Element | null {
  const [v] = a.result.verdicts;
  const seen = a.result.lights.find((l) => l.illuminant === light.value) ?? a.result.lights[0];
  if (!v || !seen) return null;
  const colourOf = (swatch: string, in_gamut: boolean): { swatch: string; in_gamut: boolean } => ({ swatch, in_gamut });
  return (
    <>
      <p class="lab-way-word" role="status"><Shape kind={v.passes ? "ok" : "stop"} /> <strong>{v.passes ? w.passes : w.fails}</strong></p>
      <p class="lab-near">{v.words ? w.sampleIs(v.words) : w.alike}{v.over ? ` ${w.overLimit(v.over)} (${v.worst_illuminant}).` : ""}</p>
      <div class="lab-judge-field">
        <Field left={{ word: a.result.standard, colour: colourOf(seen.standard_swatch, seen.standard_in_gamut) }} right={{ word: v.sample, colour: colourOf(seen.sample_swatch, seen.sample_in_gamut) }} light={seen.illuminant} caption={captionOf(a.caption, seen.illuminant)} />
      </div>
      <h3 id="lab-by-light">{w.byLight}</h3>
      <Sheet by="lab-by-light" head={w.lightHead} late
        columns={[{ title: w.difference }, { title: w.limit }, { title: "ΔL*" }, { title: "Δa*" }, { title: "Δb*" }, { title: "ΔC*" }, { title: "ΔH*" }, { title: w.metamerism }, { title: w.ofSample, left: true }]}
        rows={a.result.lights.map((l) => ({ head: <span class="lab-bad"><Shape kind={l.passes ? "ok" : "stop"} /> {l.illuminant}</span>, cells: cells(l) }))} />
      <p class="lab-caption">{a.caption}</p>
    </>
  );
}

function cells(l: LightVerdict): (JSX.Element | string)[] {
  return [<strong>{number(l.de, 2)}</strong>, number(l.most_de, 2), ...[l.dl, l.da, l.db, l.dc, l.dh].map((d) => number(d, 2)), l.metamerism_de === null ? "–" : number(l.metamerism_de, 2), l.words || w.alike];
}
