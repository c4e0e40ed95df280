// `madder finish` and `madder settings`: the finishing line at the terminal.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const READ = ["--behind", "1", "--width", "168", "--courses", "16.2", "--moisture", "82"];

test("settings in words are those of the JSON, with and without a reading", (t) => {
  const mill = demo(scratch(t));
  for (const more of [[], READ]) {
    const { finish } = JSON.parse(madder(["finish", "L26-0107", "--mill", mill, ...more, "--json"]).out);
    const r = madder(["finish", "L26-0107", "--mill", mill, ...more]);
    assert.equal(r.status, 0, r.err);
    for (const p of finish.passes) {
      assert.ok(r.out.includes(`overfeed ${p.set.overfeed_pct.value.toFixed(1)} %`), p.words);
      assert.ok(r.out.includes(`${p.behind.courses_per_cm.value.toFixed(2)} courses/cm`), p.words);
    }
    assert.equal(/read: +168\.0 cm/.test(r.out), more.length > 0);
    for (const line of r.out.split("\n")) assert.ok([...line].length <= 110, line);
  }
});

test("what cannot be met is said with its size and what would cure it", (t) => {
  const mill = demo(scratch(t));
  const r = madder(["finish", "L26-0123", "--mill", mill]);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /cannot meet the specification/);
  assert.match(r.out, /Open width down to/);
  assert.match(r.out, /Or knit it differently: loop length/);
  assert.match(r.out, /Width shrinkage left +\d+\.\d %, allowed -2\.0 to 6\.0: off by \d/);
});

test("a tube is set to its flat width", (t) => {
  const mill = demo(scratch(t));
  const { finish } = JSON.parse(madder(["finish", "L26-0122", "--mill", mill, "--json"]).out);
  const spread = finish.passes[1].set;
  assert.ok(Math.abs(spread.layflat_cm.value * 2 - spread.width_cm.value) < 1e-9);
  assert.ok(madder(["finish", "L26-0122", "--mill", mill]).out.includes(`flat width ${spread.layflat_cm.value.toFixed(1)} cm`));
});

test("half a reading, no number, no such pass", (t) => {
  const mill = demo(scratch(t));
  const half = madder(["finish", "L26-0107", "--mill", mill, "--behind", "1", "--width", "168"]);
  assert.equal(half.status, 2);
  assert.match(half.err, /--courses is missing/);
  const text = madder(["finish", "L26-0107", "--mill", mill, ...READ.map((w) => (w === "168" ? "wide" : w))]);
  assert.equal(text.status, 2);
  assert.match(text.err, /--width: wide is not a number/);
  const pass = madder(["finish", "L26-0107", "--mill", mill, ...READ.map((w) => (w === "1" ? "7" : w))]);
  assert.equal(pass.status, 1);
  assert.match(pass.err, /readings\[0\]\.pass/);
  assert.match(pass.err, /1 to 3/);
});

test("the setting sheet as a file", (t) => {
  const dir = scratch(t);
  const mill = demo(dir);
  const file = join(dir, "s.pdf");
  const r = madder(["settings", "L26-0107", "--mill", mill, "-o", file]);
  assert.equal(r.status, 0, r.err);
  assert.equal(readFileSync(file).subarray(0, 5).toString(), "%PDF-");
  assert.equal(madder(["settings", "L26-0107", "--mill", mill, "-o", file]).status, 1, "never over a file");
});
