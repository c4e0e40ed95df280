// 200 tablets that look every two seconds, as the floor page does, while 20 write: how long each waits.
import { Floor, Tablet, demo, load_average, quick, spread, start, tell, wait } from "./kit.mjs";

const LOOKING = 200;
const WRITING = 20;
const LOOK_MS = 2000; // as web/src/floor/batch.ts
const SECONDS = quick ? 8 : Number(process.env.MADDER_SOAK_SECONDS ?? 60);
const LOTS = ["L26-0101", "L26-0102", "L26-0103", "L26-0104"];

async function writer(server, floor, i, between_ms, until, into) {
  const tablet = new Tablet(server);
  for (let n = 0; performance.now() < until; n++) {
    const entry = { entry_id: `load-${between_ms}-${i}-${String(n).padStart(8, "0")}`, kind: "remark", text: "a remark as it may be written" };
    const r = await tablet.send("POST", `/api/batches/${floor.batchId}/events`, entry);
    if (r.status !== 200) throw new Error(`status ${r.status}`);
    into.push(r.ms);
    if (between_ms > 0) await wait(between_ms * 2 * Math.random());
  }
  tablet.close();
}

async function looker(server, floor, i, until, into) {
  const tablet = new Tablet(server);
  await wait(LOOK_MS * Math.random());
  for (let n = 0; performance.now() < until; n++) {
    // one in ten shows the hall; a floor page knows the newest event and mostly hears of nothing new
    const path = i % 10 === 0 ? "/api/batches" : `/api/batches/${floor.batchId}?after=${n % 5 === 0 ? 1 : floor.state.batch.last_seq}`;
    const r = await tablet.send("GET", path);
    if (r.status !== 200) throw new Error(`status ${r.status}`);
    into.push(r.ms);
    await wait(Math.max(0, LOOK_MS - r.ms));
  }
  tablet.close();
}

async function round(server, floors, between_ms) {
  const reads = [];
  const writes = [];
  const until = performance.now() + SECONDS * 1000;
  await Promise.all([
    ...Array.from({ length: LOOKING }, (_, i) => looker(server, floors[i % floors.length], i, until, reads)),
    ...Array.from({ length: WRITING }, (_, i) => writer(server, floors[i % floors.length], i, between_ms, until, writes)),
  ]);
  return { seconds: SECONDS, looking: LOOKING, writing: WRITING, between_ms, reads: spread(reads), writes: spread(writes) };
}

const before = load_average();
const server = await start(demo());
const floors = [];
for (const lot of LOTS) floors.push(await Floor.start(server, lot));
// a second between two entries of a tablet is twenty times what a floor does; without a pause is as fast as it goes
const steady = await round(server, floors, 1000);
const flat_out = await round(server, floors, 0);
await server.stop();
tell({ steady, flat_out }, before);
