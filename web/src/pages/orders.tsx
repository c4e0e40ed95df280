import type { JSX } from "preact";
import type { Spot } from "../frame/spot";
import { AdvicePage } from "../orders/AdvicePage";
import { OrdersPage } from "../orders/OrdersPage";

export function Page({ id }: Spot): JSX.Element {
  return id ? <AdvicePage key={id} order={id} /> : <OrdersPage />;
}
