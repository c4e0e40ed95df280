// The finishing desk: what is answered, what is refused, and that the docs say it all.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/line";
const RELAXED = { relaxed_gsm: 180, relaxed_courses_per_cm: 20 };
const SPEC = { gsm: 160, width_cm: 160, length_shrink_pct: 5, width_shrink_pct: 7 };
const RESIDUAL = { length_residual_pct: 4, width_residual_pct: 5 };
const SETTINGS = { do: "settings", line: "open-width", ...RELAXED, relaxed_width_cm: 150, ...SPEC };
const TUBE = { do: "settings", line: "tubular", ...RELAXED, relaxed_layflat_cm: 75, ...RESIDUAL };
const READ = { ...SETTINGS, do: "read", pass: 3, read_width_cm: 158, read_courses_per_cm: 17.9, read_moisture_kg_per_kg: 0.07, read_wet_gsm: 151 };
const DRY = { do: "dry", width_cm: 180, gsm: 180, moisture_in_kg_per_kg: 0.7, oven_m: 24, h_w_per_m2_k: 30, exhaust_kg_per_kg: 0.1 };
const FIT = { do: "fit", gsm: 180, moisture_in_kg_per_kg: 0.7, moisture_out_kg_per_kg: 0.07, air_c: 150, air_kg_per_kg: 0.1, oven_m: 24, speed_m_per_min: 25 };
const PAD = { do: "pad", add_on_pct: 2, pickup_in_pct: 60, pickup_out_pct: 80, fabric_kg: 500 };
const RESULT = { do: "result", ...SPEC, length_after_cm: [31.8, 31.9], width_after_cm: [32.9], sample_g: [1.55], measured_width_cm: [159.5], courses_per_cm: 18.2, pilling: "4-5", pilling_min: "4" };
const INSPECT = { do: "inspect", length_yd: 150, width_inch: 56, points: 28, limit_per_100_yd2: 20 };
const GREY = { do: "grey", finished_kg: 10000, loss_pct: [5, 3, 1], roll_kg: [25, 25, 24, 26], lot_max_kg: 60 };

