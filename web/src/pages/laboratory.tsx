import type { JSX } from "preact";
import { NotFound, type Spot } from "../frame/spot";
import { LaboratoryPage, tabOf } from "../laboratory/LaboratoryPage";

export function Page({ id, part }: Spot): JSX.Element {
  const tab = tabOf(id);
  return tab && !part ? <LaboratoryPage tab={tab} /> : <NotFound />;
}
