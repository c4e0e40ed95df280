// The screen at a machine: this step, how long it has still to run, what comes next, and the keys.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { ApiError } from "../api";
import { clock as hours, wallClock } from "../fmt";
import { href } from "../place";
import { Failure, Loading, Shape, Swatch } from "../ui/parts";
import { may as mayDo, who } from "../people/session";
import { alone, beginLot, beginStep, endStep, isEarly, isHeld, leftMs, unchecked, weighed } from "./acts";
import { limitsOf } from "./Band";
import { Dialog } from "./Dialog";
import { isLooked } from "./expect";
import { besideOf, focusOf, nextOf, runOf, type Run } from "./batch";
import { nowMs, tick } from "./clock";
import "./device";
import { History } from "./History";
import { HoldKey, Key } from "./HoldKey";
import { HoldPoint } from "./HoldPoint";
import { InterruptDialog, Menu, SizeDialog, type Ask } from "./Menu";
import { LookDialog, PadDialog } from "./Pad";
import { unsent, type Entry } from "./queue";
import { ReasonDialog, RemarkDialog } from "./Reason";
import { RunCurve } from "./RunCurve";
import { isShade, ShadeDialog } from "./Shade";
import { Signing } from "./Sign";
import { isSigned, toSign } from "./signing";
import { s as sw } from "./signWords";
import { call } from "./sound";
import { Beside, StepNow } from "./StepNow";
import type { BatchDoc, RunStep } from "./types";
import { Waiting } from "./Waiting";
import { w } from "./words";
// floor.css last of the screen itself: it has what changes with the width
import "./keys.css";
import "./step.css";
import "./run-curve.css";
import "./floor.css";
import "./hold.css";
import "./ask.css";
import "./history.css";

export function FloorPage({ id, part }: { id: string; part: string | undefined }): JSX.Element {
  const run = runOf(id);
  useEffect(() => run.watch(), [id]);
  useEffect(tick, []);
  const shown = run.shown.value;
  const error = run.error.value;
  if (!shown) {
    return (
      <div class="floor floor-empty">
        <h1>{id}</h1>
        {error ? <Failure error={error instanceof ApiError && error.status === 404 ? new Error(w.missing) : error} reload={() => void run.poll()} /> : <Loading />}
        <a class="key" href={href(["hall"])}>{w.hall}</a>
      </div>
    );
  }
  if (part === "history") return <History run={run} doc={shown.doc} />;
  return <Screen run={run} doc={shown.doc} unconfirmed={shown.unconfirmed} />;
}

interface ScreenProps {
  run: Run;
  doc: BatchDoc;
  unconfirmed: ReadonlySet<string>;
}

function Screen({ run, doc, unconfirmed }: ScreenProps): JSX.Element {
  const [ask, setAsk] = useState<Ask>(null);
  const now = nowMs.value;
  const { batch } = doc;
  const step = focusOf(doc);
  const held = isHeld(doc, step);
  useCalls(doc, step, now);
  useAwake();
  const enter = (...entries: Entry[]): void => {
    setAsk(null);
    const [first] = entries;
    if (entries.length === 1 && first && isSigned(first)) toSign(batch, first);
    else void run.enter(...entries);
  };
  const live = batch.state === "running" || batch.state === "held" || batch.state === "paused";
  return (
    <div class={`floor floor-${batch.state}`} data-unsent={unsent.value}>
      <Top doc={doc} now={now} more={() => setAsk("menu")} />
      <Waiting />
      <Signing batch_id={batch.batch_id} />
      <div class="floor-body">
        {batch.state === "paused" ? <Paused doc={doc} now={now} /> : null}
        {batch.state === "idle" ? <Begin doc={doc} /> : null}
        {!live && batch.state !== "idle" ? <Over doc={doc} /> : null}
        {live && step ? held
          ? <HoldPoint doc={doc} step={step} unconfirmed={unconfirmed.has(step.key)} approve={(remedy) => enter({ kind: "remedy-approved", fields: { step: step.key, of_seq: step.reading_seq, remedy_id: remedy.remedy_id } })} />
          : <StepNow doc={doc} step={step} nowMs={now} unconfirmed={unconfirmed} /> : null}
        {live ? <Beside doc={doc} steps={besideOf(doc)} nowMs={now} end={allowed("run-enter") ? (one) => enter(...endStep(doc, one)) : undefined} /> : null}
        {held || (step && isShade(step)) ? null : <RunCurve doc={doc} nowMs={now} bath={step?.bath ?? 1} />}
      </div>
      <div class="floor-foot">
        {live && step && !held ? <Next doc={doc} step={step} /> : null}
        <div class="floor-keys">
          <Keys doc={doc} step={step} now={now} held={held} unconfirmed={unconfirmed} ask={setAsk} enter={enter} />
        </div>
      </div>
      <Asked ask={ask} setAsk={setAsk} doc={doc} step={step} enter={enter} />
    </div>
  );
}

