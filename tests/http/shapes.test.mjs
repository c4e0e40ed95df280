// What every endpoint answers, member by member, and what is refused by a document's content.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const LOT = "L26-0107";

/** Fails with the path when `value` has not exactly this shape. A shape is a type name, a regular
 * expression, a list with the shape of its elements, an object, or a function that decides. */
function shape(value, want, at) {
  if (typeof want === "function") assert.ok(want(value), `${at}: ${JSON.stringify(value)}`);
  else if (want instanceof RegExp) assert.match(value, want, at);
  else if (typeof want === "string") assert.equal(typeof value, want, at);
  else if (Array.isArray(want)) {
    assert.ok(Array.isArray(value), at);
    value.forEach((v, i) => shape(v, want[0], `${at}[${i}]`));
  } else {
    assert.ok(value && typeof value === "object", at);
    assert.deepEqual(Object.keys(value).sort(), Object.keys(want).sort(), at);
    for (const [k, w] of Object.entries(want)) shape(value[k], w, `${at}.${k}`);
  }
}

const id = /^[A-Za-z0-9._-]{1,40}$/;
const date = /^20\d\d-\d\d-\d\d$/;
const hex = /^#[0-9a-f]{6}$/;
const kg = (v) => v > 0 && v < 1e6;
const count = (v) => Number.isInteger(v) && v >= 0;
const stage = /^(open|ready|planned|dyeing|finishing|done)$/;
const or_null = (want) => (v) => v === null || (shape(v, want, "or null"), true);
const quantity = { value: Number.isFinite, unit: "string", figure: /^[A-Za-z0-9._-]+$/ };
const maybe = or_null(quantity);

const LISTS = {
  "/api/mill": { name: "string", currency: /^[A-Z]{3}$/, invented: "boolean", version: /^\d+\.\d+/,
    counts: { machines: count, articles: count, materials: count, shades: count, routes: count } },
  "/api/lots": { lots: [{ lot_id: id, order_id: id, customer: "string", article_id: id, article: "string", construction: "string", shade_id: id, shade: "string",
    swatch: hex, machine_id: id, machine: "string", route_id: id, route: "string", load_kg: (v) => v >= 0, n_rolls: count, stage, stage_words: "string", due: date, revision: count }], all: count, earlier: or_null(id) },
  "/api/orders": { orders: [{ order_id: id, customer: "string", article_id: id, article: "string", shade_id: id, shade: "string", swatch: hex, ordered_kg: kg,
    loss_pct: (v) => v >= 0 && v <= 40, grey_kg: kg, due: date, remark: "string" }] },
  "/api/routes": { routes: [{ route_id: id, name: "string", version: (v) => v >= 1, dye_class: /^(none|reactive|direct|vat)$/, purpose: "string", lots: count }] },
  "/api/tables": { tables: [{ name: /^[a-z_]+$/, title: "string" }] },
  "/api/check": { findings: [(f) => ["place", "message", "value", "allowed", "remedy"].every((k) => typeof f[k] === "string") && f.place && f.message], total: count },
  "/api/orders/S26-041/advice": { order_id: id, grey_kg: kg, advice: [{ machine_id: id, machine: "string", kind: "string", lots: (v) => v >= 1, lot_kg: kg,
    fill_pct: Number.isFinite, ratio_l_per_kg: Number.isFinite, liquor_l: Number.isFinite, rope_m: Number.isFinite, cycle_min: Number.isFinite, suits: "boolean", reasons: ["string"] }] },
};

test("lists: exactly the members that docs/api.md names", async (t) => {
  const s = await serve(t);
  for (const [path, want] of Object.entries(LISTS)) {
    const r = await s.get(path);
    assert.equal(r.status, 200, path);
    assert.equal(r.headers.get("content-type"), "application/json; charset=utf-8");
    shape(r.json, want, path);
  }
  const { machines } = (await s.get("/api/machines")).json;
  const columns = (await s.get("/api/tables/machine.csv")).text.split("\n")[0].split(",");
  for (const m of machines) for (const c of columns) assert.ok(c in m, `${m.machine_id} lacks ${c}`);
  const { advice } = (await s.get("/api/orders/S26-041/advice")).json;
  const doubtful = advice.findIndex((a) => !a.suits);
  assert.ok(doubtful < 0 || advice.slice(doubtful).every((a) => !a.suits), "what suits stands first");
  for (const a of advice) assert.ok(a.suits || a.reasons.length > 0, `${a.machine_id}: no reason why it does not suit`);
});

