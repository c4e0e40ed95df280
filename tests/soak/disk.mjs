// A disk that is full: refused in plain words, read on, and well again when there is room.
import { spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { entryId } from "../http/batch_kit.mjs";
import { Floor, demo, folder, load_average, must, program, run, start, tell } from "./kit.mjs";

const before = load_average();
const dir = folder();
const disk = join(dir, "disk");
mkdirSync(disk);
const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=6m", "none", disk]).status === 0;
process.prependListener("exit", () => mounted && spawnSync("umount", ["-l", disk]));
const file = demo(disk);
const ballast = join(disk, "ballast");
let as = program;
if (mounted) writeFileSync(ballast, Buffer.alloc(2 << 20));
else {
  as = join(dir, "limited.sh"); // no right to mount: a limit on the size of files does what a full disk does
  writeFileSync(as, `#!/bin/bash\ntrap '' XFSZ\nulimit -f ${Math.ceil((statSync(file).size + (1 << 20)) / 1024)}\nexec "${program}" "$@"\n`);
  chmodSync(as, 0o755);
}
let server = await start(file, 0, [], as);
const floor = await Floor.start(server, "L26-0101");
const taken = new Set();
let refused = null;
for (let i = 0; i < 400 && !refused; i++) {
  const all = await Promise.all(Array.from({ length: 8 }, async () => {
    const id = entryId();
    return [id, await floor.send({ entry_id: id, kind: "remark", text: "x".repeat(1900) })];
  }));
  for (const [id, r] of all) r.status === 200 ? taken.add(id) : (refused = r);
}
must(refused?.status === 507, `the disk never was full: ${refused?.text}`);
const events = async () => (await server.get(`/api/batches/${floor.batchId}/events`)).json.events;
const readable = [];
for (const path of ["/api/batches", `/api/batches/${floor.batchId}`, "/api/lots", "/api/lots/L26-0101/plan"]) readable.push((await server.get(path)).status);
must(readable.every((s) => s === 200), `read while full: ${readable}`);
const there = new Set((await events()).map((e) => e.entry_id));
const lost = [...taken].filter((id) => !there.has(id)).length;
if (mounted) rmSync(ballast); // room is made while it goes on
else {
  await server.stop();
  server = await start(file);
  floor.server = server;
}
const after = await floor.send({ kind: "remark", text: "room again" });
must(after.status === 200, after.text);
await server.stop();
must(/as it was written/.test(run("verify", "--mill", file)), "the chain");
must(lost === 0, `${lost} entries were lost`);
tell({ how: mounted ? "tmpfs of 6 MB" : "a limit on the size of files", taken: taken.size, lost, status: refused.status, message: refused.json.error.message, remedy: refused.json.error.remedy, read_while_full: readable.length, restarted: !mounted, chain: "whole" }, before);
