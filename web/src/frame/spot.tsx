// A place as its address names it: #/PLACE/ID/PART.
import type { JSX } from "preact";
import { words } from "../words";

export interface Spot {
  id: string | undefined;
  part: string | undefined;
}

export function NotFound(): JSX.Element {
  return (
    <>
      <div class="page-head"><h1>{words.notFound}</h1></div>
      <a class="backlink" href="#/lots">{words.notFoundLink}</a>
    </>
  );
}
