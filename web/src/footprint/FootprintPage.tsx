// What a lot takes and sends away, stage by stage, beside what another route would.
import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { useContext } from "preact/hooks";
import { api } from "../api";
import { Waterfall } from "../charts/Waterfall";
import { useReloadWith } from "../bath/BathPage";
import { clock, joined, number, shown, sourceName, trimmed } from "../fmt";
import type { Footprint, FootprintBand, FootprintPart, FootprintSide, LoadKey, MaybeQ, PerKgKey, Plan } from "../types";
import { Num, Scope } from "../ui/Num";
import { Loading, Failure, Shape } from "../ui/parts";
import { Sheet, type SheetRow } from "../ui/Sheet";
import { useResource } from "../ui/resource";
import { words } from "../words";
import "../ui/segment.css";
import "./footprint.css";

const w = words.footprint;

type Quantity = keyof typeof w.quantities;
const QUANTITIES: Record<Quantity, { load: LoadKey; perKg: PerKgKey }> = {
  water: { load: "water_l", perKg: "water_l_per_kg" },
  steam: { load: "steam_kg", perKg: "steam_kg_per_kg" },
  power: { load: "power_kwh", perKg: "power_kwh_per_kg" },
  cod: { load: "cod_kg", perKg: "cod_g_per_kg" },
  co2: { load: "co2_kg", perKg: "co2_kg_per_kg" },
  solids: { load: "solids_kg", perKg: "solids_kg_per_kg" },
  money: { load: "cost_minor", perKg: "cost_minor_per_kg" },
};
const NAMES = Object.keys(QUANTITIES) as Quantity[];

/** Outlives the page: the next lot is looked at for the same quantity. */
const chosen = signal<Quantity>("water");
/** Lot -> the route it is compared with. */
const against = signal<Record<string, string>>({});

export function FootprintPage({ plan }: { plan: Plan }): JSX.Element {
  const { footprint } = plan;
  const lot = plan.lot.lot_id;
  const other = against.value[lot] ?? "";
  return (
    <div class="footprint">
      <div class="footprint-head">
        <h2>{w.title}</h2>
        <Quantities />
        <Against plan={plan} other={other} />
      </div>
      <Falls plan={plan} other={other} />
      <Bands bands={footprint.bands} />
      <Unknown footprint={footprint} />
      <StageTable footprint={footprint} keys={LOADS} title={w.table} id="stage-table" />
      <StageTable footprint={footprint} keys={MONEY} title={w.money} id="stage-money" />
    </div>
  );
}

function Quantities(): JSX.Element {
  return (
    <fieldset class="segments no-print">
      <legend class="visually-hidden">{w.quantity}</legend>
      {NAMES.map((name) => (
        <label key={name} class="segment">
          <input type="radio" name="footprint-quantity" value={name} checked={chosen.value === name} onChange={() => (chosen.value = name)} />
          <span>{w.quantities[name]}</span>
        </label>
      ))}
    </fieldset>
  );
}

function Against({ plan, other }: { plan: Plan; other: string }): JSX.Element {
  const routes = useResource("routes", api.routes);
  const lot = plan.lot.lot_id;
  const list = routes.data?.filter((r) => r.dye_class === plan.lot.shade.dye_class && r.route_id !== plan.route.route_id) ?? [];
  return (
    <div class="field against no-print">
      <label for="footprint-against">{w.against}</label>
      <select class="select" id="footprint-against" value={other} disabled={list.length === 0}
        onChange={(event) => (against.value = { ...against.value, [lot]: event.currentTarget.value })}>
        <option value="">{routes.data && list.length === 0 ? w.noRoutes : w.againstNone}</option>
        {list.map((r) => <option key={r.route_id} value={r.route_id}>{`${r.name} · ${words.whatIf.version(r.version)}`}</option>)}
      </select>
    </div>
  );
}

function Sum({ total, perKg, plain }: { total: MaybeQ; perKg: MaybeQ; plain: boolean | undefined }): JSX.Element {
  return (
    <p class="fall-sum">
      <span><strong><Figure q={perKg} plain={plain} /></strong> {w.perKg}</span>
      <span><strong class="fall-total"><Figure q={total} plain={plain} /></strong> {w.total.toLowerCase()}</span>
    </p>
  );
}

