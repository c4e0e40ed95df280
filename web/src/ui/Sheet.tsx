// A plain table of records: a named row, its values under their heads. In little room a row is a
// card, each value under its own word; `late`: few columns, a table for longer.
import type { ComponentChildren, JSX } from "preact";
import "./sheet.css";

export interface SheetColumn {
  title: string;
  unit?: string;
  /** Words stand left, numbers right. */
  left?: boolean;
}
export interface SheetRow {
  head: ComponentChildren;
  cells: ComponentChildren[];
  sum?: boolean;
}
interface Props {
  /** Id of the heading that names the table. */
  by: string;
  head: string;
  columns: SheetColumn[];
  rows: SheetRow[];
  late?: boolean;
}

export function Sheet({ by, head, columns, rows, late }: Props): JSX.Element {
  const side = (c: SheetColumn | undefined): string => (c?.left ? "" : "right");
  const titled = (c: SheetColumn | undefined): string => (c?.unit ? `${c.title}, ${c.unit}` : (c?.title ?? ""));
  return (
    <table class={late ? "sheet-table" : "sheet-table is-early"} aria-labelledby={by}>
      <thead>
        <tr>
          <th scope="col">{head}</th>
          {columns.map((c) => <th key={c.title} scope="col" class={side(c)}>{c.title}{c.unit ? <span class="th-unit"> {c.unit}</span> : null}</th>)}
        </tr>
      </thead>
      <tbody>
        {rows.map((row, i) => (
          <tr key={i} class={row.sum ? "is-sum" : ""}>
            <th scope="row">{row.head}</th>
            {row.cells.map((cell, k) => <td key={k} class={side(columns[k])} data-title={titled(columns[k])}>{cell}</td>)}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