function Top({ doc, now, more }: { doc: BatchDoc; now: number; more: () => void }): JSX.Element {
  const { batch } = doc;
  return (
    <div class="floor-top">
      <a class="key" href={href(["hall"])} data-key="hall"><BackMark /> {w.hall}</a>
      <Swatch colour={batch.swatch} label={w.swatch(batch.shade_id)} />
      <div class="floor-who">
        <h1>{batch.lot_id}</h1>
        <p>{batch.machine_id} · {batch.shade_id}</p>
      </div>
      <p class="floor-state">
        {batch.state === "held" || batch.state === "stopped" || batch.state === "rejected" ? <Shape kind="stop" /> : batch.state === "paused" ? <Shape kind="warning" /> : null}
        <span>{w.state(batch.state)}</span>
      </p>
      <p class="floor-clock">
        <b>{wallClock(new Date(now))}</b>
        {batch.forecast_end_utc_ms && batch.state !== "complete" ? <span>{w.endsAt(new Date(Math.max(batch.forecast_end_utc_ms, now)))}</span> : null}
      </p>
      <Key onPress={more} name="more">{w.more}</Key>
    </div>
  );
}
function BackMark(): JSX.Element {
  return <svg viewBox="0 0 12 12" width="22" height="22" aria-hidden="true"><path class="mark" d="M8 1 3 6l5 5" /></svg>;
}

function Next({ doc, step }: { doc: BatchDoc; step: RunStep }): JSX.Element {
  const next = nextOf(doc, step);
  const then = next ? nextOf(doc, next) : undefined;
  return (
    <p class="next">
      <span class="next-word">{w.nextIs}</span>
      <strong>{next ? w.isTitle(next) : w.nextNone}</strong>
      {then ? <span class="next-then">{w.comes.toLowerCase()} {w.isTitle(then)}</span> : null}
    </p>
  );
}

function Begin({ doc }: { doc: BatchDoc }): JSX.Element {
  return (
    <section class="now now-begin" aria-labelledby="now-title">
      <div class="now-what">
        <h2 id="now-title" class="now-title">{w.begin.title}</h2>
        <p class="now-do">{w.begin.lead(doc.steps.length, hours(doc.batch.total_min))}</p>
      </div>
    </section>
  );
}
function Paused({ doc, now }: { doc: BatchDoc; now: number }): JSX.Element {
  const since = doc.batch.paused_since_utc_ms || now;
  const why = doc.batch.interrupt_words ?? (doc.batch.interrupt ? w.interrupt.word[doc.batch.interrupt] : "");
  return (
    <div class="paused">
      <p class="paused-why"><Shape kind="warning" /> {why}</p>
      {doc.batch.interrupt === "tangle" || doc.batch.interrupt === "machine" ? <p><Shape kind="warning" /> {w.cautions["rotating"]}</p> : null}
      <p>{w.interrupt.since(new Date(since), w.ago((now - since) / 1000))}</p>
    </div>
  );
}
function Over({ doc }: { doc: BatchDoc }): JSX.Element {
  const { state } = doc.batch;
  const words = state === "released" ? w.over_.released : state === "rejected" ? w.over_.rejected : state === "stopped" ? w.over_.stopped : w.release.lead;
  return (
    <section class="now now-over" aria-labelledby="now-title">
      <div class="now-what">
        <h2 id="now-title" class="now-title">{state === "released" || state === "complete" ? <Shape kind="ok" /> : <Shape kind="stop" />} {state === "complete" ? w.release.title : w.state(state)}</h2>
        <p class="now-do">{words}</p>
      </div>
    </section>
  );
}

