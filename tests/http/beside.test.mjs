// While one client waits for a long calculation the others are answered; who went away is not calculated
// for; too many are told so; the server ends with calculations in flight.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { test } from "node:test";
import { serve } from "./server.mjs";

const LOT = "L26-0113"; // I: a direct dye, found in a second
const LONG = "L26-0105"; // I: a reactive dyeing in two ropes, in some
const program = process.env.MADDER ?? new URL("../../build/release/madder", import.meta.url).pathname;
const now = () => performance.now();

async function timed(f) {
  const begun = now();
  const value = await f();
  return { value, ms: now() - begun };
}
const median = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

// A shorten that can be given up.
function ask(s, body, signal) {
  return fetch(`${s.base}/api/lots/${LONG}/shorten`, {
    method: "POST", body: JSON.stringify(body), signal, headers: { origin: s.base, "content-type": "application/json" },
  });
}

test("lists come with their usual delay while a search runs", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const lists = async () => {
    const ms = [];
    for (let i = 0; i < 50; i++) {
      const { value, ms: one } = await timed(() => s.get("/api/lots"));
      assert.equal(value.status, 200);
      ms.push(one);
    }
    return ms;
  };
  const alone = await lists();
  let over = false;
  const search = timed(() => s.post(`/api/lots/${LONG}/shorten`, { points: 2 })).then((r) => ((over = true), r));
  await s.get("/api/lots"); // behind it on the one thread that answers
  const meanwhile = await lists();
  const was_over = over;
  const { value, ms } = await search;
  assert.equal(value.status, 200);
  assert.equal(value.json.stopped, false);
  assert.equal(was_over, false, "I: fifty lists take less than one search");
  assert.ok(median(meanwhile) < 10 * median(alone) + 20, `median ${median(meanwhile)} ms, alone ${median(alone)}`);
  assert.ok(Math.max(...meanwhile) < ms / 2, `one waited ${Math.max(...meanwhile)} of ${ms} ms`);
});

test("calculated beside, on the command line, twice at once: the same bytes", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const files = (await s.get("/api/laboratory/demo")).json.files;
  const find = { do: "find", standard: "Sage", lights: "D65,A,F11", tolerance: 0.8, files };
  const one = await Promise.all([
    s.post(`/api/lots/${LOT}/shorten`, {}), s.post(`/api/lots/${LOT}/shorten`, {}),
    s.get(`/api/lots/${LOT}/dyeing`), s.get(`/api/lots/${LOT}/dyeing`), s.post("/api/recipe", find), s.post("/api/recipe", find),
  ]);
  for (const r of one) assert.equal(r.status, 200, r.text.slice(0, 200));
  for (let i = 0; i < one.length; i += 2) assert.equal(one[i].text, one[i + 1].text);
  await s.stop();
  const madder = (...args) => {
    const r = spawnSync(program, [...args, "--mill", s.file, "--json"], { encoding: "utf8", maxBuffer: 1 << 28 });
    assert.equal(r.status, 0, r.stderr);
    return r.stdout.trimEnd();
  };
  assert.equal(madder("shorten", LOT), one[0].text.trimEnd());
  assert.equal(madder("simulate", LOT), one[2].text.trimEnd());
});

test("records that change meanwhile: the search goes on with those it began with", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const before = await s.post(`/api/lots/${LOT}/shorten`, {});
  const search = s.post(`/api/lots/${LOT}/shorten`, {});
  await s.get("/api/mill");
  const machines = (await s.get("/api/tables/machine.csv")).text;
  const put = await s.csv("/api/tables/machine", machines);
  assert.equal(put.status, 200, put.text);
  for (let i = 0; i < 5; i++) assert.equal((await s.get(`/api/lots/${LOT}/plan`)).status, 200); // reads them anew
  assert.equal((await search).text, before.text);
});

test("a refusal looks the same as ever", async (t) => {
  const s = await serve(t);
  const wrong = await s.post(`/api/lots/${LOT}/shorten`, { points: 9 });
  assert.equal(wrong.status, 422);
  assert.equal(wrong.json.error.place, "points");
  const late = await s.post(`/api/lots/${LOT}/dyeing`, { steps: [{ step: 1, minutes: -4 }] });
  assert.equal(late.status, 422);
  const recipe = await s.post("/api/recipe", { do: "find", standard: "nobody", files: (await s.get("/api/laboratory/demo")).json.files });
  assert.equal(recipe.status, 404, "found out beside");
  assert.equal(recipe.json.error.place, "standards.csv");
});

test("too many are told so at once; who has gone leaves the machine to the others", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const alone = await timed(() => s.post(`/api/lots/${LOT}/shorten`, { points: 1 }));
  const gone = new AbortController();
  const refused = [];
  const asked = Array.from({ length: 40 }, () => ask(s, { points: 8 }, gone.signal).then(
    async (r) => refused.push({ status: r.status, after: Number(r.headers.get("retry-after")), json: await r.json() }), () => null));
  for (let i = 0; i < 200 && refused.length < 20; i++) await new Promise((go) => setTimeout(go, 50));
  assert.ok(refused.length >= 20, `${refused.length} of 40 refused: eight cores and eight that wait are the most`);
  for (const r of refused) {
    assert.equal(r.status, 503);
    assert.ok(r.after >= 1 && r.after <= 60, `Retry-After ${r.after}`);
    assert.match(r.json.error.message, /calculated/);
    assert.ok(r.json.error.remedy.length > 5);
  }
  assert.equal((await s.get("/api/lots")).status, 200);
  gone.abort();
  await Promise.all(asked);
  let then;
  for (let i = 0; i < 100; i++) { // a slot comes free with the next look of a search
    then = await timed(() => s.post(`/api/lots/${LOT}/shorten`, { points: 1 }));
    if (then.value.status !== 503) break;
    await new Promise((go) => setTimeout(go, 50));
  }
  assert.equal(then.value.status, 200);
  assert.equal(then.value.text, alone.value.text);
  /* ten long ones of eight points each would take a hundred times as long on two cores */
  assert.ok(then.ms < 10 * alone.ms + 1000, `${then.ms} ms, alone ${alone.ms}`);
});

test("the server ends with searches in flight: soon, cleanly, and says why", { timeout: 900000 }, async (t) => {
  const s = await serve(t);
  const asked = Array.from({ length: 6 }, () => ask(s, { points: 8 }).then((r) => r.json().then((json) => ({ status: r.status, json })), (e) => e));
  await new Promise((go) => setTimeout(go, 1200)); // until they are calculated, also by a slow build
  await s.get("/api/lots");
  const { value: code, ms } = await timed(() => s.stop());
  assert.equal(code, 0);
  assert.ok(ms < 60000, `${ms} ms`); // what is being calculated is looked at between two simulations
  let told = 0;
  for (const r of await Promise.all(asked)) {
    if (r instanceof Error) continue; // closed before it could be told
    told++;
    assert.ok(r.status === 503 || (r.status === 200 && r.json.stopped), JSON.stringify(r.json).slice(0, 200));
  }
  assert.ok(told > 0, "nobody was told");
});