const near = (got, want, tol, source) => assert.ok(Math.abs(got - want) <= tol, `${got}, want ${want}; ${source}`);
const asked = async (s, question) => {
  const { status, json } = await s.post(PATH, question);
  assert.equal(status, 200, JSON.stringify(json));
  assert.deepEqual(Object.keys(json), ["do", "result", "why", "notes"]);
  assert.ok(json.why.length > 0 && json.why.every((w) => w.label && w.words && w.source && /^[a-z-]+\.md#[a-z-]+$/.test(w.anchor)));
  return json;
};

test("settings: every pass says what to set and what to measure", async (t) => {
  const s = await serve(t);
  const { result: r } = await asked(s, SETTINGS);
  assert.equal(r.verdict, "met");
  let wide = 0;
  for (const pass of ["dewatering", "padder", "stenter", "compactor"]) {
    for (const key of ["width_cm", "courses_per_cm", "moisture_kg_per_kg", "wet_gsm", "conditioned_gsm"]) assert.ok(r[pass][key] > 0, `${pass}.${key}`);
    const metre = r[pass].width_cm * r[pass].conditioned_gsm / r[pass].courses_per_cm; // D: mass of a course stays
    if (wide) near(metre, wide, 1e-9 * wide, "D: mass of a course");
    wide = metre;
  }
  near(r.stenter.set_width_cm, r.finished.width_cm, 1e-9, "D: nothing widens later");
  const { result: flat } = await asked(s, TUBE);
  near(flat.finished.layflat_cm, 75 / 0.95, 1e-9, "D: a tube is told flat");
  assert.ok(!JSON.stringify(flat).includes("width_cm"), "a tube has no other width");
});

test("read, dry, fit, pad", async (t) => {
  const s = await serve(t);
  const read = (await asked(s, READ)).result;
  assert.deepEqual(Object.keys(read).includes("stenter"), false, "only the rest of the line");
  assert.ok(read.compactor.set_overfeed_pct > 0 && read.read.weighed_off_pct !== null);
  const dry = (await asked(s, DRY)).result;
  assert.equal(dry.speed.limited_by, "evaporation");
  near(dry.drying.total_s, 56.3, 0.06, "O: worked table of drying.md, h 30");
  const fit = (await asked(s, { ...FIT, entry_s: 0, speed_m_per_min: 25.57 })).result;
  near(fit.h_w_per_m2_k, 30, 0.05, "O: the same backwards");
  const pad = (await asked(s, PAD)).result;
  near(pad.trough_pct, 2.5, 1e-9, "S: 2 % wet on wet, 60 to 80 %");
  near(pad.feed_pct, 10, 1e-9, "S: the same");
});

test("result: verdicts, reasons, and what to do", async (t) => {
  const s = await serve(t);
  const { result: r } = await asked(s, RESULT);
  assert.equal(r.verdict, "refinish");
  assert.equal(r.length_change.verdict, "missed");
  assert.equal(r.pilling.verdict, "met");
  assert.ok(r.compactor.set_overfeed_pct > 0);
  const missed = r.reasons.find((x) => x.reason === "missed");
  assert.deepEqual([missed.of, missed.unit], ["length_change", "%"]);
  near(missed.value, 4, 1e-9, "D: 9 - 5");
  assert.equal((await asked(s, { ...RESULT, pilling: "3-4" })).result.verdict, "claim_risk");
});

test("inspection and grey need", async (t) => {
  const s = await serve(t);
  near((await asked(s, INSPECT)).result.points_per_100_yd2, 12, 1e-9, "S: 28 points, 150 yd, 56 inch");
  const { result: g } = await asked(s, GREY);
  near(g.grey_kg, 11072, 0.5, "O: 1 % and 5, 3, 1 %");
  near(g.yarn_kg, 11298, 0.5, "O: 2 % knitting waste");
  assert.equal(g.rolls.length, 4);
  assert.equal(g.lots.lots, 2);
});

test("what is wrong: 422 with place and remedy", async (t) => {
  const s = await serve(t);
  for (const [question, place] of [
    [{}, "do"], [{ do: "settings" }, "line"], [{ ...SETTINGS, gsm: null }, "gsm"], [{ ...SETTINGS, layflat_cm: 80 }, "layflat_cm"],
    [{ ...TUBE, width_min_cm: 80 }, "width_min_cm"], [{ ...SETTINGS, relaxed_gsm: 1 }, "relaxed_gsm"], [{ ...READ, pass: 9 }, "pass"],
    [{ ...DRY, exhaust_kg_per_kg: 0.001 }, "exhaust_kg_per_kg"], [{ ...FIT, moisture_out_kg_per_kg: 0.8 }, "moisture_out_kg_per_kg"], [{ ...PAD, pickup_out_pct: 50 }, "pickup_out_pct"],
    [{ ...RESULT, sample_g: 1.5 }, "sample_g"], [{ ...RESULT, sample_g: [1.5, null] }, "sample_g[1]"], [{ ...RESULT, pilling: "6" }, "pilling"],
    [{ ...INSPECT, length_m: 100 }, "length_m"], [{ ...GREY, roll_kg: [25, -1] }, "roll_kg[1]"],
  ]) {
    const r = await s.post(PATH, question);
    assert.equal(r.status, 422, JSON.stringify(question));
    assert.equal(r.json.error.place, place);
    assert.ok(r.json.error.message && r.json.error.remedy, place);
  }
});

test("docs/api.md names every member that is asked or answered", async (t) => {
  const s = await serve(t);
  const section = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8").split(`### POST ${PATH}\n`)[1].split("\n### ")[0];
  // an unknown member is answered with those there are
  const source = readFileSync(new URL("../../src/wire/mdr_line_ask.c", import.meta.url), "utf8");
  const keys = [...source.matchAll(/^ {4}(?:NUM|INT|FIELD|LIST)\((\w+),/gm)].map((m) => m[1]);
  assert.ok(keys.length > 100, "members were found");
  for (const key of keys) assert.ok(section.includes(`\`${key}\``), key);
  for (const question of [SETTINGS, READ, DRY, FIT, PAD, RESULT, INSPECT, GREY]) {
    assert.ok(section.includes(`\`${question.do}\``));
    for (const key of Object.keys((await asked(s, question)).result)) assert.ok(section.includes(`\`${key}\``), key);
  }
});
