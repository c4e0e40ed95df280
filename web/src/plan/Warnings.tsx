import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Plan, PlanWarning, Severity } from "../types";
import { Shape } from "../ui/parts";
import { words } from "../words";

const w = words.plan;
const ORDER: Severity[] = ["stop", "warning", "note"];
/** Longer lists fold; what stops the lot never does. */
const UNFOLDED = 4;

interface Props {
  plan: Plan;
  goTo: (bath: number, step: number) => void;
}

export function Warnings({ plan, goTo }: Props): JSX.Element {
  const [all, setAll] = useState(false);
  const sorted = ORDER.flatMap((severity) => plan.warnings.filter((warning) => warning.severity === severity));
  const stops = sorted.filter((warning) => warning.severity === "stop").length;
  const keep = Math.max(stops, UNFOLDED);
  const folded = !all && sorted.length > keep + 1;
  const counts = ORDER.map((severity) => [severity, sorted.filter((x) => x.severity === severity).length] as const).filter(([, n]) => n > 0);
  return (
    <section class="warnings" aria-labelledby="warnings-title">
      <div class="warnings-head">
        <h2 id="warnings-title">{w.warnings}</h2>
        {counts.length
          ? <ul class="warnings-count">{counts.map(([severity, n]) => <li key={severity}><Shape kind={severity} />{w.counted(n, severity)}</li>)}</ul>
          : <p class="warnings-count"><Shape kind="ok" /> {w.noWarnings}</p>}
      </div>
      {sorted.length ? (
        <ul class="warning-list">
          {sorted.map((warning, i) => <Line key={`${warning.id}${warning.bath}.${warning.step}.${i}`} warning={warning} goTo={goTo} hidden={folded && i >= keep} />)}
        </ul>
      ) : null}
      {folded ? <button type="button" class="button no-print" onClick={() => setAll(true)}>{w.showAll(sorted.length)}</button> : null}
    </section>
  );
}

function Line({ warning, goTo, hidden }: { warning: PlanWarning; goTo: Props["goTo"]; hidden: boolean }): JSX.Element {
  const body = (
    <>
      <Shape kind={warning.severity} />
      <span class="warning-word">{words.state[warning.severity]}</span>
      <span class="warning-text">{warning.text}</span>
    </>
  );
  return (
    <li class={hidden ? "is-folded" : ""}>
      {warning.bath > 0
        ? <button type="button" class="warning" onClick={() => goTo(warning.bath, warning.step)}>{body}</button>
        : <p class="warning">{body}</p>}
    </li>
  );
}
