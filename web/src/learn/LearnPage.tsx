// What the lots teach: rates by group, control charts, laboratory-to-bulk factors.
import type { JSX } from "preact";
import { number } from "../fmt";
import { Empty, Ready } from "../ui/parts";
import { Charts } from "./Charts";
import { Factors } from "./Factors";
import { Groups } from "./Groups";
import { useLearned, type Learned } from "./taught";
import type { LearnAnswer, Taught } from "./types";
import { w } from "./words";
import "../ui/segment.css";
import "./learn.css";

export function LearnPage(): JSX.Element {
  const answer = useLearned();
  return (
    <article class="learn plan">
      <div class="page-head">
        <h1>{w.title}</h1>
        {answer.data && "groups" in answer.data.result ? <p class="page-count">{answer.data.caption}</p> : null}
      </div>
      <p class="lead">{w.lead}</p>
      <Ready of={answer}>{(a) => (answer.taught ? <Lots a={a} taught={answer.taught} more={answer.more} /> : <Empty>{w.none} {w.older}</Empty>)}</Ready>
    </article>
  );
}

function Lots({ a, taught, more }: { a: LearnAnswer; taught: Taught; more: Learned["more"] }): JSX.Element {
  return (
    <>
      <dl class="learn-head">
        <div>
          <dt>{w.first}</dt>
          <dd><strong>{number(taught.rate_pct, 0)}<span class="num-unit"> %</span></strong> {w.of(taught.right_first, taught.lots)}, {w.range(number(taught.low_pct, 0), number(taught.high_pct, 0))}</dd>
        </div>
        <div>
          <dt>{w.additions}</dt>
          <dd><strong>{number(taught.additions_per_lot, 2)}</strong></dd>
        </div>
      </dl>
      <Groups taught={taught} />
      <Charts taught={taught} />
      <Factors taught={taught} />
      {more ? <p class="learn-rest no-print">{w.inPart} <button type="button" class="button" onClick={() => void more()}>{w.further}</button></p> : null}
      {a.notices.length ? (
        <section class="learn-part" aria-labelledby="learn-notices">
          <h2 id="learn-notices">{w.notices}</h2>
          <ul class="learn-notices">{a.notices.map((n, i) => <li key={i}>{n.place}: {n.message} ({n.value})</li>)}</ul>
        </section>
      ) : null}
    </>
  );
}
