// `madder recipe`: from measured samples to recipes, at the terminal. The dyes are invented: bands of
// absorption on a white cloth, K/S in proportion to the depth to the power of 0.92.
import assert from "node:assert/strict";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { madder, scratch } from "./madder.mjs";

const NM = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
const DYES = { "R-Y": [[430, 45, 9], [400, 40, 5]], "R-R": [[520, 40, 8], [550, 25, 5]], "R-B": [[610, 45, 7], [660, 30, 5]], "R-N": [[600, 80, 6], [420, 40, 3]] };
const [K1, K2] = [0.04, 0.5];
const measured = (ks) => {
  const r = 1 + ks - Math.sqrt(ks * ks + 2 * ks);
  return K1 + ((1 - K1) * (1 - K2) * r) / (1 - K2 * r);
};
const cloth = (nm) => 0.02 + 0.05 * Math.exp(-(nm - 400) / 60);
const dye = (id, pct, nm) => DYES[id].reduce((s, [at, wide, high]) => s + high * Math.exp(-(((nm - at) / wide) ** 2) / 2), 0) * pct ** 0.92;
const curve = (recipe) => NM.map((nm) => measured(cloth(nm) + Object.entries(recipe).reduce((s, [id, pct]) => s + dye(id, pct, nm), 0)));

const STANDARD = { "R-Y": 0.8, "R-R": 0.6, "R-B": 0.3 };
const WEAK = { "R-Y": 0.68, "R-R": 0.66, "R-B": 0.27 }; // what really came out: 85, 110, 90 %
const words = (recipe) => Object.entries(recipe).map(([id, pct]) => `${id}=${pct}`).join(",");

function files(dir, { extra = [], depths = [0.1, 0.25, 0.5, 1, 2, 4], change = (n, v) => v } = {}) {
  const rows = [["substrate", curve({})]];
  for (const id of Object.keys(DYES)) for (const pct of depths) rows.push([`${id}@${pct}`, curve({ [id]: pct })]);
  rows.push(["STD", curve(STANDARD)], ["WEAK", curve(WEAK)], ["BRIGHT", NM.map((nm) => (nm > 490 && nm < 590 ? 0.9 : 0.06))], ...extra);
  const file = join(dir, "samples.csv");
  writeFileSync(file, `name,${NM.join(",")}\n${rows.map(([n, v]) => `${n},${change(n, v).map((x) => x.toFixed(6)).join(",")}`).join("\n")}\n`);
  return file;
}
const run = (...args) => madder(["recipe", ...args]);
const json = (...args) => {
  const r = run(...args, "--json");
  assert.equal(r.status, 0, r.err);
  return JSON.parse(r.out);
};
const near = (a, b, tol, what) => assert.ok(Math.abs(a - b) <= tol, `${what}: ${a} is not ${b}`);

test("calibrate: the surface that the samples were made with, and which sample is wrong", (t) => {
  const dir = scratch(t);
  const good = json("calibrate", "--spectra", files(dir));
  near(good.result.surface.k1, K1, 0.003, "k1");
  assert.ok(good.result.surface.cmc_rms < good.result.surface.cmc_rms_none, "a surface correction helps");
  assert.ok(good.result.rungs.every((r) => r.verdict === "good"), JSON.stringify(good.result.rungs));
  // one beaker holds 60 % of what its label says
  const bad = json("calibrate", "--spectra", files(dir, { change: (n, v) => (n === "R-R@1" ? curve({ "R-R": 0.6 }) : v) }));
  const wrong = bad.result.rungs.filter((r) => r.verdict !== "good");
  assert.deepEqual(wrong.map((r) => [r.sample, r.verdict, r.action]), [["R-R@1", "wrong_dose", "dye_again"]]);
});

test("predict: a mixture nobody dyed, within the eye's limit", (t) => {
  const spectra = files(scratch(t));
  const { result, curves } = json("predict", "--spectra", spectra, "--recipe", words(STANDARD), "--sample", "STD");
  assert.ok(result.difference.D65 < 0.2, `${result.difference.D65}`);
  assert.match(result.caption, /^D65, 10 degree observer, CMC\(2:1\)$/);
  assert.equal(curves.predicted.length, 31);
});