const ITEM = { material_id: id, name: "string", form: "string", basis: "string", basis_words: "string", of_active: "boolean", table_id: "string",
  amount: maybe, active_kg: maybe, mass_kg: quantity, volume_l: maybe, conc_g_per_l: maybe, cost_minor: maybe, cautions: ["string"] };
const CHECK = { kind: "string", words: "string", unit: "string", low: or_null("number"), high: or_null("number"), cooled: "boolean", expected: maybe, method: "string", on_fail: "string", on_fail_words: "string", remedy: "string" };
const STEP = { kind: "string", words: "string", note: "string", at: [count], start_min: maybe, minutes: maybe, end_min: maybe, temp_start_c: maybe, temp_end_c: maybe,
  volume_l: maybe, water_temp_c: maybe, steam_kg: maybe, kept_fraction: maybe, tank_water_l: maybe, tank_loads: maybe, least_minutes: maybe, cycles: maybe,
  ph: maybe, ph_cold: maybe, peroxide_mg_per_l: maybe, dithionite_g_per_l: maybe, uncertainty_ph: or_null("number"), beside: "boolean",
  liquor_start_l: "number", liquor_end_l: "number", rate_c_per_min: "number", cautions: ["string"],
  curve: or_null({ kind: "string", words: "string", exponent: "number", portions: count }), share_pct: "number", items: [ITEM], check: or_null(CHECK) };
const MASS_IN = ["carried_in_kg", "fibre_in_kg", "dosed_kg"];
const MASS_OUT = ["consumed_kg", "rinsed_kg", "drained_kg", "fixed_kg", "fibre_out_kg", "carried_out_kg"];
const BATH = { number: count, stage: { kind: "string", words: "string", name: "string" }, name: "string", continues: "boolean", ratio_l_per_kg: maybe, liquor_l: maybe, carried_l: maybe,
  additions_l: maybe, fill_l: maybe, final_l: maybe, carried_alkali_mol: maybe, carried_acid_mol: maybe, drained_l: maybe, retained_l: maybe, rinse_l: maybe, water_l: maybe,
  steam_kg: maybe, power_kwh: maybe, minutes: maybe, start_min: maybe, end_min: maybe, steps: [STEP],
  ph_start: maybe, ph_end: maybe, electrolyte_g_per_l: maybe, hardness_total_dh: maybe, hardness_dh: maybe, peroxide_mg_per_l: maybe, dithionite_g_per_l: maybe,
  loose_mg_per_kg: maybe, dissolved: [{ substance: "string", words: "string", start_g_per_l: maybe, end_g_per_l: maybe }],
  masses: [{ material_id: id, ...Object.fromEntries(MASS_IN.concat(MASS_OUT).map((k) => [k, "number"])) }] };
const HEADLINE = ["load_kg", "ratio_l_per_kg", "liquor_nominal_l", "liquor_l", "fabric_m", "rope_m", "speed_m_per_min", "cycle_min", "total_min", "water_l", "water_l_per_kg", "steam_kg",
  "power_kwh", "chemicals_kg", "depth_pct_owf", "chemicals_minor", "utilities_minor", "cost_minor", "cost_minor_per_kg"];
const FOOT_STAGE = { kind: "string", words: "string", name: "string", ...Object.fromEntries(["water_l", "effluent_l", "steam_kg", "power_kwh", "chemicals_kg", "salt_kg", "dye_kg",
  "cod_kg", "solids_kg", "co2_kg", "water_minor", "effluent_minor", "steam_minor", "power_minor", "chemicals_minor", "cost_minor"].map((k) => [k, quantity])) };
const FOOTPRINT = { stages: [FOOT_STAGE], total: FOOT_STAGE, unknown_cod_kg: quantity, unknown_co2_kg: quantity,
  per_kg: Object.fromEntries(["water_l_per_kg", "steam_kg_per_kg", "power_kwh_per_kg", "cod_g_per_kg", "cod_mg_per_l", "solids_kg_per_kg", "co2_kg_per_kg", "cost_minor_per_kg"].map((k) => [k, quantity])),
  bands: [{ what: "string", unit: "string", low: "number", high: "number", value: "number", verdict: /^(below|within|above)$/, source: /./, to_confirm: "boolean" }] };
