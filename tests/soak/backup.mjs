// A backup of a long record while four tablets write: the longest any of them waits.
import { spawn, spawnSync } from "node:child_process";
import { statSync } from "node:fs";
import { join } from "node:path";
import { Floor, Tablet, demo, folder, load_average, must, program, quick, run, spread, start, tell, wait } from "./kit.mjs";

const EVENTS = Number(process.env.MADDER_SOAK_EVENTS ?? (quick ? 20_000 : 500_000));
const before = load_average();
const dir = folder();
const file = demo(dir);
let server = await start(file);
let floor = await Floor.start(server, "L26-0101");
await floor.enter({ kind: "batch-begun" });
await floor.run();
await floor.enter({ kind: "batch-released" });
await server.stop();
const grown = spawnSync(process.env.MADDER_BENCH_RECORD, [file, "3", String(EVENTS)], { encoding: "utf8" });
must(grown.status === 0, grown.stderr);
server = await start(file);
floor = await Floor.start(server, "L26-0102");
while ((await server.get("/api/record")).json.state === "checking") await wait(200);

async function write(during) {
  const into = [];
  let over = false;
  const writers = Array.from({ length: 4 }, async (_, i) => {
    const tablet = new Tablet(server);
    for (let n = 0; !over; n++) {
      const r = await tablet.send("POST", `/api/batches/${floor.batchId}/events`, { entry_id: `w${i}-${Math.random().toString(36).slice(2)}-${n}`.padEnd(12, "0"), kind: "remark", text: "x" });
      must(r.status === 200, `a writer heard ${r.status}`);
      into.push(r.ms);
      await wait(50);
    }
    tablet.close();
  });
  const told = await during();
  over = true;
  await Promise.all(writers);
  return { told, writes: spread(into) };
}
const alone = await write(() => wait(quick ? 2000 : 10_000));
const copy = join(dir, "copy.mill");
const beside = await write(async () => {
  const begun = performance.now();
  const child = spawn(program, ["backup", copy, "--mill", file], { stdio: "ignore" });
  const status = await new Promise((done) => child.once("exit", done));
  must(status === 0, `backup ended with ${status}`);
  return Number(((performance.now() - begun) / 1000).toFixed(1));
});
await server.stop();
must(/as it was written/.test(run("verify", "--mill", copy)), "the copy");
tell({ events: EVENTS, file_mb: Math.round(statSync(file).size / 1e6), copy_mb: Math.round(statSync(copy).size / 1e6), backup_s: beside.told, alone: alone.writes, beside: beside.writes, chain: "whole" }, before);
