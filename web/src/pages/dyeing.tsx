import type { JSX } from "preact";
import { DyeingPage } from "../dyeing/DyeingPage";
import { NotFound, type Spot } from "../frame/spot";

export function Page({ id }: Spot): JSX.Element {
  return id ? <DyeingPage key={id} lot={id} /> : <NotFound />;
}
