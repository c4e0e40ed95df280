// The shortest safe dyeing over HTTP: every demo lot, judged again from its planned route; taken; refused.
import assert from "node:assert/strict";
import { test } from "node:test";
import { serve } from "./server.mjs";

const LOT = "L26-0105";
const FINE = { slices: 100, sensitivity: false, map: false };
const near = (a, b, tol, what) => assert.ok(Math.abs(a - b) <= tol, `${what}: ${a} is not ${b}`);
const fixed = (json) => json.dyes.map((d) => d.fixation_pct ?? d.exhaustion_pct);

// The lot planned anew with the point's route, on a rope of 100 slices: nothing of the search is in it.
async function judged(s, lot, point) {
  const lotBody = { route: point.route, ...(point.speed_changed ? { speed_m_per_min: point.speed_m_per_min } : {}) };
  const { status, json } = await s.post(`/api/lots/${lot}/dyeing`, { ...FINE, lot: lotBody });
  assert.equal(status, 200, JSON.stringify(json.error));
  return json;
}

// Reactive on a winch and in an overflow, direct, vat, white; with MADDER_ALL_LOTS=1 every lot (minutes).
const SOME = ["L26-0105", "L26-0107", "L26-0112", "L26-0113"];

test("demo lots: nowhere less level than now and shorter, or it says what forbids it", { timeout: 3600000 }, async (t) => {
  const s = await serve(t);
  const { lots } = (await s.get("/api/lots")).json;
  const all = process.env.MADDER_ALL_LOTS === "1";
  let dyed = 0, shorter = 0;
  for (const { lot_id: lot } of lots.filter((l) => l.n_rolls > 0 && (all || SOME.includes(l.lot_id)))) {
    const { status, json } = await s.post(`/api/lots/${lot}/shorten`, { points: 1 });
    assert.equal(status, 200, `${lot} ${JSON.stringify(json.error)}`);
    if (!json.simulated) {
      assert.equal(json.reason.code, "no-dye");
      continue;
    }
    dyed++;
    const now = (await s.post(`/api/lots/${lot}/dyeing`, FINE)).json;
    near(now.programme.minutes, json.base.minutes, 1e-3, `${lot} now`);
    if (json.as_level === null) {
      assert.ok(json.notes.some((n) => n.startsWith("Nothing shorter")), lot);
      continue;
    }
    shorter++;
    const point = json.points[json.as_level];
    const then = await judged(s, lot, point);
    near(then.programme.minutes, point.minutes, 0.02, `${lot} planned anew`);
    assert.ok(then.programme.minutes < now.programme.minutes, lot);
    const strike = Math.max(now.strike.most_pct_per_contact, 0.1);
    assert.ok(then.strike.most_pct_per_contact <= strike * 1.03, `${lot}: strikes ${then.strike.most_pct_per_contact}, now ${strike}`);
    const slack = 0.1 * json.limits.spread_pct; // what nobody sees
    assert.ok(then.level.end.spread_pct <= Math.max(now.level.end.spread_pct, slack) * 1.1 + 0.2, `${lot}: uneven at the end`);
    fixed(then).forEach((f, i) => assert.ok(f >= fixed(now)[i] - 0.8, `${lot}: fixed ${f}, now ${fixed(now)[i]}`));
    for (const step of point.steps) assert.ok(step.why_words.length > 5 && typeof step.changed === "boolean");
  }
  assert.ok(dyed > (all ? 20 : 3), `${dyed} dyed`);
  assert.ok(shorter > dyed / 2, `${shorter} of ${dyed} shorter`);
});

