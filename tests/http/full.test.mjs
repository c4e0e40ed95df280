// No room for the record any more: refused in plain words, still readable, and well again with room.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { chmodSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { Floor } from "./batch_kit.mjs";
import { program, serve, start } from "./server.mjs";

// The file may grow no further than a few pages: what a full disk does, without one.
function limited(dir, bytes) {
  const path = join(dir, "limited.sh");
  writeFileSync(path, `#!/bin/bash\ntrap '' XFSZ\nulimit -f ${Math.ceil(bytes / 1024)}\nexec "${program}" "$@"\n`);
  chmodSync(path, 0o755);
  return path;
}

test("a disk that is full refuses entries, loses none and recovers", async (t) => {
  const dir = mkdtempSync(join(tmpdir(), "madder-full-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const file = join(dir, "demo.mill");
  assert.equal(spawnSync(program, ["new", file, "--demo"]).status, 0);
  const roomy = await start(file);
  const floor = await Floor.start(roomy, "L26-0101");
  await floor.enter({ kind: "batch-begun" });
  await roomy.stop();

  const tight = await start(file, 0, [], limited(dir, statSync(file).size + 96 * 1024));
  floor.server = tight;
  let taken = 0;
  let refused = null;
  for (let i = 0; i < 400 && !refused; i++) {
    const r = await floor.send({ kind: "remark", text: "x".repeat(1900) });
    if (r.status === 200) taken++;
    else refused = r;
  }
  assert.ok(refused, "the limit was never reached");
  assert.ok(taken > 5, `only ${taken}`);
  assert.equal(refused.status, 507, refused.text);
  assert.match(refused.json.error.message, /disk is full|writing the mill file failed/);
  assert.match(refused.json.error.remedy, /disk/);
  const events = async (s) => (await s.get(`/api/batches/${floor.batchId}/events`)).json.events;
  assert.equal((await events(tight)).length, taken + 2, "what was taken is there, and can be read");
  assert.equal((await tight.get("/api/lots")).status, 200);
  assert.equal((await floor.send({ kind: "remark", text: "x".repeat(1900) })).status, 507, "and again");
  await tight.stop();

  const again = await start(file);
  floor.server = again;
  assert.equal((await floor.send({ kind: "remark", text: "room again" })).status, 200);
  assert.equal((await events(again)).length, taken + 3);
  await again.stop();
  assert.equal(spawnSync(program, ["verify", "--mill", file]).status, 0);
});

test("a backup while it is served is whole, and a lot goes on from it", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, "L26-0101");
  await floor.enter({ kind: "batch-begun" });
  const dir = mkdtempSync(join(tmpdir(), "madder-backup-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const copy = join(dir, "copy.mill");
  const writing = (async () => {
    for (let i = 0; i < 30; i++) await floor.enter({ kind: "remark", text: `remark ${i}` });
  })();
  const made = spawnSync(program, ["backup", copy, "--mill", s.file, "--json"], { encoding: "utf8" });
  await writing;
  assert.equal(made.status, 0, made.stderr);
  const told = JSON.parse(made.stdout);
  assert.equal(told.file, copy);
  const restored = await start(copy);
  const kept = (await restored.get(`/api/batches/${floor.batchId}/events`)).json.events;
  assert.equal(kept.length, told.events);
  assert.equal(kept.at(-1).hash, told.head);
  const there = new Floor(restored, floor.batchId, (await restored.get(`/api/batches/${floor.batchId}`)).json);
  await there.enter({ kind: "step-begun", step: "1.1" });
  await restored.stop();
  assert.notEqual(spawnSync(program, ["backup", copy, "--mill", s.file]).status, 0, "never over another file");
});
