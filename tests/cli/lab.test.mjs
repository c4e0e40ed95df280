// `madder lab` and `madder recipe --substrate`: the laboratory of the mill at the terminal.
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const NM = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
const near = (a, b, tol, what) => assert.ok(Math.abs(a - b) <= tol, `${what}: ${a} is not ${b}`);

function laboratory(t) {
  const dir = scratch(t);
  const mill = demo(dir);
  const run = (...args) => madder([...args, "--mill", mill]);
  const good = (...args) => {
    const r = run(...args);
    assert.equal(r.status, 0, `${args.join(" ")}: ${r.err}`);
    return r.out;
  };
  const file = (...names) => {
    const path = join(dir, "run.csv");
    writeFileSync(path, `name,${NM.join(",")}\n${names.map((n) => `${n},${NM.map((_, i) => 20 + i).join(",")}\n`).join("")}`);
    return path;
  };
  return { run, good, file, json: (...args) => JSON.parse(good(...args, "--json")) };
}

test("list: ladders, and dips with what they are off", (t) => {
  const { good, json } = laboratory(t);
  const out = good("lab", "list");
  assert.match(out, /J18-ISO60: RB-1 \(6\), RG-1 \(6\)/);
  assert.match(out, /S-203\.1A +made +2026-11-23 +1\.09 ! +RG-1=0\.986,RB-1=0\.368,RR-1=0\.0516/);
  assert.match(out, /S-212\.2A +approved +2026-11-05 +0\.06 +RG-1/);
  assert.ok(out.split("\n").every((line) => line.length <= 96), "fits the terminal");
  assert.equal(json("lab", "list").shades.length, 35);
});

test("a dip through its states, to the recipe of the shade", (t) => {
  const { run, good, file, json } = laboratory(t);
  assert.equal(good("lab", "dip", "--shade", "S-201", "--substrate", "J18-ISO60", "--recipe", "RB-1=0.06,RV-1=0.7"), "S-201.1B: made, round 1 of S-201, RB-1=0.06,RV-1=0.7\n");
  assert.equal(good("lab", "add", file("x", "y"), "--substrate", "J18-ISO60", "--specular", "included", "--sample", "x", "--kind", "dip", "--dip", "S-201.1B"), "run.csv: 1 sample stored\n");
  good("lab", "submit", "S-201.1B", "--remark", "by post");
  assert.equal(run("lab", "approve", "S-201.1B").status, 1, "nobody is named");
  assert.match(good("lab", "approve", "S-201.1B", "--by", "Harebell", "--pick"), /approved, .*, now the recipe/);
  const shade = json("lab", "list").shades.find((s) => s.shade_id === "S-201");
  const dip = shade.dips.find((d) => d.dip_id === "S-201.1B");
  assert.deepEqual([dip.state, dip.decided_by, dip.remark, dip.sample_id, dip.revision], ["approved", "Harebell", "by post", "S-201.1B.sample", 4]);
  assert.equal(shade.recipe, "RB-1=0.06,RV-1=0.7");
  assert.match(good("export", "recipe"), /\nS-201,1,RB-1,0\.06,,,\nS-201,2,RV-1,0\.7,,,\nS-202,/);
  good("lab", "reject", "S-201.1B", "--by", "Laboratory");
  assert.match(run("lab", "submit", "S-201.1B").err, /a dip that is rejected cannot become submitted/);
});

test("pick: the recipe of a shade, from a dip or as typed", (t) => {
  const { run, good, json } = laboratory(t);
  assert.match(good("lab", "pick", "S-212", "--dip", "S-212.2A"), /^S-212: RG-1=0\.0893,.*; it was RG-1=0\.34,/);
  assert.deepEqual(json("lab", "pick", "S-212", "--recipe", "RG-1=0.1").dyes.map((d) => d.depth_pct_owf), [0.1]);
  const busy = run("lab", "pick", "S-204", "--recipe", "RG-1=1");
  assert.equal(busy.status, 1);
  assert.match(busy.err, /a lot of the shade is on a machine[^]*L26-0106/);
  for (const [args, status, words] of [
    [["S-212", "--dip", "S-205.2A"], 1, /has no such dip/], [["S-212"], 2, /which recipe/], [["S-212", "--dip", "S-212.2A", "--recipe", "RG-1=1"], 2, /which recipe/],
    [["S-999", "--recipe", "RG-1=1"], 1, /no such shade/], [["S-212", "--recipe", "DB-1=1"], 1, /another class/]]) {
    const r = run("lab", "pick", ...args);
    assert.equal(r.status, status, r.err);
    assert.match(r.err, words);
  }
});