const quantities = (...keys) => Object.fromEntries(keys.map((k) => [k, quantity]));
const OUTCOME = { what: /^(width|gsm|length-shrinkage|width-shrinkage|spirality)$/, words: /./, unit: /./, low: "number", high: "number", value: maybe, off: "number" };
const PASS = { kind: "string", words: "string", note: "string", finisher_id: or_null("string"), finisher: or_null("string"), shapes: "boolean",
  set: { width_cm: maybe, layflat_cm: maybe, overfeed_pct: maybe, length_loss_pct: maybe, temp_c: maybe, dwell_s: maybe, speed_m_per_min: maybe },
  behind: { ...quantities("width_cm", "courses_per_cm", "wales_per_cm", "wet_gsm", "conditioned_gsm", "moisture_pct", "length_m"), layflat_cm: maybe },
  check: or_null(CHECK), read: or_null({ lies_cm: "number", courses_per_cm: "number", moisture_pct: "number", wet_gsm: or_null("number"), weighed_off_pct: maybe }),
  minutes: maybe, power_kwh: maybe, evaporated_kg: maybe, heat_mj: maybe };
export const FINISH = { met: "boolean", tube: "boolean", ...quantities("needles", "finished_kg", "minutes", "power_kwh", "evaporated_kg", "heat_mj"),
  relaxed: { from: /^(samples|alike|table)$/, from_words: /./, samples: count, ...quantities("courses_per_cm", "wales_per_cm", "gsm", "width_cm") },
  aim: { feasible: "boolean", ...quantities("width_cm", "gsm", "courses_per_cm", "length_shrinkage_pct", "width_shrinkage_pct", "strain_pct") },
  start: quantities("width_cm", "courses_per_cm", "wales_per_cm", "moisture_pct", "length_m"),
  passes: [PASS], outcome: [OUTCOME] };
const any_of = () => true;
const PLAN = {
  lot: any_of, machine: any_of, route: any_of, site: any_of, passes: [{ kind: "string", words: "string", note: "string" }], finish: FINISH,
  headline: Object.fromEntries(HEADLINE.map((k) => [k, maybe])), baths: [BATH], footprint: FOOTPRINT,
  totals: [{ material_id: id, name: "string", is_dye: "boolean", mass_kg: quantity, cost_minor: maybe, stock_kg: "number" }],
  warnings: [{ id: "string", severity: /^(stop|warning|note)$/, text: /./, bath: or_null(count), step: or_null(count), item: or_null(count), figure: or_null("string") }],
  curve: [(p) => p.length === 3 && p.every(Number.isFinite)],
  figures: any_of, rules: any_of, cautions: any_of,
};

