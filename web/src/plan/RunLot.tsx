// A lot becomes a run: what is frozen is said before it is.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { api } from "../api";
import { w as floor } from "../floor/words";
import { run as w } from "./runWords";
import type { HallDoc } from "../floor/types";
import { clock as hours, joined, shown } from "../fmt";
import { may } from "../people/session";
import { href } from "../place";
import type { Plan } from "../types";
import { Failure, Shape } from "../ui/parts";
import "./run-lot.css";

export function RunLot({ plan, dirty }: { plan: Plan; dirty: boolean }): JSX.Element {
  const [open, setOpen] = useState(false);
  if (!may("run-start")) return <></>;
  return (
    <>
      <button type="button" class="button button-strong" onClick={() => setOpen(true)}>{w.button}</button>
      {open ? <Confirm plan={plan} dirty={dirty} close={() => setOpen(false)} /> : null}
    </>
  );
}

function Confirm({ plan, dirty, close }: { plan: Plan; dirty: boolean; close: () => void }): JSX.Element {
  const host = useRef<HTMLDialogElement>(null);
  const [hall, setHall] = useState<HallDoc | null>(null);
  const [error, setError] = useState<Error | null>(null);
  const [busy, setBusy] = useState(false);
  useEffect(() => {
    host.current?.showModal();
    api.hall().then(setHall, () => undefined); // only to say it early; the server decides
  }, []);
  const { lot, machine } = plan;
  const open = hall?.batches.find((b) => b.lot_id === lot.lot_id);
  const taken = hall?.batches.find((b) => b.machine_id === machine.machine_id && b.lot_id !== lot.lot_id);
  const stops = plan.warnings.some((one) => one.severity === "stop");
  const freeze = (): void => {
    setBusy(true);
    api.runLot(lot.lot_id, lot.revision).then(
      (doc) => { location.hash = href(["floor", doc.batch.batch_id]).slice(1); },
      (cause: Error) => { setError(cause); setBusy(false); },
    );
  };
  return (
    <dialog class="run-lot" ref={host} aria-labelledby="run-lot-title" onCancel={(event) => { event.preventDefault(); close(); }}>
      <h2 id="run-lot-title">{w.title(lot.lot_id)}</h2>
      {open ? <p class="run-lot-say"><Shape kind="note" /> {w.open} <a href={href(["floor", open.batch_id])}>{w.goTo}</a></p> : (
        <>
          <p>{w.lead}</p>
          <Facts plan={plan} />
          <p>{w.after}</p>
          {dirty ? <p class="run-lot-say"><Shape kind="warning" /> {w.dirty}</p> : null}
          {stops ? <p class="run-lot-say"><Shape kind="stop" /> {w.stops}</p> : null}
          {taken ? <p class="run-lot-say"><Shape kind="stop" /> {w.taken(machine.name, taken.lot_id)} <a href={href(["floor", taken.batch_id])}>{w.goTo}</a></p> : null}
          {error ? <Failure error={error} reload={freeze} /> : null}
        </>
      )}
      <div class="run-lot-keys">
        <button type="button" class="button" onClick={close}>{floor.cancel}</button>
        {open ? null : <button type="button" class="button button-strong" disabled={busy || stops || dirty || taken !== undefined} onClick={freeze}>{w.enter}</button>}
      </div>
    </dialog>
  );
}

function Facts({ plan }: { plan: Plan }): JSX.Element {
  const { headline, route, machine } = plan;
  const steps = plan.baths.flatMap((bath) => bath.steps);
  const weigh = steps.reduce((sum, step) => sum + step.items.length, 0);
  const figure = (key: "load_kg" | "liquor_l"): string => {
    const q = headline[key];
    return q ? joined(shown(q.value, q.unit, plan.site.currency)) : "–";
  };
  const facts: [string, string][] = [
    [w.facts.machine, machine.name], [w.facts.load, figure("load_kg")], [w.facts.liquor, figure("liquor_l")], [w.facts.route, w.route(route.route_id, route.version)],
    [w.facts.time, `${hours(headline.total_min?.value ?? 0)} h`], [w.facts.baths, w.baths(plan.baths.length, steps.length)], [w.facts.weigh, w.weigh(weigh)], [w.facts.hold, String(steps.filter((step) => step.check).length)],
  ];
  return <dl class="run-lot-facts">{facts.map(([name, value]) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>;
}
