// `madder shorten`: the shortest safe dyeing at the terminal.
import assert from "node:assert/strict";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const LOT = "L26-0105";
const ask = (mill, ...more) => madder(["shorten", LOT, "--mill", mill, ...more]);

test("words and JSON say the same", (t) => {
  const mill = demo(scratch(t));
  const r = ask(mill);
  assert.equal(r.status, 0, r.err);
  const doc = JSON.parse(ask(mill, "--json").out);
  const flat = r.out.replace(/\s+/g, " ");
  assert.ok(flat.includes(doc.words), doc.words);
  const point = doc.points[doc.wanted];
  for (const words of [...doc.notes, ...point.changes]) assert.ok(flat.includes(words.replace(/\s+/g, " ")), words);
  for (const p of doc.points) assert.ok(r.out.includes(p.effect.strike_pct_per_contact.toFixed(2)), `${p.minutes}`);
  for (const step of point.steps) assert.ok(flat.includes(step.why_words), step.why_words);
});

test("limits, the speed, and a changed programme", (t) => {
  const mill = demo(scratch(t));
  const doc = JSON.parse(ask(mill, "--json", "--keep-speed", "yes", "--de-limit", "0.3", "--fixed-less", "1", "--dye-turns", "12", "--strike-limit", "0.8", "--dose-dye-min", "70").out);
  assert.deepEqual([doc.limits.de, doc.limits.fixation_allowance_pct, doc.limits.turns_least_dye, doc.limits.strike_pct_per_contact, doc.limits.keep_speed], [0.3, 1, 12, 0.8, true]);
  for (const p of doc.points) assert.equal(p.speed_changed, false);
});

test("a lot without dye, and wrong words", (t) => {
  const mill = demo(scratch(t));
  const lots = JSON.parse(madder(["lots", "--mill", mill, "--json"]).out).lots;
  const white = lots.find((l) => l.n_rolls > 0 && JSON.parse(madder(["simulate", l.lot_id, "--mill", mill, "--json", "--slices", "8"]).out).simulated === false);
  const r = madder(["shorten", white.lot_id, "--mill", mill]);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /no dyeing to work out/);
  const odd = ask(mill, "--keep-speed", "perhaps");
  assert.equal(odd.status, 2);
  assert.match(odd.err, /neither yes nor no/);
  assert.match(ask(mill, "--de-limit", "99").err, /de_limit/);
  assert.notEqual(madder(["simulate", LOT, "--mill", mill, "--keep-speed", "yes"]).status, 0);
});
