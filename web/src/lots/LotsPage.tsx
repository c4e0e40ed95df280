import type { JSX } from "preact";
import { day, moment, number } from "../fmt";
import { href } from "../place";
import type { LotRow } from "../types";
import { DataTable, type Column } from "../ui/DataTable";
import { Due } from "../ui/Due";
import { Empty, Ready, Swatch } from "../ui/parts";
import { words } from "../words";
import { filter, useLots, type LotList } from "./list";
import "./lots.css";

const w = words.lotsPage;
export function isLate(lot: { due: string | number; stage: string }): boolean {
  const due = moment(lot.due);
  return due !== null && lot.stage !== "done" && due.getTime() < Date.now();
}

const COLUMNS: Column<LotRow>[] = [
  {
    key: "lot_id", title: w.columns.lot_id, head: true, sort: (r) => r.lot_id,
    cell: (r) => <a class="row-link" href={href(["lots", r.lot_id])}><Swatch colour={r.swatch} /><span>{r.lot_id}</span></a>,
  },
  { key: "customer", title: w.columns.customer, cell: (r) => r.customer, sort: (r) => r.customer },
  { key: "article", title: w.columns.article, cell: (r) => r.article, sort: (r) => r.article },
  { key: "shade", title: w.columns.shade, cell: (r) => r.shade, sort: (r) => r.shade },
  { key: "machine", title: w.columns.machine, cell: (r) => r.machine, sort: (r) => r.machine },
  { key: "load_kg", title: w.columns.load_kg, cell: (r) => (r.load_kg > 0 ? number(r.load_kg) : words.none), sort: (r) => r.load_kg, right: true },
  { key: "stage_words", title: w.columns.stage_words, cell: (r) => r.stage_words, sort: (r) => r.stage_words },
  { key: "due", title: w.columns.due, cell: (r) => <Due due={r.due} late={isLate(r)} />, sort: (r) => moment(r.due)?.getTime() ?? 0 },
];

function matches(row: LotRow, text: string): boolean {
  const hay = [row.lot_id, row.order_id, row.customer, row.article, row.shade, row.machine, row.stage_words, row.route, day(row.due), isLate(row) ? w.late : ""]
    .join(" ");
  // Each word from its beginning: "late" finds what is late, not everything in chocolate.
  return text.trim().split(/\s+/).every((part) => new RegExp(`(^|[^\\p{L}\\p{N}])${part.replace(/[\^$.*+?()[\]{}|/\\]/g, "\\$&")}`, "iu").test(hay));
}

export function LotsPage(): JSX.Element {
  const lots = useLots();
  const shown = lots.data?.filter((row) => matches(row, filter.value)) ?? [];
  return (
    <>
      <div class="page-head">
        <h1>{w.title}</h1>
        {lots.data ? <p class="page-count" role="status">{w.count(shown.length, lots.all)}</p> : null}
        <div class="page-filter">
          <label for="lots-filter">{w.filter}</label>
          <input class="input" id="lots-filter" type="search" value={filter.value} onInput={(event) => (filter.value = event.currentTarget.value)} />
        </div>
      </div>
      <Ready of={lots}>
        {(here) =>
          shown.length
            ? <div class="lots"><DataTable label={w.title} columns={COLUMNS} rows={shown} id={(r) => r.lot_id} first="due" /></div>
            : lots.looking ? null
              : <Empty>{here.length ? w.noMatch : w.empty} {here.length ? <button type="button" class="button" onClick={() => (filter.value = "")}>{w.clear}</button> : null}</Empty>}
      </Ready>
      {lots.data ? <Rest lots={lots} shown={shown.length} /> : null}
    </>
  );
}

/** What of the lots is not listed, and how to get at it. */
function Rest({ lots, shown }: { lots: LotList; shown: number }): JSX.Element | null {
  const { more } = lots;
  if (lots.looking) return <p class="lots-rest" role="status">{w.looking}</p>;
  if (lots.tooMany) return <p class="lots-rest" role="status">{w.tooMany(shown)}</p>;
  return more ? <p class="lots-rest">{w.notAll(shown, lots.all)} <button type="button" class="button" onClick={() => void more()}>{w.earlier}</button></p> : null;
}
