// Hundreds of requests that never end, too large ones and nonsense, while 200 tablets look.
import { connect } from "node:net";
import { Floor, Tablet, demo, load_average, must, quick, spread, start, tell, wait } from "./kit.mjs";

const SECONDS = quick ? 8 : 30;
const LOOKING = 200;
const HALF_SENT = 400;
const LOOK_MS = 2000;

const before = load_average();
const server = await start(demo());
const floor = await Floor.start(server, "L26-0101");
const sockets = new Set();
let over = false;
const count = { half_sent: 0, too_large: 0, malformed: 0, answered: {} };

// Ends when the server closes it, or after so many ms (0: never).
function open(first, drip, most_ms = 0) {
  return new Promise((resolve) => {
    const s = connect(server.port, "127.0.0.1", () => s.write(first));
    sockets.add(s);
    let answer = "";
    if (most_ms > 0) setTimeout(() => s.destroy(), most_ms);
    const timer = drip ? setInterval(() => s.writable && s.write(drip), 3000) : null;
    s.on("data", (d) => (answer += d.toString("latin1")));
    s.on("error", () => {});
    s.on("close", () => {
      clearInterval(timer);
      sockets.delete(s);
      resolve(answer);
    });
  });
}
const note = (answer) => {
  const status = /^HTTP\/1\.1 (\d+)/.exec(answer)?.[1] ?? "closed";
  count.answered[status] = (count.answered[status] ?? 0) + 1;
};

async function half_sent() {
  while (!over) {
    count.half_sent++;
    await open(`POST /api/batches/${floor.batchId}/events HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nX-Slow: `, "x"); // never ends
    await wait(100);
  }
}
async function too_large() {
  while (!over) {
    count.too_large++;
    note(await open(`POST /api/batches/${floor.batchId}/events HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nOrigin: ${server.base}\r\nContent-Type: application/json\r\nExpect: 100-continue\r\nConnection: close\r\nContent-Length: 1000000000\r\n\r\n`, null, 2000));
    note(await open(`GET /api/lots HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nX-Large: ${"x".repeat(100_000)}\r\nConnection: close\r\n\r\n`, null, 2000));
    await wait(200);
  }
}
async function malformed() {
  const NONSENSE = ["\0\0\0\0\r\n\r\n", "GET\r\n\r\n", "GET / HTTP/9.9\r\n\r\n", "\x16\x03\x01\x02\0\x01\0\x01\xfc\x03\x03", "POST /api/batches HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n", `GET /${"%".repeat(500)} HTTP/1.1\r\n\r\n`];
  for (let i = 0; !over; i++) {
    count.malformed++;
    note(await open(NONSENSE[i % NONSENSE.length], null, 300));
  }
}
async function looker(until, into) {
  const tablet = new Tablet(server);
  await wait(LOOK_MS * Math.random());
  while (performance.now() < until) {
    const r = await tablet.send("GET", `/api/batches/${floor.batchId}?after=1`);
    must(r.status === 200, `a tablet heard ${r.status}`);
    into.push(r.ms);
    await wait(Math.max(0, LOOK_MS - r.ms));
  }
  tablet.close();
}

const bad = [...Array.from({ length: HALF_SENT }, half_sent), ...Array.from({ length: 5 }, too_large), ...Array.from({ length: 20 }, malformed)];
await wait(1000);
const reads = [];
const writes = [];
const until = performance.now() + SECONDS * 1000;
const writer = new Tablet(server);
await Promise.all([
  ...Array.from({ length: LOOKING }, () => looker(until, reads)),
  (async () => {
    for (let i = 0; performance.now() < until; i++) {
      const r = await writer.send("POST", `/api/batches/${floor.batchId}/events`, { entry_id: `hostile-${String(i).padStart(6, "0")}`, kind: "remark", text: "x" });
      must(r.status === 200, `the writer heard ${r.status}`);
      writes.push(r.ms);
      await wait(200);
    }
  })(),
]);
const held = sockets.size;
over = true;
sockets.forEach((s) => s.destroy());
writer.close();
await Promise.all(bad);
must((await server.get("/api/batches")).status === 200, "the server is there afterwards");
await server.stop();
tell({ seconds: SECONDS, looking: LOOKING, held_open: held, ...count, reads: spread(reads), writes: spread(writes) }, before);
