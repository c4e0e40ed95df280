// Writes into docs/api.md what the program's table of endpoints says: under each heading a line that begins with
// "> " (words, right, body), and the list of rights. All else there is written by hand and stays.
// usage: api.mjs PROGRAM [--check]      --check: writes nothing, fails where the page is not as it would be written
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";

const page = new URL("../docs/api.md", import.meta.url).pathname;
const MIB = 1 << 20;

const heading = (row) => `${row.method} ${row.pattern}`;
export const anchor = (text) => text.toLowerCase().replace(/[^\w\- ]/g, "").replaceAll(" ", "-");
const RIGHTS = { open: "none is needed, nor to be signed in (`open`)", self: "whoever is signed in, also behind a locked screen (`self`)" };

/** The line of one endpoint. */
export function line_of(row) {
  const right = RIGHTS[row.action] ?? `\`${row.action}\``;
  const body = row.body_type ? ` Takes \`${row.body_type}\`, up to ${row.body_most_bytes / MIB} MiB.` : "";
  return `> ${row.what}. Right: ${right}.${body}`;
}

function rights_of(rows) {
  const by = new Map();
  for (const row of rows) if (row.action !== "read") by.set(row.action, [...(by.get(row.action) ?? []), `[${heading(row)}](#${anchor(heading(row))})`]);
  return ["| right | endpoints |", "| --- | --- |", ...[...by].map(([action, list]) => `| \`${action}\` | ${list.join(", ")} |`), "| `read` | all others |"];
}

/** The page as it should be. Throws when a section is missing or belongs to no row. */
export function written(text, rows) {
  const known = new Map(rows.map((row) => [heading(row), row]));
  const parts = text.split(/^(?=### (?:GET|POST|PUT|DELETE) )/m);
  const seen = new Set();
  const out = parts.slice(1).map((part) => {
    const [first, ...rest] = part.split("\n");
    const row = known.get(first.slice(4));
    if (!row) throw new Error(`docs/api.md: no row of src/http/mdr_endpoints.c is "${first.slice(4)}"; take the section away, or name it as the row`);
    if (seen.has(first)) throw new Error(`docs/api.md: twice "${first}"`);
    seen.add(first);
    while (rest.length > 0 && (rest[0] === "" || rest[0].startsWith("> "))) rest.shift();
    return [first, "", line_of(row), "", ...rest].join("\n");
  });
  const missing = [...known.keys()].filter((name) => !seen.has(`### ${name}`));
  if (missing.length > 0) throw new Error(`docs/api.md has no section for ${missing.join(", ")}; add the heading "### ${missing[0]}" where it belongs, and below it what is asked and answered`);
  const mark = /(<!-- rights -->\n)[^]*?(<!-- end -->)/;
  if (!mark.test(parts[0])) throw new Error("docs/api.md has no place <!-- rights --> ... <!-- end -->");
  return [parts[0].replace(mark, (_, a, b) => `${a}${rights_of(rows).join("\n")}\n${b}`), ...out].join("");
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const [program, flag] = process.argv.slice(2);
  if (!program) {
    console.error("usage: api.mjs PROGRAM [--check]");
    process.exit(2);
  }
  const { endpoints } = JSON.parse(execFileSync(program, ["help", "--api"], { encoding: "utf8" }));
  const was = readFileSync(page, "utf8");
  try {
    const is = written(was, endpoints);
    if (flag === "--check" && is !== was) throw new Error("docs/api.md is not as the program has it: run script/docs");
    if (flag !== "--check") writeFileSync(page, is);
  } catch (e) {
    console.error(e.message);
    process.exit(1);
  }
}
