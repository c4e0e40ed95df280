import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { prose } from "../fmt";
import type { Plan, PlanWarning, Severity } from "../types";
import { Shape } from "../ui/parts";
import { words } from "../words";

const w = words.plan;
const ORDER: Severity[] = ["stop", "warning", "note"];
/** Longer lists fold; what stops the lot never does. */
const UNFOLDED = 4;

interface Props {
  plan: Plan;
  title: string;
  /** Which of them; a list of none of them is not shown unless `calm` says so in words. */
  kinds: Severity[];
  calm?: boolean;
  goTo: (bath: number, step: number) => void;
}

export function Warnings({ plan, title, kinds, calm, goTo }: Props): JSX.Element | null {
  const [all, setAll] = useState(false);
  const sorted = ORDER.filter((severity) => kinds.includes(severity))
    .flatMap((severity) => plan.warnings.filter((warning) => warning.severity === severity));
  const stops = sorted.filter((warning) => warning.severity === "stop").length;
  const keep = Math.max(stops, UNFOLDED);
  const folded = !all && sorted.length > keep + 1;
  const counts = ORDER.map((severity) => [severity, sorted.filter((x) => x.severity === severity).length] as const).filter(([, n]) => n > 0);
  if (!sorted.length && !calm) return null;
  const id = `warnings-${kinds[0]}`;
  return (
    <section class="warnings" aria-labelledby={id}>
      <div class="warnings-head">
        <h2 id={id}>{title}</h2>
        {counts.length
          ? <ul class="warnings-count">{counts.map(([severity, n]) => <li key={severity}><Shape kind={severity} />{w.counted(n, severity)}</li>)}</ul>
          : <p class="warnings-count"><Shape kind="ok" /> {w.noWarnings}</p>}
      </div>
      {sorted.length ? (
        <ul class="warning-list">
          {sorted.map((warning, i) => <Line key={`${warning.id}${warning.bath}.${warning.step}.${i}`} plan={plan} warning={warning} goTo={goTo} hidden={folded && i >= keep} />)}
        </ul>
      ) : null}
      {folded ? <button type="button" class="button no-print" onClick={() => setAll(true)}>{w.showAll(sorted.length)}</button> : null}
    </section>
  );
}

function Line({ plan, warning, goTo, hidden }: { plan: Plan; warning: PlanWarning; goTo: Props["goTo"]; hidden: boolean }): JSX.Element {
  const at = { bath: warning.bath ?? 0, step: warning.step ?? 0 };
  const bath = plan.baths[at.bath - 1];
  const body = (
    <>
      <Shape kind={warning.severity} />
      <span class="warning-word">{words.state[warning.severity]}</span>
      <span class="warning-text">
        {bath ? <b class="warning-place">{w.warningPlace(bath.number, bath.name, at.step)} </b> : null}
        {prose(warning.text)}
      </span>
    </>
  );
  return (
    <li class={hidden ? "is-folded" : ""}>
      {bath
        ? <button type="button" class="warning" onClick={() => goTo(at.bath, at.step)}>{body}</button>
        : <p class="warning">{body}</p>}
    </li>
  );
}