interface KeysProps {
  doc: BatchDoc;
  step: RunStep | undefined;
  now: number;
  held: boolean;
  unconfirmed: ReadonlySet<string>;
  ask: (what: Ask) => void;
  enter: (...entries: Entry[]) => void;
}

/** What the server would refuse is not offered; when nobody is known yet, it will say. */
const allowed = (action: string): boolean => who.value === null || mayDo(action);
const NoRight = ({ action }: { action: string }): JSX.Element => <p class="no-right" data-no-right={action}><Shape kind="note" /> {sw.noRight[action]}</p>;

function Keys(props: KeysProps): JSX.Element | null {
  const { doc, step, held, unconfirmed, ask, enter } = props;
  const { state } = doc.batch;
  if (state === "idle" && !allowed("run-start")) return <NoRight action="run-start" />;
  if (!allowed("run-enter") && !held && (state === "paused" || state === "running")) {
    return (
      <>
        <NoRight action="run-enter" />
        <Key name="remark" onPress={() => ask("remark")}>{w.keys.remark}</Key>
      </>
    );
  }
  if (state === "idle") return <Key strong wide name="begin-lot" onPress={() => enter(...beginLot(doc))}>{w.keys.beginLot}</Key>;
  if (state === "paused") return <Key strong wide name="resume" onPress={() => enter({ kind: "resumed" })}>{w.keys.resume}</Key>;
  if (state === "complete") {
    return (
      <>
        {allowed("release") ? <Key name="reject" onPress={() => ask("reject")}>{w.release.reject}</Key> : null}
        <HoldKey strong wide name="release" onPress={() => enter({ kind: "batch-released" })}>{w.release.enter}</HoldKey>
      </>
    );
  }
  if (!step || state === "released" || state === "rejected" || state === "stopped") return null;
  if (held) {
    const waits = unconfirmed.has(step.key) || step.reading_seq === 0;
    return (
      <>
        {allowed("run-start") ? <Key name="stop" onPress={() => ask("stop")}>{w.hold.stop}</Key> : null}
        <Key name="accept" disabled={waits} onPress={() => ask("accept")}>{w.hold.accept}</Key>
        {allowed("run-enter") ? <Key name="repeat" strong disabled={waits} onPress={() => enter({ kind: "decision", fields: { step: step.key, of_seq: step.reading_seq, decision: "repeat" } })}>{w.hold.again}</Key> : null}
      </>
    );
  }
  return (
    <>
      <Key name="interrupt" onPress={() => ask("interrupt")}>{w.keys.interrupt}</Key>
      <Key name="remark" onPress={() => ask("remark")}>{w.keys.remark}</Key>
      {step.kind === "heat" || step.kind === "cool" ? <Key name="temp" disabled={step.state !== "running"} onPress={() => ask("temp")}>{w.keys.temp}</Key> : null}
      <Forward {...props} step={step} />
    </>
  );
}

