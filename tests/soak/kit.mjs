// What the parts of the soak share: a mill of their own, a client that keeps its line, figures as JSON.
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import http from "node:http";
import { cpus, tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { Floor } from "../http/batch_kit.mjs";
import { program, start } from "../http/server.mjs";

export { Floor, program, start };
export const quick = process.argv.includes("--quick");
export const wait = (ms) => new Promise((done) => setTimeout(done, ms));

const dirs = [];
process.on("exit", () => dirs.forEach((d) => rmSync(d, { recursive: true, force: true })));
export function folder() {
  const dir = mkdtempSync(join(process.env.MADDER_SOAK_DIR ?? tmpdir(), "madder-soak-"));
  dirs.push(dir);
  return dir;
}

export function run(...args) {
  const r = spawnSync(program, args, { encoding: "utf8", maxBuffer: 1 << 28 });
  if (r.status !== 0) throw new Error(`madder ${args[0]}: ${r.stderr || r.stdout}`);
  return r.stdout;
}

export function demo(dir = folder()) {
  const file = join(dir, "demo.mill");
  run("new", file, "--demo");
  return file;
}

/** One client with one line that stays open, as a tablet has it. */
export class Tablet {
  constructor(server) {
    this.server = server;
    this.agent = new http.Agent({ keepAlive: true, maxSockets: 1 });
  }

  send(method, path, value) {
    const body = value === undefined ? undefined : JSON.stringify(value);
    const headers = { origin: this.server.base, "accept-encoding": "gzip" };
    if (body) Object.assign(headers, { "content-type": "application/json", "content-length": Buffer.byteLength(body) });
    const begun = performance.now();
    return new Promise((resolve, reject) => {
      const req = http.request(this.server.base + path, { method, headers, agent: this.agent }, (res) => {
        res.on("error", reject);
        res.on("data", () => {});
        res.on("end", () => resolve({ status: res.statusCode, ms: performance.now() - begun }));
      });
      req.on("error", reject);
      req.end(body);
    });
  }

  close() {
    this.agent.destroy();
  }
}

export function spread(values) {
  const v = [...values].sort((a, b) => a - b);
  const at = (p) => Number((v[Math.min(v.length - 1, Math.floor(p * v.length))] ?? 0).toFixed(2));
  return { n: v.length, p50_ms: at(0.5), p95_ms: at(0.95), p99_ms: at(0.99), most_ms: at(1) };
}

export const load_average = () => Number(readFileSync("/proc/loadavg", "utf8").split(" ")[0]);

/** Into the file that script/soak names, with where and when it was measured. */
export function tell(figures, begun_load) {
  const out = process.env.MADDER_SOAK_OUT;
  const told = { when: new Date().toISOString().slice(0, 16).replace("T", " "), machine: `${cpus().length} cores, ${cpus()[0].model.trim()}`, load_before: begun_load, quick, ...figures };
  const text = `${JSON.stringify(told, null, 1)}\n`;
  if (out) {
    mkdirSync(dirname(out), { recursive: true });
    writeFileSync(out, text);
  }
  process.stdout.write(text);
}

export function must(condition, words) {
  if (!condition) throw new Error(words);
}
