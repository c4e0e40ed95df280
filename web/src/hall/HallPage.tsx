// Every machine of the hall in a row: what is on it, how far it is, when it ends, what it waits for.
import { effect, signal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { api, offline } from "../api";
import { noteServerTime, nowMs, tick } from "../floor/clock";
import type { BrokenBatch, HallBatch, HallDoc, HallMachine, RecordSeen } from "../floor/types";
import { hallPage as w } from "./words";
import { clock as hours, number, wallClock } from "../fmt";
import { href } from "../place";
import { Empty, Failure, Loading, Shape, Swatch } from "../ui/parts";
import "./hall.css";

const POLL_MS = 3000;
const POLL_HIDDEN_MS = 20_000;
/** Of fewer minutes nobody speaks. */
const LATE_LEAST_MIN = 3;

const hall = signal<HallDoc | null>(null);
const error = signal<Error | null>(null);
let watching = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
let asking = false;

async function poll(): Promise<void> {
  clearTimeout(timer);
  if (asking || !watching) return;
  asking = true;
  const askedMs = Date.now();
  try {
    const got = await api.hall();
    noteServerTime(got.now_utc_ms, askedMs, Date.now());
    hall.value = got;
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
  batch: HallBatch | BrokenBatch | null;
}
/** The server's order of the lots: late and waiting first; then the machines that are free. */
export function rowsOf(doc: HallDoc): Row[] {
  const named = new Map(doc.machines.map((m) => [m.machine_id, m]));
  const taken = doc.batches.map((batch): Row => ({ batch, machine: named.get(batch.machine_id) ?? { machine_id: batch.machine_id, name: batch.machine_id, batch_id: batch.batch_id, next_lot_id: null } }));
  // A lot that is done, or at the dryer, is on no machine of the hall any more.
  const busy = new Set(doc.batches.filter((b) => b.state === "broken" || !b.unloaded).map((b) => b.machine_id));
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
        {doc ? <p class="page-count">{w.count(doc.machines.filter((m) => m.batch_id).length, doc.machines.length)}</p> : null}
        {doc ? <p class="hall-clock">{wallClock(new Date(nowMs.value))}</p> : null}
      </div>
      <p class="lead">{w.lead}</p>
      {doc ? <Record seen={doc.record} /> : null}
      {doc ? rows.length ? <Table rows={rows} now={nowMs.value} /> : <Empty>{w.empty}</Empty> : error.value ? <Failure error={error.value} reload={() => void poll()} /> : <Loading />}
    </>
  );
}

/** Of a record that is whole nothing is said. */
function Record({ seen }: { seen: RecordSeen }): JSX.Element | null {
  if (seen.state === "checking") return <p class="hall-record">{w.record.checking(number(Math.floor((100 * seen.checked) / Math.max(1, seen.of))))}</p>;
  if (seen.state === "broken") return <p class="hall-record is-broken" role="status"><Shape kind="stop" /> <b>{w.record.broken(seen.seq, seen.batch_id, seen.words)}</b> <span>{seen.remedy}</span></p>;
  if (seen.state === "failed") return <p class="hall-record" role="status"><Shape kind="warning" /> {w.record.failed(seen.words)} <span>{seen.remedy}</span></p>;
  return null;
}

function Table({ rows, now }: { rows: Row[]; now: number }): JSX.Element {
  const { columns } = w;
  return (
    <table class="hall" aria-label={w.title}>
      <thead>
        <tr><th scope="col">{columns.machine}</th><th scope="col">{columns.lot}</th><th scope="col">{columns.step}</th><th scope="col">{columns.progress}</th><th scope="col" class="right">{columns.end}</th></tr>
      </thead>
      <tbody>{rows.map((row) => <Line key={row.batch?.batch_id ?? row.machine.machine_id} row={row} now={now} />)}</tbody>
    </table>
  );
}

function Machine({ machine }: { machine: HallMachine }): JSX.Element {
  return <>{machine.machine_id}{machine.name === machine.machine_id ? null : <small>{machine.name}</small>}</>;
}
function Line({ row: { machine, batch }, now }: { row: Row; now: number }): JSX.Element {
  if (!batch) return <Free machine={machine} />;
  return batch.state === "broken" ? <Broken machine={machine} batch={batch} /> : <Taken machine={machine} batch={batch} now={now} />;
}

function Broken({ machine, batch }: { machine: HallMachine; batch: BrokenBatch }): JSX.Element {
  return (
    <tr class="is-abnormal">
      <th scope="row"><Machine machine={machine} /></th>
      <td>{batch.lot_id}</td>
      <td colSpan={3}><p class="hall-waits"><Shape kind="stop" /> <b>{batch.state_words}</b> <span>{batch.waits_for}</span></p></td>
    </tr>
  );
}

function Free({ machine }: { machine: HallMachine }): JSX.Element {
  return (
    <tr class="is-free">
      <th scope="row"><Machine machine={machine} /></th>
      <td colSpan={4} class="hall-free">{w.free}{machine.next_lot_id ? <> · <a href={href(["lots", machine.next_lot_id])}>{w.next(machine.next_lot_id)}</a></> : null}</td>
    </tr>
  );
}

function Taken({ machine, batch, now }: { machine: HallMachine; batch: HallBatch; now: number }): JSX.Element {
  const { begun_utc_ms: begun, planned_end_utc_ms: planned } = batch;
  // A forecast that has passed while nobody entered anything is not believed.
  const end = begun ? Math.max(batch.forecast_end_utc_ms, now) : 0;
  const waits = batch.waits_for;
  const stuck = batch.state === "held" || batch.state === "paused" || batch.state === "stopped";
  return (
    <tr class={stuck || batch.late_min >= LATE_LEAST_MIN ? "is-abnormal" : ""}>
      <th scope="row"><Machine machine={machine} />{batch.unloaded && batch.state !== "complete" ? <small>{w.unloaded}</small> : null}</th>
      <td class="hall-lot">
        <a class="row-link" href={href(["floor", batch.batch_id])} aria-label={w.open(batch.lot_id, machine.name)}><Swatch colour={batch.swatch} /><span>{batch.lot_id}</span></a>
        <small>{batch.shade_id} · {w.kg(number(batch.load_kg))}</small>
      </td>
      <td class="hall-step">
        <p>{batch.step && batch.state !== "idle" ? <><span class="hall-key">{batch.step.key}</span> {batch.step.words} <small>{batch.step.bath}</small></> : batch.state_words}</p>
        {stuck || waits ? (
          <p class="hall-waits"><Shape kind={batch.state === "held" || batch.state === "stopped" ? "stop" : batch.state === "paused" ? "warning" : "note"} />
             {waits ? stuck ? <b>{waits}</b> : <span>{waits}</span> : <b>{batch.state_words}</b>}</p>
        ) : null}
      </td>
      <td class="hall-progress">{begun ? <Bar begun={begun} now={now} end={end} planned={planned} /> : null}</td>
      <td class="right hall-end">{!begun ? null : <><b>{wallClock(new Date(end))}</b><Late late={batch.late_min} planned={planned} /></>}</td>
    </tr>
  );
}

function Late({ late, planned }: { late: number; planned: number }): JSX.Element {
  const at = w.planned(wallClock(new Date(planned)));
  if (late >= LATE_LEAST_MIN) return <span class="hall-late"><Shape kind="late" /> {w.late(span(late))} <small>{at}</small></span>;
  return <small>{late <= -LATE_LEAST_MIN ? w.early(span(-late)) : w.onTime}, {at}</small>;
}
function span(min: number): string {
  return min >= 60 ? `${hours(min)} h` : `${number(min)} min`;
}

/** From the begin to the end that is expected; a mark where it was planned to end. */
function Bar({ begun, now, end, planned }: { begun: number; now: number; end: number; planned: number }): JSX.Element {
  const to = Math.max(end, planned, begun + 1);
  const x = (at: number): number => Math.min(100, Math.max(0, (100 * (at - begun)) / (to - begun)));
  const pct = Math.min(100, Math.max(0, (100 * (now - begun)) / Math.max(1, end - begun)));
  return (
    <svg class="hall-bar" viewBox="0 0 100 20" preserveAspectRatio="none" role="img" aria-label={w.progress(number(pct))}>
      <path class="hall-bar-all" d={`M0 6h${x(end)}v8H0z`} />
      <path class="hall-bar-done" d={`M0 6h${x(now)}v8H0z`} />
      <path class="hall-bar-plan" d={`M${x(planned)} 1v18`} />
    </svg>
  );
}