test("every plan of the demo mill has exactly the shape of docs/formats.md", async (t) => {
  const s = await serve(t);
  const { lots } = (await s.get("/api/lots")).json;
  let planned = 0;
  for (const lot of lots.filter((l) => l.n_rolls > 0)) {
    const { json: plan, text } = await s.get(`/api/lots/${lot.lot_id}/plan`);
    shape(plan, PLAN, lot.lot_id);
    const keys = [...text.matchAll(/"([^"]+)":\{"label":/g)].map((m) => m[1]);
    assert.deepEqual(keys, Object.keys(plan.figures), `${lot.lot_id}: no key twice, which a parser would hide`);
    planned++;
    for (const w of plan.warnings) if (w.figure !== null) assert.ok(plan.figures[w.figure], `${lot.lot_id}: ${w.figure}`);
    for (const rule of Object.values(plan.rules)) shape(rule, { title: /./, words: /./, source: /./, anchor: /^[a-z-]+\.md#/ }, lot.lot_id);
    for (const bath of plan.baths) for (const step of bath.steps) {
      const [a, b, c] = step.at;
      assert.equal(plan.route.stages[a].baths[b].steps[c].do, step.kind, `${lot.lot_id} bath ${bath.number}: at`);
      for (const caution of [...step.cautions, ...step.items.flatMap((i) => i.cautions)]) assert.ok(plan.cautions[caution], caution);
    }
    assert.ok(plan.curve.every((p, i) => i === 0 || p[0] >= plan.curve[i - 1][0]), `${lot.lot_id}: time runs on`);
    assert.ok(Math.abs(plan.curve.at(-1)[0] - plan.headline.total_min.value) < 1e-6, `${lot.lot_id}: the curve ends with the plan`);
  }
  assert.equal(planned, 24, "24 of 25 lots have rolls (docs/demo.md)");
});

test("figures rest on figures that were there before: no circle, and why says the same", async (t) => {
  const s = await serve(t);
  const { json: plan } = await s.get(`/api/lots/${LOT}/plan`);
  const done = new Set();
  const visit = (key, above) => {
    assert.ok(!above.includes(key), `circle: ${[...above, key].join(" <- ")}`);
    if (done.has(key)) return;
    for (const input of plan.figures[key].inputs ?? []) visit(input, [...above, key]);
    done.add(key);
  };
  for (const key of Object.keys(plan.figures)) visit(key, []);
  const asked = [...HEADLINE.map((k) => plan.headline[k]?.figure), "b1.liquor_l", "b5.s2.i1.mass_kg"].filter((k) => k && plan.figures[k]);
  assert.ok(asked.length > 10);
  for (const key of asked) {
    const why = await s.get(`/api/lots/${LOT}/why?figure=${key}`);
    assert.equal(why.status, 200, key);
    const same = (node) => {
      const figure = plan.figures[node.figure];
      assert.ok(figure, node.figure);
      assert.deepEqual([node.value, node.unit], [figure.value, figure.unit], node.figure);
      if (node.inputs) assert.deepEqual(node.inputs.map((i) => i.figure), figure.inputs, node.figure);
      else assert.ok(node.source || node.shown_above, node.figure);
      node.inputs?.forEach(same);
    };
    same(why.json);
  }
});

const ERROR = { code: "string", message: /./, place: "string", value: "string", allowed: "string", remedy: "string" };

test("a wrong value is answered with place, value, allowed and remedy", async (t) => {
  const s = await serve(t);
  for (const [body, place, value, allowed, remedy] of [
    [{ load_kg: 5001 }, "load_kg", "5001", /0\.1 to 5000 kg/, /leave it out/],
    [{ load_kg: 0.05 }, "load_kg", "0.05", /0\.1 to 5000 kg; 0: what the rolls weigh/, /./],
    [{ ratio_l_per_kg: 0 }, "ratio_l_per_kg", "0", /2 to 40 L\/kg/, /./],
    [{ speed_m_per_min: 0.5 }, "speed_m_per_min", "0.5", /1 to 1000 m\/min/, /./],
    [{ tubes_used: 17 }, "tubes_used", "17", /1 to 16; 0: all/, /./],
    [{ tubes_used: 2.5 }, "tubes_used", "2.5", /whole number/, /./],
    [{ tubes_used: 4294967297 }, "tubes_used", "4294967297", /whole number/, /./],
    [{ ratio_l_per_kg: "8,5" }, "ratio_l_per_kg", "8,5", /a number/, /without quotation marks/],
    [{ ratio_l_per_kg: true }, "ratio_l_per_kg", "true", /a number/, /./],
    [{ ratio_l_per_kg: [] }, "ratio_l_per_kg", "a list", /a number/, /./],
    [{ machine_id: 7 }, "machine_id", "7", /a text/, /./],
    [{ machine_id: "" }, "machine_id", "", /A-Z/, /./],
    [{ machine_id: "W 1" }, "machine_id", "W 1", /A-Z/, /./],
    [{ ratio_l_per_gk: 8 }, "ratio_l_per_gk", "ratio_l_per_gk", /./, /ratio_l_per_kg/],
    [{ colour: 1 }, "colour", "colour", /load_kg/, /./],
    [{ revision: -3 }, "revision", "-3", /./, /./],
    [{ readings: [{ pass: 1 }] }, "readings[0].lies_cm", "", /(?:)/, /./],
    [{ readings: [{ pass: 9, lies_cm: 150, courses_per_cm: 18, moisture_pct: 80 }] }, "readings[0].pass", "9", /1 to 3/, /./],
    [{ readings: [{ pass: 1, lies_cm: -1, courses_per_cm: 18, moisture_pct: 80 }] }, "readings[0].lies_cm", "-1", /1 to 1000/, /./],
    [{ readings: [{ pass: 1, lies_cm: 150, courses_per_cm: 18, moisture_pct: "dry" }] }, "readings[0].moisture_pct", "dry", /a number/, /./],
    [{ readings: {} }, "readings", "an object", /(?:)/, /./],
    [{ route: 5 }, "route", "5", /an object/, /./],
    [{ route: {} }, "route.format", "", /madder-route-1/, null],
  ]) {
    const r = await s.post(`/api/lots/${LOT}/plan`, body);
    const name = JSON.stringify(body);
    assert.equal(r.status, 422, name);
    const e = r.json.error;
    shape(e, { ...ERROR, more: [ERROR], total: (n) => n >= 1 }, name);
    assert.equal(e.place, place, name);
    assert.equal(e.value, value, name);
    assert.match(e.allowed || e.remedy, allowed, name);
    if (remedy) assert.match(e.remedy, remedy, name);
  }
  const many = await s.post(`/api/lots/${LOT}/plan`, { load_kg: -1, ratio_l_per_kg: 99, tubes_used: 99, speed_m_per_min: -1, x: 1 });
  assert.equal(many.json.error.total, 5, "all of them, not the first");
  assert.deepEqual(many.json.error.more.map((e) => e.place).sort(), ["load_kg", "ratio_l_per_kg", "speed_m_per_min", "tubes_used", "x"]);
});

test("text that is no JSON is answered with line and column", async (t) => {
  const s = await serve(t);
  for (const [text, place] of [["{\n  \"load_kg\": 800,\n}", /^3:/], ["{\"load_kg\": 800} x", /^1:/], ["{'load_kg': 800}", /^1:/], ["{\"load_kg\": 08}", /^1:/],
    ["{\"load_kg\": 1, \"load_kg\": 2}", /^1:/], ["{\"load_kg\": NaN}", /^1:/], ["{\"load_kg\": 1e999}", /^1:/], ["{\"load_kg\": 800", /^1:/], ["\ufeff{}", /^1:/],
    ["{\"machine_id\": \"\\u0000\"}", /^1:/], ["{\"machine_id\": \"\\ud800\"}", /^1:/], [`${"[".repeat(100000)}`, /^1:/]]) {
    for (const send of [s.post, s.put]) {
      const r = await send(send === s.post ? `/api/lots/${LOT}/plan` : "/api/routes/R-MED60", text);
      assert.equal(r.status, 422, text.slice(0, 30));
      assert.equal(r.json.error.code, "parse");
      assert.match(r.json.error.place, place, text.slice(0, 30));
      assert.ok(r.json.error.remedy, text.slice(0, 30));
    }
  }
  const none = await s.put("/api/routes/R-MED60", "");
  assert.equal(none.status, 422);
  assert.match(none.json.error.message, /empty/);
});

test("what is not there: 404, and the nearest that is", async (t) => {
  const s = await serve(t);
  for (const [path, remedy] of [["/api/lots/L26-0999/plan", /L26-/], ["/api/lots/L26-0999/card.pdf", /L26-/], ["/api/lots/L26-0999/why?figure=total_min", /L26-/],
    ["/api/routes/R-MED6", /R-MED60/], ["/api/orders/S26-999/advice", /S26-/], ["/api/tables/machines", /machine/], [`/api/lots/${LOT}/why?figure=total_mn`, /total_min/],
    [`/api/lots/${LOT}/slips.pdf?bath=99`, null]]) {
    const r = await s.get(path);
    assert.equal(r.status, 404, path);
    assert.equal(r.json.error.code, "not_found", path);
    assert.ok(r.json.error.message, path);
    if (remedy) assert.match(`${r.json.error.remedy} ${r.json.error.allowed}`, remedy, path);
  }
  for (const body of [{ machine_id: "W9" }, { route_id: "R-NONE" }]) {
    const r = await s.post(`/api/lots/${LOT}/plan`, body);
    assert.equal(r.status, 404);
    assert.equal(r.json.error.place, Object.keys(body)[0]);
    assert.equal(r.json.error.value, Object.values(body)[0]);
  }
  const put = await s.put("/api/lots/L26-0999", { revision: 1, ratio_l_per_kg: 8 });
  assert.equal(put.status, 404);
});

test("a lot that cannot be planned says why: plan, card, slips and why alike", async (t) => {
  const s = await serve(t);
  for (const path of ["plan", "card.pdf", "slips.pdf", "why?figure=total_min"]) {
    const r = await s.get(`/api/lots/L26-0120/${path}`);
    assert.equal(r.status, 422, path);
    assert.match(r.json.error.remedy, /rolls/, path);
  }
});

const keys_of = (want) => (Array.isArray(want) ? want.flatMap(keys_of) : want && want.constructor === Object
  ? Object.entries(want).flatMap(([k, v]) => [k, ...keys_of(v)]) : []);
const doc = (name) => readFileSync(new URL(`../../docs/${name}`, import.meta.url), "utf8");

test("docs name every member: lists in api.md under their endpoint, the plan in formats.md", async (t) => {
  const api = doc("api.md");
  for (const [path, want] of Object.entries(LISTS)) {
    const heading = `### GET ${path.replace("S26-041", "{id}")}\n`;
    const section = api.split(heading)[1]?.split("\n### ")[0];
    assert.ok(section, heading);
    for (const key of keys_of(want)) assert.ok(section.includes(`"${key}"`), `docs/api.md, ${path}: ${key}`);
  }
  const section = doc("formats.md").split("\n## Plan as JSON\n")[1].split("\n## ")[0];
  const s = await serve(t);
  const { json: plan } = await s.get(`/api/lots/${LOT}/plan`);
  const of_records = [...Object.keys(plan.lot), ...Object.keys(plan.lot.article), ...Object.keys(plan.lot.shade)];
  const inputs = Object.values(plan.figures).find((f) => f.source);
  for (const key of [...keys_of(PLAN), ...of_records, ...Object.keys(inputs), ...Object.keys(inputs.source), "rule", "inputs", "shown_above"])
    assert.match(section, new RegExp(`["\`]${key}[\`"]|\\*\\*${key}\\*\\*`), `docs/formats.md: ${key}`);
});

// The unit of a quantity is the end of its name (docs/formats.md).
const UNITS = [["_l_per_kg", "L/kg"], ["_mg_per_l", "mg/L"], ["_mg_per_kg", "mg/kg"], ["cod_g_per_kg", "g/kg"], ["_kg_per_kg", "kg/kg"], ["_kwh_per_kg", "kWh/kg"], ["_dh", "dH"], ["ph", "pH"], ["ph_start", "pH"], ["ph_end", "pH"], ["ph_cold", "pH"], ["_minor_per_kg", "minor/kg"], ["_m_per_min", "m/min"], ["_g_per_l", "g/L"], ["_pct_owf", "% owf"], ["_kwh", "kWh"], ["_minor", "minor"],
  ["_mol", "mol"], ["_kg", "kg"], ["_min", "min"], ["minutes", "min"], ["_c", "degC"], ["_m", "m"], ["_l", "L"], ["kept_fraction", ""], ["tank_loads", ""], ["cycles", ""]];

test("every quantity has the unit that its name says", async (t) => {
  const s = await serve(t);
  for (const lot of [LOT, "L26-0113", "L26-0102"]) {
    const { json: plan } = await s.get(`/api/lots/${lot}/plan`);
    let seen = 0;
    const visit = (value, key) => {
      if (!value || typeof value !== "object") return;
      if (!("figure" in value && "unit" in value)) {
        for (const [k, v] of Object.entries(value)) visit(v, Array.isArray(value) ? key : k);
        return;
      }
      seen++;
      if (value.figure === "const.zero") assert.equal(value.value, 0);
      else if (key === "amount") assert.match(value.unit, /^(g\/L|mL\/L|% owf|kg)$/);
      else if (key === "expected") assert.match(value.unit, /^(|pH|degC|dH|mg\/L|g\/L)$/);
      else assert.equal(value.unit, UNITS.find(([end]) => key.endsWith(end))?.[1], `${lot} ${key} ${value.figure}`);
    };
    for (const part of ["headline", "baths", "footprint", "totals"]) visit(plan[part], part);
    assert.ok(seen > 200, `${lot}: ${seen}`);
  }
});

test("in every bath each material comes out as much as it goes in", async (t) => {
  const s = await serve(t);
  const { json: plan } = await s.get(`/api/lots/${LOT}/plan`);
  for (const bath of plan.baths) for (const m of bath.masses) {
    const sum = (keys) => keys.reduce((n, k) => n + m[k], 0);
    const left = sum(MASS_IN) - sum(MASS_OUT);
    assert.ok(Math.abs(left) < 1e-9, `bath ${bath.number} ${m.material_id}: ${left} kg`);
  }
});
