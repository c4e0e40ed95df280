// GET /api/learn: before any lot was run it says so.
import assert from "node:assert/strict";
import { test } from "node:test";
import { serve } from "./server.mjs";

test("what the lots teach", async (t) => {
  const s = await serve(t);
  const r = await s.get("/api/learn");
  assert.equal(r.status, 200);
  assert.deepEqual(Object.keys(r.json), ["do", "caption", "result", "why", "notes", "notices"]);
  assert.deepEqual(r.json.result, { lots: 0 });
  assert.match(r.json.notes[0], /No lots have been run yet/);
});

test("the next rows of long tables", async (t) => {
  const s = await serve(t);
  assert.deepEqual((await s.get("/api/learn?after=500")).json.result, { lots: 0 });
  for (const wrong of ["x", "-1", "5x"]) {
    const r = await s.get(`/api/learn?after=${wrong}`);
    assert.equal(r.status, 422, r.text);
    assert.equal(r.json.error.place, "after");
  }
});
