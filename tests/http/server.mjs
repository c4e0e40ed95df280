// A demo mill served by the program under test (MADDER), and requests as a browser page of it
// would send them.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const program = process.env.MADDER ?? new URL("../../build/release/madder", import.meta.url).pathname;

/** Serves a mill file that is there; the caller stops it, or kills it like a power cut. `run`: in place of the program. */
export async function start(file, port = 0, more = [], run = program) {
  const child = spawn(run, ["serve", "--mill", file, "--port", String(port), ...more], { stdio: ["ignore", "pipe", "inherit"] });
  const gone = new Promise((resolve) => child.once("exit", resolve));
  const base = await new Promise((resolve, reject) => {
    let text = "";
    child.stdout.on("data", (d) => {
      text += d;
      const found = /listening on (https?:\S+)/.exec(text);
      if (found) resolve(found[1]);
    });
    gone.then((code) => reject(new Error(`the server ended with ${code}`)));
  });
  const end = (signal) => {
    if (child.exitCode === null && child.signalCode === null) child.kill(signal);
    return gone;
  };
  return { base, file, pid: child.pid, stop: () => end("SIGTERM"), kill: () => end("SIGKILL"), port: Number(new URL(base).port), ...requests(base) };
}

/** Serves a fresh demo mill until the test `t` is over. */
export async function serve(t, mill = undefined, port = 0, more = []) {
  const dir = mkdtempSync(join(tmpdir(), "madder-http-"));
  const file = mill ?? join(dir, "demo.mill");
  if (!mill) {
    const made = spawnSync(program, ["new", file, "--demo"], { encoding: "utf8" });
    if (made.status !== 0) throw new Error(made.stderr);
  }
  const server = await start(file, port, more);
  t.after(async () => {
    await server.stop();
    rmSync(dir, { recursive: true, force: true });
  });
  return server;
}

function requests(base) {
  const send = async (method, path, body, headers = {}) => {
    const r = await fetch(base + path, { method, body, headers: { origin: base, ...headers } });
    const text = await r.text();
    const json = r.headers.get("content-type")?.startsWith("application/json") ? JSON.parse(text) : null;
    return { status: r.status, headers: r.headers, text, json };
  };
  const as_json = { "content-type": "application/json" };
  return {
    send,
    get: (path) => send("GET", path),
    post: (path, value) => send("POST", path, typeof value === "string" ? value : JSON.stringify(value), as_json),
    put: (path, value) => send("PUT", path, typeof value === "string" ? value : JSON.stringify(value), as_json),
    csv: (path, text) => send("POST", path, text, { "content-type": "text/csv" }),
  };
}

/** Sends bytes as they are and gives back what comes, for what fetch would not send. */
export function raw(port, text, wait_ms = 3000) {
  return new Promise((resolve, reject) => {
    let answer = "";
    const socket = connect(port, "127.0.0.1", () => socket.write(text));
    const done = () => {
      socket.destroy();
      resolve(answer);
    };
    socket.on("data", (d) => {
      answer += d.toString("latin1");
      if (/\r\n\r\n/.test(answer)) setTimeout(done, 50);
    });
    socket.on("end", done);
    socket.on("error", reject);
    setTimeout(done, wait_ms);
  });
}
