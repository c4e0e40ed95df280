// `madder fabric`: the merchant's question at the terminal.
import assert from "node:assert/strict";
import { test } from "node:test";
import { madder } from "./madder.mjs";

const WASHED = ["fabric", "washed", "--relaxed-gsm", "160", "--relaxed-width", "150", "--gsm", "160", "--width", "160", "--width-tol", "2", "--length-shrink", "5", "--width-shrink", "4"];

test("the answer as JSON is the answer in words", () => {
  const json = JSON.parse(madder([...WASHED, "--json"]).out);
  assert.equal(json.result.verdict, "not_met");
  const r = madder(WASHED);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /cannot be met/);
  assert.match(r.out, /156\.2 cm/, "D: 150 cm / 0.96 = 156.25");
  assert.match(r.out, /specification\.md#giving-way-and-cures/);
});

test("a map with the JSON", () => {
  const { map } = JSON.parse(madder([...WASHED, "--map-frames", "5", "--map-loop", "4", "--json"]).out);
  assert.deepEqual(map.frames.map((f) => f.change_pct), [-4, -2, 0, 2, 4]);
  assert.equal(madder([...WASHED, "--map-frames", "5"]).out, madder(WASHED).out, "in words nothing more is said");
});

test("an option of the other question, and a member as the option that it is", () => {
  const other = madder([...WASHED, "--loop", "0.3"]);
  assert.equal(other.status, 2);
  assert.match(other.err, /`madder fabric washed` has no option --loop/);
  const range = madder(WASHED.map((w) => (w === "150" ? "0" : w)));
  assert.equal(range.status, 1);
  assert.match(range.err, /--relaxed-width \(relaxed_width_cm\)/);
  const word = madder(["fabric", "wahsed"]);
  assert.equal(word.status, 2);
  assert.match(word.err, /madder fabric washed/);
});

test("help lists the questions and an example that runs", () => {
  const help = madder(["help", "fabric"]);
  const example = help.out.replaceAll(/ \\\n +/g, " ").match(/Example: {2}madder (.*)/)[1].trim().split(/ +/);
  assert.equal(madder(example).status, 0, example.join(" "));
});
