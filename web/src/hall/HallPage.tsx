// Every machine of the hall in a row: what is on it, how far it is, when it ends, what it waits for.
import { effect, signal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { api, offline } from "../api";
import { noteServerTime, nowMs, tick } from "../floor/clock";
import type { HallBatch, HallDoc, HallMachine } from "../floor/types";
import { w as all } from "../floor/words";
import { clock as hours, number, wallClock } from "../fmt";
import { href } from "../place";
import { Empty, Failure, Loading, Shape, Swatch } from "../ui/parts";
import "./hall.css";

const w = all.hallPage;
const POLL_MS = 3000;
const POLL_HIDDEN_MS = 20_000;
/** Of fewer minutes nobody speaks. */
const LATE_LEAST_MIN = 3;

const hall = signal<HallDoc | null>(null);
const error = signal<Error | null>(null);
let tag = "";
let watching = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
let asking = false;

async function poll(): Promise<void> {
  clearTimeout(timer);
  if (asking || !watching) return;
  asking = true;
  const askedMs = Date.now();
  try {
    const got = await api.hall(tag);
    if (got.data) {
      noteServerTime(got.data.now_utc_ms, askedMs, Date.now());
      ({ tag } = got);
      hall.value = got.data;
    }
    error.value = null;
  } catch (cause) {
    error.value = cause as Error;
  }
  asking = false;
  if (watching) timer = setTimeout(() => void poll(), document.hidden ? POLL_HIDDEN_MS : POLL_MS);
}
effect(() => {
  if (!offline.value) void poll();
});
function watch(): () => void {
  watching += 1;
  const seen = (): void => {
    if (!document.hidden) void poll();
  };
  document.addEventListener("visibilitychange", seen);
  void poll();
  return () => {
    watching -= 1;
    document.removeEventListener("visibilitychange", seen);
  };
}

export interface Row {
  machine: HallMachine;
  batch: HallBatch | null;
}
/** The server's order of the lots: late and waiting first; then the machines that are free. */
export function rowsOf(doc: HallDoc): Row[] {
  const named = new Map(doc.machines.map((m) => [m.machine_id, m]));
  const taken = doc.batches.map((batch): Row => ({ batch, machine: named.get(batch.machine_id) ?? { machine_id: batch.machine_id, name: batch.machine_id, batch_id: batch.batch_id, next_lot_id: null } }));
  const busy = new Set(doc.batches.map((b) => b.machine_id));
  return [...taken, ...doc.machines.filter((m) => !busy.has(m.machine_id)).map((machine): Row => ({ machine, batch: null }))];
}

export function HallPage(): JSX.Element {
  useEffect(watch, []);
  useEffect(tick, []);
  const doc = hall.value;
  const rows = doc ? rowsOf(doc) : [];
  return (
    <>
      <div class="page-head">
        <h1>{w.title}</h1>
        {doc ? <p class="page-count">{w.count(rows.filter((r) => r.batch).length, rows.length)}</p> : null}
        {doc ? <p class="hall-clock">{wallClock(new Date(nowMs.value))}</p> : null}
      </div>
      <p class="lead">{w.lead}</p>
      {doc ? rows.length ? <Table rows={rows} now={nowMs.value} /> : <Empty>{w.empty}</Empty> : error.value ? <Failure error={error.value} reload={() => void poll()} /> : <Loading />}
    </>
  );
}

function Table({ rows, now }: { rows: Row[]; now: number }): JSX.Element {
  const { columns } = w;
  return (
    <table class="hall" aria-label={w.title}>
      <thead>
        <tr><th scope="col">{columns.machine}</th><th scope="col">{columns.lot}</th><th scope="col">{columns.step}</th><th scope="col">{columns.progress}</th><th scope="col" class="right">{columns.end}</th></tr>
      </thead>
      <tbody>{rows.map((row) => (row.batch ? <Taken key={row.machine.machine_id} machine={row.machine} batch={row.batch} now={now} /> : <Free key={row.machine.machine_id} machine={row.machine} />))}</tbody>
    </table>
  );
}

function Free({ machine }: { machine: HallMachine }): JSX.Element {
  return (
    <tr class="is-free">
      <th scope="row">{machine.name}</th>
      <td colSpan={4} class="hall-free">{w.free}{machine.next_lot_id ? <> · <a href={href(["lots", machine.next_lot_id])}>{w.next(machine.next_lot_id)}</a></> : null}</td>
    </tr>
  );
}

function Taken({ machine, batch, now }: { machine: HallMachine; batch: HallBatch; now: number }): JSX.Element {
  const { begun_utc_ms: begun, planned_end_utc_ms: planned } = batch;
  // A forecast that has passed while nobody entered anything is not believed.
  const end = batch.forecast_end_utc_ms === null ? null : Math.max(batch.forecast_end_utc_ms, begun === null ? 0 : now);
  const waits = batch.waits_for;
  const stuck = batch.state === "held" || batch.state === "paused" || batch.state === "stopped";
  return (
    <tr class={stuck || batch.late_min >= LATE_LEAST_MIN ? "is-abnormal" : ""}>
      <th scope="row">{machine.name}</th>
      <td class="hall-lot">
        <a class="row-link" href={href(["floor", batch.batch_id])} aria-label={w.open(batch.lot_id, machine.name)}><Swatch colour={batch.swatch} /><span>{batch.lot_id}</span></a>
        <small>{batch.shade_id} · {w.kg(number(batch.load_kg))}</small>
      </td>
      <td class="hall-step">
        <p>{batch.step ? <><span class="hall-key">{batch.step.key}</span> {batch.step.words}</> : batch.state === "idle" ? w.notBegun : batch.state_words}</p>
        {stuck || waits ? (
          <p class="hall-waits"><Shape kind={batch.state === "held" || batch.state === "stopped" ? "stop" : batch.state === "paused" ? "warning" : "note"} />
            {stuck ? <b>{batch.state_words}</b> : null}{waits ? <span>{stuck ? `${waits}` : w.waitsFor(waits)}</span> : null}</p>
        ) : null}
      </td>
      <td class="hall-progress">{begun !== null && end !== null ? <Bar begun={begun} now={now} end={end} planned={planned} /> : <span class="muted">{w.notBegun}</span>}</td>
      <td class="right hall-end">{end === null ? all.hallPage.notBegun : <><b>{wallClock(new Date(end))}</b><Late late={batch.late_min} planned={planned} begun={begun !== null} /></>}</td>
    </tr>
  );
}

function Late({ late, planned, begun }: { late: number; planned: number | null; begun: boolean }): JSX.Element | null {
  if (!begun || planned === null) return null;
  const at = w.planned(wallClock(new Date(planned)));
  if (late >= LATE_LEAST_MIN) return <span class="hall-late"><Shape kind="late" /> {w.late(span(late))} <small>{at}</small></span>;
  return <small>{late <= -LATE_LEAST_MIN ? w.early(span(-late)) : w.onTime}, {at}</small>;
}
function span(min: number): string {
  return min >= 60 ? `${hours(min)} h` : `${number(min)} min`;
}

/** From the begin to the end that is expected; a mark where it was planned to end. */
function Bar({ begun, now, end, planned }: { begun: number; now: number; end: number; planned: number | null }): JSX.Element {
  const to = Math.max(end, planned ?? 0, begun + 1);
  const x = (at: number): number => Math.min(100, Math.max(0, (100 * (at - begun)) / (to - begun)));
  const pct = Math.min(100, Math.max(0, (100 * (now - begun)) / Math.max(1, end - begun)));
  return (
    <svg class="hall-bar" viewBox="0 0 100 20" preserveAspectRatio="none" role="img" aria-label={w.progress(number(pct))}>
      <path class="hall-bar-all" d={`M0 6h${x(end)}v8H0z`} />
      <path class="hall-bar-done" d={`M0 6h${x(now)}v8H0z`} />
      {planned === null ? null : <path class="hall-bar-plan" d={`M${x(planned)} 1v18`} />}
    </svg>
  );
}
