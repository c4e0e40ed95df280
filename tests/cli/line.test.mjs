// `madder line`: the finisher's questions at the terminal.
import assert from "node:assert/strict";
import { test } from "node:test";
import { madder } from "./madder.mjs";

const SETTINGS = ["line", "settings", "--line", "open-width", "--relaxed-gsm", "180", "--relaxed-courses", "20", "--relaxed-width", "150", "--length-residual", "4", "--width-residual", "5"];
const RESULT = ["line", "result", "--gsm", "160", "--width", "160", "--length-shrink", "5", "--width-shrink", "7", "--length-after", "31.8,31.9,31.85", "--width-after", "32.9", "--sample", "1.55,1.56", "--measured-width", "159.5", "--pilling", "4-5", "--pilling-min", "4"];

test("the answer as JSON is the answer in words", () => {
  const json = JSON.parse(madder([...SETTINGS, "--json"]).out);
  assert.equal(json.result.verdict, "met");
  const r = madder(SETTINGS);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /set: width over the pins +157\.9 cm/, "D: 150/0.95 = 157.89");
  assert.match(r.out, /finishing\.md#settings-backwards/);
  assert.ok(r.out.split("\n").every((l) => l.length <= 96 && !/\s$/.test(l)), "no line is too long, none ends with blanks");
});

test("lists of numbers, grades and a table with words", () => {
  const json = JSON.parse(madder([...RESULT, "--json"]).out);
  assert.ok(Math.abs(json.result.length_change.mean_pct + 9) < 1e-9, "D: 31.85 of 35 cm");
  const r = madder(RESULT);
  assert.match(r.out, /finish once more/);
  assert.match(r.out, /beyond its limit by +length, by washing +4 +%\n/);
  assert.ok(r.out.split("\n").every((l) => l.length <= 96 && !/\s$/.test(l)));
  for (const list of ["31.8,", ",31.8", "31.8;31.9", "31.8, 31.9", "", "x"]) {
    const bad = madder(RESULT.map((w) => (w === "31.8,31.9,31.85" ? list : w)));
    assert.equal(bad.status, 2, list);
    assert.match(bad.err, /--length-after: .* is not a list of numbers/);
    assert.match(bad.err, /33\.5,33\.6/);
  }
});

test("an option of another question, and a member as the option that it is", () => {
  const other = madder([...SETTINGS, "--pass", "1"]);
  assert.equal(other.status, 2);
  assert.match(other.err, /`madder line settings` has no option --pass/);
  const range = madder(SETTINGS.map((w) => (w === "180" ? "1" : w)));
  assert.equal(range.status, 1);
  assert.match(range.err, /--relaxed-gsm \(relaxed_gsm\)/);
  const tube = madder(SETTINGS.map((w) => (w === "open-width" ? "tubular" : w)));
  assert.equal(tube.status, 1);
  assert.match(tube.err, /measured flat/);
  const word = madder(["line", "setings"]);
  assert.equal(word.status, 2);
  assert.match(word.err, /madder line settings/);
});

test("help lists the questions, every option fits, and the example runs", () => {
  const help = madder(["help", "line"]);
  const example = help.out.replaceAll(/ \\\n +/g, " ").match(/Example: {2}madder (.*)/)[1].trim().split(/ +/);
  assert.equal(madder(example).status, 0, example.join(" "));
  for (const question of ["settings", "read", "dry", "fit", "pad", "result", "inspect", "grey"]) assert.match(help.out, new RegExp(`^ {2}${question} `, "m"));
});
