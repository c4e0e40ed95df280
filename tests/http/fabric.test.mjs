// Can a specification be met: what is answered, what is refused, and that the docs say it all.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/fabric";
const ASKED = { gsm: 160, gsm_tol_pct: 5, width_cm: 160, width_tol_cm: 2, length_shrink_pct: 5, width_shrink_pct: 4, growth_pct: 2 };
const WASHED = { do: "washed", relaxed_gsm: 160, relaxed_width_cm: 150, ...ASKED };
const KNITTED = { do: "knitted", construction: "single-jersey", tex: 20, loop_cm: 0.28, gauge_per_inch: 28, diameter_inch: 30, feeders: 96, elastane_pct: 5, spirality_pct: 5, torque_pct: 1, ...ASKED };

test("no: by how much, and what would do", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, WASHED);
  assert.equal(status, 200);
  assert.deepEqual(Object.keys(json), ["do", "result", "why", "notes"]);
  const r = json.result;
  assert.equal(r.verdict, "not_met");
  assert.ok(Math.abs(r.limit_wanted.width_cm - 156.25) < 1e-9, "D: 150 cm / 0.96");
  assert.equal(r.limit_wanted.gsm, null, "no weight cures a width");
  assert.ok(Math.abs(r.knit_change.loop_pct - 1.12) < 1e-9, "D: 158/156.25");
  assert.ok(json.why.every((w) => w.label && w.words && w.source && /^[a-z-]+\.md#[a-z-]+$/.test(w.anchor)));
});

test("yes: what to aim at, and how far one may go", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, { ...WASHED, width_shrink_pct: 8 });
  assert.equal(status, 200);
  const r = json.result;
  assert.equal(r.verdict, "met");
  assert.ok(r.best.strain_pct < 100 && r.width_cm.low <= r.best.width_cm && r.best.width_cm <= r.width_cm.high);
  assert.ok(r.corners.length >= 3);
  for (const c of r.corners) { // D: the mass of a metre depends on the length shrinkage alone
    const metre = 160 * 150 * (1 - c.length_shrink_pct / 100);
    assert.ok(Math.abs(c.gsm * c.width_cm - metre) < 1e-6, JSON.stringify(c));
  }
});

test("from knitting data, with what is not known said", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, KNITTED);
  assert.equal(status, 200, JSON.stringify(json));
  assert.equal(json.result.relaxed.needles, 2638, "D: pi x 30 x 28 = 2638.9, to the nearest even");
  assert.ok(json.notes.some((n) => n.includes("washed sample")));
});

test("what is wrong: 422 with place and remedy", async (t) => {
  const s = await serve(t);
  for (const [question, place] of [
    [{}, "do"], [{ do: "washed" }, "relaxed_gsm"], [{ ...WASHED, gsm: -1 }, "gsm"], [{ ...WASHED, width_cm: "160" }, "width_cm"],
    [{ ...WASHED, loop_cm: 1 }, "loop_cm"], [{ ...KNITTED, construction: "velvet" }, "construction"], [{ ...KNITTED, tex: null }, "ne"],
    [{ ...KNITTED, needles: 2.5 }, "needles"], [{ ...KNITTED, feeders: 0 }, "feeders"],
  ]) {
    const r = await s.post(PATH, question);
    assert.equal(r.status, 422, JSON.stringify(question));
    assert.equal(r.json.error.place, place);
    assert.ok(r.json.error.message && r.json.error.remedy, place);
  }
});

test("docs/api.md names every member", () => {
  const section = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8").split(`### POST ${PATH}\n`)[1].split("\n### ")[0];
  for (const question of [WASHED, KNITTED, { ne: 0, needles: 0 }])
    for (const [key, value] of Object.entries(question)) assert.ok(section.includes(`\`${key === "do" ? value : key}\``), key);
});
