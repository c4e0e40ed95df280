// A number of the plan: set in tabular figures, dotted beneath, and a link to its why.
import { createContext, type JSX } from "preact";
import { useContext } from "preact/hooks";
import { clock, rounded, shown, trimmed, weight, type Shown } from "../fmt";
import { href } from "../place";
import type { MaybeQ, Q } from "../types";
import { words } from "../words";
import { openedBy } from "../why/trail";
import "./num.css";

export interface PlanScope {
  /** The place the numbers stand at; their why opens there. */
  path: string[];
  /** What else of the address makes these numbers what they are. */
  query?: Record<string, string>;
  currency: string;
}
export const Scope = createContext<PlanScope>({ path: [], currency: "" });

export type Look = "plain" | "weigh" | "clock" | "share" | "round" | "fine";

export function dressed(q: Q, currency: string, look: Look = "plain"): Shown {
  if (look === "weigh") return weight(q.value);
  if (look === "share") return shown(q.value * 100, "%", currency);
  if (look === "clock") return { value: clock(q.value), unit: "h" };
  if (look === "fine") return { value: trimmed(q.value, 1), unit: shown(q.value, q.unit, currency).unit };
  if (look === "round") return { value: rounded(q.value), unit: shown(q.value, q.unit, currency).unit };
  return shown(q.value, q.unit, currency);
}

interface NumProps {
  q: MaybeQ;
  /** The same figure of the stored plan; undefined: nothing to compare with. */
  was?: MaybeQ | undefined;
  look?: Look;
  unit?: boolean;
}

export function Num({ q, was, look = "plain", unit = true }: NumProps): JSX.Element {
  const scope = useContext(Scope);
  if (!q) return <span class="num-none">{words.none}</span>;
  const now = dressed(q, scope.currency, look);
  const before = was ? dressed(was, scope.currency, look) : null;
  const changed = before !== null && (before.value !== now.value || before.unit !== now.unit);
  const link = (
    <a class="num" href={href(scope.path, { ...scope.query, why: q.figure })} data-figure={q.figure} onClick={openedBy}>
      <span class="num-value">{now.value}</span>
      {unit && now.unit && look !== "clock" ? <span class="num-unit">{now.unit}</span> : null}
    </a>
  );
  if (!changed || !was) return link;
  return (
    <span class="num-changed">
      {link}
      <Was up={q.value > was.value} text={before.value} unit={now.unit === before.unit ? "" : before.unit} />
    </span>
  );
}

/** "was 8,000", with a triangle that points the way the value went; a diamond where there is no way. */
export function Was({ up, text, unit }: { up?: boolean; text: string; unit?: string }): JSX.Element {
  return (
    <span class="was">
      <svg viewBox="0 0 8 8" width="8" height="8" aria-hidden="true" focusable="false"><path d={up === undefined ? "M4 0l4 4-4 4-4-4z" : up ? "M0 7.5 4 .5l4 7z" : "M0 .5h8l-4 7z"} /></svg>
      {words.plan.was} {text}{unit ? ` ${unit}` : ""}
    </span>
  );
}
