// What happened to the lot, in words and in the order it was stored. A correction stands beside
// what it corrects: the old value is struck through, and still there to be read.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "../api";
import { parse, raw, shown, joined, wallClock } from "../fmt";
import { href } from "../place";
import { Failure, Loading, Shape } from "../ui/parts";
import type { Run } from "./batch";
import { Dialog } from "./Dialog";
import { isLooked, within } from "./expect";
import { Key } from "./HoldKey";
import { kept, unsent } from "./queue";
import { ReasonDialog } from "./Reason";
import type { BatchDoc, RunEvent, RunStep } from "./types";
import { Waiting } from "./Waiting";
import { may, who } from "../people/session";
import { s as sw } from "./signWords";
import { w } from "./words";

const h = w.history;
/** What can be put right of an entry; the rest stands as it is. */
const FIELDS: Record<string, string[]> = {
  reading: ["value"], weighed: ["mass_mg", "stock_lot"], "step-begun": ["temp_c"], "step-ended": ["temp_c"], remark: ["text"], interrupted: ["text"],
};
/** Most steps are ended without a temperature: then there is none to put right. */
function fieldsOf(event: RunEvent): string[] {
  // a mass and a container move stock: they are the weigh room's to correct
  const mine = (field: string): boolean => who.value === null || may(field === "mass_mg" || field === "stock_lot" ? "weigh" : "run-enter");
  return (FIELDS[event.kind] ?? []).filter((field) => mine(field) && (field !== "temp_c" || event.temp_c !== undefined));
}
const LATE_MS = 60_000;
const NUMBERS = new Set(["value", "mass_mg", "temp_c"]);

export function History({ run, doc }: { run: Run; doc: BatchDoc }): JSX.Element {
  const [events, setEvents] = useState<RunEvent[] | null>(null);
  const [error, setError] = useState<Error | null>(null);
  const [wrong, setWrong] = useState<RunEvent | null>(null);
  const { batch } = doc;
  const load = (): void => void api.events(batch.batch_id).then((got) => { setEvents(got); setError(null); }, (cause: Error) => setError(cause));
  useEffect(load, [batch.batch_id, batch.last_seq]);
  const mine = kept.value.filter((one) => one.batch_id === batch.batch_id);
  const fixes = new Map<number, RunEvent[]>();
  for (const one of events ?? []) if (one.kind === "corrected" && one.of_seq) fixes.set(one.of_seq, [...(fixes.get(one.of_seq) ?? []), one]);
  const rows = (events ?? []).filter((one) => one.kind !== "corrected");
  return (
    <div class="floor floor-history" data-unsent={unsent.value}>
      <div class="floor-top">
        <a class="key" href={href(["floor", batch.batch_id])} data-key="back">{h.back}</a>
        <div class="floor-who">
          <h1>{batch.lot_id}</h1>
          <p>{h.title} · {batch.machine_id} · {w.state(batch.state)}</p>
        </div>
      </div>
      <Waiting />
      <p class="history-lead">{h.lead}</p>
      <p class="history-sum">
        {batch.remedies + batch.corrections + batch.accepted === 0 ? <><Shape kind="ok" /> {h.right}</> : <><Shape kind="note" /> {h.notRight(batch.remedies, batch.accepted, batch.corrections)}</>}
      </p>
      {error && !events ? <Failure error={error} reload={load} /> : null}
      {!events && !error ? <Loading /> : null}
      {events && !rows.length ? <p class="history-lead">{h.none}</p> : null}
      <ol class="events" aria-label={h.title}>
        {rows.map((one) => <Line key={one.seq} event={one} doc={doc} fixes={fixes.get(one.seq) ?? []} correct={() => setWrong(one)} />)}
        {mine.map((one) => (
          <li key={one.entry_id} class="event is-waiting">
            <span class="event-at">{wallClock(new Date(one.device_utc_ms))}</span>
            <div class="event-what"><p><strong>{w.entry(one)}</strong></p><p class="event-sub">{one.refusal ? <><Shape kind="stop" /> {w.queue.refused(1)}</> : h.waits}</p></div>
          </li>
        ))}
      </ol>
      {batch.head ? <p class="history-head" title={h.headLead}><strong>{h.head}</strong> <code>{batch.head}</code></p> : null}
      {wrong ? <Correct event={wrong} close={() => setWrong(null)} give={(field, is, text) => {
        setWrong(null);
        void run.enter({ kind: "corrected", fields: { of_seq: wrong.seq, field, is, text, ...(field === "value" ? { value: Number(is) } : {}) } });
      }} /> : null}
    </div>
  );
}

interface LineProps {
  event: RunEvent;
  doc: BatchDoc;
  fixes: RunEvent[];
  correct: () => void;
}

