// What is in the baths of a lot: the chart over its time, each bath's figures, and what the
// checks will find.
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { api } from "../api";
import { BathChart } from "../charts/BathChart";
import { VERDICT_SHAPE, heightOf, ofTheBath, verdictOf, type Verdict } from "../charts/bathScene";
import { clock, number, rounded, shown, trimmed } from "../fmt";
import type { MaybeQ, Plan, PlanBath, PlanCheck, PlanStep } from "../types";
import { Num, type Look } from "../ui/Num";
import { Empty, Ready, Shape } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import { useResource } from "../ui/resource";
import { words } from "../words";
import "./bath.css";

const w = words.bath;
/** Said before the server says it. */
const COLD_C = 25;
const USUAL_LANES = 6;

export function BathPage({ plan }: { plan: Plan }): JSX.Element {
  const lot = plan.lot.lot_id;
  const bath = useResource(`bath/${lot}`, () => api.bath(lot));
  useReloadWith(plan, bath.reload);
  return (
    <>
      {bath.data === null && !bath.error ? <Skeleton /> : (
        <Ready of={bath}>{(data) => (data.points.length ? <BathChart bath={data} plan={plan} /> : <Empty>{w.empty}</Empty>)}</Ready>
      )}
      <BathTable plan={plan} />
      <Checks plan={plan} cold={bath.data?.cold_c ?? COLD_C} />
      <DissolvedTable plan={plan} />
    </>
  );
}

/** Another plan was stored while the page stood: what was worked out from the old one is asked anew. */
export function useReloadWith(plan: Plan, reload: () => void): void {
  const seen = useRef(plan);
  useEffect(() => {
    if (seen.current === plan) return;
    seen.current = plan;
    reload();
  }, [plan]);
}

/** As high as the chart of most lots will be, so that what is below it hardly moves when it comes. */
function Skeleton(): JSX.Element {
  return (
    <section class="bath-chart" aria-busy="true">
      <div class="curve-head"><h2>{w.title}</h2></div>
      <p class="bath-waiting" role="status"><span class="spinner" aria-hidden="true" />{words.loading}</p>
      <svg class="bath-room" width="100%" height={heightOf(document.documentElement.clientWidth, USUAL_LANES)} aria-hidden="true" />
    </section>
  );
}

const COLUMNS = [
  "ph_start", "ph_end", "hardness_dh", "hardness_total_dh", "electrolyte_g_per_l", "peroxide_mg_per_l", "dithionite_g_per_l", "loose_mg_per_kg",
] as const;
function looksOf(key: (typeof COLUMNS)[number]): Look {
  return /^(ph|hardness)/.test(key) ? "plain" : "round";
}
function shownOf(bath: PlanBath, key: (typeof COLUMNS)[number]): MaybeQ {
  const q = bath[key] ?? null;
  // A zero that nobody asked about is not worth ink; a hardness of 0 is.
  return q && looksOf(key) === "round" && rounded(q.value) === "0" ? null : q;
}

function BathTable({ plan }: { plan: Plan }): JSX.Element {
  const columns = COLUMNS.filter((key) => plan.baths.some((bath) => shownOf(bath, key)));
  const rows = plan.baths.filter((bath) => columns.some((key) => bath[key]));
  return (
    <section class="bath-section" aria-labelledby="bath-table-title">
      <h2 id="bath-table-title">{w.table}</h2>
      {columns.length ? (
        <Sheet by="bath-table-title" head={words.plan.bath} columns={columns.map((key) => ({ title: w.columns[key] }))}
          rows={rows.map((bath) => ({
            head: <><span class="row-no">{bath.number}</span> {bath.name}</>,
            cells: columns.map((key) => <Num q={shownOf(bath, key)} look={looksOf(key)} />),
          }))} />
      ) : <p>{w.empty}</p>}
    </section>
  );
}

interface CheckRow {
  bath: PlanBath;
  number: number;
  step: PlanStep;
  check: PlanCheck;
  q: MaybeQ;
  /** How far the value may be off. */
  off: number;
  verdict: Verdict;
}

function checkRows(plan: Plan): CheckRow[] {
  return plan.baths.flatMap((bath) => bath.steps.flatMap((step, k): CheckRow[] => {
    const { check } = step;
    if (!check || !ofTheBath(check.unit)) return [];
    const q = check.expected;
    const off = check.unit === "pH" ? (step.uncertainty_ph ?? 0) : 0;
    return [{ bath, number: k + 1, step, check, q, off, verdict: verdictOf(q ? q.value : null, check.low, check.high, off) }];
  }));
}

function Checks({ plan, cold }: { plan: Plan; cold: number }): JSX.Element {
  const rows = checkRows(plan);
  const c = w.checkColumns;
  const columns = [{ title: c.time }, { title: c.what, left: true }, { title: c.window }, { title: c.value }, { title: c.cold, left: true }, { title: c.verdict, left: true }];
  return (
    <section class="bath-section" aria-labelledby="bath-checks-title">
      <h2 id="bath-checks-title">{w.checks}</h2>
      {rows.length ? (
        <>
          <p class="section-lead">{w.checksLead(number(cold))}</p>
          <Sheet late by="bath-checks-title" head={c.place} columns={columns} rows={rows.map((row) => ({
            head: <><span class="row-no">{row.bath.number}.{row.number}</span> {row.bath.name}</>, cells: checkCells(row),
          }))} />
        </>
      ) : <p>{w.noChecks}</p>}
    </section>
  );
}

function checkCells({ step, check, q, off, verdict }: CheckRow): ComponentChildren[] {
  const limit = (v: number | null): string | null => (v === null ? null : trimmed(v, 2));
  const unit = check.unit === "pH" ? "" : shown(0, check.unit, "").unit;
  return [
    clock(step.start_min.value), check.words, words.plan.checkLimits(limit(check.low), limit(check.high), unit),
    <><Num q={q} look={check.unit === "pH" ? "plain" : "round"} />{q && off > 0 ? <span class="muted"> ±{number(off, 2)}</span> : null}</>,
    check.unit === "pH" ? (check.cooled ? w.readCooled : w.readHot) : "",
    <VerdictWord verdict={verdict} />,
  ];
}

function VerdictWord({ verdict }: { verdict: Verdict }): JSX.Element {
  if (verdict === "unknown") return <span class="muted">{words.verdict.unknown}</span>;
  return <span class={`verdict verdict-${verdict}`}><Shape kind={VERDICT_SHAPE[verdict]} />{words.verdict[verdict]}</span>;
}

function DissolvedTable({ plan }: { plan: Plan }): JSX.Element | null {
  const baths = plan.baths.filter((bath) => bath.dissolved?.length);
  if (!baths.length) return null;
  return (
    <details class="bath-section bath-dissolved">
      <summary><h2>{w.dissolved}</h2></summary>
      <p class="section-lead">{w.dissolvedLead}</p>
      <div class="dissolved-grid">
        {baths.map((bath) => (
          <div key={bath.number} class="dissolved">
            <h3 id={`dissolved-${bath.number}`}><span class="row-no">{bath.number}</span> {bath.name}</h3>
            <Sheet late by={`dissolved-${bath.number}`} head={w.substance} columns={[{ title: w.start }, { title: w.end }]}
              rows={bath.dissolved.map((one) => ({ head: one.words, cells: [one.start_g_per_l, one.end_g_per_l].map((q) => <Num q={q} look="round" unit={false} />) }))} />
          </div>
        ))}
      </div>
    </details>
  );
}
