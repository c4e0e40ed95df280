// One weighing: the right product first, then the scale, then the entry.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { HoldKey, Key } from "../floor/HoldKey";
import { enter } from "../floor/queue";
import { ReasonDialog } from "../floor/Reason";
import { toSign } from "../floor/signing";
import { may, who as person } from "../people/session";
import { Shape } from "../ui/parts";
import { Bar, zoneOf } from "./Bar";
import { choose, enteredHere, known, poll, said } from "./state";
import type { Clash, WeighItem } from "./types";
import { mass, unitOf, w } from "./words";

export function Weighing({ item, typed, setTyped }: { item: WeighItem; typed: string; setTyped: (text: string) => void }): JSX.Element {
  const who = known.value;
  return (
    <section class="weigh-one" aria-labelledby="weigh-name">
      <div class="weigh-head">
        <div>
          <h2 id="weigh-name" tabIndex={-1}>{item.name}</h2>
          <p>{item.material_id}{item.storage ? <> · {w.where} <b>{item.storage}</b></> : null}</p>
          <p>{item.lot_id} · {item.machine_id} · {item.step} {item.bath}</p>
        </div>
        <p class="weigh-target"><span>{w.target}</span> <b>{mass(item.mass_mg)}</b></p>
      </div>
      <Care item={item} />
      {item.state === "to-check" && !enteredHere(item) ? <Check item={item} /> : !may("weigh") ? <p class="no-right" data-no-right="weigh"><Shape kind="note" /> {w.noRight}</p> : who ? <Pan item={item} typed={typed} setTyped={setTyped} /> : <Ask item={item} />}
      <p class="weigh-say" role="alert">{said.value ? <><Shape kind={said.value.bad ? "stop" : "ok"} /> {said.value.text}</> : null}</p>
      <div class="weigh-foot">
        <Key onPress={() => choose(null)} name="close">{w.done}</Key>
        <a class="key" href={`/api/batches/${encodeURIComponent(item.batch_id)}/labels.pdf?step=${encodeURIComponent(item.step)}`} target="_blank" rel="noopener">{w.label}</a>
      </div>
    </section>
  );
}

function Care({ item }: { item: WeighItem }): JSX.Element {
  return (
    <div class="weigh-care">
      {item.incompatible.map((c: Clash) => (
        <p key={c.id + c.with} class={c.danger ? "weigh-clash is-danger" : "weigh-clash"}>
          <Shape kind={c.danger ? "stop" : "warning"} /> <b>{c.in_turn ? w.inTurn(c.with, c.step) : w.together(c.with)}.</b> {c.words}
        </p>
      ))}
      {item.ppe.length ? <p class="weigh-wear"><Shape kind="warning" /> <b>{w.care}:</b> {item.ppe.map((p) => p.words).join(", ")}. {w.sheet}</p> : null}
      {item.caution_words.length ? <details><summary>{item.cautions.join(", ").replace(/-/g, " ")}</summary>{item.caution_words.map((text) => <p key={text}>{text}</p>)}</details> : null}
      {item.advice.map((text) => <p key={text} class="weigh-advice">{item.way.few_divisions || item.way.unsure || item.way.unverified || item.way.kind === "no-scale" ? <Shape kind="warning" /> : null} {text}</p>)}
      <p class="weigh-stock">{item.stock.short_by_mg > 0 ? <><Shape kind="warning" /> {w.lacks(mass(item.stock.short_by_mg))}</> : w.enough(mass(item.stock.after_mg))}</p>
    </div>
  );
}

function Ask({ item }: { item: WeighItem }): JSX.Element {
  return (
    <div class="weigh-ask">
      <p class="weigh-big">{w.scanFirst}</p>
      <p>{w.scanLead}</p>
      <ul class="weigh-containers">{item.containers.map((c) => <li key={c.stock_lot_id}>{w.container(c.stock_lot_id, c.supplier_lot)}, {mass(c.left_mg)}{c.expired ? <> <Shape kind="stop" /> {w.expired(c.stock_lot_id)}</> : null}</li>)}</ul>
      <HoldKey name="no-label" onPress={() => { known.value = { by: "name", container: null }; said.value = null; }}>{w.noLabel}</HoldKey>
      <p>{w.noLabelHint}</p>
    </div>
  );
}

function Check({ item }: { item: WeighItem }): JSX.Element {
  const me = person.value;
  const entry = { kind: "weighing-checked" as const, fields: { step: item.step, item: item.item, of_seq: item.weighed_seq } };
  // whoever weighed it, or may not enter, lets another person sign at this screen
  const other = me !== null && !me.demo && (me.person_id === item.weighed_by || !may("run-enter"));
  const confirm = (): void => {
    void enter(item, [entry]).then(poll);
    choose(null);
  };
  return (
    <div class="weigh-ask">
      <p class="weigh-big">{w.checkLead(item.weighed_by, mass(item.weighed_mg))}</p>
      <Bar item={item} net={item.weighed_mg} />
      {other ? <p>{w.checkOwn}</p> : null}
      {other ? <Key strong wide name="check-sign" onPress={() => toSign(item, entry)}>{w.checkSign}</Key> : <HoldKey strong name="check" onPress={confirm}>{w.check}</HoldKey>}
    </div>
  );
}

