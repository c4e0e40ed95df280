// A hold point that has not passed: what was read, and what can be done about it.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { prose, sentence, sourceName } from "../fmt";
import { api, ApiError, offline } from "../api";
import { who } from "../people/session";
import { Shape } from "../ui/parts";
import { Band, limitsOf } from "./Band";
import { HoldKey } from "./HoldKey";
import { isLooked } from "./expect";
import { isShade, ShadePanel } from "./Shade";
import type { BatchDoc, Remedy, RemedyAnswer, RunStep } from "./types";
import { s } from "./signWords";
import { w } from "./words";

interface Props {
  doc: BatchDoc;
  step: RunStep;
  unconfirmed: boolean;
  approve: (remedy: Remedy) => void;
}

export function HoldPoint({ doc, step, unconfirmed, approve }: Props): JSX.Element | null {
  const [answer, setAnswer] = useState<RemedyAnswer | null>(null);
  const [error, setError] = useState("");
  const away = offline.value;
  const { check, reading } = step;
  const ready = !unconfirmed && step.reading_seq > 0;
  useEffect(() => {
    if (away || !ready) return undefined;
    let gone = false;
    setError("");
    api.remedies(doc.batch.batch_id, step.key).then(
      (got) => { if (!gone) setAnswer(got); },
      (cause: Error) => {
        if (gone) return;
        // What nobody can work out is not a fault of the page: the route's own words remain.
        if (cause instanceof ApiError && cause.status === 404) setAnswer({ verdict: "", verdict_words: "", words: "", remedies: [], missing: [] });
        else setError(cause.message);
      },
    );
    return () => void (gone = true);
  }, [doc.batch.batch_id, step.key, step.reading_seq, away, ready]);
  if (!check || reading === null) return null;
  return (
    <section class="held" aria-labelledby="held-title">
      <div class="held-head">
        <p class="now-place">{w.hold.point} · {w.step(step.key, step.bath, doc.baths.find((b) => b.number === step.bath)?.name ?? "")}</p>
        <h2 id="held-title" class="held-title"><Shape kind="stop" /> {check.words}: {w.hold.fail}</h2>
        <p class="now-do">{isShade(step) && step.measured ? "" : isLooked(check) ? w.hold.looked : w.hold.failed(w.read(reading, check.unit), w.limits(check))} {answer?.words ?? ""}</p>
        {(isShade(step) && step.measured) || isLooked(check) ? null : <Band limits={limitsOf(check)} value={reading} />}
      </div>
      {isShade(step) ? <ShadePanel doc={doc} step={step} correction={answer?.correction ?? null} /> : null}
      {answer?.missing?.map((one) => <p key={one} class="held-more"><Shape kind="note" /> {w.hold.missing} {w.dot(one)}</p>)}
      <h3 class="held-sub">{w.hold.remedies}</h3>
      {answer
        ? answer.remedies.length ? <div class="remedies">{answer.remedies.map((one) => <Card key={one.remedy_id} remedy={one} approve={() => approve(one)} />)}</div> : <p class="now-do">{w.hold.noRemedies} {w.dot(check.remedy)}</p>
        : <p class="now-do" role="status">{away || unconfirmed ? w.hold.offline : error ? <><Shape kind="stop" /> {error}</> : w.hold.fetching}</p>}
    </section>
  );
}

function Card({ remedy, approve }: { remedy: Remedy; approve: () => void }): JSX.Element {
  const given = remedy.steps.flatMap((step) => step.items);
  const { expected } = remedy;
  const dangers = [...new Set(remedy.steps.flatMap((step) => [...step.cautions, ...step.items.flatMap((item) => item.cautions)]))];
  return (
    <article class="remedy" data-remedy={remedy.remedy_id}>
      <h4>{remedy.title}</h4>
      <p class="remedy-words">{prose(remedy.words)}</p>
      <dl>
        {given.length || remedy.water_l > 0 ? <div class="remedy-give"><dt>{w.hold.give}</dt><dd>{given.length ? given.map((item) => <span key={item.item + item.material_id}><b>{w.mass(item.mass_mg)}</b> {item.name} </span>) : w.hold.nothing}</dd></div> : null}
        <div><dt>{w.hold.minutes}</dt><dd>{Math.ceil(remedy.minutes)} min</dd></div>
        {remedy.water_l >= 0.5 ? <div><dt>{w.hold.water}</dt><dd>{w.litres(remedy.water_l)}</dd></div> : null}
        {expected ? <div><dt>{w.hold.expect}</dt><dd>{w.read(expected.value, expected.unit)}{expected.high > expected.low ? <small> {w.hold.range(expected.low, expected.high)}</small> : null}</dd></div> : null}
      </dl>
      {dangers.length || remedy.cautions.length ? (
        <ul class="remedy-cautions" aria-label={w.cautionsTitle}>
          {[...dangers.map((one) => w.cautions[one] ?? one), ...remedy.cautions.map(prose)].map((text) => <li key={text}><Shape kind="warning" /> {text}</li>)}
        </ul>
      ) : null}
      <p class="remedy-role">{w.hold.mayApprove(remedy.approve === "operator" && who.value?.demo === false ? (s.roles["remedy-approve"] ?? "") : remedy.approve_words)}</p>
      <details>
        <summary>{w.hold.steps}{remedy.why.length ? `, ${w.hold.why.toLowerCase()}` : ""}</summary>
        <ol class="remedy-steps">{remedy.steps.map((step) => <li key={step.key}>{w.isTitle(step)}: {w.sentence(step)}</li>)}</ol>
        {remedy.why.map((why) => <p key={why.rule} class="remedy-why"><b>{why.title}.</b> {sentence(why.words)} {why.working ? sentence(why.working) : ""} <small>{w.hold.source}: {sourceName(why.source)}</small></p>)}
      </details>
      <HoldKey strong wide onPress={approve} name={`approve-${remedy.remedy_id}`}>{w.hold.approve}</HoldKey>
    </article>
  );
}
