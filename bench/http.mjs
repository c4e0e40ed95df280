// Times of the program as a whole. usage: node bench/http.mjs PROGRAM MILL LOT
// Prints "NAME VALUE" lines: start to first answer, one plan answer, the plan command.
import { spawn, spawnSync } from "node:child_process";

const [program, mill, lot] = process.argv.slice(2);
const part = (values, p) => values.sort((a, b) => a - b)[Math.floor(p * (values.length - 1))];

async function start() {
  const begun = performance.now();
  const child = spawn(program, ["serve", "--mill", mill, "--port", "0"], { stdio: ["ignore", "pipe", "inherit"] });
  const base = await new Promise((resolve) => child.stdout.once("data", (d) => resolve(/http:\S+/.exec(String(d))[0])));
  await (await fetch(`${base}/api/mill`)).text();
  return { child, base, ms: performance.now() - begun };
}

const starts = [];
for (let i = 0; i < 11; i++) {
  const s = await start();
  starts.push(s.ms);
  s.child.kill();
}
console.log(`start_ms ${part(starts, 0.5).toFixed(1)}`);

const { child, base } = await start();
// In turns, so that what else the machine does falls on both.
const CODINGS = { plan: "identity", plan_gzip: "gzip" };
const times = { plan: [], plan_gzip: [] };
const bytes = {};
for (let i = 0; i < 220; i++) for (const [name, coding] of Object.entries(CODINGS)) {
  const begun = performance.now();
  const r = await fetch(`${base}/api/lots/${lot}/plan`, { headers: { "accept-encoding": coding } });
  await r.arrayBuffer(); // unpacked
  if (r.status !== 200 || (r.headers.get("content-encoding") ?? "identity") !== coding) throw new Error(`status ${r.status}, ${coding}`);
  bytes[name] = Number(r.headers.get("content-length"));
  if (i >= 20) times[name].push(performance.now() - begun); // the first ones warm up
}
for (const name of Object.keys(CODINGS)) {
  console.log(`http_${name}_ms ${part(times[name], 0.5).toFixed(2)}`);
  console.log(`http_${name}_p99_ms ${part(times[name], 0.99).toFixed(2)}`);
  console.log(`http_${name}_kb ${(bytes[name] / 1024).toFixed(0)}`);
}
const wrk = spawnSync("wrk", ["-t1", "-c8", "-d3s", "--latency", `${base}/api/lots/${lot}/plan`], { encoding: "utf8" });
if (wrk.status === 0) console.log(`wrk_plans_per_s ${/Requests\/sec:\s+([\d.]+)/.exec(wrk.stdout)[1]}`);
child.kill();

const commands = [];
for (let i = 0; i < 21; i++) {
  const begun = performance.now();
  spawnSync(program, ["plan", lot, "--mill", mill], { stdio: "ignore" });
  commands.push(performance.now() - begun);
}
console.log(`command_ms ${part(commands, 0.5).toFixed(1)}`);
