// Years of lots: a page gets those under way and the last done, the rest when it asks.
import assert from "node:assert/strict";
import { test } from "node:test";
import { long_ago } from "./lots_kit.mjs";
import { serve } from "./server.mjs";

const DONE = 450;

test("lots that are done come in parts, each once; a search looks through all of them", async (t) => {
  const s = await serve(t);
  const before = (await s.get("/api/lots")).json;
  assert.equal(before.earlier, null);
  assert.equal(before.all, before.lots.length);
  const done = before.lots.filter((l) => l.stage === "done").length;
  await long_ago(s, DONE);
  const seen = new Set();
  let parts = 0;
  for (let from = ""; from !== null; parts++) {
    const part = (await s.get(`/api/lots${from ? `?before=${from}` : ""}`)).json;
    assert.equal(part.all, before.all + DONE);
    for (const lot of part.lots) {
      assert.ok(!seen.has(lot.lot_id), `${lot.lot_id} twice`);
      assert.ok(from === "" || lot.stage === "done");
      seen.add(lot.lot_id);
    }
    if (from === "") assert.equal(part.lots.length, before.all - done + 200, "all that is under way, and 200");
    from = part.earlier;
  }
  assert.equal(parts, 3);
  assert.equal(seen.size, before.all + DONE);

  const found = (await s.get("/api/lots?find=old-007%20done")).json;
  assert.deepEqual(found.lots.map((l) => l.lot_id), ["OLD-007"]);
  const many = (await s.get("/api/lots?find=OLD")).json;
  assert.equal(many.lots.length, 200);
  assert.notEqual(many.earlier, null, "there are more, and the page says so");
  assert.equal((await s.get("/api/lots?find=%20")).json.lots.length, before.all - done + 200, "blanks look for nothing");
});

test("what cannot be looked for is said", async (t) => {
  const s = await serve(t);
  const unknown = await s.get("/api/lots?before=NO-SUCH");
  assert.equal(unknown.status, 404);
  assert.match(unknown.json.error.remedy, /lots there are/);
  const long = await s.get(`/api/lots?find=${"x".repeat(201)}`);
  assert.equal(long.status, 422);
  assert.equal(long.json.error.place, "find");
  assert.deepEqual((await s.get("/api/lots?find=%22%5D%2C%7B%27")).json.lots, [], "marks of JSON and SQL are letters");
});
