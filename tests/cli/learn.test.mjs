// `madder learn`: what the lots of an older book teach, and what such a book may not hold.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const HEAD = "lot_id,ended,right_first,shade_id,machine_id,additions,de,dye_id,planned_pct_owf,found_pct_owf";

/** 120 lots: every fourth of shade NAVY wrong, machine J1 pale by a tenth, one week of trouble. */
function book() {
  const rows = [HEAD];
  for (let i = 0; i < 120; i++) {
    const day = new Date(Date.UTC(2026, 0, 5) + i * 43_200_000).toISOString().slice(0, 16).replace("T", " ");
    const [shade, machine] = [["NAVY", "RED", "BEIGE"][i % 3], ["J1", "J2"][i % 2]];
    const wrong = (shade === "NAVY" && i % 4 === 0) || (i >= 70 && i < 84);
    const found = 1.5 * (machine === "J1" ? 1.1 : 1) * (1 + 0.02 * (((i * 7) % 5) - 2));
    rows.push(`L${i},${day},${wrong ? "no" : "yes"},${shade},${machine},${wrong ? 2 : 0},${(0.5 + 0.05 * (((i * 11) % 7) - 3)).toFixed(2)},RB-1,1.5,${found.toFixed(4)}`);
  }
  return rows.join("\n") + "\n";
}

test("a book of lots: rates, charts, factors, as text and as JSON", (t) => {
  const cwd = scratch(t);
  writeFileSync(join(cwd, "lots.csv"), book());
  const r = madder(["learn", "--file", "lots.csv"], { cwd });
  assert.equal(r.status, 0, r.err);
  assert.ok(r.out.split("\n").every((l) => l.length <= 96 && !/\s$/.test(l)), "no line is too long, none ends with blanks");
  assert.match(r.out, /lots gone wrong, by week .* points are out/);
  assert.match(r.out, /RB-1 +all +J1 +1\.\d+ .* applied/);
  const json = madder(["learn", "--file", "lots.csv", "--json"], { cwd });
  const { result, caption } = JSON.parse(json.out);
  assert.equal(caption, "120 lots, 2026-01-05 to 2026-03-05");
  assert.equal(result.lots, 120);
  const navy = result.groups.find((g) => g.by === "shade" && g.id === "NAVY");
  assert.equal(navy.rank, 1);
  assert.ok(navy.low_pct < navy.rate_pct && navy.rate_pct < navy.high_pct);
  const trouble = result.points.filter((p) => p.chart === "wrong_by_week" && p.rules.split(" ").includes("beyond"));
  assert.equal(trouble.length, 1, "D: the week of fourteen wrong lots");
  assert.equal(trouble[0].value, 1);
  const known = new Set(result.rules.map((x) => x.rule));
  for (const p of result.points) for (const rule of p.rules.split(" ").filter(Boolean)) assert.ok(known.has(rule), rule);
  const j1 = result.factors.find((f) => f.level === "machine" && f.machine_id === "J1");
  assert.ok(Math.abs(j1.factor - 1.1) < 0.02 && j1.if_asked === "applied" && j1.multiply === j1.factor);
  const j2 = result.factors.find((f) => f.level === "machine" && f.machine_id === "J2");
  assert.deepEqual([j2.if_asked, j2.multiply], ["unproven", 1]);
  // The same from the standard input, with another base and the longer list of rules.
  const piped = JSON.parse(madder(["learn", "--file", "-", "--base", "8", "--rules", "long", "--json"], { input: book() }).out);
  assert.equal(piped.result.charts.find((c) => c.chart === "wrong_by_week").base, 8);
});

test("the example of docs/formats.md can be read", (t) => {
  const cwd = scratch(t);
  const text = readFileSync(new URL("../../docs/formats.md", import.meta.url), "utf8");
  writeFileSync(join(cwd, "lots.csv"), text.match(/```\n(lot_id,ended[^`]*)```/)[1]);
  const r = madder(["learn", "--file", "lots.csv", "--json"], { cwd });
  assert.equal(r.status, 0, r.out);
  assert.equal(JSON.parse(r.out).result.lots, 2);
});

test("a mill without lots that were run says so", (t) => {
  const mill = demo(scratch(t));
  const r = madder(["learn", "--mill", mill]);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /No lots have been run yet/);
  assert.equal(JSON.parse(madder(["learn", "--mill", mill, "--json"]).out).result.lots, 0);
});

test("faulty cells are told with their place, options with their name", (t) => {
  const cwd = scratch(t);
  writeFileSync(join(cwd, "bad.csv"), `${HEAD}\nL1,2026-01-05,perhaps,,,,,,,\nL2,5.1.2026,yes,,,,,,,\n`);
  const bad = madder(["learn", "--file", "bad.csv"], { cwd });
  assert.equal(bad.status, 1);
  assert.match(bad.err, /bad\.csv:2:right_first/);
  assert.match(bad.err, /bad\.csv:3:ended/);
  assert.equal(madder(["learn", "--file", "none.csv"], { cwd }).status, 1);
  for (const [args, said] of [[["--rules", "best"], /--rules: there is no list best/], [["--base", "2.5"], /--base: 2\.5/], [["--base", "x"], /--base/], [["--base", "-1"], /--base/]]) {
    const r = madder(["learn", "--file", "bad.csv", ...args], { cwd });
    assert.equal(r.status, 2, args.join(" "));
    assert.match(r.err, said);
  }
  const nowhere = madder(["learn"], { cwd });
  assert.equal(nowhere.status, 2);
  assert.match(nowhere.err, /which mill file/);
});
