// From the logs of a round of fuzzing to one line a target, and to the table of docs/reliability.md.
// usage: report.mjs LOG_DIR COMMAND|-      "-": nothing is written
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { fill, measured, table, whole } from "../../tools/report.mjs";

const [dir, command] = process.argv.slice(2);
const corpus = new URL("corpus/", import.meta.url).pathname;
const WHAT = {
  bath: "questions to the desks of bath, fabric and line", body: "every request that carries a body", control: "frozen plans of batches", csv: "CSV and its numbers",
  entry: "entries of tablets, stored events", head: "heads of requests", laboratory: "questions of the laboratory",
  learn: "books of lots", people: "people, weigh room", route: "routes", scan: "what a scanner read", spectra: "files of spectra",
  whatif: "what-ifs of a plan",
};
const rows = [];
for (const file of readdirSync(dir).filter((f) => f.endsWith(".log")).sort()) {
  const name = file.slice(0, -4), log = readFileSync(join(dir, file), "utf8");
  const last = (pattern) => Number([...log.matchAll(pattern)].at(-1)?.[1] ?? 0);
  const found = existsSync(join(dir, name)) ? readdirSync(join(dir, name)).filter((f) => !f.startsWith("slow-unit")).length : 0;
  const ended = /^Done \d+ runs/m.test(log);
  const runs = last(/stat::number_of_executed_units: *(\d+)/g), edges = last(/ cov: (\d+)/g);
  console.log(`${ended && found === 0 ? "ok" : "FOUND"} ${name}: ${runs} runs, ${edges} edges${found > 0 ? `, ${found} findings` : ended ? "" : ", it ended before its time"}`);
  rows.push([name, WHAT[name] ?? "", whole(runs), readdirSync(join(corpus, name)).length, whole(edges), found]);
}
if (command !== "-") fill("fuzz", [...table(["target", "what", "executions", "files of the corpus", "edges", "findings"], rows), "", measured(command)]);