test("find: the doses that were in it, ranked, with pins and bans obeyed", (t) => {
  const dir = scratch(t);
  const spectra = files(dir);
  const dyes = join(dir, "dyes.csv");
  writeFileSync(dyes, "dye_id,price_per_kg,exhaustion_pct,fixation_pct\nR-Y,12,85,75\nR-R,14,82,70\nR-B,18,80,72\nR-N,16,90,80\n");
  const { result, found } = json("find", "--spectra", spectra, "--standard", "STD", "--dyes", dyes);
  assert.equal(result.verdict, "reached");
  assert.equal(result.sets, 14, "D: 4 + 6 + 4");
  for (const d of found.recipes[0].dyes) near(d.depth_pct_owf, STANDARD[d.dye_id], 0.06 * STANDARD[d.dye_id], d.dye_id);
  near(found.recipes[0].cost_per_kg, found.recipes[0].dyes.reduce((s, d) => s + (d.depth_pct_owf / 100) * { "R-Y": 12, "R-R": 14, "R-B": 18, "R-N": 16 }[d.dye_id], 0), 1e-9, "cost");
  const pinned = json("find", "--spectra", spectra, "--standard", "STD", "--must", "R-N", "--never", "R-B").found;
  for (const r of pinned.recipes) {
    const ids = r.dyes.map((d) => d.dye_id);
    assert.ok(ids.includes("R-N") && !ids.includes("R-B"), ids.join());
  }
});

test("find: out of reach is said, with the nearest and what is in the way", (t) => {
  const { result } = json("find", "--spectra", files(scratch(t)), "--standard", "BRIGHT");
  assert.equal(result.verdict, "not_reached");
  assert.ok(result.nearest.difference > 1);
  assert.equal(result.nearest.limited_by, "cannot_get_brighter");
});

test("find: a dose held down, dyes that go only together", (t) => {
  const spectra = files(scratch(t));
  const asked = ["find", "--spectra", spectra, "--standard", "STD", "--tolerance", "5"];
  const deepest = STANDARD["R-B"] / 2;
  for (const r of json(...asked, "--limits", `R-B=${deepest}`).found.recipes) for (const d of r.dyes) assert.ok(d.dye_id !== "R-B" || d.depth_pct_owf <= deepest + 1e-9, "held");
  const { found } = json(...asked, "--ratios", "R-Y=2,R-B=1");
  const both = found.recipes.filter((r) => r.dyes.some((d) => d.dye_id === "R-Y" || d.dye_id === "R-B"));
  assert.ok(both.length > 0);
  for (const r of both) {
    const of = (id) => r.dyes.find((d) => d.dye_id === id)?.depth_pct_owf;
    near(of("R-Y"), 2 * of("R-B"), 1e-9, "D: two to one");
  }
  // D: the limit of either part holds both down
  for (const r of json(...asked, "--ratios", "R-Y=2,R-B=1", "--limits", "R-B=0.05").found.recipes) for (const d of r.dyes) assert.ok(d.dye_id !== "R-Y" || d.depth_pct_owf <= 0.1 + 1e-9);
  // the recipe told is the one predicted
  const [best] = both;
  const told = json("predict", "--spectra", spectra, "--recipe", best.dyes.map((d) => `${d.dye_id}=${d.depth_pct_owf}`).join(), "--sample", "STD");
  near(told.result.difference.D65, best.difference.D65, 1e-3, "the same difference");
  for (const [args, place] of [[["--ratios", "R-Y=1"], /ratios/], [["--ratios", "R-Y=1,R-B=1;R-Y=1,R-R=1"], /ratios/], [["--ratios", "R-Y=1,R-Q=1"], /ratios/], [["--ratios", "R-Y,R-B"], /ratios/],
    [["--limits", "R-Q=1"], /limits/], [["--limits", "R-Y=0"], /limits/], [["--limits", "R-Y"], /limits/], [["--ratios", "R-Y=1,R-B=1", "--must", "R-Y", "--never", "R-B"], /never/]]) {
    const r = run(...asked, ...args);
    assert.equal(r.status, 1, args.join(" "));
    assert.match(r.err, place, args.join(" "));
  }
});

