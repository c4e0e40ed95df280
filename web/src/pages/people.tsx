import type { JSX } from "preact";
import { PeoplePage } from "../people/PeoplePage";

export function Page(): JSX.Element {
  return <PeoplePage />;
}
