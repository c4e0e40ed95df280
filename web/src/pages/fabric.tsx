import type { JSX } from "preact";
import { FabricPage } from "../fabric/FabricPage";
import { NotFound, type Spot } from "../frame/spot";

export function Page({ id }: Spot): JSX.Element {
  return id ? <NotFound /> : <FabricPage />;
}