test("the trade-off: more minutes, more level; the wanted one keeps the limits on a finer rope", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const { json } = await s.post(`/api/lots/${LOT}/shorten`, {});
  assert.ok(json.points.length >= 3);
  json.points.forEach((p, i) => {
    assert.ok(i === 0 || p.minutes >= json.points[i - 1].minutes);
    near(p.saved_min, json.base.minutes - p.minutes, 1e-3, "saved");
    assert.ok(p.worst.strike_pct_per_contact >= p.effect.strike_pct_per_contact - 1e-9);
    assert.equal(p.changes.length > 0, p.steps.some((x) => x.changed) || p.speed_changed);
  });
  const wanted = json.points[json.wanted];
  assert.equal(wanted.kept, true);
  const then = await judged(s, LOT, wanted);
  assert.ok(then.strike.most_pct_per_contact <= json.limits.strike_pct_per_contact * 1.03);
  assert.ok(then.level.end.de_most <= json.limits.de);
  const shown = (await s.post(`/api/lots/${LOT}/dyeing`, { ...FINE, ...wanted.dyeing })).json;
  near(shown.programme.minutes, then.programme.minutes, 0.02, "preview and route");
  near(shown.strike.most_pct_per_contact, then.strike.most_pct_per_contact, 0.02, "preview and route");
});

test("limits and wishes are kept", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const strict = (await s.post(`/api/lots/${LOT}/shorten`, { points: 3, keep_speed: true, turns_least_dye: 0, turns_least_alkali: 0, strike_limit_pct_per_contact: 0.6 })).json;
  assert.equal(strict.limits.strike_pct_per_contact, 0.6);
  for (const p of strict.points) {
    assert.equal(p.speed_changed, false);
    assert.ok(!p.kept || p.worst.strike_pct_per_contact <= 0.6 * 1.01);
  }
  const longer = (await s.post(`/api/lots/${LOT}/shorten`, { points: 1, dose_dye_min: 90 })).json;
  assert.ok(longer.base.minutes > strict.base.minutes, "the changed programme is the one to be shortened");
});

test("taking a point: the route's next version, and the lot's speed", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const { json } = await s.post(`/api/lots/${LOT}/shorten`, { points: 1 });
  const point = json.points[0];
  const put = await s.put(`/api/routes/${point.route.route_id}`, point.route);
  assert.equal(put.status, 200, JSON.stringify(put.json));
  assert.equal(put.json.lots, point.lots_on_route);
  if (point.speed_changed) {
    const lot = await s.put(`/api/lots/${LOT}`, { revision: json.lot.revision, speed_m_per_min: point.speed_m_per_min });
    assert.equal(lot.status, 200, JSON.stringify(lot.json));
  }
  const then = (await s.post(`/api/lots/${LOT}/dyeing`, FINE)).json;
  near(then.programme.minutes, point.minutes, 0.02, "as offered");
  const again = await s.put(`/api/routes/${point.route.route_id}`, point.route);
  assert.equal(again.status, 409, "the version has gone on");
});

test("wrong questions are refused at their place", async (t) => {
  const s = await serve(t);
  for (const [body, place] of [
    [{ points: 9 }, "points"],
    [{ de_limit: 0 }, "de_limit"],
    [{ de_limit: "much" }, "de_limit"],
    [{ run_least_min: -1 }, "run_least_min"],
    [{ turns_least_dye: 1000 }, "turns_least_dye"],
    [{ strike_limit_pct_per_contact: 0 }, "strike_limit_pct_per_contact"],
    [{ speed_m_per_min: 1e9 }, "speed_m_per_min"],
    [{ steps: [{ step: 1, minutes: -4 }] }, "steps[0].minutes"],
    [{ shorter: true }, "shorter"],
  ]) {
    const { status, json } = await s.post(`/api/lots/${LOT}/shorten`, body);
    assert.equal(status, 422, JSON.stringify(body));
    assert.equal(json.error.place, place, JSON.stringify(json.error));
  }
  assert.equal((await s.post("/api/lots/L99-0001/shorten", {})).status, 404);
});

test("a vat dye goes on with its first reducer: that dose is moved, the later ones stay", async (t) => {
  const s = await serve(t);
  const lot = (await s.get("/api/lots")).json.lots.find((l) => l.route_id === "R-VAT").lot_id;
  const { json } = await s.post(`/api/lots/${lot}/shorten`, {});
  assert.equal(json.base_kept, false, "I: strikes too fast as it is");
  const point = json.points[json.wanted];
  const doses = point.steps.filter((x) => /dithionite/.test(x.words));
  assert.deepEqual(doses.map((x) => x.minutes > x.minutes_planned), [true, false, false]);
  assert.deepEqual(doses.slice(1).map((x) => x.why), ["kept", "kept"]);
  assert.ok(json.notes.some((n) => n.includes("check the reduction")));
});
