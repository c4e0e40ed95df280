// From what tests tallied (tests/tally.mjs) to the tables of docs/reliability.md.
// usage: proofs.mjs roles|axe FOLDER
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fill, measured, table, whole } from "./report.mjs";

const group = (rows, of) => {
  const by = new Map();
  for (const row of rows) by.set(of(row), [...(by.get(of(row)) ?? []), row]);
  return by;
};
const off = (row) => row.may === row.refused;

function roles(rows) {
  const of_role = (list) => [list.length, list.filter((r) => !r.refused).length, list.filter((r) => r.refused).length, list.filter(off).length];
  const parts = [["endpoints", "asked endpoints"], ["entries", "asked to enter"]].flatMap(([of, words]) => {
    const these = rows.filter((r) => r.of === of);
    const kinds = new Set(these.map((r) => r.row)).size;
    return ["", `${words === "asked to enter" ? "Kinds of entry into the record" : "Endpoints"}: ${kinds}.`, "",
      ...table(["role", "asked", "heard", "refused", "other than the table says"], [
        ...[...group(these, (r) => r.role)].sort(([a], [b]) => (a === "nobody signed in" ? -1 : b === "nobody signed in" ? 1 : 0)).map(([role, list]) => [role, ...of_role(list)]),
        ["all", ...of_role(these)]])];
  });
  return [...parts.slice(1), "", measured("script/proofs roles")];
}

/** "#/lots/L26-0107/bath?x" is "lots/ID/bath". */
export function place_of(hash) {
  const [first = "", ...rest] = hash.replace(/^#?\/?/, "").split("?")[0].split("/").filter(Boolean);
  return [first || "lots", ...rest.map((part) => (/[^a-z-]/.test(part) ? "ID" : part))].join("/");
}

function axe(rows) {
  const widths = [...new Set(rows.map((r) => r.width))].sort((a, b) => a - b);
  const of_list = (list) => [list.length, ...widths.map((w) => list.filter((r) => r.width === w).length || ""), list.reduce((n, r) => n + r.findings, 0)];
  const pages = [...group(rows, (r) => place_of(r.place))].sort(([a], [b]) => (a < b ? -1 : 1));
  return [...table(["page", "looks", ...widths.map((w) => `at ${w} px`), "findings"], [...pages.map(([page, list]) => [page, ...of_list(list)]), ["all", ...of_list(rows)]]),
    "", `${whole(rows.reduce((n, r) => n + r.rules, 0))} rules applied. For a person to judge are left: ${[...new Set(rows.flatMap((r) => r.by_hand))].sort().join(", ") || "none"}.`,
    "", measured("script/proofs axe")];
}

const MAKE = { roles, axe };
if (process.argv[1] === new URL(import.meta.url).pathname) {
  const [what, folder] = process.argv.slice(2);
  const rows = readFileSync(join(folder, `${what}.jsonl`), "utf8").trim().split("\n").map((l) => JSON.parse(l));
  fill(what, MAKE[what](rows));
}