test("correct: strengths as they worked, an addition that brings it on shade, the next recipe", (t) => {
  const spectra = files(scratch(t));
  const { result } = json("correct", "--spectra", spectra, "--standard", "STD", "--sample", "WEAK", "--recipe", words(STANDARD), "--wise", "40");
  assert.equal(result.way, "add");
  assert.ok(result.before.difference > 1 && result.after.difference < result.before.difference / 2);
  for (const id of Object.keys(STANDARD)) {
    near(result[id].strength_pct, (100 * WEAK[id]) / STANDARD[id], 8, `${id} strength`);
    near(result[id].next_pct_owf, STANDARD[id] ** 2 / WEAK[id], 0.1 * STANDARD[id], `${id} next time`);
    assert.ok(result[id].strength_low_pct < result[id].strength_pct && result[id].strength_pct < result[id].strength_high_pct);
  }
  assert.equal(result["R-R"].add_pct_owf, 0, "of that there is too much already");
  const dark = json("correct", "--spectra", spectra, "--standard", "WEAK", "--sample", "STD", "--recipe", words(WEAK), "--tolerance", "0.2", "--wise", "1");
  assert.notEqual(dark.result.way, "accept");
});

test("dispense: the cascade keeps every pipetting above the least", () => {
  const { result } = json("dispense", "--recipe", "A=1.2,B=0.004", "--sample-g", "5", "--ratio", "10", "--salt", "40");
  near(result.A.ml, 6, 1e-9, "D: 5 g x 1.2 % / 10 g/L");
  near(result.B.ml, 2, 1e-9, "D: 5 g x 0.004 % / 0.1 g/L");
  near(result.salt.g, 2, 1e-9, "D: 50 mL x 40 g/L");
  near(result.water_ml, 42, 1e-9, "D: what is left of 50 mL");
  const r = run("dispense", "--recipe", "A=0.0000001", "--sample-g", "5", "--ratio", "10");
  assert.equal(r.status, 1);
});

test("salt and alkali by the dose tables; a round of dips", (t) => {
  const dir = scratch(t);
  const spectra = files(dir);
  const of = (name, text) => { writeFileSync(join(dir, name), text); return join(dir, name); };
  // I: a table of one band, and one that ends early
  const dyes = of("known.csv", `dye_id,salt_table,alkali_table\n${Object.keys(STANDARD).map((id) => `${id},SALT,SODA`).join("\n")}\nA,SALT,SODA\n`);
  const tables = ["--dyes", dyes, "--dose-table", of("tables.csv", "table_id,counted_as,between\nSALT,NaCl,linear\nSODA,Na2CO3,step\n"), "--dose-band", of("bands.csv", "table_id,depth_max_pct_owf,amount_g_per_l\nSALT,8,40\nSODA,0.5,5\n")];
  const { result, found } = json("find", "--spectra", spectra, "--standard", "STD", ...tables);
  assert.equal(found.recipes[0].salt_g_per_l, 40);
  assert.equal(found.recipes[0].salt.table_id, "SALT");
  const sum = found.recipes[0].dyes.reduce((s, d) => s + d.depth_pct_owf, 0);
  assert.equal(found.recipes[0].alkali_g_per_l, sum > 0.5 ? null : 5, "D: the table ends at 0.5 %");
  assert.equal(result.ranked[0].salt_g_per_l, 40);
  assert.equal(json("predict", "--spectra", spectra, "--recipe", words(STANDARD), ...tables).result.salt_g_per_l, 40);
  const { dips } = json("dispense", "--recipe", "A=0.4;A=0.6", "--dips", "one,two", "--sample-g", "5", "--ratio", "10", ...tables);
  assert.deepEqual(dips.map((d) => [d.dip_id, d.salt_g, d.alkali_g, d.dyes[0].ml]), [["one", 2, 0.25, 2], ["two", 2, 0, 3]], "D: 50 mL");
});

test("the laboratory sheet is written as the other documents are", (t) => {
  const dir = scratch(t);
  const asked = ["dispense", "--recipe", "A=0.4;A=0.6", "--sample-g", "5", "--ratio", "10", "--shade", "S-1"];
  const pdf = join(dir, "sheet.pdf");
  const first = run(...asked, "--pdf", pdf);
  assert.equal(first.status, 0, first.err);
  assert.match(first.out, /sheet\.pdf: written, \d+ kB/);
  assert.match(readFileSync(pdf, "latin1"), /^%PDF-1/);
  const again = run(...asked, "--pdf", pdf);
  assert.equal(again.status, 1, "nothing is overwritten");
  assert.equal(run(...asked, "--pdf", pdf, "--force").status, 0);
  assert.match(run(...asked, "--pdf", "-").bytes.subarray(0, 5).toString(), /^%PDF-/);
  assert.equal(run(...asked, "--force").status, 2, "there is no file");
  assert.equal(run(...asked, "--pdf", "-", "--json").status, 2);
  assert.equal(run("calibrate", "--pdf", pdf).status, 2);
  const bad = run("dispense", "--recipe", "A=99", "--sample-g", "5", "--ratio", "10", "--pdf", join(dir, "none.pdf"));
  assert.equal(bad.status, 1);
  assert.ok(!existsSync(join(dir, "none.pdf")));
});

