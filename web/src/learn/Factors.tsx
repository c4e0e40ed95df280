// Laboratory-to-bulk factors of a dye: the mill, its machines, their shades, each with its range.
import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { number, trimmed } from "../fmt";
import { Shape } from "../ui/parts";
import { Sheet, type SheetRow } from "../ui/Sheet";
import type { Factor, Taught } from "./types";
import { w } from "./words";

/** Outlive the page. */
const chosen = signal("");
const whole = signal(false);

export function Factors({ taught }: { taught: Taught }): JSX.Element {
  const dye = taught.dyes.find((d) => d.dye_id === chosen.value) ?? taught.dyes[0];
  const rows = taught.factors.filter((f) => f.dye_id === dye?.dye_id);
  const shown = whole.value ? rows : rows.filter((f) => f.level !== "cell");
  return (
    <section class="learn-part" aria-labelledby="learn-factors">
      <h2 id="learn-factors">{w.factors}</h2>
      <p class="section-lead">{w.factorsLead}</p>
      {dye ? (
        <>
          <label class="learn-dye">{w.dye}{" "}
            <select class="select" value={dye.dye_id} onChange={(event) => (chosen.value = event.currentTarget.value)}>
              {taught.dyes.map((d) => <option key={d.dye_id} value={d.dye_id}>{d.dye_id}</option>)}
            </select>
          </label>
          <p class="muted">{w.spread(trimmed(dye.lot_spread_pct, 1), trimmed(dye.cell_spread_pct, 1), trimmed(dye.machine_spread_pct, 1))} {dye.left_out ? w.leftOut(dye.left_out) : ""}</p>
          <Sheet by="learn-factors" head={w.factorColumns.shade} columns={[
            { title: w.factorColumns.factor, left: true }, { title: w.factorColumns.lots }, { title: w.factorColumns.own, unit: "%" }, { title: w.factorColumns.asked, left: true },
          ]} rows={shown.map(rowOf)} />
          <button type="button" class="button learn-more no-print" aria-expanded={whole.value} onClick={() => (whole.value = !whole.value)}>{whole.value ? w.machinesOnly : w.withShades(rows.filter((f) => f.level === "cell").length)}</button>
        </>
      ) : <p class="quiet-state">{w.noFactors}</p>}
    </section>
  );
}

function rowOf(f: Factor): SheetRow {
  const name = f.level === "mill" ? w.wholeMill : f.level === "machine" ? `${f.machine_id}, ${w.wholeMachine}` : f.shade_id;
  return {
    head: <span class={`learn-name-${f.level}`}>{name}{f.level === "cell" ? <span class="muted"> {f.machine_id}</span> : null}</span>,
    cells: [<Range f={f} />, f.lots, number(f.own_weight_pct, 0), <span class="verdict"><Shape kind={f.if_asked === "applied" ? "ok" : f.if_asked === "beyond" ? "stop" : "note"} /> {w.asked[f.if_asked]}</span>],
  };
}

const W = 180;
const H = 22;
const LEAST = 0.7;
const MOST = 1.4;
const x = (factor: number): number => 6 + ((Math.min(MOST, Math.max(LEAST, factor)) - LEAST) / (MOST - LEAST)) * (W - 12);

/** 0.7 to 1.4, where factors may be applied; what lies beyond stands at the edge, and its number says so. */
function Range({ f }: { f: Factor }): JSX.Element {
  return (
    <span class="learn-rate">
      <svg viewBox={`0 0 ${W} ${H}`} width={W} height={H} role="img" aria-label={w.factorAlt(f)}>
        <path class="learn-mill" d={`M${x(1)} 0V${H}`} />
        <path class="learn-range" d={`M${x(f.low)} ${H / 2}H${x(f.high)}`} />
        <circle class="learn-own" cx={x(f.factor)} cy={H / 2} r="4.5" />
      </svg>
      <span class="learn-rate-text" aria-hidden="true">{number(f.factor, 3)} <span class="muted">({number(f.low, 2)} to {number(f.high, 2)})</span></span>
    </span>
  );
}
