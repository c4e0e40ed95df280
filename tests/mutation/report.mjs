// From build/mutate/FOLDER.json to the table of docs/reliability.md.
// usage: report.mjs DIR COMMAND
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { fill, measured, table } from "../../tools/report.mjs";

const [dir, command] = process.argv.slice(2);
const core = new URL("../../src/core", import.meta.url).pathname;
const runs = readdirSync(dir).filter((f) => f.endsWith(".json")).sort().map((f) => JSON.parse(readFileSync(join(dir, f), "utf8")));
const rows = runs.map((r) => [r.folder, r.mutants, r.killed, r.explained, r.survived.length, r.survived.map((s) => `${s.file.replace("src/core/", "")}:${s.line}`).join("<br>")]);
const not = readdirSync(core).filter((f) => !runs.some((r) => r.folder === `core/${f}`));
fill("mutate", [
  ...table(["folder", "mutants", "killed", "explained", "survived", "where"], rows),
  ...(not.length > 0 ? ["", `Not run: ${not.join(", ")}.`] : []),
  "", measured(command),
]);
