// serve: says where, answers there, stops when told, complains of a port in use.
import assert from "node:assert/strict";
import { createServer } from "node:net";
import { test } from "node:test";
import { demo, madder, scratch, start } from "./madder.mjs";

/** The first line of the program's output. */
function first_line(child) {
  return new Promise((resolve, reject) => {
    let text = "";
    child.stdout.on("data", (d) => {
      text += d;
      if (text.includes("\n")) resolve(text.split("\n")[0]);
    });
    child.once("exit", (code) => reject(new Error(`ended with ${code}: ${text}`)));
  });
}
const ended = (child) => new Promise((r) => child.once("exit", (code, signal) => r({ code, signal })));

for (const signal of ["SIGINT", "SIGTERM"]) {
  test(`serves on loopback and stops cleanly at ${signal}`, async (t) => {
    const mill = demo(scratch(t));
    const child = start(["serve", "--mill", mill, "--port", "0"]);
    t.after(() => child.kill("SIGKILL"));
    const line = await first_line(child);
    assert.match(line, /^listening on http:\/\/127\.0\.0\.1:\d+$/);
    const url = line.slice("listening on ".length);
    const page = await fetch(url);
    assert.equal(page.status, 200);
    assert.match(await page.text(), /<!doctype html>/i);
    const done = ended(child);
    child.kill(signal);
    assert.deepEqual(await done, { code: 0, signal: null });
  });
}

test("a port in use: one clear message", async (t) => {
  const mill = demo(scratch(t));
  const holder = createServer().listen(0, "127.0.0.1");
  await new Promise((r) => holder.once("listening", r));
  t.after(() => holder.close());
  const { port } = holder.address();
  const r = madder(["serve", "--mill", mill, "--port", String(port)]);
  assert.equal(r.status, 1);
  assert.match(r.err, new RegExp(String(port)));
  assert.equal(r.out, "");
});

test("an address that is none", (t) => {
  const mill = demo(scratch(t));
  const r = madder(["serve", "--mill", mill, "--host", "not an address", "--port", "0"]);
  assert.equal(r.status, 1);
  assert.match(r.err, /not an address/);
});
