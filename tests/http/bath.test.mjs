// Questions about a bath: what is answered, what is refused, and that the house's rules hold.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/bath";
const MIX = { temp_c: 60, na2co3_g_per_l: 20, na2so4_g_per_l: 50 };
const RINSE = { do: "rinse", load_kg: 1000, ratio_l_per_kg: 8, retained_l_per_kg: 2.5, start_g_per_l: 60, target_g_per_l: 2, flow_l_per_min: 300, fill_l_per_min: 800, drain_l_per_min: 1000, run_min: 5 };
const VAT = { do: "vat", temp_c: 60, dye_g_per_l: 1.5, naoh_g_per_l: 6, dithionite_g_per_l: 5, minutes: 60, machine_kind: "overflow", load_kg: 500, liquor_l: 5000 };
const BURETTE = { do: "titrate", sample_ml: 100, titrant_ml: 25, titrant_eq_per_l: 0.1 };
const TWO = { do: "titrate", kind: "two_alkalis", sample_ml: 100, phenolphthalein_ml: 15, methyl_orange_ml: 20, titrant_eq_per_l: 0.1 };

/** Near enough, with what the number comes from. */
const near = (got, want, tol, src) => assert.ok(Math.abs(got - want) <= tol, `got ${got}, want ${want} +- ${tol}; source: ${src}`);

const ASKED = [
  [{ do: "ph", ...MIX }, true, (r) => {
    near(r.ph, 10.75, 0.04, "O: PHREEQC 3, pitzer.dat");
    near(r.ph_cold, 11.34, 0.04, "O: PHREEQC 3, pitzer.dat");
    assert.ok(r.species_mol_per_kg["CO3--"] > r.species_mol_per_kg["HCO3-"]);
  }],
  [{ do: "dose", temp_c: 60, dose: "na2co3", amount_g_per_l: 20, minutes: 30 }, true, (r) => {
    assert.equal(r.points.length, 21);
    assert.deepEqual(Object.keys(r.points[0]), ["time_fraction", "dose_fraction", "dose_g_per_l", "ph", "time_min"]);
    near(r.points[20].ph, 10.83, 0.04, "O: PHREEQC 3, pitzer.dat");
  }],
  [{ do: "probe", temp_c: 60, ph: 11.33, unknown: "na2co3" }, true, (r) => near(r.amount_g_per_l, 10, 2.5, "O: PHREEQC 3: 10 g/L reads 11.33; 0.03 of pH are 2 g/L")],
  [{ do: "same_ph", temp_c: 60, na2so4_g_per_l: 50, soda_only_g_per_l: 20, soda_mixed_g_per_l: 5 }, true, (r) => {
    near(r.naoh_g_per_l, 0.25, 0.02, "D: mass action");
    assert.equal(r.points.length, 11);
  }],
  [{ do: "neutralise", temp_c: 25, na2co3_g_per_l: 1, liquor_l: 1000, acid: "acetic" }, true, (r) => {
    near(r.ph, 6.3, 1e-6, "D: what was asked for");
    assert.deepEqual(r.overshoot.map((o) => o.given_pct), [90, 100, 110, 125]);
  }],
  [{ ...BURETTE, kind: "peroxide", liquor_l: 1000, capacity_mg_per_g: 50 }, false, (r) => near(r.peroxide_mg_per_l, 425.2, 0.1, "S: 17.007 g an equivalent")],
  [{ ...BURETTE, kind: "alkali", liquor_l: 2500, acid: "acetic" }, false, (r) => near(r.acid_kg, 3.75, 0.01, "D: E28")],
  [TWO, false, (r) => near(r.naoh_g_per_l, 0.4, 0.001, "M: Vogel: 2P - M = 10 mL of 0.1 N on 100 mL")],
  [{ ...BURETTE, kind: "dithionite" }, false, (r) => near(r.dithionite_g_per_l, 1.088, 0.001, "M: 4.353 mg a mL of 0.1 N")],
  [{ ...BURETTE, kind: "salt" }, false, (r) => near(r.salt_g_per_l, 1.461, 0.001, "D: 58.443 g an equivalent")],
  [{ do: "hardness", calcium_mg_per_kg: 1000, magnesium_mg_per_kg: 1000, ratio_l_per_kg: 10, released_part: 1, capacity_mg_per_g: 120 }, false, (r) => {
    near(r.total_dh, 37.06, 0.01, "D: 661.5 mg CaCO3/L");
    near(r.need_g_per_l, 5.51, 0.01, "D: 661.5 / 120");
    assert.equal(r.verdict, "warning");
  }],
  [{ do: "salt", from: "nacl", to: "na2so4", amount_g_per_l: 50 }, false, (r) => near(r.equal_sodium.g_per_l, 60.76, 0.01, "D: 1.2152 a g")],
  [VAT, false, (r) => {
    near(r.need_g_per_l.total, 3.49, 0.01, "D: vat.md, dithionite budget");
    assert.equal(r.reserve.length, 13);
  }],
  [{ ...VAT, air_g_o2_per_kg_h: 0 }, false, (r) => assert.equal(r.spent_min, null)],
  [RINSE, false, (r) => {
    assert.equal(r.fill_drain.baths, 3);
    near(r.water_saved_l, 6904, 1, "D: 5500 + 8000 ln(18.75/2) - 16500");
  }],
];

