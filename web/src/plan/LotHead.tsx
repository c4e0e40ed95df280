import type { JSX } from "preact";
import { api } from "../api";
import { number } from "../fmt";
import { isLate } from "../lots/LotsPage";
import { href } from "../place";
import type { Plan } from "../types";
import { Due } from "../ui/Due";
import { Swatch } from "../ui/parts";
import { words } from "../words";
import { RunLot } from "./RunLot";

const w = words.plan;

export function LotHead({ plan, dirty }: { plan: Plan; dirty: boolean }): JSX.Element {
  const { lot, machine, route } = plan;
  return (
    <header class="lot-head">
      <Swatch big colour={lot.shade.swatch} label={w.swatch(lot.shade.name)} />
      <div class="lot-title">
        <h1>{lot.lot_id}</h1>
        <p class="lot-line">{lot.shade.name} · {lot.article.name} · {number(lot.article.finished_gsm)} g/m²</p>
        <p class="lot-sub">
          {lot.customer} · {w.order} <a class="lot-order" href={href(["orders", lot.order_id])}>{lot.order_id}</a> · {w.rolls(lot.n_rolls)} · {lot.stage_words} · {w.due} <Due due={lot.due} late={isLate(lot)} />
        </p>
        <p class="lot-sub print-only">{machine.name} · {route.name}, {route.route_id} v{route.version}</p>
        {lot.shade.in_gamut ? null : <p class="lot-sub">{w.offGamut}</p>}
      </div>
      <div class="lot-acts no-print">
        <a class="button" href={api.cardHref(lot.lot_id)} target="_blank" rel="noopener">{w.card} <small>{w.pdf}</small></a>
        <a class="button" href={api.slipsHref(lot.lot_id)} target="_blank" rel="noopener">{w.slips} <small>{w.pdf}</small></a>
        <button type="button" class="button" onClick={() => print()}>{w.print}</button>
        <RunLot plan={plan} dirty={dirty} />
      </div>
    </header>
  );
}
