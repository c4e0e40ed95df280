// `madder weigh`: the weigh room at the terminal.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { start } from "../http/server.mjs";
import { demo, madder, scratch } from "./madder.mjs";

function room(t) {
  const dir = scratch(t);
  const mill = demo(dir);
  return { dir, run: (...args) => madder(["weigh", ...args, "--mill", mill], { cwd: dir }) };
}

test("a weighing is judged with its figures", (t) => {
  const { run } = room(t);
  let r = run("judge", "RY-1", "--target-g", "200", "--net-g", "201", "--json");
  assert.equal(r.status, 0, r.err);
  assert.equal(JSON.parse(r.out).verdict, "within");
  r = run("judge", "RY-1", "--target-g", "200", "--net-g", "201.001", "--scale", "S1", "--json");
  assert.deepEqual([JSON.parse(r.out).verdict, JSON.parse(r.out).off_mg, JSON.parse(r.out).needs_second], ["above", 1001, true]);
  r = run("judge", "NONE", "--target-g", "200", "--net-g", "201");
  assert.equal(r.status, 1);
  assert.match(r.err, /no such dye or chemical/);
  r = run("judge", "RY-1", "--target-g", "200", "--net-g", "201.001", "--scale", "S1");
  assert.equal(r.out, `RY-1: Too much
  asked for  200.000 g, from 199.000 to 201.000 g allowed
  weighed    201.001 g, 1.001 g or 0.50 % too much
  Weigh again, or say why it stays like that.
  Another person checks it.
`);
  for (const bad of ["-1", "0", "1e308", "1e9", "0.0004", "nan"]) {
    r = run("judge", "RY-1", "--target-g", bad, "--net-g", "5");
    assert.equal(r.status, bad === "1e9" ? 0 : 2, `${bad}: ${r.out}${r.err}`);
    if (r.status === 2) assert.match(r.err, /--target-g: .*(give 0\.001 to 1000000000 g|give a number)/s, bad);
  }
  for (const args of [["judge", "RY-1", "--target-g", "200"], ["judge"], ["list", "RY-1"], ["scan", "x", "--net-g", "1"], ["wiegh"], ["judge", "RY-1", "--target-g", "much", "--net-g", "1"]]) {
    assert.equal(run(...args).status, 2, args.join(" "));
  }
});

test("a label is read, a misread one refused", (t) => {
  const { run } = room(t);
  let r = run("scan", "M-W1-4");
  assert.match(r.err + r.out, /misread|"machine"/);
  const good = [..."0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"].map((c) => ({ args: `P-RY-1-${c}`, ...run("scan", `P-RY-1-${c}`) })).filter((x) => x.status === 0);
  assert.equal(good.length, 1); // one check character in 36
  assert.equal(good[0].out, "Storage place RY-1: Reactive Yellow B2\n");
  const label = good[0].args;
  assert.deepEqual(JSON.parse(run("scan", label, "--json").out), { kind: "material", words: "Storage place", id: "RY-1", name: "Reactive Yellow B2", material_id: "RY-1" });
  r = run("scan", "hello");
  assert.equal(r.status, 1);
  assert.match(r.err, /scan:1/);
});

test("nothing is to be weighed in a mill that runs nothing, and no batch has labels", (t) => {
  const { dir, run } = room(t);
  assert.equal(run("list").out, "0 to be weighed\n");
  assert.deepEqual(JSON.parse(run("list", "--json").out).items, []);
  const r = run("label", "L26-0101.1");
  assert.equal(r.status, 1);
  assert.throws(() => readFileSync(join(dir, "L26-0101.1-labels.pdf")));
});

test("what is to be weighed stands in columns, with what each is", async (t) => {
  const { dir } = room(t);
  const server = await start(join(dir, "demo.mill"));
  const floor = await Floor.start(server, "L26-0109");
  await server.stop();
  const lines = madder(["weigh", "list", "--mill", join(dir, "demo.mill")]).out.trimEnd().split("\n");
  assert.match(lines[0], /^due +batch +step +material +mass  state$/);
  assert.match(lines.at(-1), /^(\d+) to be weighed$/);
  const rows = lines.slice(1, -1);
  assert.equal(rows.length, Number(/^\d+/.exec(lines.at(-1))[0]));
  const mass = lines[0].indexOf("mass") + 4;
  for (const row of rows) {
    assert.match(row, /^(in \d+ min|\d+ min late) +L26-0109\.1 +\d+\.\d+ +\S.* \d+\.\d{3} kg  (To weigh|Another person checks it|Weighed)(, short in stock)?$/);
    assert.equal(row.slice(mass - 3, mass), " kg", row);
    assert.ok(row.length <= 96, row);
  }
  assert.match(madder(["batches", "--mill", join(dir, "demo.mill")]).out, /^batch +machine +state +done  now\n(\S.*\n)*L26-0109\.1 +W3 +Not begun +0 %/);
  assert.equal(floor.batchId, "L26-0109.1");
});
