// Runs the program in a fresh directory. MADDER names it; without it the asan build is taken.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
export const program = resolve(process.env.MADDER ?? join(root, "build/asan/madder"));

/** A directory that is gone after the test. */
export function scratch(t) {
  const dir = mkdtempSync(join(tmpdir(), "madder-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}

const clean = { ...process.env, MADDER_MILL: "", NO_COLOR: "", LC_ALL: "C.UTF-8" };

/** Runs it to its end: {status, out, err}. */
export function madder(args, { cwd, input, env = {}, timeout = 120_000 } = {}) {
  const r = spawnSync(program, args, { cwd, input, timeout, env: { ...clean, ...env }, maxBuffer: 1 << 28 });
  if (r.error) throw r.error;
  return { status: r.status, signal: r.signal, out: r.stdout.toString(), err: r.stderr.toString(), bytes: r.stdout };
}

/** Starts it and leaves it running. */
export function start(args, { cwd, env = {} } = {}) {
  return spawn(program, args, { cwd, env: { ...clean, ...env }, stdio: ["ignore", "pipe", "pipe"] });
}

/** A demo mill in the directory; its path. */
export function demo(dir) {
  const mill = join(dir, "demo.mill");
  const r = madder(["new", mill, "--demo"]);
  if (r.status !== 0) throw new Error(`no demo mill: ${r.err}${r.out}`);
  return mill;
}