test("what is wrong is named with its place", (t) => {
  const dir = scratch(t);
  const spectra = files(dir);
  for (const [args, status, place, remedy] of [
    [["find", "--spectra", spectra, "--standard", "STDD"], 1, /samples\.csv/, /STD/],
    [["predict", "--spectra", spectra, "--recipe", "R-Y=1,R-X=2"], 1, /recipe/, /R-Y, R-R, R-B, R-N/],
    [["predict", "--spectra", spectra, "--recipe", "R-Y"], 1, /recipe/, /R-1=1\.2/],
    [["predict", "--spectra", spectra, "--recipe", "R-Y=1,R-Y=2"], 1, /recipe/, /R-1=1\.2/],
    [["predict", "--spectra", spectra, "--recipe", "R-Y=9"], 1, /recipe/, /./],
    [["find", "--spectra", spectra], 1, /standard/, /./],
    [["find", "--spectra", spectra, "--standard", "STD", "--dyes-max", "5"], 1, /dyes_max/, /1 to 4/],
    [["find", "--spectra", spectra, "--standard", "STD", "--lights", "D65,D99"], 1, /lights/, /./],
    [["find", "--spectra", spectra, "--standard", "STD", "--lights", "D65,A,C,D50,D55,D75,F2,F7,F11"], 1, /lights/, /does not matter/],
    [["find", "--spectra", spectra, "--standard", "STD", "--must", "R-Q"], 1, /must/, /R-Y/],
    [["find", "--spectra", spectra, "--standard", "STD", "--surface", "limit"], 1, /k1/, /fitted/],
    [["find", "--standard", "STD"], 1, /spectra/, /undyed cloth/],
    [["calibrate", "--spectra", join(dir, "none.csv")], 1, /none\.csv/, /./],
    [["calibrate", "--spectra", spectra, "--recipe", "R-Y=1"], 2, /--recipe/, /help recipe/],
    [["fnid"], 2, /fnid/, /madder recipe find/],
  ]) {
    const r = run(...args);
    assert.equal(r.status, status, `${args.join(" ")}: ${r.err}`);
    assert.match(r.err, place, args.join(" "));
    assert.match(r.err, remedy, args.join(" "));
  }
  const bad = files(dir, { extra: [["X", NM.map(() => -0.2)]] });
  const r = run("calibrate", "--spectra", bad);
  assert.equal(r.status, 1);
  assert.match(r.err, /samples\.csv:\d+:/, "file, line and column");
});

test("a ladder file says which sample is which", (t) => {
  const dir = scratch(t);
  const spectra = files(dir);
  const ladder = join(dir, "ladder.csv");
  writeFileSync(ladder, "dye_id,depth_pct_owf,sample\nYellow,0.5,R-Y@0.5\nYellow,2,R-Y@2\nBlue,1,R-B@1\n");
  const { result } = json("calibrate", "--spectra", spectra, "--ladder", ladder);
  assert.deepEqual([result.dyes, result.samples], [2, 3]);
  assert.equal(result.rungs.find((r) => r.sample === "R-B@1").action, "dye_more_depths");
  writeFileSync(ladder, "dye_id,depth_pct_owf,sample\nYellow,x,R-Y@0.5\n");
  assert.match(run("calibrate", "--spectra", spectra, "--ladder", ladder).err, /ladder\.csv:2:depth_pct_owf/);
  writeFileSync(ladder, "dye_id,depth_pct_owf,sample\nYellow,1,R-Q@0.5\n");
  assert.match(run("calibrate", "--spectra", spectra, "--ladder", ladder).err, /ladder\.csv:2:sample/);
});

test("help lists the questions and an example that runs", () => {
  const help = madder(["help", "recipe"]);
  const example = help.out.replaceAll(/ \\\n +/g, " ").match(/Example: {2}madder (.*)/)[1].trim().split(/ +/);
  assert.equal(madder(example).status, 0, example.join(" "));
});
