import type { JSX } from "preact";
import { api } from "../api";
import { moment, number } from "../fmt";
import { href } from "../place";
import type { OrderRow } from "../types";
import { DataTable, type Column } from "../ui/DataTable";
import { Due } from "../ui/Due";
import { Empty, Ready, Swatch } from "../ui/parts";
import { useResource } from "../ui/resource";
import { words } from "../words";
import "./orders.css";

const w = words.ordersPage;

export function orderIsLate(order: { due: string | number }): boolean {
  const due = moment(order.due);
  return due !== null && due.getTime() < Date.now();
}

const COLUMNS: Column<OrderRow>[] = [
  {
    key: "order_id", title: w.columns.order_id, head: true, sort: (r) => r.order_id,
    cell: (r) => <a class="row-link" href={href(["orders", r.order_id])}><Swatch colour={r.swatch} /><span>{r.order_id}</span></a>,
  },
  { key: "customer", title: w.columns.customer, cell: (r) => r.customer, sort: (r) => r.customer },
  { key: "article", title: w.columns.article, cell: (r) => r.article, sort: (r) => r.article },
  { key: "shade", title: w.columns.shade, cell: (r) => r.shade, sort: (r) => r.shade },
  { key: "ordered_kg", title: w.columns.ordered_kg, cell: (r) => number(r.ordered_kg), sort: (r) => r.ordered_kg, right: true },
  { key: "grey_kg", title: w.columns.grey_kg, cell: (r) => number(r.grey_kg), sort: (r) => r.grey_kg, right: true },
  { key: "due", title: w.columns.due, cell: (r) => <Due due={r.due} late={orderIsLate(r)} />, sort: (r) => moment(r.due)?.getTime() ?? 0 },
];

export function OrdersPage(): JSX.Element {
  const orders = useResource("orders", api.orders);
  return (
    <>
      <div class="page-head">
        <h1>{w.title}</h1>
        {orders.data ? <p class="page-count">{w.count(orders.data.length)}</p> : null}
      </div>
      <Ready of={orders}>
        {(rows) => rows.length
          ? <div class="orders"><DataTable label={w.title} columns={COLUMNS} rows={rows} id={(r) => r.order_id} first="due" /></div>
          : <Empty>{w.empty}</Empty>}
      </Ready>
    </>
  );
}
