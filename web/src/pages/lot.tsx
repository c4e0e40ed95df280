import type { JSX } from "preact";
import { NotFound, type Spot } from "../frame/spot";
import { tabOf } from "../plan/LotTabs";
import { PlanPage } from "../plan/PlanPage";

export function Page({ id, part }: Spot): JSX.Element {
  const tab = tabOf(part);
  return id && tab ? <PlanPage key={id} lot={id} tab={tab} /> : <NotFound />;
}