test("every question is answered, with what it rests on", async (t) => {
  const s = await serve(t);
  const sources = readFileSync(new URL("../../docs/sources.md", import.meta.url), "utf8");
  for (const [question, has_ph, check] of ASKED) {
    const r = await s.post(PATH, question);
    const name = JSON.stringify(question);
    assert.equal(r.status, 200, `${name}: ${r.text}`);
    assert.deepEqual(Object.keys(r.json), ["do", "result", "why", "notes"], name);
    assert.equal(r.json.do, question.do);
    const off = r.json.result.uncertainty_ph;
    assert.ok(has_ph ? off >= 0.03 && off < 0.3 : off === undefined, name);
    assert.ok(r.json.why.length > 0, name);
    for (const w of r.json.why) {
      assert.deepEqual(Object.keys(w), ["label", "words", "source", "anchor"]);
      assert.match(w.anchor, /^[a-z-]+\.md#[a-z-]+$/);
      if (!w.anchor.startsWith("bath-ph")) assert.ok(sources.includes(`- \`${w.source}\`:`), w.source);
    }
    assert.ok(r.json.notes.every((n) => typeof n === "string" && n.length > 10));
    check(r.json.result);
  }
});

test("docs/api.md names every question and every member of it", () => {
  const text = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8");
  const section = text.slice(text.indexOf("### POST /api/bath"), text.indexOf("### GET /api/tables/{id}"));
  for (const [question] of ASKED) {
    assert.ok(section.includes(`\`${question.do}\``), question.do);
    for (const key of Object.keys(question)) if (key !== "do") assert.ok(section.includes(`\`${key}\``), key);
  }
});

test("wrong questions: 422 with place, value and remedy", async (t) => {
  const s = await serve(t);
  for (const [question, place, value] of [
    [{}, "do", ""],
    [{ do: "phh" }, "do", "phh"],
    [{ do: "ph" }, "temp_c", ""],
    [{ do: "ph", temp_c: 101 }, "temp_c", "101"],
    [{ do: "ph", temp_c: "60" }, "temp_c", "60"],
    [{ do: "ph", temp_c: 60, soda: 5 }, "soda", "soda"],
    [{ do: "ph", temp_c: 60, nacl_g_per_l: 499 }, "ionic strength", /mol\/kg/],
    [{ do: "dose", temp_c: 60, dose: "dye", amount_g_per_l: 1 }, "dose", "dye"],
    [{ do: "probe", temp_c: 60, ph: 4, unknown: "naoh" }, "ph", /4\.00/],
    [{ do: "same_ph", temp_c: 60, soda_only_g_per_l: 20, soda_mixed_g_per_l: 20 }, "soda_mixed_g_per_l", "20"],
    [{ do: "neutralise", temp_c: 25, na2co3_g_per_l: 20, liquor_l: 1, acid: "acetic", target_ph: 2 }, "target_ph", /pH/],
    [{ ...BURETTE, kind: "peroxide", sample_ml: 0 }, "sample_ml", "0"],
    [{ ...BURETTE, kind: "iron" }, "kind", "iron"],
    [{ do: "hardness", calcium_mg_per_kg: -1, magnesium_mg_per_kg: 1, ratio_l_per_kg: 8 }, "calcium_mg_per_kg", "-1"],
    [{ do: "salt", from: "nacl", to: "nacl", amount_g_per_l: 50 }, "to", ""],
    [{ ...VAT, machine_kind: "boat" }, "machine_kind", "boat"],
    [{ ...RINSE, retained_l_per_kg: 8 }, "retained_l_per_kg", "8"],
  ]) {
    const r = await s.post(PATH, question);
    const name = JSON.stringify(question);
    assert.equal(r.status, 422, name);
    const e = r.json.error;
    assert.equal(e.place, place, name);
    if (value instanceof RegExp) assert.match(e.value, value, name);
    else assert.equal(e.value, value, name);
    assert.ok(e.message && e.remedy, name);
  }
  const many = await s.post(PATH, { do: "ph", temp_c: -1, cold_c: 300, naoh_g_per_l: "1", x: 0 });
  assert.equal(many.json.error.total, 4, "all of them, not the first");
});

test("no text that is not the document, no other page, no other type, no other method", async (t) => {
  const s = await serve(t);
  const body = JSON.stringify({ do: "ph", ...MIX });
  const json = { "content-type": "application/json" };
  assert.equal((await s.post(PATH, "{\"do\": \"ph\",}")).status, 422);
  assert.equal((await s.post(PATH, "")).status, 422);
  assert.equal((await s.post(PATH, " ".repeat(70000) + body)).status, 422, "a question is short");
  assert.equal((await s.send("POST", PATH, " ".repeat((1 << 20) + 1), json)).status, 413);
  assert.equal((await s.send("POST", PATH, body, { ...json, origin: "http://elsewhere.example" })).status, 403);
  assert.equal((await s.send("POST", PATH, body, { "content-type": "text/plain" })).status, 415);
  const get = await s.get(PATH);
  assert.equal(get.status, 405);
  assert.equal(get.headers.get("allow"), "POST");
});
