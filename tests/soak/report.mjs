// Rewrites the tables of docs/reliability.md from build/soak/*.json; a part that was not run stays as it is.
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const root = new URL("../..", import.meta.url).pathname;
const path = join(root, "docs", "reliability.md");
let text = readFileSync(path, "utf8");
const row = (...cells) => `| ${cells.join(" | ")} |`;
const table = (head, rows) => [row(...head), row(...head.map(() => "---")), ...rows.map((r) => row(...r))];
const spread = (words, s) => [words, s.n, s.p50_ms, s.p95_ms, s.p99_ms, s.most_ms];
const SPREAD = ["ms", "number", "half below", "95 % below", "99 % below", "longest"];
const whole = (n) => n.toLocaleString("en").replaceAll(",", " ");
const goal = (s) => (s.p99_ms < 50 ? "reached" : `missed: ${s.p99_ms} ms`);

const TABLES = {
  kill: (d) => table(["rounds", "acknowledged", "lost", "stored twice", "chain"], [[whole(d.rounds), whole(d.acknowledged), d.lost, d.doubled, d.chain]]),
  load: (d) => [
    ...table(SPREAD, [
      spread(`${d.steady.looking} look every 2 s`, d.steady.reads), spread(`${d.steady.writing} write every second`, d.steady.writes),
      spread(`${d.flat_out.looking} look every 2 s`, d.flat_out.reads), spread(`${d.flat_out.writing} write without pause`, d.flat_out.writes),
    ]),
    "", `${d.steady.seconds} s each. Entries a second without pause: ${Math.round(d.flat_out.writes.n / d.flat_out.seconds)}. Goal, 99 % below 50 ms: looking ${goal(d.steady.reads)}, writing ${goal(d.steady.writes)}; without pause looking ${goal(d.flat_out.reads)}, writing ${goal(d.flat_out.writes)}.`,
  ],
  years: (d) => {
    const NAMES = { open_ms: "opened, first hall", hall_ms: "hall", floor_ms: "a batch under way", over_ms: "a batch that is over", report_ms: "lot report", append_ms: "entry, to the disk", lots_ms: "list of lots", verify_ms: "whole chain checked" };
    return [
      ...table(["ms at events", ...d.rows.map((r) => whole(r.events)), "grows with"], Object.entries(NAMES).map(([n, words]) => [words, ...d.rows.map((r) => r[n].toFixed(r[n] < 10 ? 2 : 0)), `size^${d.exponents[n]}`])),
      "", `${whole(d.rows.at(-1).events)} events in ${whole(d.rows.at(-1).batches)} batches: ${whole(d.file_mb)} MB. Checked: ${whole(d.rows.at(-1).verify_per_s)} events a second. The exponent is fitted to the sizes from a thirtieth of the largest on.`,
    ];
  },
  disk: (d) => table(["how", "taken", "lost", "answer", "words", "read while full", "after room was made"], [[d.how, d.taken, d.lost, d.status, `${d.message}: ${d.remedy}`, `${d.read_while_full} of ${d.read_while_full}`, d.restarted ? "well after a start" : "well at once"]]),
  clock: (d) => table(["device clocks off", "jumps of the server's clock", "of entries, before the one before", "chain"], [[d.device_clocks, d.jumps, d.went_back, d.chain]]),
  hostile: (d) => [
    ...table(SPREAD, [spread(`${d.looking} tablets look every 2 s`, d.reads), spread("one writes five times a second", d.writes)]),
    "", `${d.seconds} s beside ${d.held_open} lines held open, ${d.too_large} rounds of too large requests and ${d.malformed} that are no requests; answered ${Object.entries(d.answered).map(([k, n]) => `${k}: ${n}`).join(", ")}.`,
  ],
  backup: (d) => [
    ...table(SPREAD, [spread("four write, nothing else", d.alone), spread("four write, a backup beside", d.beside)]),
    "", `${whole(d.events)} events, ${d.file_mb} MB, copied and looked through in ${d.backup_s} s.`,
  ],
};

for (const [name, make] of Object.entries(TABLES)) {
  const from = join(root, "build", "soak", `${name}.json`);
  if (!existsSync(from)) continue;
  const d = JSON.parse(readFileSync(from, "utf8"));
  if (d.quick) continue;
  const said = `Measured ${d.when} UTC, ${d.machine}; load of the machine when it began ${d.load_before}: \`script/soak ${name}\`.`;
  const lines = [...make(d), "", said];
  const mark = new RegExp(`(<!-- soak:${name} -->\\n)[^]*?(<!-- end -->)`);
  if (!mark.test(text)) throw new Error(`docs/reliability.md has no place for ${name}`);
  text = text.replace(mark, (_, a, b) => `${a}${lines.join("\n")}\n${b}`);
}
writeFileSync(path, text);
