// The dyeing of a lot over HTTP: every demo lot, the curves, the map, changes and refusals.
import assert from "node:assert/strict";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/lots/L26-0105/dyeing";
const QUICK = { slices: 8, sensitivity: false };
const near = (a, b, tol, what) => assert.ok(Math.abs(a - b) <= tol, `${what}: ${a} is not ${b}`);

test("every lot of the demo mill: dye is where it should be", async (t) => {
  const s = await serve(t);
  const { lots } = (await s.get("/api/lots")).json;
  let dyed = 0;
  for (const lot of lots.filter((l) => l.n_rolls > 0)) {
    const { status, json } = await s.post(`/api/lots/${lot.lot_id}/dyeing`, QUICK);
    assert.equal(status, 200, lot.lot_id);
    assert.equal(json.lot.lot_id, lot.lot_id);
    if (!json.simulated) {
      assert.equal(json.reason.code, "no-dye");
      assert.deepEqual(Object.keys(json), ["lot", "simulated", "reason", "notes"]);
      continue;
    }
    dyed++;
    const { t_min, dyes } = json.curves;
    for (const d of dyes) {
      for (let k = 0; k < t_min.length; k++)
        near(d.on_fibre_pct[k] + d.bath_pct[k] + d.held_pct[k], d.given_pct[k], 1e-3, `${lot.lot_id} ${d.dye_id} minute ${t_min[k]}`);
      near(d.given_pct.at(-1), 100, 1e-6, "all is given");
      near(d.of_final_pct.at(-1), 100, 1e-6, "the end is the end");
      for (let k = 0; k < t_min.length; k++) assert.ok(d.fixed_pct[k] <= d.on_fibre_pct[k] + 1e-6);
    }
    near(t_min.at(-1), json.programme.minutes, 1e-3, "to the end");
    for (const p of json.programme.steps) {
      near(p.end_min - p.start_min, p.minutes, 1e-3, "a step's time");
      assert.equal(p.minutes, p.minutes_planned);
    }
    assert.equal(json.course.points.length > 20, true);
    for (const p of json.course.points) assert.equal(p.length, json.course.columns.length);
  }
  assert.ok(dyed > 20);
});

test("the map is as large as it says, and its scale fits", async (t) => {
  const s = await serve(t);
  const { json } = await s.post(PATH, { slices: 20, sensitivity: false, tube_share_pct: [70, 30] });
  const m = json.map;
  assert.equal(m.tubes, 2);
  assert.equal(m.slices, 40);
  const rgb = Buffer.from(m.rgb, "base64"), off = new Int8Array(Buffer.from(m.off, "base64"));
  assert.equal(rgb.length, m.times * m.slices * 3);
  assert.equal(off.length, m.times * m.slices);
  assert.equal(Math.max(...off.map(Math.abs)), 127);
  assert.ok(rgb[0] > 200 && rgb[1] > 200 && rgb[2] > 180, "white before the dye");
  assert.ok(rgb.at(-1) < 120, "a dark shade in the end");
  const worst = Math.max(...json.curves.spread_pct.filter((v) => v !== null));
  assert.ok(127 * m.off_pct_per_count <= worst + 1e-6, "no slice is farther off than the whole spread");
  assert.equal((await s.post(PATH, { ...QUICK, map: false })).json.map, null);
});

test("a change changes the answer, the lot stays as it is", async (t) => {
  const s = await serve(t);
  const plain = (await s.post(PATH, QUICK)).json;
  const fast = (await s.post(PATH, { ...QUICK, steps: [{ step: 9, minutes: 8 }] })).json;
  assert.ok(fast.strike.most_pct_per_contact > 1.5 * plain.strike.most_pct_per_contact);
  assert.equal(fast.strike.verdict, "over");
  assert.equal(fast.level.verdict, "doubtful");
  near(fast.programme.minutes, plain.programme.minutes - 32, 1e-3, "40 to 8 min");
  assert.deepEqual(fast.programme.steps.filter((p) => p.changed).map((p) => p.step), [9]);
  const slow = (await s.post(PATH, { ...QUICK, speed_m_per_min: 140 })).json;
  near(slow.rope.cycle_min, plain.rope.cycle_min * 2, 1e-3, "half the speed");
  const lot = (await s.post(PATH, { ...QUICK, lot: { ratio_l_per_kg: 10 } })).json;
  assert.ok(lot.dyes[0].exhaustion_pct < plain.dyes[0].exhaustion_pct, "more liquor, less on");
  assert.deepEqual((await s.post(PATH, QUICK)).json, plain);
});

