import type { JSX } from "preact";
import { NotFound, type Spot } from "../frame/spot";
import { WeighPage } from "../weigh/WeighPage";

export function Page({ id }: Spot): JSX.Element {
  return id ? <NotFound /> : <WeighPage />;
}
