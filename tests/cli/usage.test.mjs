// Wrong use: one clear line, the nearest known word, status 2; JSON alone on stdout when asked.
import assert from "node:assert/strict";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const rows = [
  // arguments, what must be said, what must be advised
  [["plam", "X"], /unknown command plam/, /madder plan/],
  [["lost"], /unknown command lost/, /madder lots/],
  [["xyzzy"], /unknown command xyzzy/, /madder help/],
  [["plan", "X", "--lod-kg", "5"], /unknown option --lod-kg/, /--load-kg/],
  [["plan", "X", "--loadkg=5"], /unknown option --loadkg/, /--load-kg/],
  [["plan", "X", "-x"], /unknown option -x/, /madder help/],
  [["plan"], /needs 1 argument, got 0/, /madder plan LOT/],
  [["plan", "X", "Y"], /no use for the argument Y/, /./],
  [["plan", "X", "--ratio"], /--ratio needs a value/, /./],
  [["serve", "--port", "1", "--port", "2"], /--port is given twice/, /give it once/],
  [["plan", "X", "--json=yes"], /--json takes no value/, /./],
  [["plan", "X", "--demo"], /no option --demo/, /madder help plan/],
  [["plan", "X", "--ratio", "6,5"], /--ratio: 6,5 is not a number/, /point/],
  [["plan", "X", "--ratio", ""], /--ratio:  is not a number/, /./],
  [["plan", "X", "--load-kg", "900kg"], /900kg is not a number/, /without unit/],
  [["plan", "X", "--load-kg", "nan"], /nan is not a number/, /./],
  [["plan", "X", "--load-kg", "1e999"], /1e999 is not a number/, /./],
  [["plan", "X", "--load-kg", "0x10"], /0x10 is not a number/, /./],
  [["plan", "X", "--tubes", "2.5"], /2.5 is outside/, /whole number from 0 to 16/],
  [["slips", "X", "--bath", "0"], /0 is outside/, /whole number from 1/],
  [["serve", "--port", "70000"], /70000 is outside/, /65535/],
  [["lots"], /which mill file/, /--mill FILE/],
  [["export", "machin"], /there is no table machin/, /did you mean machine/],
  [["export", "route"], /which route/, /madder routes/],
  [["export", "machine", "a", "b"], /no use for the argument b/, /./],
  [["import", "tabel", "x.csv"], /there is no table tabel/, /madder help import/],
  [["import", "rout", "x.json"], /there is no table rout/, /did you mean route/],
  [["help", "plam"], /unknown command plam/, /help plan/],
  [["new", ""], /file name is empty/, /madder new FILE/],
];
for (const [args, said, advised] of rows) {
  test(`wrong use: madder ${args.join(" ")}`, (t) => {
    const cwd = scratch(t);
    const plain = madder(args, { cwd });
    assert.equal(plain.status, 2, plain.err);
    assert.match(plain.err, said);
    assert.match(plain.err, advised);
    assert.equal(plain.out, "");
    if (args.some((a) => a.startsWith("--json"))) return;
    const json = madder([...args, "--json"], { cwd });
    if (args.at(-1) === "--ratio") return; // there --json is the value
    assert.equal(json.status, 2);
    assert.equal(json.err, "");
    const { error } = JSON.parse(json.out);
    assert.equal(error.code, "bad_argument");
    assert.match(error.message, said);
    assert.match(error.remedy, advised);
  });
}

test("without a command: help on stdout, status 2", () => {
  const r = madder([]);
  assert.equal(r.status, 2);
  assert.match(r.out, /Commands:/);
});

test("help of every command names its options, and JSON help lists the same commands", () => {
  const all = JSON.parse(madder(["help", "--json"]).out).commands;
  assert.ok(all.length >= 14);
  const text = madder(["help"]).out;
  for (const c of all) {
    assert.match(text, new RegExp(`^  ${c.name} `, "m"));
    const one = madder(["help", c.name]);
    assert.equal(one.status, 0);
    for (const o of c.options) assert.match(one.out, new RegExp(`--${o}\\b`));
    if (c.name !== "help") assert.equal(madder([c.name, "--help"]).out, one.out);
  }
});

test("no line of any help is wider than 80 columns, and none is cut", () => {
  const commands = JSON.parse(madder(["help", "--json"]).out).commands.map((c) => c.name);
  for (const text of [madder(["help"]).out, ...commands.map((c) => madder(["help", c]).out)]) {
    for (const line of text.split("\n")) {
      assert.ok([...line].length <= 80, `${[...line].length}: ${line}`);
      assert.doesNotMatch(line, / $/);
      assert.equal((line.match(/\[/g) ?? []).length, (line.match(/\]/g) ?? []).length, line);
    }
  }
});

test("no line of an answer is wider than the 96 columns that mdr_term.h promises, or ends in blanks", (t) => {
  const mill = demo(scratch(t));
  const lines = "lots|orders|machines|routes|plan L26-0103|simulate L26-0107|shorten L26-0107|why L26-0107 total_min|why L26-0107 b5.s2.i1.mass_kg|footprint L26-0107 --against R-DARK60|finish L26-0103|advise S26-041|dye RB-1|lab list|check|learn";
  for (const args of lines.split("|").map((l) => l.split(" "))) {
    const r = madder([...args, "--mill", mill]);
    assert.ok(r.out.length > 100 || args[0] === "learn", `${args}: ${r.err}`);
    for (const line of r.out.split("\n")) {
      assert.ok([...line].length <= 96, `madder ${args.join(" ")}: ${[...line].length}: ${line}`);
      assert.doesNotMatch(line, / $/, `madder ${args.join(" ")}`);
    }
  }
  for (const line of madder(["recipe", "dispense", "--recipe", "R-1=1.2,B-2=0.04", "--sample-g", "5", "--ratio", "10"]).out.split("\n")) assert.ok(line.length <= 96, line);
});

test("version, alone and as an option", () => {
  assert.match(madder(["version"]).out, /^madder \d+\.\d+\.\d+\n$/);
  assert.equal(madder(["--version"]).out, madder(["version"]).out);
  assert.match(JSON.parse(madder(["version", "--json"]).out).madder, /^\d+\.\d+\.\d+$/);
});

test("a broken standard output is noticed", { skip: process.platform !== "linux" }, async () => {
  const { openSync, closeSync } = await import("node:fs");
  const { spawnSync } = await import("node:child_process");
  const { program } = await import("./madder.mjs");
  const full = openSync("/dev/full", "w");
  const r = spawnSync(program, ["help"], { stdio: ["ignore", full, "pipe"] });
  closeSync(full);
  assert.equal(r.status, 1);
  assert.match(r.stderr.toString(), /standard output could not be written/);
});
