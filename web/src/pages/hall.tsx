import type { JSX } from "preact";
import { NotFound, type Spot } from "../frame/spot";
import { HallPage } from "../hall/HallPage";

export function Page({ id }: Spot): JSX.Element {
  return id ? <NotFound /> : <HallPage />;
}