test("add: ladders by their names, all or none", (t) => {
  const { run, good, file, json } = laboratory(t);
  assert.match(good("lab", "add", file("cloth", "RB-1@1", "RB-1@3"), "--substrate", "I20-60", "--measured", "2026-11-20"), /3 samples stored/);
  assert.deepEqual(json("lab", "list").substrates.map((s) => [s.substrate, s.rungs]), [["I20-60", 2], ["J18-ISO60", 48]]);
  const bad = run("lab", "add", file("RB-1@2", "hm", "so"), "--substrate", "I20-60");
  assert.equal(bad.status, 1);
  assert.match(bad.err + bad.out, /run\.csv:3[^]*run\.csv:4/);
  assert.equal(json("lab", "list").substrates[0].rungs, 2);
  good("lab", "add", file("RB-1@3"), "--substrate", "I20-60", "--replace");
  assert.equal(run("lab", "add", file("RB-1@3"), "--substrate", "I20-60").status, 1);
});

test("recipe: samples of the mill in place of files", (t) => {
  const { run, good, json } = laboratory(t);
  const of = ["--substrate", "J18-ISO60", "--shade", "S-212"];
  const { result, found } = json("recipe", "find", ...of);
  assert.equal(result.tolerance, 0.8);
  near(found.recipes[0].difference.D65, 0, 0.05, "I: made of these dyes");
  assert.match(good("recipe", "correct", ...of, "--sample", "S-212.1A.sample", "--recipe", "RG-1=0.1,RR-1=0.0325,RB-1=0.0838"), /what to do/);
  for (const [args, status, words] of [
    [["find", "--shade", "S-212"], 2, /--shade needs the substrate/], [["find", ...of, "--spectra", "x.csv"], 2, /--substrate takes the samples of the mill/],
    [["find", "--substrate", "J19"], 1, /no undyed cloth[^]*J18-ISO60/], [["dispense", ...of], 2, /has no option --substrate/]]) {
    const r = run("recipe", ...args);
    assert.equal(r.status, status, r.err);
    assert.match(r.err, words);
  }
});

test("asked in a wrong way", (t) => {
  const { run } = laboratory(t);
  for (const [args, words] of [[["lst"], /did you mean `madder lab list`/], [["submit"], /needs a DIP/], [["list", "x"], /no use for the argument x/],
    [["submit", "S-205.2B", "--by", "me"], /has no option --by/], [["add", "x.csv", "--sample", "x"], /go together/], [[], /./]]) {
    const r = run("lab", ...args);
    assert.equal(r.status, 2, `${args}: ${r.err}`);
    assert.match(r.err, words);
  }
  assert.match(run("lab", "submit", "S-999.1A").err, /no such dip/);
});

test("factors of a machine: offered with a recipe, taken with it, and neither without what they need", (t) => {
  const mill = demo(scratch(t));
  const find = (...more) => madder(["recipe", "find", "--mill", mill, "--substrate", "J18-ISO60", ...more]);
  const offered = find("--shade", "S-201", "--machine", "O4");
  assert.equal(offered.status, 0, offered.err);
  assert.match(offered.out, /Laboratory to bulk, offered[^]*machine +O4[^]*lots of the mill +0[^]*no lot was dyed with it/);
  assert.doesNotMatch(find("--shade", "S-201").out, /Laboratory to bulk, offered/);
  const pick = (...more) => madder(["lab", "pick", "S-201", "--recipe", "RB-1=1", "--mill", mill, ...more]);
  for (const [r, status, words] of [
    [find("--shade", "S-201", "--machine", "X9"), 1, /there is no such machine/],
    [find("--standard", "S-201.standard", "--machine", "O4"), 2, /--machine: factors of a machine are those of a shade/],
    [find("--shade", "S-201", "--best-guess"), 2, /--best-guess goes with --machine/],
    [pick("--best-guess"), 2, /--best-guess goes with --machine/],
    [pick("--machine", "X9"), 1, /there is no such machine/],
  ]) {
    assert.equal(r.status, status, r.err);
    assert.match(r.err, words);
  }
  const taken = pick("--machine", "O4"); // no lot taught anything: the laboratory's depth
  assert.equal(taken.status, 0, taken.err);
  assert.match(madder(["export", "recipe", "--mill", mill]).out, /\nS-201,1,RB-1,1,,,\n/);
});
