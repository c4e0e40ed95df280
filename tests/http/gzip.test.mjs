// Answers made smaller: the same bytes after unpacking, only for who takes them, never twice.
import assert from "node:assert/strict";
import { request } from "node:http";
import { test } from "node:test";
import { gunzipSync } from "node:zlib";
import { serve } from "./server.mjs";

const LOT = "L26-0107";
const LEAST = 2048;

/** One request as it is written, and its bytes as they come: fetch would unpack them. */
const ask = (s, path, headers = {}, method = "GET", body = undefined) => new Promise((resolve, reject) => {
  const r = request(`${s.base}${path}`, { method, headers: { origin: s.base, ...headers } }, (answer) => {
    const parts = [];
    answer.on("data", (d) => parts.push(d));
    answer.on("end", () => resolve({ status: answer.statusCode, headers: answer.headers, bytes: Buffer.concat(parts) }));
    answer.on("error", reject);
  });
  r.on("error", reject);
  r.end(body);
});
const packed = (r) => r.headers["content-encoding"] === "gzip";
const GZIP = { "accept-encoding": "gzip" };

/** Every file that the page names, and those that its style sheet names. */
async function assets(s) {
  const found = new Set(["/"]);
  for (const from of ["/", "/app.css"]) {
    const text = (await ask(s, from)).bytes.toString("utf8");
    for (const [, name] of text.matchAll(/(?:href="|src="|url\(["']?)(?:\.?\/)?([\w-]+\.\w+)/g)) found.add(`/${name}`);
  }
  return [...found];
}

test("large answers and the page's texts: the same bytes, in fewer", async (t) => {
  const s = await serve(t);
  const files = await assets(s);
  assert.ok(files.some((f) => f.endsWith(".js")) && files.some((f) => f.endsWith(".css")) && files.some((f) => f.endsWith(".woff2")), files.join(" "));
  let shrunk = 0;
  for (const path of [`/api/lots/${LOT}/plan`, `/api/lots/${LOT}/bath`, `/api/lots/${LOT}/footprint`, "/api/lots", "/api/machines", "/api/tables/chemical.csv", ...files]) {
    const plain = await ask(s, path, { "accept-encoding": "identity" });
    const small = await ask(s, path, { "accept-encoding": "gzip, deflate, br" });
    assert.equal(plain.status, 200, path);
    assert.equal(plain.headers["content-encoding"], undefined, path);
    assert.equal(Number(plain.headers["content-length"]), plain.bytes.length, path);
    assert.equal(Number(small.headers["content-length"]), small.bytes.length, path);
    assert.equal(small.headers["content-type"], plain.headers["content-type"], path);
    const can = plain.bytes.length > LEAST && !/pdf|woff2/.test(plain.headers["content-type"]);
    assert.equal(packed(small), can, path);
    assert.equal(plain.headers.vary, can ? "Accept-Encoding" : undefined, `${path}: what is kept must be kept by coding`);
    assert.equal(small.headers.vary, plain.headers.vary, path);
    const bytes = can ? gunzipSync(small.bytes) : small.bytes;
    assert.ok(bytes.equals(plain.bytes), path);
    if (!can) continue;
    assert.ok(small.bytes.length < 0.6 * plain.bytes.length, path);
    shrunk++;
    t.diagnostic(`${path}: ${plain.bytes.length} -> ${small.bytes.length} bytes, ${(100 * small.bytes.length / plain.bytes.length).toFixed(0)} %`);
  }
  assert.ok(shrunk >= 7, `${shrunk}`);
});

test("only for who takes it", async (t) => {
  const s = await serve(t);
  for (const [sent, want] of [[undefined, false], ["", false], ["identity", false], ["gzip;q=0", false], ["gzip; q=0.0, *", false], ["*;q=0", false], ["br", false], ["gzip;q=0.5, identity", false],
    ["gzip", true], ["GZIP", true], ["*", true], ["br, gzip;q=0.1", true], ["identity;q=0.5, gzip", true]]) {
    for (const path of [`/api/lots/${LOT}/plan`, "/app.js"]) {
      const r = await ask(s, path, sent === undefined ? {} : { "accept-encoding": sent });
      assert.equal(r.status, 200);
      assert.equal(packed(r), want, `${path}: ${sent}`);
      assert.equal(r.headers.vary, "Accept-Encoding");
      assert.equal(Number(r.headers["content-length"]), r.bytes.length);
    }
  }
});

test("HEAD tells of the same answer, without it", async (t) => {
  const s = await serve(t);
  for (const path of [`/api/lots/${LOT}/plan`, "/app.css", "/api/mill"]) for (const headers of [GZIP, {}]) {
    const got = await ask(s, path, headers);
    const head = await ask(s, path, headers, "HEAD");
    assert.equal(head.status, 200);
    assert.equal(head.bytes.length, 0);
    for (const name of ["content-length", "content-encoding", "content-type", "vary", "etag"]) assert.equal(head.headers[name], got.headers[name], `${path}: ${name}`);
  }
});

test("small answers, documents and fonts go as they are", async (t) => {
  const s = await serve(t);
  const font = (await assets(s)).find((f) => f.endsWith(".woff2"));
  for (const path of ["/api/mill", `/api/lots/${LOT}/card.pdf`, `/api/lots/${LOT}/slips.pdf`, font]) {
    const r = await ask(s, path, GZIP);
    assert.equal(r.status, 200, path);
    assert.ok(!packed(r), path);
    assert.equal(r.headers.vary, undefined, path);
  }
  const missing = await ask(s, "/api/lots/NO/plan", GZIP);
  assert.equal(missing.status, 404);
  assert.ok(!packed(missing));
  assert.match(JSON.parse(missing.bytes.toString()).error.message, /./);
});

test("what-ifs, saves and long lists of faults too", async (t) => {
  const s = await serve(t);
  const json = { ...GZIP, "content-type": "application/json" };
  const body = JSON.stringify({ ratio_l_per_kg: 9 });
  const trial = await ask(s, `/api/lots/${LOT}/plan`, json, "POST", body);
  assert.ok(packed(trial));
  const plan = JSON.parse(gunzipSync(trial.bytes));
  assert.equal(plan.headline.liquor_l.value, 9000);
  const saved = await ask(s, `/api/lots/${LOT}`, json, "PUT", JSON.stringify({ ratio_l_per_kg: 9, revision: plan.lot.revision }));
  assert.equal(JSON.parse(gunzipSync(saved.bytes)).lot.revision, plan.lot.revision + 1);
  const rows = `roll_id,article_id,lot_id,grey_kg\n${"bad id!,X,X,-1\n".repeat(100)}`;
  const faults = await ask(s, "/api/tables/roll", { ...GZIP, "content-type": "text/csv" }, "POST", rows);
  assert.equal(faults.status, 422);
  assert.ok(packed(faults));
  assert.ok(JSON.parse(gunzipSync(faults.bytes)).error.total >= 100);
});

test("a file is known by its tag, one for each coding", async (t) => {
  const s = await serve(t);
  const plain = await ask(s, "/app.js");
  const small = await ask(s, "/app.js", GZIP);
  const again = await ask(s, "/app.js", GZIP);
  assert.ok(again.bytes.equals(small.bytes), "packed once, and not packed again");
  assert.match(plain.headers.etag, /^"[0-9a-f]{16}"$/);
  assert.equal(small.headers.etag, plain.headers.etag.replace(/"$/, "-gzip\""), "other bytes, another tag");
  for (const [headers, tag, want] of [[{}, plain, 304], [GZIP, small, 304], [{}, small, 200], [GZIP, plain, 200]]) {
    const r = await ask(s, "/app.js", { ...headers, "if-none-match": tag.headers.etag });
    assert.equal(r.status, want);
    assert.equal(r.headers.vary, "Accept-Encoding");
    if (want === 304) {
      assert.equal(r.bytes.length, 0);
      assert.equal(r.headers["content-encoding"], undefined);
      assert.equal(r.headers.etag, tag.headers.etag);
    }
  }
  assert.equal((await ask(s, `/api/lots/${LOT}/plan`, GZIP)).headers.etag, undefined, "plans are never kept");
});
