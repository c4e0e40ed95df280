// A list of records: sortable by its heads, whole rows lead somewhere, cards on a narrow screen.
import type { ComponentChildren, JSX } from "preact";
import { useState } from "preact/hooks";
import { words } from "../words";
import "./table.css";

export interface Column<T> {
  key: string;
  title: string;
  cell: (row: T) => ComponentChildren;
  /** What to sort by; none: the column cannot be sorted. */
  sort?: (row: T) => string | number;
  right?: boolean;
  /** The cell that names the row; holds its link. */
  head?: boolean;
}

interface Props<T> {
  label: string;
  columns: Column<T>[];
  rows: T[];
  id: (row: T) => string;
  first: string;
}

interface Order {
  key: string;
  down: boolean;
}

export function DataTable<T>({ label, columns, rows, id, first }: Props<T>): JSX.Element {
  const [order, setOrder] = useState<Order>({ key: first, down: false });
  const by = columns.find((c) => c.key === order.key)?.sort;
  const sorted = by ? [...rows].sort((a, b) => compare(by(a), by(b)) * (order.down ? -1 : 1)) : rows;
  const choose = (key: string): void => setOrder({ key, down: order.key === key && !order.down });
  return (
    <>
      <SortSelect columns={columns} order={order} setOrder={setOrder} />
      <table class="data" aria-label={label}>
        <thead>
          <tr>
            {columns.map((c) => (
              <th key={c.key} scope="col" class={`cell-${c.key}${c.right ? " right" : ""}`}
                {...(c.key === order.key ? { "aria-sort": order.down ? ("descending" as const) : ("ascending" as const) } : {})}>
                {c.sort ? (
                  <button type="button" class="sort" onClick={() => choose(c.key)}>
                    {c.title}
                    <svg viewBox="0 0 10 10" width="10" height="10" aria-hidden="true"><path d={order.down ? "M1 2h8L5 9z" : "M1 8h8L5 1z"} /></svg>
                  </button>
                ) : c.title}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {sorted.map((row) => (
            <tr key={id(row)}>
              {columns.map((c) =>
                c.head
                  ? <th key={c.key} scope="row" class={`cell-${c.key}`}>{c.cell(row)}</th>
                  : <td key={c.key} class={`cell-${c.key}${c.right ? " right" : ""}`} data-title={c.title}>{c.cell(row)}</td>)}
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** Stands in for the heads where rows are shown as cards. */
function SortSelect<T>({ columns, order, setOrder }: { columns: Column<T>[]; order: Order; setOrder: (o: Order) => void }): JSX.Element {
  return (
    <label class="sort-select">
      <span>{words.lotsPage.sortBy}</span>
      <select class="select" value={order.key} onChange={(event) => setOrder({ key: event.currentTarget.value, down: false })}>
        {columns.filter((c) => c.sort).map((c) => <option key={c.key} value={c.key}>{c.title}</option>)}
      </select>
    </label>
  );
}

function compare(a: string | number, b: string | number): number {
  if (typeof a === "number" && typeof b === "number") return a - b;
  return String(a).localeCompare(String(b), "en", { numeric: true });
}
