// Kills a server at random moments while tablets write remarks, and counts what is left of them.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Floor } from "./batch_kit.mjs";
import { program, start } from "./server.mjs";

const WRITERS = 4;
const LEAST_MS = 30;
const MOST_MS = 300;

// One tablet: writes until the server is gone; what got no answer is sent again after the next start.
async function write(server, floor, tablet, state) {
  for (;;) {
    const entry = state.pending[tablet] ?? { entry_id: `tablet-${tablet}-${String(++state.made).padStart(8, "0")}`, kind: "remark", text: `from tablet ${tablet}` };
    state.pending[tablet] = entry;
    try {
      const r = await server.post(`/api/batches/${floor}/events`, entry);
      if (r.status !== 200) throw new Error(`${r.status}: ${r.text}`);
      state.acknowledged.add(entry.entry_id);
      state.pending[tablet] = null;
    } catch (e) {
      if (e instanceof TypeError) return; // the connection broke
      throw e;
    }
  }
}

async function eventsOf(server, batch) {
  return (await server.get(`/api/batches/${batch}/events`)).json.events;
}

/** Returns { file, acknowledged, lost, doubled, rounds }; the mill stays until the test is over. */
export async function killRounds(t, rounds, say = () => {}) {
  const dir = mkdtempSync(join(tmpdir(), "madder-kill-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const file = join(dir, "demo.mill");
  const made = spawnSync(program, ["new", file, "--demo"], { encoding: "utf8" });
  if (made.status !== 0) throw new Error(made.stderr);
  const state = { made: 0, acknowledged: new Set(), pending: Array(WRITERS).fill(null) };
  let batch = null;
  let lost = 0;
  let doubled = 0;
  for (let round = 0; round <= rounds; round++) {
    const server = await start(file);
    batch ??= (await Floor.start(server, "L26-0101")).batchId;
    const ids = (await eventsOf(server, batch)).map((e) => e.entry_id);
    doubled += ids.length - new Set(ids).size;
    const there = new Set(ids);
    for (const id of state.acknowledged) lost += there.has(id) ? 0 : 1;
    if (round === rounds) {
      await server.stop();
      break;
    }
    const writers = Array.from({ length: WRITERS }, (_, i) => write(server, batch, i, state));
    await new Promise((done) => setTimeout(done, LEAST_MS + Math.random() * (MOST_MS - LEAST_MS)));
    await server.kill();
    await Promise.all(writers);
    if ((round + 1) % 50 === 0) say(`${round + 1} rounds, ${state.acknowledged.size} acknowledged, ${lost} lost, ${doubled} twice`);
  }
  return { file, rounds, acknowledged: state.acknowledged.size, lost, doubled };
}