function Line({ event, doc, fixes, correct }: LineProps): JSX.Element {
  const step = doc.steps.find((s) => s.key === event.step);
  const at = new Date(event.happened_utc_ms);
  // Entered well before it was stored: it waited on its device.
  const late = event.at_utc_ms - event.happened_utc_ms > LATE_MS;
  return (
    <li class="event" data-seq={event.seq}>
      <span class="event-at">{wallClock(at)}{late ? <small>{h.stored(new Date(event.at_utc_ms))}</small> : null}</span>
      <div class="event-what">
        <p>
          <strong>{event.words}</strong>
          {step ? <span> · {h.step(step.key)} {w.isTitle(step)}</span> : null}
        </p>
        <Values event={event} step={step} fixes={fixes} />
        {fixes.map((fix) => <p key={fix.seq} class="event-sub"><Shape kind="note" /> {h.corrected(fix.by_name || fix.by, fix.text ?? "")} <small>{h.number(fix.seq)}, {wallClock(new Date(fix.at_utc_ms))}</small></p>)}
      </div>
      <span class="event-by">{event.by_name || event.by}{event.signed_name ? <small>{sw.by(event.signed_name, event.signed_as ?? "", event.meaning ?? "")}</small> : null}<small>{h.number(event.seq)}{event.hash ? ` · ${h.seal.toLowerCase()} ${event.hash.slice(0, 8)}` : ""}</small></span>
      {fieldsOf(event).length ? <Key onPress={correct} label={`${h.correct}: ${event.words}, ${h.number(event.seq)}`} name={`correct-${event.seq}`}>{h.correct}</Key> : <span />}
    </li>
  );
}

function Values({ event, step, fixes }: { event: RunEvent; step: RunStep | undefined; fixes: RunEvent[] }): JSX.Element | null {
  const keys = ["value", "mass_mg", "stock_lot", "temp_c", "text"].filter((key) => valueOf(event, key) !== null || fixes.some((fix) => fix.field === key));
  const parts = keys.map((key) => {
    const values = [valueOf(event, key), ...fixes.filter((fix) => fix.field === key).map((fix): string | number | null => fix.is ?? null)];
    const last = values.length - 1;
    return (
      <span key={key} class="event-value">
        {values.map((value, i) => (value === null ? null : i < last
          ? <del key={i}>{said(key, value, step)}</del>
          : <span key={i}>{said(key, value, step)}</span>))}
      </span>
    );
  });
  const extra = [
    event.decision ? { pass: "passed", accept: "accepted", repeat: "read again", correct: "to be corrected", stop: "stopped" }[event.decision] : "",
    event.interrupt ? w.interrupt.word[event.interrupt] : "",
    event.remedy_id ?? "",
    event.measured ? w.shadeCheck.measured(event.measured.sample_id ?? event.measured.name ?? "") : "",
    event.item && step ? (step.items.find((item) => item.item === event.item)?.name ?? "") : "",
  ].filter(Boolean);
  if (!parts.length && !extra.length) return null;
  return <p class="event-values">{extra.map((text) => <span key={text} class="event-value">{text}</span>)}{parts}</p>;
}

function valueOf(event: RunEvent, field: string): string | number | null {
  const value = (event as unknown as Record<string, unknown>)[field];
  return typeof value === "number" || (typeof value === "string" && value !== "") ? value : null;
}
function said(field: string, value: string | number, step: RunStep | undefined): string {
  const n = Number(value);
  if (field === "mass_mg") return w.mass(n);
  if (field === "temp_c") return joined(shown(n, "degC", ""));
  if (field === "value" && step?.check && isLooked(step.check)) return within(step, n) ? w.pad.good : w.pad.notGood;
  if (field === "value") return w.read(n, step?.check?.unit ?? "");
  return `“${value}”`;
}

function Correct({ event, close, give }: { event: RunEvent; close: () => void; give: (field: string, is: string, text: string) => void }): JSX.Element {
  const fields = fieldsOf(event);
  const [field, setField] = useState(fields[0] ?? "");
  const old = valueOf(event, field);
  const start = old === null ? "" : field === "mass_mg" ? raw(Number(old) / 1e6, 6) : String(old);
  const [text, setText] = useState<string | null>(null);
  const [ready, setReady] = useState(false);
  const [problem, setProblem] = useState("");
  const typed = text ?? start;
  const stored = (): string | null => {
    if (!NUMBERS.has(field)) return typed.trim() || null;
    const number = parse(typed);
    if (!("value" in number)) return null;
    return field === "mass_mg" ? String(Math.round(number.value * 1e6)) : String(number.value);
  };
  if (ready) {
    return <ReasonDialog title={h.dialog} lead={`${h.fields[field] ?? field}: ${typed}`} ask={h.why} reasons={h.reasons} enter={h.enter} close={close}
      give={(reason) => give(field, stored() ?? "", reason)} />;
  }
  return (
    <Dialog title={h.dialog} close={close}>
      <p class="ask-lead">{event.words}{event.material_id ? ` ${event.material_id}` : ""}{event.step ? `, ${h.step(event.step)}` : ""}, {h.number(event.seq)}, {wallClock(new Date(event.at_utc_ms))}</p>
      {fields.length > 1 ? (
        <div class="key-list key-list-two" role="group" aria-label={h.columns.what}>
          {fields.map((one) => <Key key={one} pressed={one === field} onPress={() => { setField(one); setText(null); setProblem(""); }}>{h.fields[one]}</Key>)}
        </div>
      ) : null}
      <div class="own-words">
        <label for="correct-is">{h.is}: {h.fields[field]}</label>
        <input id="correct-is" type="text" inputMode={NUMBERS.has(field) ? "decimal" : "text"} autocomplete="off" value={typed} onInput={(e) => { setText(e.currentTarget.value); setProblem(""); }} />
      </div>
      <p class="ask-say" role="alert">{problem}</p>
      <div class="ask-keys"><Key strong wide name="enter" onPress={() => (stored() === null || typed === start ? setProblem(w.pad.empty) : setReady(true))}>{h.why}</Key></div>
    </Dialog>
  );
}
