// How an order could be loaded: one way a machine, best first, with the reasons.
import type { JSX } from "preact";
import { api } from "../api";
import { joined, number, shown } from "../fmt";
import type { Advice, OrderRow } from "../types";
import { Due } from "../ui/Due";
import { Empty, Ready, Shape, Swatch } from "../ui/parts";
import { useResource } from "../ui/resource";
import { words } from "../words";
import { orderIsLate } from "./OrdersPage";
import "./orders.css";

const w = words.ordersPage;

export function AdvicePage({ order }: { order: string }): JSX.Element {
  const orders = useResource("orders", api.orders);
  const advice = useResource(`advice/${order}`, () => api.advice(order));
  const record = orders.data?.find((row) => row.order_id === order);
  return (
    <>
      <a class="backlink" href="#/orders">{w.back}</a>
      <article class="plan">
        <OrderHead order={order} record={record} />
        <Ready of={advice}>
        {(found) => (
          <section aria-labelledby="advice-title">
            <h2 id="advice-title">{w.advice}</h2>
            <p class="lead">{w.adviceLead(joined(shown(found.grey_kg, "kg", "")))}</p>
            {found.advice.length
              ? <ol class="advice">{found.advice.map((way) => <Way key={way.machine_id} way={way} />)}</ol>
              : <Empty>{w.noAdvice}</Empty>}
          </section>
        )}
        </Ready>
      </article>
    </>
  );
}

function OrderHead({ order, record }: { order: string; record: OrderRow | undefined }): JSX.Element {
  return (
    <header class="lot-head">
      {record ? <Swatch big colour={record.swatch} label={words.plan.swatch(record.shade)} /> : null}
      <div class="lot-title">
        <h1>{order}</h1>
        {record ? (
          <>
            <p class="lot-line">{record.shade} · {record.article}</p>
            <p class="lot-sub">{record.customer} · {joined(shown(record.ordered_kg, "kg", ""))} · {words.plan.due} <Due due={record.due} late={orderIsLate(record)} /></p>
          </>
        ) : null}
      </div>
    </header>
  );
}

function Way({ way }: { way: Advice }): JSX.Element {
  const fill = Math.max(0, Math.min(100, way.fill_pct));
  return (
    <li class={way.suits ? "way" : "way way-not"}>
      <div class="way-name">
        <h3>{way.machine}</h3>
        <p class="way-verdict"><Shape kind={way.suits ? "ok" : "stop"} />{way.suits ? w.suits : w.suitsNot}</p>
      </div>
      <div class="way-load">
        <p class="way-lots">{way.lots}<span> × </span>{number(way.lot_kg)}<span> kg</span></p>
        <svg class="way-bar" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
          <path d="M0 0h100v6H0z" class="way-bar-room" /><path d={`M0 0h${fill}v6H0z`} class="way-bar-load" />
        </svg>
        <p class="way-full">{number(way.fill_pct)} % {w.full}</p>
      </div>
      <dl class="way-facts">
        <div><dt>{w.ratio}</dt><dd>{joined(shown(way.ratio_l_per_kg, "L/kg", ""))}</dd></div>
        <div><dt>{w.water}</dt><dd>{joined(shown(way.liquor_l, "L", ""))}</dd></div>
        <div><dt>{w.rope}</dt><dd>{joined(shown(way.rope_m, "m", ""))}</dd></div>
        <div><dt>{w.cycle}</dt><dd>{joined(shown(way.cycle_min, "min", ""))}</dd></div>
      </dl>
      <ul class="way-reasons">{way.reasons.map((text) => <li key={text}>{text}</li>)}</ul>
    </li>
  );
}
