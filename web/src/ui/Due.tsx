import type { JSX } from "preact";
import { day } from "../fmt";
import { words } from "../words";
import { Shape } from "./parts";

export function Due({ due, late }: { due: string | number; late: boolean }): JSX.Element {
  return (
    <span class="due">
      {day(due)}
      {late ? <span class="due-late"><Shape kind="late" />{words.lotsPage.late}</span> : null}
    </span>
  );
}
