// GET /api/dyes/{id}/rates: the members that docs/api.md names, and who is not there.
import assert from "node:assert/strict";
import { test } from "node:test";
import { serve } from "./server.mjs";

test("what a dye does", async (t) => {
  const s = await serve(t);
  const r = await s.get("/api/dyes/RK-2/rates");
  assert.equal(r.status, 200);
  const { result, notes, why } = r.json;
  assert.deepEqual(Object.keys(result).sort(), ["after_min", "before_min", "caustic_g_per_l", "curve", "depth_pct_owf", "dye_id", "dyeing_group", "first_min",
    "group_assumed", "name", "numbers", "ph", "rates", "ratio_l_per_kg", "salt_g_per_l", "soda_g_per_l", "temp_c", "verdict"]);
  assert.equal(result.verdict, "met");
  for (const n of result.numbers) assert.deepEqual(Object.keys(n), ["number", "known", "reckoned"]);
  for (const q of result.rates) assert.deepEqual(Object.keys(q), ["rate", "value", "least", "most", "as_text", "basis", "determined"]);
  for (const p of result.curve) assert.deepEqual(Object.keys(p), ["t_min", "on_fibre_pct", "fixed_pct", "hydrolysed_pct"]);
  assert.ok(result.curve.every((p) => p.fixed_pct <= p.on_fibre_pct + 1e-9 && p.on_fibre_pct <= 100));
  assert.ok(notes.length > 0 && why.every((w) => w.anchor.startsWith("exhaust-rates.md#")));
  const none = await s.get("/api/dyes/RK-22/rates");
  assert.equal(none.status, 404);
  assert.match(JSON.stringify(none.json), /did you mean RK-2/);
});
