// `madder dye`: what a dye does in the bath, and what happens when its numbers come in as a table.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const json = (args) => JSON.parse(madder([...args, "--json"]).out);
const fits = (out) => {
  for (const line of out.split("\n")) {
    assert.ok([...line].length <= 98, line);
    assert.ok(!line.endsWith(" "), `blanks behind: ${line}`);
  }
};
const rate = (answer, name) => answer.result.rates.find((r) => r.rate === name);

test("a reactive dye: numbers, rates, course", (t) => {
  const mill = demo(scratch(t));
  const text = madder(["dye", "RR-1", "--mill", mill]);
  assert.equal(text.status, 0, text.err);
  fits(text.out);
  for (const part of [/RR-1 Reactive Red B6/, /the rates give the numbers/, /R fixed first, % +45\.0 +45\.0/, /fixation, 1\/min .* fitted +determined/,
    /diffusion, 1\/min .* placeholder +not determined/, /\n +30 +50\.0 /]) assert.match(text.out, part);
  const a = json(["dye", "RR-1", "--mill", mill]);
  assert.equal(a.do, "dye");
  assert.equal(a.result.verdict, "met");
  assert.equal(a.result.dyeing_group, "bifunctional");
  assert.equal(a.result.group_assumed, false);
  for (const n of a.result.numbers) assert.ok(n.known === null || Math.abs(n.known - n.reckoned) <= 0.1, n.number);
  for (const r of a.result.rates) assert.ok(r.least <= r.value && r.value <= r.most, r.rate);
  assert.equal(a.result.curve.at(-1).t_min, a.result.before_min + a.result.after_min);
});

test("a number that is imported moves its rate; one that cannot be is refused at its place", (t) => {
  const dir = scratch(t);
  const mill = demo(dir);
  const table = join(dir, "dye.csv");
  assert.equal(madder(["export", "dye", table, "--mill", mill]).status, 0);
  const lines = readFileSync(table, "utf8").split("\n");
  const head = lines[0].split(",");
  const at = lines.findIndex((l) => l.startsWith("RR-1,"));
  const set = (column, value) => {
    const cells = lines[at].split(",");
    cells[head.indexOf(column)] = value;
    writeFileSync(table, lines.with(at, cells.join(",")).join("\n"));
  };
  const before = rate(json(["dye", "RR-1", "--mill", mill]), "fix_per_min").value;
  set("fix_first_pct", "60");
  assert.equal(madder(["import", "dye", table, "--mill", mill]).status, 0);
  const a = json(["dye", "RR-1", "--mill", mill]);
  assert.equal(a.result.verdict, "met");
  assert.ok(rate(a, "fix_per_min").value > 1.3 * before);
  set("primary_exhaustion_pct", "91");
  const refused = madder(["import", "dye", table, "--mill", mill]);
  assert.equal(refused.status, 1);
  assert.match(refused.err, new RegExp(`dye\\.csv:${at + 1}:primary_exhaustion_pct`));
  assert.match(refused.err, /at most 90, the value of exhaustion_pct/);
});

test("other dyes, and none", (t) => {
  const mill = demo(scratch(t));
  const direct = json(["dye", "DK-1", "--mill", mill]);
  assert.deepEqual(direct.result.numbers.map((n) => n.number), ["exhaustion_pct", "half_dyeing_min"]);
  assert.equal(rate(direct, "fix_per_min"), undefined);
  assert.equal(json(["dye", "RO-1", "--mill", mill]).result.verdict, "unknown");
  const none = madder(["dye", "RR-11", "--mill", mill]);
  assert.equal(none.status, 1);
  assert.match(none.err, /did you mean RR-1/);
  assert.equal(madder(["dye", "--mill", mill]).status, 2);
});