/** The key that moves the lot on. */
function Forward({ doc, step, now, ask, enter }: KeysProps & { step: RunStep }): JSX.Element {
  if (step.kind === "check") {
    if (step.sampleWaits) return <Key strong wide disabled name="reading" onPress={() => undefined}><span class="key-text">{w.keys.enter}<small><Shape kind="note" /> {w.shadeCheck.waits}</small></span></Key>;
    return <Key strong wide name="reading" onPress={() => ask(isShade(step) ? "shade" : "pad")}>{w.keys.enter}</Key>;
  }
  if (step.state === "waiting") {
    const check = unchecked(doc, step);
    const why = !weighed(step) ? w.weighFirst : check ? sw.checkFirst(check.name, check.weighed_by) : besideOf(doc).length && alone(doc, step) ? w.besideFirst : "";
    return (
      <Key strong wide name="begin" disabled={why !== ""} onPress={() => enter(...beginStep(step))}>
        <span class="key-text">{w.keys.begin(w.isTitle(step))}{why ? <small><Shape kind="warning" /> {why}</small> : null}</span>
      </Key>
    );
  }
  const left = leftMs(doc, step, now);
  const next = nextOf(doc, step);
  const done = (): void => enter(...endStep(doc, step));
  if (isEarly(step, left)) {
    const { value, unit } = w.span((left ?? 0) / 1000);
    return <HoldKey wide name="end-early" onPress={done}>{w.keys.endEarly} <small>{w.keys.early(`${value} ${unit}`)}</small></HoldKey>;
  }
  return (
    <Key strong wide name="end" onPress={done}>
      <span class="key-text">{step.kind === "dose" ? w.keys.dosed : w.keys.end}{next ? <small>{w.keys.endAndNext(w.isTitle(next))}</small> : null}</span>
    </Key>
  );
}

interface AskedProps {
  ask: Ask;
  setAsk: (what: Ask) => void;
  doc: BatchDoc;
  step: RunStep | undefined;
  enter: (...entries: Entry[]) => void;
}

const TEMP = { low: null, high: null, least: 0, most: 150, unit: "degC" };

function Asked({ ask, setAsk, doc, step, enter }: AskedProps): JSX.Element | null {
  const close = (): void => setAsk(null);
  const key = step?.key ?? "";
  switch (ask) {
    case null:
      return null;
    case "menu": {
      const { state } = doc.batch;
      return <Menu doc={doc} ask={setAsk} canEnter={allowed("run-enter")} canSkip={state === "running" && allowed("remedy-approve") && step !== undefined && step.kind !== "check"} canStop={allowed("run-start") && (state === "running" || state === "paused" || state === "held")} />;
    }
    case "size":
      return <SizeDialog close={close} />;
    case "interrupt":
      return <InterruptDialog close={close} give={(interrupt) => enter({ kind: "interrupted", fields: { interrupt } })} />;
    case "remark":
      return <RemarkDialog close={close} give={(text) => enter({ kind: "remark", fields: { text } })} />;
    case "take-over":
      return <TakeOver close={close} give={() => enter({ kind: "taken-over" })} />;
    case "skip":
      return <ReasonDialog title={w.skip.title} lead={step ? w.skip.lead(w.isTitle(step)) : ""} ask={w.skip.why} reasons={w.skip.reasons} enter={w.skip.enter} grave close={close}
        give={(text) => enter({ kind: "step-skipped", fields: { step: key, text } })} />;
    case "stop": {
      const done = doc.steps.filter((s) => s.state === "done").length;
      const steps = (n: number): string => `${n} ${n === 1 ? "step" : "steps"}`;
      return <ReasonDialog title={w.stop.title} lead={w.stop.lead(steps(done), steps(doc.steps.length - done))} ask={w.stop.why} reasons={w.stop.reasons} enter={w.stop.enter} grave close={close}
        give={(text) => enter({ kind: "batch-stopped", fields: { text } })} />;
    }
    case "reject":
      return <ReasonDialog title={w.release.reject} ask={w.release.why} reasons={w.release.reasons} enter={w.release.reject} grave close={close} give={(text) => enter({ kind: "batch-rejected", fields: { text } })} />;
    case "accept":
      return <ReasonDialog title={w.hold.accept} lead={step?.check ? isLooked(step.check) ? w.hold.looked : w.hold.failed(w.read(step.reading ?? 0, step.check.unit), w.limits(step.check)) : ""} ask={w.hold.acceptWhy} reasons={w.hold.acceptReasons} enter={w.hold.accept} grave close={close}
        give={(text) => enter({ kind: "decision", fields: { step: key, of_seq: step?.reading_seq ?? 0, decision: "accept", text } })} />;
    case "temp":
      return step ? (
        <PadDialog title={w.pad.temp} limits={{ ...TEMP, expected: step.temp_end_c }} help={<p>{w.pad.tempHelp}</p>} enter={w.pad.endWith} close={close}
          give={(temp_c) => enter(...endStep(doc, step, temp_c))} />
      ) : null;
    case "shade":
      return <ShadeDialog doc={doc} close={close} byNumber={() => setAsk("pad")} give={(sample) => enter({ kind: "reading", fields: { step: key, sample } })} />;
    case "pad":
      return step?.check ? <ReadingDialog step={step} close={close} give={(value) => enter({ kind: "reading", fields: { step: key, value } })} /> : null;
  }
}