/** Scale, band and all keys at once; where that is too much, from the last key upwards. */
export function inSight(pan: HTMLElement): void {
  pan.scrollIntoView({ block: pan.offsetHeight > innerHeight ? "end" : "nearest" });
}

function Pan({ item, typed, setTyped }: { item: WeighItem; typed: string; setTyped: (text: string) => void }): JSX.Element {
  const [tare, setTare] = useState(0);
  const [why, setWhy] = useState<"above" | "below" | "expired" | null>(null);
  const unit = unitOf(item.mass_mg);
  // not parse(): 2.016 is no riddle here, the mark is always the key with the point
  const reading = /\d/.test(typed) ? Math.round(Number(typed) * unit.mg) : null;
  const net = reading === null ? null : reading - tare;
  const container = known.value?.container ?? null;
  const store = (text: string): void => {
    if (net === null) return;
    const fields: Record<string, string | number | boolean> = { step: item.step, item: item.item, material_id: item.material_id, mass_mg: net, manual: true };
    if (item.scale_id) fields["scale_id"] = item.scale_id;
    if (container) fields["stock_lot"] = container.stock_lot_id;
    const notes = [text, known.value?.by === "name" ? w.noLabel : ""].filter(Boolean).join("; ");
    if (notes) fields["text"] = notes;
    void enter(item, [{ kind: "weighed", fields }]).then(poll);
    setTyped("");
    choose(null);
  };
  const done = (): void => {
    if (reading === null) said.value = { bad: true, text: w.impossible };
    else if (net === null || net <= 0) said.value = { bad: true, text: w.tooLight };
    else if (zoneOf(item, net) !== "within") setWhy(zoneOf(item, net) as "above" | "below");
    else if (container?.expired) setWhy("expired");
    else store("");
  };
  // a key that was touched keeps no focus: Enter, of a keyboard beside it, enters the weighing
  const touch = (act: () => void) => (event: MouseEvent): void => {
    if (event.detail > 0) (event.currentTarget as HTMLElement).blur();
    act();
  };
  const digit = (d: string) => <button key={d} type="button" class="key key-digit" onClick={touch(() => setTyped(typed === "0" ? d : typed + d))}>{d}</button>;
  const pan = useRef<HTMLDivElement>(null);
  useEffect(() => void (pan.current && inSight(pan.current)), []);
  return (
    <div class="weigh-pan" ref={pan}>
      <p class="weigh-right"><Shape kind="ok" /> {w.isRight(item.name)}. {container ? w.container(container.stock_lot_id, container.supplier_lot) : w.noContainer}</p>
      <output class="weigh-net" aria-label={w.net}>{net === null ? "–" : mass(Math.max(net, -1e12))}</output>
      <Bar item={item} net={net !== null && net > 0 ? net : null} />
      <p class="weigh-typed"><b class="weigh-m">M</b> <span data-typed>{typed || "–"} {unit.word}</span> {tare ? w.tare(mass(tare)) : ""} <small>{w.typed}</small></p>
      <div class="weigh-keys">
        {[..."789"].map(digit)}<button type="button" class="key" aria-label={w.back} onClick={touch(() => setTyped(typed.slice(0, -1)))}>⌫</button>
        {[..."456"].map(digit)}<button type="button" class="key" onClick={touch(() => setTyped(""))}>{w.clear}</button>
        {[..."123"].map(digit)}<button type="button" class="key" data-key="tare" onClick={touch(() => { if (reading !== null) { setTare(reading); setTyped(""); } })}>{w.setTare}</button>
        {digit("0")}<button type="button" class="key key-digit" aria-label={w.point} onClick={touch(() => setTyped(typed.includes(".") ? typed : `${typed || "0"}.`))}>.</button>
        <Key strong wide name="enter" onPress={done}>{w.enter}</Key>
      </div>
      {why ? (
        <ReasonDialog title={w.reasonTitle} lead={why === "above" ? w.reasonAbove : why === "below" ? w.reasonBelow : w.reasonExpired} ask={w.reasonAsk}
          reasons={why === "below" ? w.reasonsBelow : w.reasonsAbove} enter={w.reasonEnter} grave={why === "above"} close={() => setWhy(null)} give={(text) => { setWhy(null); store(text); }} />
      ) : null}
    </div>
  );
}
