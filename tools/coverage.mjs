// Which lines and branches of core ran: from gcc's counters to a line a folder, to what did not run
// (build/coverage/missing.txt, lines.json), and to the table of docs/reliability.md.
// usage: coverage.mjs BUILD_DIR COMMAND|-      "-": nothing is written into docs/
//
// A branch is one way out of a condition as gcc lowers it without optimisation, so `a && b` has four. Not
// counted: ways of exceptions (there are none in C), assertions (the build has NDEBUG), and lines that say
// MDR_UNREACHABLE. A file compiled twice, and a header compiled into many files, counts once: what ran
// anywhere ran.
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fill, measured, table, whole } from "./report.mjs";

const LINES_PCT = 95, BRANCHES_PCT = 90;
const [build, command] = process.argv.slice(2);
const root = new URL("..", import.meta.url).pathname;

const counters = ["mdr_core", "mdr_dyeing_wide"].flatMap((target) => {
  const dir = join(build, "CMakeFiles", `${target}.dir`);
  try {
    return readdirSync(dir, { recursive: true }).filter((f) => f.endsWith(".gcno")).map((f) => join(dir, f));
  } catch {
    return [];
  }
});
if (counters.length === 0) throw new Error(`${build} was not built with MDR_COVERAGE`);

/** file -> line -> { count, branches: [count] } */
const files = new Map();
function take(file, line) {
  if (!files.has(file)) files.set(file, new Map());
  const of = files.get(file), branches = (line.branches ?? []).filter((b) => !b.throw).map((b) => b.count);
  const had = of.get(line.line_number);
  if (!had) of.set(line.line_number, { count: line.count, branches });
  else {
    had.count += line.count;
    if (had.branches.length === branches.length) had.branches = had.branches.map((n, i) => n + branches[i]);
    else if (had.branches.length < branches.length) had.branches = branches; // it was never called there
  }
}
for (let at = 0; at < counters.length; at += 40) {
  const r = spawnSync("gcov", ["--branch-probabilities", "--json-format", "--stdout", ...counters.slice(at, at + 40)], { encoding: "utf8", maxBuffer: 1 << 30 });
  for (const text of r.stdout.split("\n").filter((l) => l.startsWith("{"))) {
    const report = JSON.parse(text);
    for (const f of report.files) {
      const name = relative(root, join(report.current_working_directory, f.file).startsWith(root) && !f.file.startsWith("/") ? join(report.current_working_directory, f.file) : f.file);
      if (name.startsWith("src/core/")) for (const line of f.lines) take(name, line);
    }
  }
}

const folders = new Map(), missing = [], ran = {};
for (const [file, lines] of [...files].sort()) {
  const folder = file.split("/").slice(1, 3).join("/"), source = readFileSync(join(root, file), "utf8").split("\n");
  const sum = folders.get(folder) ?? { lines: 0, ran: 0, branches: 0, taken: 0 };
  folders.set(folder, sum);
  ran[file] = [];
  for (const [n, { count, branches }] of [...lines].sort((a, b) => a[0] - b[0])) {
    if (/MDR_UNREACHABLE/.test(source[n - 1])) continue;
    sum.lines++;
    if (count > 0) {
      sum.ran++;
      ran[file].push(n);
    } else missing.push(`${file}:${n}: ${source[n - 1].trim()}`);
    const not = branches.filter((b) => b === 0).length;
    sum.branches += branches.length;
    sum.taken += branches.length - not;
    if (count > 0 && not > 0) missing.push(`${file}:${n}: ${not} of ${branches.length} branches: ${source[n - 1].trim()}`);
  }
}
writeFileSync(join(build, "missing.txt"), missing.join("\n") + "\n");
writeFileSync(join(build, "lines.json"), JSON.stringify(ran));

const all = { lines: 0, ran: 0, branches: 0, taken: 0 };
for (const sum of folders.values()) for (const key of Object.keys(all)) all[key] += sum[key];
const pct = (part, of) => (of === 0 ? 100 : Math.floor((1000 * part) / of) / 10);
const rows = [...folders, ["all", all]].map(([folder, s]) => [folder, whole(s.lines), `${pct(s.ran, s.lines)} %`, whole(s.branches), `${pct(s.taken, s.branches)} %`]);
for (const r of rows) console.log(`${r[0].padEnd(14)} lines ${r[1].padStart(7)} ${r[2].padStart(8)}   branches ${r[3].padStart(7)} ${r[4].padStart(8)}`);
console.log(`what did not run: ${relative(process.cwd(), join(build, "missing.txt"))} (${missing.length} lines)`);
if (command !== "-") fill("coverage", [...table(["folder", "lines", "run", "branches", "taken"], rows), "", measured(command)]);
const low = [...folders].filter(([, s]) => pct(s.ran, s.lines) < LINES_PCT || pct(s.taken, s.branches) < BRANCHES_PCT).map(([folder]) => folder);
if (low.length > 0) {
  console.log(`below ${LINES_PCT} % of lines or ${BRANCHES_PCT} % of branches: ${low.join(", ")}`);
  process.exitCode = 1;
}
