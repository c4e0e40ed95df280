// Entries that come at the same time are stored together: each is answered for itself, in no other state
// than it would find alone.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { chmodSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { Floor, entryId } from "./batch_kit.mjs";
import { program, serve, start } from "./server.mjs";

const TABLETS = 24;
const events_of = async (server, floor) => (await server.get(`/api/batches/${floor.batchId}/events`)).json.events;

test("twenty-four tablets at once: good entries are stored, the others refused for themselves", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, "L26-0101");
  const other = await Floor.start(s, "L26-0102");
  await floor.enter({ kind: "batch-begun" });
  const same = entryId();
  const all = await Promise.all(Array.from({ length: TABLETS }, (_, i) => {
    if (i % 6 === 1) return floor.send({ kind: "step-begun", step: "99.1" });
    if (i % 6 === 2) return floor.send({ kind: "remark", text: "sent twice", entry_id: same });
    if (i % 6 === 3) return other.send({ kind: "remark", text: `other ${i}` });
    if (i === 4) return floor.send({ kind: "nonsense" });
    return floor.send({ kind: "remark", text: `remark ${i}` });
  }));
  for (const [i, r] of all.entries()) {
    assert.equal(r.status, i % 6 === 1 ? 404 : i === 4 ? 422 : 200, `${i}: ${r.text.slice(0, 300)}`);
    if (i % 6 === 1) assert.equal(r.json.error.place, "step");
    if (i === 4) assert.deepEqual([r.json.error.place, r.json.error.value], ["kind", "nonsense"]);
    if (r.status === 200) assert.equal(r.json.event.seq <= r.json.state.batch.last_seq, true);
  }
  const twice = all.filter((_, i) => i % 6 === 2).map((r) => r.json);
  assert.equal(twice.filter((r) => !r.again).length, 1, "one of them is the first");
  assert.equal(new Set(twice.map((r) => r.event.seq)).size, 1);
  const stored = [...await events_of(s, floor), ...await events_of(s, other)];
  const seqs = all.filter((r) => r.status === 200).map((r) => r.json.event.seq);
  for (const seq of seqs) assert.ok(stored.some((e) => e.seq === seq), `event ${seq}`);
  assert.deepEqual(stored.map((e) => e.seq).sort((a, b) => a - b), Array.from({ length: stored.length }, (_, i) => i + 1), "without gaps");
  assert.equal(spawnSync(program, ["verify", "--mill", s.file]).status, 0);
});

test("two tablets begin one step at once: one does, the other is told", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, "L26-0101");
  await floor.enter({ kind: "batch-begun" });
  const both = await Promise.all(Array.from({ length: 8 }, () => floor.send({ kind: "step-begun", step: "1.1" })));
  assert.deepEqual(both.map((r) => r.status).sort(), [200, ...Array(7).fill(409)]);
});

test("a disk that fills up while many write: nobody is told that his entry is stored when it is not", async (t) => {
  const dir = mkdtempSync(join(tmpdir(), "madder-together-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const file = join(dir, "demo.mill");
  assert.equal(spawnSync(program, ["new", file, "--demo"]).status, 0);
  const roomy = await start(file);
  const floor = await Floor.start(roomy, "L26-0101");
  await roomy.stop();
  const limited = join(dir, "limited.sh");
  writeFileSync(limited, `#!/bin/bash\ntrap '' XFSZ\nulimit -f ${Math.ceil((statSync(file).size + 160 * 1024) / 1024)}\nexec "${program}" "$@"\n`);
  chmodSync(limited, 0o755);
  const tight = await start(file, 0, [], limited);
  floor.server = tight;
  const taken = new Set();
  let refused = 0;
  for (let round = 0; round < 30 && refused < TABLETS; round++) {
    refused = 0;
    const all = await Promise.all(Array.from({ length: TABLETS }, async () => {
      const id = entryId();
      return [id, await floor.send({ entry_id: id, kind: "remark", text: "x".repeat(1900) })];
    }));
    for (const [id, r] of all) {
      assert.ok(r.status === 200 || r.status === 507, r.text);
      if (r.status === 200) taken.add(id);
      else refused++;
      if (r.status === 507) assert.match(r.json.error.message, /disk is full|writing the mill file failed/);
    }
  }
  assert.equal(refused, TABLETS, "the limit was never reached");
  assert.ok(taken.size > 10, `only ${taken.size}`);
  const told = new Set((await events_of(tight, floor)).map((e) => e.entry_id));
  await tight.stop();
  const again = await start(file);
  const kept = new Set((await events_of(again, floor)).map((e) => e.entry_id));
  await again.stop();
  for (const id of taken) assert.ok(kept.has(id), `${id} was acknowledged`);
  assert.deepEqual([...told].sort(), [...kept].sort(), "nobody saw what was not stored");
  assert.equal(spawnSync(program, ["verify", "--mill", file]).status, 0);
});
