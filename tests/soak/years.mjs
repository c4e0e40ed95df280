// The record as five years let it grow: what people wait for at each size, and how that grows with it.
import { spawnSync } from "node:child_process";
import { statSync } from "node:fs";
import { Floor, demo, load_average, must, quick, start, tell } from "./kit.mjs";

const bench = process.env.MADDER_BENCH_RECORD;
const SIZES = quick ? [1e3, 3e3, 1e4, 3e4] : [1e3, 1e4, 1e5, 1e6, 2e6];
const OPEN = 3; // batches under way: each is the size of a whole one, and stays

// The exponent of size^k, by least squares of the logarithms over the larger sizes.
function exponent(rows, name) {
  const upper = rows.filter((r) => r.events >= rows.at(-1).events / 30);
  const x = upper.map((r) => Math.log(r.events));
  const y = upper.map((r) => Math.log(r[name]));
  const mean = (v) => v.reduce((a, b) => a + b, 0) / v.length;
  const [mx, my] = [mean(x), mean(y)];
  return Number((x.reduce((s, xi, i) => s + (xi - mx) * (y[i] - my), 0) / x.reduce((s, xi) => s + (xi - mx) ** 2, 0)).toFixed(2));
}

const before = load_average();
const file = demo();
const server = await start(file);
const floor = await Floor.start(server, "L26-0101");
await floor.enter({ kind: "batch-begun" });
await floor.run();
await floor.enter({ kind: "batch-released" });
await server.stop();
const r = spawnSync(bench, [file, String(OPEN), ...SIZES.map(String)], { encoding: "utf8", maxBuffer: 1 << 24 });
must(r.status === 0, r.stderr);
const rows = r.stdout.trim().split("\n").map((line) => JSON.parse(line));
const names = ["open_ms", "hall_ms", "floor_ms", "over_ms", "report_ms", "append_ms", "lots_ms", "verify_ms"];
tell({ rows, file_mb: Math.round(statSync(file).size / 1e6), exponents: Object.fromEntries(names.map((n) => [n, exponent(rows, n)])) }, before);
