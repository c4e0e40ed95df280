// Right first time by shade, machine, dye set, article or month: each rate with what its lots allow.
import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { number } from "../fmt";
import { Shape } from "../ui/parts";
import { Sheet, type SheetRow } from "../ui/Sheet";
import type { Group, GroupBy, Taught } from "./types";
import { w } from "./words";

const FIRST = 12;
/** Outlive the page: who comes back looks at the same list. */
const chosen = signal<GroupBy>("shade");
const whole = signal(false);

export function Groups({ taught }: { taught: Taught }): JSX.Element {
  const grouping = taught.groupings.find((g) => g.by === chosen.value) ?? taught.groupings[0];
  const by = grouping?.by ?? "month";
  const rows = taught.groups.filter((g) => g.by === by);
  const shown = whole.value ? rows : rows.slice(0, FIRST);
  return (
    <section class="learn-part" aria-labelledby="learn-groups">
      <h2 id="learn-groups">{w.first}</h2>
      <fieldset class="segments no-print">
        <legend class="visually-hidden">{w.by}</legend>
        {taught.groupings.map((g) => (
          <label key={g.by} class="segment">
            <input type="radio" name="learn-by" value={g.by} checked={g.by === by} onChange={() => (chosen.value = g.by)} />
            <span>{w.grouped[g.by]}</span>
          </label>
        ))}
      </fieldset>
      {grouping ? <p class="section-lead">{grouping.alike ? w.alike : w.differ(number(grouping.worth_lots ?? 0, 0))}</p> : null}
      <RateKey />
      <Sheet by="learn-groups" head={w.grouped[by]} columns={[
        { title: w.columns.lots }, { title: w.columns.right }, { title: w.columns.rate, unit: "%", left: true }, { title: w.columns.expected, unit: "%" }, { title: w.columns.lost }, { title: w.columns.verdict, left: true },
      ]} rows={shown.map((g) => rowOf(g, taught.rate_pct))} />
      {rows.length > FIRST ? <button type="button" class="button learn-more no-print" aria-expanded={whole.value} onClick={() => (whole.value = !whole.value)}>{whole.value ? w.fewer : w.all(rows.length)}</button> : null}
    </section>
  );
}

function rowOf(g: Group, mill: number): SheetRow {
  return {
    head: g.id,
    cells: [g.lots, g.right_first, <Rate g={g} mill={mill} />, number(g.expected_pct, 0), number(g.lost_lots, 1), <Verdict of={g.verdict} />],
  };
}

function Verdict({ of }: { of: Group["verdict"] }): JSX.Element {
  return of === "chance" ? <span class="muted">{w.verdict.chance}</span> : <span class="verdict"><Shape kind={of === "worse" ? "warning" : "ok"} /> {w.verdict[of]}</span>;
}

const W = 180;
const H = 22;
const x = (pct: number): number => 6 + (pct / 100) * (W - 12);

/** 0 to 100 %: the range as a bar, its own rate a disc, what is expected a stroke, the mill a dotted line. */
function Rate({ g, mill }: { g: Group; mill: number }): JSX.Element {
  return (
    <span class="learn-rate">
      <svg viewBox={`0 0 ${W} ${H}`} width={W} height={H} role="img" aria-label={w.rateAlt(g)}>
        <path class="learn-mill" d={`M${x(mill)} 0V${H}`} />
        <path class="learn-range" d={`M${x(g.low_pct)} ${H / 2}H${x(g.high_pct)}`} />
        <path class="learn-expected" d={`M${x(g.expected_pct)} 4V${H - 4}`} />
        <circle class="learn-own" cx={x(g.rate_pct)} cy={H / 2} r="4.5" />
      </svg>
      <span class="learn-rate-text" aria-hidden="true">{number(g.rate_pct, 0)} <span class="muted">({number(g.low_pct, 0)} to {number(g.high_pct, 0)})</span></span>
    </span>
  );
}

function RateKey(): JSX.Element {
  return (
    <ul class="learn-key" aria-hidden="true">
      <li><svg viewBox="0 0 24 16" width="24" height="16"><circle class="learn-own" cx="12" cy="8" r="4.5" /></svg>{w.rateKey.own}</li>
      <li><svg viewBox="0 0 24 16" width="24" height="16"><path class="learn-range" d="M2 8h20" /></svg>{w.rateKey.range}</li>
      <li><svg viewBox="0 0 24 16" width="24" height="16"><path class="learn-expected" d="M12 1v14" /></svg>{w.rateKey.expected}</li>
      <li><svg viewBox="0 0 24 16" width="24" height="16"><path class="learn-mill" d="M12 0v16" /></svg>{w.rateKey.mill}</li>
    </ul>
  );
}
