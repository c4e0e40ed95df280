// `madder simulate`: the dyeing of a lot at the terminal.
import assert from "node:assert/strict";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const QUICK = ["--slices", "8"];
const ask = (mill, lot, ...more) => madder(["simulate", lot, "--mill", mill, ...QUICK, ...more]);
const json = (mill, lot, ...more) => {
  const r = ask(mill, lot, ...more, "--json");
  assert.equal(r.status, 0, r.err + r.out);
  return JSON.parse(r.out);
};

test("words and JSON say the same", (t) => {
  const mill = demo(scratch(t));
  for (const lot of ["L26-0105", "L26-0112", "L26-0113"]) {
    const doc = json(mill, lot);
    const r = ask(mill, lot);
    assert.equal(r.status, 0, r.err);
    for (const dye of doc.dyes) {
      assert.ok(r.out.includes(dye.name), dye.name);
      assert.ok(r.out.includes(dye.exhaustion_pct.toFixed(1)), `${lot} ${dye.dye_id}`);
    }
    for (const e of doc.sensitivity) assert.ok(r.out.includes(e.words), e.words);
    const flat = r.out.replace(/\s+/g, " ");
    for (const words of [doc.strike.words, doc.level.words, doc.tone.words, ...doc.notes]) assert.ok(flat.includes(words.replace(/\s+/g, " ")), words);
    for (const line of r.out.split("\n")) assert.ok([...line].length <= 110, line);
  }
});

test("changes of the whole and of one step", (t) => {
  const mill = demo(scratch(t));
  const plain = json(mill, "L26-0105");
  const doc = json(mill, "L26-0105", "--speed", "150", "--dose-dye-min", "20", "--salt", "90", "--warmer", "-3", "--shares", "55,45",
    "--uneven", "5", "--strike-limit", "0.5", "--step", "13", "--minutes", "35", "--curve", "progressive", "--exponent", "3");
  assert.equal(doc.programme.speed_m_per_min, 150);
  const step = (d, n) => d.programme.steps.find((s) => s.step === n);
  assert.equal(step(doc, 9).minutes, 20);
  assert.equal(step(doc, 9).changed, true);
  assert.equal(step(doc, 6).amount_pct, 90);
  assert.equal(step(doc, 11).to_c, 57);
  assert.deepEqual([step(doc, 13).minutes, step(doc, 13).curve, step(doc, 13).exponent], [35, "progressive", 3]);
  assert.deepEqual(doc.rope.tube_share_pct, [55, 45]);
  assert.equal(doc.strike.limit_pct_per_contact, 0.5);
  assert.ok(doc.strike.most_pct_per_contact > plain.strike.most_pct_per_contact);
  assert.match(ask(mill, "L26-0105", "--dose-dye-min", "20").out, /40 +20\.0.*changed|20\.0 +40 +changed/);
  const thin = json(mill, "L26-0105", "--ratio", "9", "--bath", "5");
  assert.equal(thin.programme.steps.length, plain.programme.steps.length);
  assert.ok(thin.rope.free_l > plain.rope.free_l);
});

test("a lot without dye, and what is refused", (t) => {
  const mill = demo(scratch(t));
  const white = ask(mill, "L26-0102");
  assert.equal(white.status, 0, white.err);
  assert.match(white.out, /no dye: there is no dyeing to work out/);
  const rows = [
    [["--minutes", "20"], 2, /--step N is missing/],
    [["--step", "9", "--minutes", "soon"], 2, /--minutes: soon is not a number/],
    [["--shares", "55;45"], 2, /--shares/],
    [["--speed", "900"], 1, /speed_m_per_min/],
    [["--step", "99", "--minutes", "20"], 1, /steps\[0\]\.step/],
    [["--step", "9", "--curve", "bent"], 1, /steps\[0\]\.curve/],
    [["--shares", "55,35"], 1, /tube_share_pct/],
    [["--bath", "2"], 1, /gets no dye/],
  ];
  for (const [more, status, said] of rows) {
    const r = ask(mill, "L26-0105", ...more);
    assert.equal(r.status, status, more.join(" ") + r.err);
    assert.match(r.err, said);
    assert.equal(r.out, "");
  }
});