/** Nothing, where there is none of it. */
function some(q: MaybeQ): MaybeQ {
  return q && Math.abs(q.value) > 1e-9 ? q : null;
}

/** A figure of another plan has no why on this page. */
function Figure({ q, plain }: { q: MaybeQ; plain?: boolean | undefined }): JSX.Element {
  const { currency } = useContext(Scope);
  if (!plain || !q) return <Num q={q} />;
  const { value, unit } = shown(q.value, q.unit, currency);
  return <span class="num-plain">{value}{unit ? <span class="num-unit"> {unit}</span> : null}</span>;
}

/** The sum of the plan, and beside it that of another route when one is chosen. */
function Falls({ plan, other }: { plan: Plan; other: string }): JSX.Element {
  const title = `${w.quantities[chosen.value]} ${w.of[chosen.value]}`;
  return (
    <section class="fall" aria-labelledby="fall-title">
      <h3 id="fall-title">{title}</h3>
      {other ? <Compared key={other} plan={plan} other={other} /> : <Fall footprint={plan.footprint} label={title} />}
    </section>
  );
}

interface FallProps {
  footprint: Footprint;
  label: string;
  side?: string;
  most?: number;
  plain?: boolean;
}

function Fall({ footprint, label, side, most, plain }: FallProps): JSX.Element {
  const { load, perKg } = QUANTITIES[chosen.value];
  const total = footprint.total[load];
  return (
    <div>
      {side ? <h4><span class="fall-side">{side}</span> {label}</h4> : null}
      <Sum total={total} perKg={footprint.per_kg[perKg]} plain={plain} />
      <Waterfall parts={footprint.stages} total={footprint.total} of={load} most={most ?? total?.value ?? 0} ask={!plain} label={label} />
    </div>
  );
}

function Compared({ plan, other }: { plan: Plan; other: string }): JSX.Element {
  const lot = plan.lot.lot_id;
  const answer = useResource(`footprint/${lot}/${other}`, () => api.footprint(lot, other));
  useReloadWith(plan, answer.reload);
  const { load } = QUANTITIES[chosen.value];
  const b = answer.data?.b ?? null;
  const most = Math.max(plan.footprint.total[load]?.value ?? 0, b?.footprint.total[load]?.value ?? 0);
  return (
    <>
      <div class="fall-pair" aria-busy={!b && !answer.error}>
        <Fall footprint={plan.footprint} side={w.asPlanned} label={plan.route.name} most={most} />
        {b ? <Fall footprint={b.footprint} side={w.compared} label={b.name} most={most} plain />
          : answer.error ? <Failure error={answer.error} reload={answer.reload} /> : <Loading />}
      </div>
      {b?.stops ? <p class="verdict"><Shape kind="stop" />{b.name}: {words.plan.counted(b.stops, "stop")}</p> : null}
      {b ? <Differences plan={plan} b={b} /> : null}
    </>
  );
}

function Differences({ plan, b }: { plan: Plan; b: FootprintSide }): JSX.Element {
  const { footprint, headline: { total_min: ta } } = plan;
  const tb = b.total_min;
  const rows: SheetRow[] = NAMES.map((name) => {
    const { perKg } = QUANTITIES[name];
    const qa = footprint.per_kg[perKg];
    const qb = b.footprint.per_kg[perKg];
    return { head: w.quantities[name], cells: [<Num q={qa} />, <Figure q={qb} plain />, qa && qb ? <Change from={qa.value} to={qb.value} unit={qa.unit} /> : words.none] };
  });
  if (ta && tb) rows.push({ head: `${w.time}, ${words.curve.lanes.time}`, cells: [<Num q={ta} look="clock" />, clock(tb.value), <Change from={ta.value} to={tb.value} unit="min" />] });
  return (
    <section class="differences" aria-labelledby="differences-title">
      <h3 id="differences-title">{w.differences}</h3>
      <Sheet late by="differences-title" head={w.quantityWord} columns={[w.asPlanned, w.compared, w.difference].map((title) => ({ title }))} rows={rows} />
    </section>
  );
}

