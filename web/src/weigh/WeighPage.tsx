// The weigh room: what is to be weighed, in the order in which the floor needs it, and one weighing
// at a time beside it.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { ApiError, api } from "../api";
import { nowMs, tick } from "../floor/clock";
import "../floor/device";
import { Waiting } from "../floor/Waiting";
import "../floor/keys.css";
import "../floor/floor.css";
import "../floor/ask.css";
import { Key } from "../floor/HoldKey";
import { Signing } from "../floor/Sign";
import { wallClock } from "../fmt";
import { may, who } from "../people/session";
import { Empty, Failure, Loading, Shape, Swatch } from "../ui/parts";
import { Receive } from "./Receive";
import { choose, doc, enteredHere, error, keyOf, known, open, poll, said, watch } from "./state";
import type { Scanned, WeighItem } from "./types";
import { Weighing, inSight } from "./Weighing";
import { useWedge } from "./wedge";
import { mass, w } from "./words";
import "./weigh.css";

const MS_PER_MIN = 60_000;

export function WeighPage(): JSX.Element {
  const [typed, setTyped] = useState("");
  const [receives, setReceives] = useState(false);
  /** Scans go to the delivery while it is open. */
  const delivery = useRef<((text: string) => void) | null>(null);
  useEffect(watch, []);
  useEffect(tick, []);
  const list = doc.value?.items ?? [];
  const item = list.find((i) => keyOf(i) === open.value) ?? null;
  useWedge({
    scan: (text) => (receives && delivery.current ? delivery.current(text) : void scanned(text, list, item)),
    key: (key) => {
      if (receives || !item || !known.value) return;
      if (/^\d$/.test(key)) setTyped((t) => (t === "0" ? key : t + key));
      else if (key === "." || key === ",") setTyped((t) => (t.includes(".") ? t : `${t || "0"}.`));
      else if (key === "Backspace") setTyped((t) => t.slice(0, -1));
      else if (key === "Enter") document.querySelector<HTMLButtonElement>('.weigh-pan [data-key="enter"]')?.click();
    },
  });
  useEffect(() => {
    setTyped("");
    const name = open.value ? document.getElementById("weigh-name") : null;
    name?.focus({ preventScroll: true });
    const pan = document.querySelector<HTMLElement>(".weigh-pan");
    if (pan) inSight(pan);
    else name?.scrollIntoView({ block: "nearest" });
  }, [open.value]);
  const todo = list.filter((i) => i.state !== "weighed" && !(i.state === "to-weigh" && enteredHere(i)));
  return (
    <div class="floor weigh">
      <div class="page-head">
        <h1>{w.title}</h1>
        {doc.value ? <p class="page-count">{w.count(todo.length)}</p> : null}
        {may("weigh") ? <Key name="receive" onPress={() => setReceives(true)}>{w.receive.key}</Key> : null}
      </div>
      <p class="lead">{may("weigh") ? w.lead : w.noRight}</p>
      <Waiting />
      <Signing />
      {receives ? <Receive close={() => setReceives(false)} heard={(hear) => { delivery.current = hear; }} /> : null}
      {doc.value ? (
        <div class="weigh-room">
          <div class="weigh-list">
            <h2>{w.queue}</h2>
            <Checks list={list} />
            {todo.length ? <ol>{todo.map((i) => <Line key={keyOf(i)} item={i} now={nowMs.value} current={i === item} />)}</ol> : <Empty>{w.empty}</Empty>}
            <Short />
          </div>
          {item ? <Weighing key={keyOf(item)} item={item} typed={typed} setTyped={setTyped} /> : <div class="weigh-none"><p>{w.pick}</p><p class="weigh-say" role="alert">{said.value ? <><Shape kind={said.value.bad ? "stop" : "ok"} /> {said.value.text}</> : null}</p></div>}
        </div>
      ) : error.value ? <Failure error={error.value} reload={() => void poll()} /> : <Loading />}
    </div>
  );
}

function Line({ item, now, current }: { item: WeighItem; now: number; current: boolean }): JSX.Element {
  const minutes = (item.due_utc_ms - now) / MS_PER_MIN;
  const danger = item.incompatible.find((c) => c.danger);
  return (
    <li>
      <button type="button" class="weigh-line" aria-pressed={current} onClick={() => choose(item)}>
        <span class="weigh-due">{minutes < -1 ? <Shape kind="late" /> : null} {w.due(minutes)}</span>
        <b class="weigh-line-name">{item.name}</b>
        <span class="weigh-line-mass">{mass(item.mass_mg)}</span>
        <span class="weigh-line-for"><Swatch colour={item.swatch} /> {item.lot_id} · {item.machine_id} · {item.step}</span>
        <span class="weigh-line-marks">
          {item.state === "to-check" ? <><Shape kind="note" /> {w.states["to-check"]} </> : null}
          {item.stock.short_by_mg > 0 ? <><Shape kind="warning" /> {w.lacks(mass(item.stock.short_by_mg))} </> : null}
          {danger ? <><Shape kind="stop" /> {danger.in_turn ? w.inTurn(danger.with, danger.step) : w.together(danger.with)}</> : null}
        </span>
      </button>
    </li>
  );
}

/** Said where it binds: in a mill without people nothing waits for a check. */
function Checks({ list }: { list: readonly WeighItem[] }): JSX.Element | null {
  const waits = list.filter((i) => i.state === "to-check").length;
  return waits && !who.value?.demo ? <p class="weigh-checks"><Shape kind="warning" /> {w.checkWaits(waits)}</p> : null;
}

function Short(): JSX.Element | null {
  const short = doc.value?.short ?? [];
  if (!short.length) return null;
  return (
    <section class="weigh-short" aria-labelledby="weigh-short">
      <h2 id="weigh-short">{w.short}</h2>
      <ul>{short.map((s) => <li key={s.material_id}><Shape kind="warning" /> {w.shortOne(s.name, mass(s.stock.short_by_mg), wallClock(new Date(s.stock.runs_out_utc_ms)))}</li>)}</ul>
    </section>
  );
}

/** What a label says: known ones at once, also without a line; the others by asking. */
async function scanned(text: string, list: readonly WeighItem[], item: WeighItem | null): Promise<void> {
  const own = (i: WeighItem): boolean => i.product_label === text || i.containers.some((c) => c.label === text);
  const byPortion = list.find((i) => i.label === text);
  if (byPortion) return choose(byPortion);
  const mine = item && own(item) ? item : item ? null : list.find((i) => own(i) && i.state === "to-weigh");
  if (mine) {
    if (!item) choose(mine);
    const container = mine.containers.find((c) => c.label === text) ?? null;
    known.value = { by: "label", container };
    said.value = container?.expired ? { bad: true, text: w.expired(container.stock_lot_id) } : null;
    return;
  }
  try {
    say(await api.scan(text), item);
  } catch (cause) {
    said.value = { bad: true, text: cause instanceof ApiError ? `${cause.body.message} ${cause.body.remedy}` : w.misread };
  }
}
function say(s: Scanned, item: WeighItem | null): void {
  if (s.kind === "goods") said.value = { bad: true, text: w.goods(s.supplier_lot ?? "") };
  else if (item && s.material_id && s.material_id !== item.material_id) {
    known.value = null;
    said.value = { bad: true, text: w.wrong(s.name ?? s.material_id, item.name) };
  } else said.value = { bad: true, text: w.notKnown(s.words, s.name ?? s.id ?? "") };
}
