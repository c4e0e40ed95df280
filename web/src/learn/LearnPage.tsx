// What the lots teach: rates by group, control charts, laboratory-to-bulk factors.
import type { JSX } from "preact";
import { learned } from "../api";
import { number } from "../fmt";
import { Empty, Ready } from "../ui/parts";
import { useResource } from "../ui/resource";
import { Charts } from "./Charts";
import { Factors } from "./Factors";
import { Groups } from "./Groups";
import type { LearnAnswer, Taught } from "./types";
import { w } from "./words";
import "../ui/segment.css";
import "./learn.css";

export function LearnPage(): JSX.Element {
  const answer = useResource("learn", learned);
  return (
    <article class="learn plan">
      <div class="page-head">
        <h1>{w.title}</h1>
        {answer.data && "groups" in answer.data.result ? <p class="page-count">{answer.data.caption}</p> : null}
      </div>
      <p class="lead">{w.lead}</p>
      <Ready of={answer}>{(a) => ("groups" in a.result ? <Lots a={a} taught={a.result} /> : <Empty>{w.none} {w.older}</Empty>)}</Ready>
    </article>
  );
}

function Lots({ a, taught }: { a: LearnAnswer; taught: Taught }): JSX.Element {
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
      {a.notices.length ? (
        <section class="learn-part" aria-labelledby="learn-notices">
          <h2 id="learn-notices">{w.notices}</h2>
          <ul class="learn-notices">{a.notices.map((n, i) => <li key={i}>{n.place}: {n.message} ({n.value})</li>)}</ul>
        </section>
      ) : null}
    </>
  );
}
