// Clocks that jump: those of the devices by days, the server's own back and forth while it runs.
import { chmodSync, existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Floor, demo, folder, load_average, must, program, run, start, tell, wait } from "./kit.mjs";

const DAY = 24 * 3600 * 1000;
const LIBRARY = ["/usr/lib/x86_64-linux-gnu/faketime/libfaketimeMT.so.1", "/usr/lib/aarch64-linux-gnu/faketime/libfaketimeMT.so.1"].find(existsSync);
must(LIBRARY, "libfaketime is missing; script/soak installs it");
const before = load_average();
const dir = folder();
const stamp = join(dir, "clock");
const as = join(dir, "faked.sh");
writeFileSync(stamp, "+0\n");
writeFileSync(as, `#!/bin/bash\nexport LD_PRELOAD=${LIBRARY} DONT_FAKE_MONOTONIC=1 FAKETIME_NO_CACHE=1 FAKETIME_TIMESTAMP_FILE=${stamp}\nexec "${program}" "$@"\n`);
chmodSync(as, 0o755);
const file = demo(dir);
const server = await start(file, 0, [], as);
const floor = await Floor.start(server, "L26-0101");
await floor.enter({ kind: "batch-begun" });

// An entry that waited ten minutes on a device whose clock is off: it happened ten minutes before it came.
const WAITED = 600_000;
const OFF_DAYS = [-4000, -3, -0.04, 0, 0.04, 3, 400];
let devices = 0;
for (const days of OFF_DAYS) {
  const device = Date.now() + days * DAY;
  const { event } = await floor.enter({ kind: "remark", text: "late", device_utc_ms: Math.round(device), sent_utc_ms: Math.round(device + WAITED) });
  must(event.at_utc_ms - event.happened_utc_ms === WAITED, `${days} days off: ${event.at_utc_ms - event.happened_utc_ms} ms`);
  devices++;
}
// One whose clock was set while the entry waited: what it says cannot be, so it happened when it came.
for (const waited of [-DAY, 30 * DAY]) {
  const { event } = await floor.enter({ kind: "remark", text: "set meanwhile", device_utc_ms: Date.now(), sent_utc_ms: Date.now() + waited });
  must(event.at_utc_ms === event.happened_utc_ms, `waited ${waited}`);
  devices++;
}
const JUMPS = ["-1h", "-3d", "+0", "+2d", "-1d", "+0"];
let moved = 0;
let last = 0;
let at = Date.now();
for (const jump of JUMPS) {
  writeFileSync(stamp, `${jump}\n`);
  await wait(50);
  for (let i = 0; i < 5; i++) {
    const { event, state } = await floor.enter({ kind: "remark", text: `clock at ${jump}` });
    must(event.seq > last, "numbers of events rise");
    must(state.batch.state === "running", state.batch.state);
    if (event.at_utc_ms < at) moved++;
    at = event.at_utc_ms;
    last = event.seq;
  }
  must((await server.get("/api/batches")).status === 200, "the hall");
  must((await server.get(`/api/batches/${floor.batchId}/report`)).status === 200, "the report");
}
must(moved >= 3, `the clock of the server went back only ${moved} times`);
await floor.run();
await server.stop();
must(/as it was written/.test(run("verify", "--mill", file)), "the chain");
tell({ device_clocks: devices, jumps: JUMPS.length, went_back: moved, last_seq: last, chain: "whole" }, before);
