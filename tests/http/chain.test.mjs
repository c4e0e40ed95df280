// The record is looked through at every start: whole, or it says where it is not and takes nothing more.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { Floor } from "./batch_kit.mjs";
import { program, start } from "./server.mjs";

const LOT = "L26-0101";
const LAST = "the last remark of all";

async function seen(server) {
  for (let i = 0; i < 2000; i++) {
    const { json } = await server.get("/api/record");
    if (json.state !== "checking") return json;
    await new Promise((done) => setTimeout(done, 10));
  }
  assert.fail("the check never came to an end");
}

// A mill with a batch under way and `n` remarks; the server is stopped.
async function with_remarks(t, n) {
  const dir = mkdtempSync(join(tmpdir(), "madder-chain-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const file = join(dir, "demo.mill");
  assert.equal(spawnSync(program, ["new", file, "--demo"]).status, 0);
  const server = await start(file);
  const floor = await Floor.start(server, LOT);
  await floor.enter({ kind: "batch-begun" });
  for (let i = 1; i < n; i++) await floor.enter({ kind: "remark", text: `remark ${i}` });
  const { event } = await floor.enter({ kind: "remark", text: LAST });
  await server.stop();
  return { file, batch: floor.batchId, seq: event.seq };
}

test("a whole record is found whole at the start, and is written into meanwhile", async (t) => {
  const { file, batch, seq } = await with_remarks(t, 20);
  const server = await start(file);
  t.after(() => server.stop());
  const r = await server.post(`/api/batches/${batch}/events`, { entry_id: "while-it-is-checked", kind: "remark", text: "x" });
  assert.equal(r.status, 200, r.text);
  const record = await seen(server);
  assert.equal(record.state, "whole");
  assert.ok(record.checked >= seq && record.checked <= seq + 1, JSON.stringify(record));
  assert.deepEqual((await server.get("/api/batches")).json.record, record);
});

test("a record whose last event was changed is read but not written into", async (t) => {
  const { file, batch, seq } = await with_remarks(t, 20);
  const bytes = readFileSync(file);
  const at = bytes.lastIndexOf(LAST);
  assert.ok(at > 0);
  bytes.write("THE", at);
  writeFileSync(file, bytes);
  const server = await start(file);
  t.after(() => server.stop());
  const record = await seen(server);
  assert.equal(record.state, "broken");
  assert.equal(record.seq, seq);
  assert.equal(record.batch_id, batch);
  assert.equal(record.checked, seq - 1);
  assert.match(record.words, /changed/);
  assert.match(record.remedy, /backup/);
  assert.equal((await server.get(`/api/batches/${batch}/events`)).json.events.length, seq);
  assert.equal((await server.get("/api/batches")).json.record.seq, seq);
  const entry = await server.post(`/api/batches/${batch}/events`, { entry_id: "after-it-was-found", kind: "remark", text: "x" });
  assert.equal(entry.status, 409);
  assert.equal(entry.json.error.place, `event ${seq}`);
  assert.match(entry.json.error.remedy, /backup/);
  const { lot } = (await server.get("/api/lots/L26-0102/plan")).json;
  assert.equal((await server.post("/api/lots/L26-0102/batches", { revision: lot.revision })).status, 409, "nor is a batch begun");
  assert.equal((await server.get(`/api/batches/${batch}/events`)).json.events.length, seq);
  const verify = spawnSync(program, ["verify", "--mill", file], { encoding: "utf8" });
  assert.notEqual(verify.status, 0);
  assert.match(verify.stdout, new RegExp(`event ${seq} of batch ${batch}`));
});