function ReadingDialog({ step, close, give }: { step: RunStep; close: () => void; give: (value: number) => void }): JSX.Element | null {
  const { check } = step;
  if (!check) return null;
  const help = (
    <>
      {check.method ? <p>{check.method}</p> : null}
      {check.cooled ? <p>{w.pad.cooled}</p> : null}
      {check.expected === null ? null : <p>{w.pad.expected(w.read(check.expected, check.unit))}</p>}
    </>
  );
  if (isLooked(check)) return <LookDialog title={check.words} help={help} limits={limitsOf(check)} close={close} give={give} />;
  return <PadDialog title={check.words} limits={limitsOf(check)} help={help} enter={w.pad.enter} close={close} give={give} />;
}

function TakeOver({ close, give }: { close: () => void; give: () => void }): JSX.Element {
  return <ConfirmDialog title={w.takeOver.title} lead={w.takeOver.lead} enter={w.takeOver.enter} close={close} give={give} />;
}
function ConfirmDialog({ title, lead, enter, close, give }: { title: string; lead: string; enter: string; close: () => void; give: () => void }): JSX.Element {
  return (
    <Dialog title={title} close={close}>
      <p class="ask-lead">{lead}</p>
      <div class="ask-keys"><Key strong wide name="enter" onPress={give}>{enter}</Key></div>
    </Dialog>
  );
}

/** Calls the person to a hold point, and when a step's time is over. */
function useCalls(doc: BatchDoc, step: RunStep | undefined, now: number): void {
  const left = step ? leftMs(doc, step, now) : null;
  const isOver = left !== null && left < 0 && doc.batch.state === "running";
  const waits = step?.kind === "check" && doc.batch.state !== "idle" ? `${step.key} ${step.reading_seq}` : "";
  const first = useRef(true);
  useEffect(() => {
    if (!first.current && isOver) call("over");
  }, [isOver, step?.key]);
  useEffect(() => {
    if (!first.current && waits) call("hold");
    first.current = false;
  }, [waits]);
}

interface Lock {
  release: () => Promise<void>;
}
/** The screen stays on where the browser lets a page ask for it (TLS only). */
function useAwake(): void {
  useEffect(() => {
    const { wakeLock } = navigator as unknown as { wakeLock?: { request: (what: "screen") => Promise<Lock> } };
    if (!wakeLock) return undefined;
    let lock: Lock | undefined;
    const take = (): void => {
      if (!document.hidden) wakeLock.request("screen").then((got) => (lock = got), () => undefined);
    };
    take();
    document.addEventListener("visibilitychange", take);
    return () => {
      document.removeEventListener("visibilitychange", take);
      void lock?.release().catch(() => undefined);
    };
  }, []);
}
