import type { JSX } from "preact";
import { DeskPage } from "../bath/DeskPage";
import { toolOf } from "../bath/tools";
import { NotFound, type Spot } from "../frame/spot";

export function Page({ id }: Spot): JSX.Element {
  const tool = toolOf(id);
  return tool ? <DeskPage key={tool.id} tool={tool} /> : <NotFound />;
}
