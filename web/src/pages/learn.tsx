import type { JSX } from "preact";
import { NotFound, type Spot } from "../frame/spot";
import { LearnPage } from "../learn/LearnPage";

export function Page({ id }: Spot): JSX.Element {
  return id ? <NotFound /> : <LearnPage />;
}
