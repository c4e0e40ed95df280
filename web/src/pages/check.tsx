import type { JSX } from "preact";
import { CheckPage } from "../check/CheckPage";

export function Page(): JSX.Element {
  return <CheckPage />;
}