/** The sign says which way; the triangle says it again for those who read the column at a glance. */
function Change({ from, to, unit }: { from: number; to: number; unit: string }): JSX.Element {
  const { currency } = useContext(Scope);
  const by = to - from;
  if (Math.abs(by) < 1e-9 * Math.max(1, Math.abs(from))) return <span class="muted">{w.same}</span>;
  const sign = by > 0 ? "+" : "\u2212";
  const said = shown(Math.abs(by), unit, currency);
  return (
    <span class="change">
      <svg viewBox="0 0 8 8" width="9" height="9" aria-hidden="true"><path d={by > 0 ? "M0 7.5 4 .5l4 7z" : "M0 .5h8l-4 7z"} /></svg>
      {Number(said.value) === 0 ? null : sign + joined(said)}{from === 0 ? null : <span class="muted"> ({sign}{number((100 * Math.abs(by)) / Math.abs(from), Number(said.value) === 0 ? 1 : 0)} %)</span>}
    </span>
  );
}

const LOADS: LoadKey[] = ["water_l", "effluent_l", "steam_kg", "power_kwh", "chemicals_kg", "salt_kg", "dye_kg", "cod_kg", "solids_kg", "co2_kg"];
const MONEY: LoadKey[] = ["water_minor", "effluent_minor", "steam_minor", "power_minor", "chemicals_minor", "cost_minor"];

function StageTable({ footprint, keys, title, id }: { footprint: Footprint; keys: LoadKey[]; title: string; id: string }): JSX.Element {
  const { currency } = useContext(Scope);
  const kept = keys.filter((key) => footprint.total[key]);
  const unit = (key: LoadKey): string => {
    const q = footprint.total[key];
    return q ? shown(q.value, q.unit, currency).unit : "";
  };
  const row = (part: FootprintPart, head: string): SheetRow => ({ head, cells: kept.map((key) => <Num q={some(part[key])} unit={false} />) });
  return (
    <section class="bath-section" aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      <Sheet by={id} head={w.stage} columns={kept.map((key) => ({ title: w.columns[key], unit: unit(key) }))}
        rows={[...footprint.stages.map((part) => row(part, part.name || part.words)), { ...row(footprint.total, w.total), sum: true }]} />
    </section>
  );
}

function Bands({ bands }: { bands: FootprintBand[] }): JSX.Element | null {
  if (!bands.length) return null;
  return (
    <section class="bath-section" aria-labelledby="bands-title">
      <h2 id="bands-title">{w.bands}</h2>
      <p class="section-lead">{w.bandsLead}</p>
      <ul class="range-list">{bands.map((band) => <Range key={band.what} band={band} />)}</ul>
    </section>
  );
}

const VERDICT_SHAPE = { below: "note", within: "ok", above: "warning" } as const;

function Range({ band }: { band: FootprintBand }): JSX.Element {
  const { currency } = useContext(Scope);
  const { value } = band;
  const unit = shown(0, band.unit, currency).unit;
  const top = Math.max(band.high, value) * 1.12 || 1;
  const x = (v: number): number => (v / top) * 1000;
  return (
    <li class="range">
      <p class="range-name">{band.what}</p>
      <p class="range-value">{trimmed(value, value < 10 ? 2 : 1)} {unit}</p>
      <p class={`verdict verdict-${band.verdict === "above" ? "outside" : band.verdict}`}><Shape kind={VERDICT_SHAPE[band.verdict]} />{w.verdicts[band.verdict]}</p>
      <svg class="range-bar" viewBox="0 0 1000 24" preserveAspectRatio="none" aria-hidden="true">
        <path class="range-all" d="M0 12H1000" />
        <path class="range-band" d={`M${x(band.low)} 6H${x(band.high)}V18H${x(band.low)}Z`} />
        <path class="range-mark" d={`M${x(value)} 0V24`} />
      </svg>
      <p class="range-says">{trimmed(band.low, 2)}–{trimmed(band.high, 2)} {unit} <span class="muted">{sourceName(band.source)}</span>{" "}{band.to_confirm ? <strong class="range-confirm">{w.toConfirm}</strong> : null}</p>
    </li>
  );
}

function Unknown({ footprint }: { footprint: Footprint }): JSX.Element {
  const lines: [string, MaybeQ][] = [[w.unknownCod, some(footprint.unknown_cod_kg)], [w.unknownCo2, some(footprint.unknown_co2_kg)]];
  return <div class="unknown">{lines.map(([word, q]) => (q ? <p key={word}><Shape kind="note" /><span>{word} <Num q={q} /></span></p> : null))}</div>;
}
