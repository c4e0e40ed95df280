import type { JSX } from "preact";
import { FloorPage } from "../floor/FloorPage";
import { NotFound, type Spot } from "../frame/spot";

export function Page({ id, part }: Spot): JSX.Element {
  return id && (part === undefined || part === "history") ? <FloorPage key={id} id={id} part={part} /> : <NotFound />;
}