test("reruns and reasons", async (t) => {
  const s = await serve(t);
  const { json } = await s.get(PATH);
  assert.deepEqual(json.sensitivity.map((e) => e.what), ["temp_up", "temp_down", "salt_more", "salt_less", "alkali_late", "alkali_fast", "slow_reel", "low_flow"]);
  assert.ok(json.margin.fixation_pct[0] < json.margin.fixation_pct[1]);
  for (const [key, why] of Object.entries(json.why)) for (const k of ["label", "words", "source", "anchor"]) assert.ok(why[k], `${key} ${k}`);
  assert.equal(json.wash_off.baths_planned, 2);
});

test("refusals name their place", async (t) => {
  const s = await serve(t);
  const rows = [
    [{ speed_m_per_min: 900 }, 422, "speed_m_per_min"],
    [{ steps: [{ step: 9, minutes: 1000 }] }, 422, "steps[0].minutes"],
    [{ steps: [{ step: 99 }] }, 422, "steps[0].step"],
    [{ steps: [{ step: 9, to_c: 60 }] }, 422, "steps[0].to_c"],
    [{ steps: [{ step: 9, minutes: 20 }, { step: 9, curve: "linear" }] }, 422, "steps[1].step"],
    [{ fixing_limit_de: 0 }, 422, "fixing_limit_de"],
    [{ tube_share_pct: [50, 20] }, 422, "tube_share_pct"],
    [{ lot: { ratio_l_per_kg: 0.1 } }, 422, "lot.ratio_l_per_kg"],
    [{ bath: 1 }, 404, "bath"],
    [{ nonsense: 1 }, 422, "nonsense"],
  ];
  for (const [body, status, place] of rows) {
    const r = await s.post(PATH, body);
    assert.equal(r.status, status, JSON.stringify(body));
    assert.equal(r.json.error.place, place);
  }
  assert.equal((await s.get("/api/lots/NONE/dyeing")).status, 404);
});

test("levelness: what is judged, and what is only shown", async (t) => {
  const s = await serve(t);
  const { level, curves } = (await s.post(PATH, QUICK)).json;
  near(level.peak.de_most, Math.max(...curves.de), 1e-5, "the peak is that of the curve");
  assert.ok(level.peak.at_min < level.alkali_at_min && level.fixing.at_min >= level.alkali_at_min - 1);
  assert.ok(level.fixing.at_min <= level.fixing_until_min && level.end.at_min > level.fixing_until_min);
  near(level.fixing_limit_de, 2 * level.limit_de, 1e-9, "twice that of the end");
  assert.match(level.judged_words, /^Judged: the fixed dye.*Only shown: the peak/);
});

test("a vat: the dye goes on with its reducer, and not without", async (t) => {
  const s = await serve(t);
  const lot = (await s.get("/api/lots")).json.lots.find((l) => l.route_id === "R-VAT").lot_id;
  const path = `/api/lots/${lot}/dyeing`;
  const { json } = await s.post(path, QUICK);
  assert.deepEqual(json.programme.steps.filter((p) => p.can_change === false).map((p) => p.gives), ["dye"]);
  assert.equal(json.level.fixing, null);
  assert.match((await s.post(path, { ...QUICK, dose_dye_min: 20 })).json.error.remedy, /gives the dithionite/);
  const route = structuredClone((await s.get("/api/routes/R-VAT")).json);
  for (const stage of route.stages) for (const bath of stage.baths ?? [])
    for (const step of bath.steps) if (step.items) step.items = step.items.filter((i) => !/DITHION|HYDROS/i.test(i.material_id));
  for (const stage of route.stages) for (const bath of stage.baths ?? []) bath.steps = bath.steps.filter((p) => !p.items || p.items.length > 0);
  const bare = (await s.post(path, { ...QUICK, lot: { route } })).json;
  assert.equal(bare.simulated, false, JSON.stringify(bare.error ?? ""));
  assert.equal(bare.reason.code, "not-reduced");
});

test("the laboratory's samples colour the rope where they give the shade", async (t) => {
  const s = await serve(t);
  const burgundy = (lab) => s.csv("/api/tables/shade", `shade_id,name,dye_class,lab_l,lab_a,lab_b,tolerance_de\nS-302,Burgundy,reactive,${lab},1\n`);
  const far = (await s.post(PATH, QUICK)).json;
  assert.equal(far.level.colour_from, "shade");
  assert.ok(far.notes.some((n) => n.includes("CMC(2:1) from its shade")));
  assert.equal((await burgundy("30,14,-3")).status, 200); // about what the demo samples give for its recipe
  const near = (await s.post(PATH, QUICK)).json;
  assert.equal(near.level.colour_from, "ladders");
  assert.ok(!near.notes.some((n) => n.includes("CMC(2:1) from its shade")));
});
