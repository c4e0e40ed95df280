import type { JSX } from "preact";
import { FinishPage } from "../finish/FinishPage";
import { NotFound, type Spot } from "../frame/spot";

export function Page({ id }: Spot): JSX.Element {
  return id ? <FinishPage key={id} lot={id} /> : <NotFound />;
}
