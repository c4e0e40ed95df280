// Every endpoint: what it answers, what it refuses, what it leaves alone.
import assert from "node:assert/strict";
import { test } from "node:test";
import { raw, serve } from "./server.mjs";

const LOT = "L26-0107";

test("every list answers, with the headers a page may rely on", async (t) => {
  const s = await serve(t);
  for (const [path, member, least] of [["/api/lots", "lots", 25], ["/api/orders", "orders", 40], ["/api/machines", "machines", 10],
    ["/api/routes", "routes", 9], ["/api/tables", "tables", 12], ["/api/check", "findings", 2]]) {
    const r = await s.get(path);
    assert.equal(r.status, 200, path);
    assert.ok(r.json[member].length >= least, `${path}: ${r.json[member].length}`);
    assert.equal(r.headers.get("cache-control"), "no-store");
    assert.equal(r.headers.get("x-content-type-options"), "nosniff");
    assert.match(r.headers.get("content-security-policy"), /default-src 'none'.*frame-ancestors 'none'/);
    assert.ok(!r.headers.get("content-security-policy").includes("unsafe"));
  }
  const mill = await s.get("/api/mill");
  assert.equal(mill.json.invented, true);
  const page = await s.get("/");
  assert.match(page.text, /<!doctype html>/i);
  assert.equal(page.headers.get("content-type"), "text/html; charset=utf-8");
  const again = await s.send("GET", "/", undefined, { "if-none-match": page.headers.get("etag") });
  assert.equal(again.status, 304);
});

test("the check says every warning of a plan whole: what is too long for a message goes on in the remedy", async (t) => {
  const s = await serve(t);
  const { findings } = (await s.get("/api/check")).json;
  let longer = 0;
  for (const id of ["L26-0105", "L26-0117", "L26-0123"]) {
    const { warnings } = (await s.get(`/api/lots/${id}/plan`)).json;
    for (const { text } of warnings.filter((one) => one.severity !== "note")) {
      const found = findings.find((f) => f.place.startsWith(`lot ${id}`) && `${f.message} ${f.remedy}`.trim() === text);
      assert.ok(found, `${id}: ${text}`);
      longer += found.remedy ? 1 : 0;
    }
  }
  assert.ok(longer > 0, "one of them is too long for a message");
});

test("every plan is whole: each quantity has its figure, each figure its inputs, rule or source", async (t) => {
  const s = await serve(t);
  const { lots } = (await s.get("/api/lots")).json;
  let planned = 0;
  for (const lot of lots) {
    const r = await s.get(`/api/lots/${lot.lot_id}/plan`);
    if (lot.n_rolls === 0) {
      assert.equal(r.status, 422, lot.lot_id);
      assert.match(r.json.error.remedy, /rolls/);
      continue;
    }
    assert.equal(r.status, 200, `${lot.lot_id}: ${r.text.slice(0, 300)}`);
    const plan = r.json;
    planned++;
    const visit = (value, path) => {
      if (value && typeof value === "object") {
        if ("figure" in value && "unit" in value) {
          const figure = plan.figures[value.figure];
          assert.ok(figure, `${lot.lot_id} ${path}: no figure ${value.figure}`);
          assert.equal(figure.value, value.value, `${lot.lot_id} ${value.figure}`);
          assert.equal(figure.unit, value.unit);
        } else for (const [k, v] of Object.entries(value)) visit(v, `${path}.${k}`);
      }
    };
    for (const part of ["headline", "baths", "totals"]) visit(plan[part], part);
    for (const [key, figure] of Object.entries(plan.figures)) {
      assert.ok(Number.isFinite(figure.value), key);
      if (figure.source) assert.ok(figure.source.table && figure.source.field, key);
      else {
        assert.ok(plan.rules[figure.rule], `${key}: rule ${figure.rule}`);
        for (const input of figure.inputs) assert.ok(plan.figures[input], `${key}: input ${input}`);
      }
    }
  }
  assert.equal(planned, 24);
});

test("why: a figure and what it rests on", async (t) => {
  const s = await serve(t);
  const r = await s.get(`/api/lots/${LOT}/why?figure=b5.liquor_l`);
  assert.equal(r.status, 200);
  assert.match(r.text, /liquor-true/);
  assert.match(r.text, /liquor_min_l/);
  const missing = await s.get(`/api/lots/${LOT}/why?figure=b5.liquor`);
  assert.equal(missing.status, 404);
  assert.match(missing.json.error.remedy, /b5\.liquor_l/);
  assert.equal((await s.get(`/api/lots/${LOT}/why`)).status, 422);
});

test("documents are PDF", async (t) => {
  const s = await serve(t);
  for (const path of ["card.pdf", "slips.pdf", "slips.pdf?bath=2"]) {
    const r = await s.get(`/api/lots/${LOT}/${path}`);
    assert.equal(r.status, 200, path);
    assert.equal(r.headers.get("content-type"), "application/pdf");
    assert.match(r.text, /^%PDF-/);
    assert.match(r.headers.get("content-disposition"), /filename="L26-0107-(card|slips)\.pdf"/);
  }
  assert.equal((await s.get(`/api/lots/${LOT}/slips.pdf?bath=99`)).status, 404);
  assert.equal((await s.get(`/api/lots/${LOT}/slips.pdf?bath=x`)).status, 422);
});

test("what-if plans without storing; wrong values name place, value, range and remedy", async (t) => {
  const s = await serve(t);
  const before = (await s.get(`/api/lots/${LOT}/plan`)).json;
  const light = (await s.post(`/api/lots/${LOT}/plan`, { load_kg: 800, ratio_l_per_kg: 10 })).json;
  assert.equal(light.headline.load_kg.value, 800);
  assert.equal(light.headline.liquor_l.value, 8000);
  assert.deepEqual((await s.get(`/api/lots/${LOT}/plan`)).json.headline, before.headline);
  for (const [body, place] of [[{ ratio_l_per_kg: 100 }, "ratio_l_per_kg"], [{ ratio_l_per_kg: "8" }, "ratio_l_per_kg"], [{ load_kg: -1 }, "load_kg"],
    [{ tubes_used: 1.5 }, "tubes_used"], [{ surprise: 1 }, "surprise"]]) {
    const r = await s.post(`/api/lots/${LOT}/plan`, body);
    assert.equal(r.status, 422, JSON.stringify(body));
    assert.match(r.json.error.place, new RegExp(place));
    assert.ok(r.json.error.message.length > 5);
  }
  assert.equal((await s.post(`/api/lots/${LOT}/plan`, { machine_id: "NOPE" })).status, 404);
  for (const bad of ["{", "[]", "null", "{\"load_kg\":1e999}", "{\"load_kg\":NaN}", "\u0000", "{\"a\":".repeat(5000)]) {
    assert.equal((await s.post(`/api/lots/${LOT}/plan`, bad)).status, 422, bad.slice(0, 20));
  }
});

test("saving a lot: kept over a restart, refused when somebody was faster", async (t) => {
  const s = await serve(t);
  const { revision } = (await s.get(`/api/lots/${LOT}/plan`)).json.lot;
  const saved = await s.put(`/api/lots/${LOT}`, { revision, ratio_l_per_kg: 9 });
  assert.equal(saved.status, 200, saved.text.slice(0, 300));
  assert.equal(saved.json.headline.liquor_l.value, 9000);
  assert.equal(saved.json.lot.revision, revision + 1);
  const late = await s.put(`/api/lots/${LOT}`, { revision, ratio_l_per_kg: 10 });
  assert.equal(late.status, 409);
  assert.equal((await s.put(`/api/lots/${LOT}`, { ratio_l_per_kg: 10 })).status, 422, "without a revision");
  assert.equal((await s.put(`/api/lots/${LOT}`, { revision: revision + 1, machine_id: "NOPE" })).status, 404);
  await s.stop();
  const again = await serve(t, s.file);
  assert.equal((await again.get(`/api/lots/${LOT}/plan`)).json.headline.liquor_l.value, 9000);
});

test("saving a route: the next version, never over a newer one, never broken", async (t) => {
  const s = await serve(t);
  const { route } = (await s.get(`/api/lots/${LOT}/plan`)).json;
  const dyeing = route.stages.find((stage) => stage.kind === "dyeing");
  const hold = dyeing.baths[0].steps.find((step) => step.do === "hold");
  hold.minutes += 7;
  const before = (await s.get(`/api/lots/${LOT}/plan`)).json.headline.total_min.value;
  const trial = await s.post(`/api/lots/${LOT}/plan`, { route });
  assert.ok(Math.abs(trial.json.headline.total_min.value - before - 7) < 1e-6);
  const saved = await s.put("/api/routes/R-MED60", route);
  assert.equal(saved.status, 200, saved.text);
  assert.equal(saved.json.version, route.version + 1);
  const kept = (await s.get("/api/routes/R-MED60")).json;
  assert.ok(kept.stages.some((stage) => stage.from_route === "R-PREP-STD" && !stage.baths), "unchanged stages stay taken from where they were");
  assert.equal((await s.put("/api/routes/R-MED60", route)).status, 409, "made from an old version");
  assert.equal((await s.put("/api/routes/R-OTHER", kept)).status, 409, "another route than the address names");
  kept.stages[0].baths = [{ name: "Odd", steps: [{ do: "fill", temp_c: "hot" }, { do: "dance" }] }];
  const bad = await s.put("/api/routes/R-MED60", kept);
  assert.equal(bad.status, 422);
  assert.ok(bad.json.error.total >= 2, bad.text);
  const circle = { ...(await s.get("/api/routes/R-PREP-STD")).json };
  circle.stages = circle.stages.map((stage) => ({ kind: stage.kind, name: stage.name, from_route: "R-PREP-STD", from_stage: stage.name }));
  const round = await s.put("/api/routes/R-PREP-STD", circle);
  assert.ok([409, 422].includes(round.status), round.text);
  assert.match(round.json.error.message, /circle/);
});

test("a route that others take stages from cannot be saved so that they break", async (t) => {
  const s = await serve(t);
  const shared = (await s.get("/api/routes/R-PREP-STD")).json;
  const bath = shared.stages.at(-1).baths.at(-1);
  assert.equal(bath.steps.pop().do, "drain");
  const refused = await s.put("/api/routes/R-PREP-STD", shared);
  assert.equal(refused.status, 422);
  assert.match(refused.json.error.place, /^route R-/);
  assert.match(refused.json.error.remedy, /takes a stage from here/);
  assert.equal((await s.get("/api/routes/R-PREP-STD")).json.version, 1);
  bath.steps.push({ do: "drain" });
  assert.equal((await s.put("/api/routes/R-PREP-STD", shared)).status, 200);
});

test("tables: out and in again, all or nothing", async (t) => {
  const s = await serve(t);
  const { tables } = (await s.get("/api/tables")).json;
  for (const { name } of tables) {
    const csv = await s.get(`/api/tables/${name}.csv`);
    assert.equal(csv.status, 200, name);
    assert.match(csv.headers.get("content-type"), /^text\/csv/);
    assert.equal((await s.csv(`/api/tables/${name}`, csv.text)).status, 200, name);
    assert.equal((await s.get(`/api/tables/${name}.csv`)).text, csv.text);
  }
  const before = (await s.get("/api/tables/chemical.csv")).text;
  const lines = before.trimEnd().split("\n");
  const bad = [...lines.slice(0, -2), lines.at(-2).replace(/^[^,]*/, "bad id!"), lines.at(-1).replace(/,(powder|granule|crystal|liquid|paste),/, ",gas,")].join("\n");
  const r = await s.csv("/api/tables/chemical", bad);
  assert.equal(r.status, 422);
  assert.ok(r.json.error.total >= 2, r.text);
  assert.equal((await s.get("/api/tables/chemical.csv")).text, before);
  assert.equal((await s.csv("/api/tables/nothing", "a\n1\n")).status, 404);
});

test("pages from elsewhere change nothing", async (t) => {
  const s = await serve(t);
  const body = JSON.stringify({ ratio_l_per_kg: 9 });
  const path = `/api/lots/${LOT}/plan`;
  const json = { "content-type": "application/json" };
  assert.equal((await s.send("POST", path, body, { ...json, origin: "http://elsewhere.example" })).status, 403);
  assert.equal((await s.send("POST", path, body, { ...json, "sec-fetch-site": "cross-site" })).status, 403);
  assert.equal((await s.send("POST", path, body, { "content-type": "text/plain" })).status, 415);
  const without = await raw(s.port, `POST ${path} HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}`);
  assert.match(without, /^HTTP\/1\.1 403/);
  const foreign = await raw(s.port, `GET /api/lots HTTP/1.1\r\nHost: mill.example:${s.port}\r\n\r\n`);
  assert.match(foreign, /^HTTP\/1\.1 421/);
  const none = await raw(s.port, "GET /api/lots HTTP/1.0\r\n\r\n");
  assert.match(none, /^HTTP\/1\.[01] 421/);
  const local = await raw(s.port, `GET /api/mill HTTP/1.1\r\nHost: localhost:${s.port}\r\n\r\n`);
  assert.match(local, /^HTTP\/1\.1 200/);
});

test("unknown paths, wrong methods, sizes and odd requests", async (t) => {
  const s = await serve(t);
  for (const path of ["/nothing", "/api", "/api/lots/", "/api/lots/NO/plan", "/api/lots/%00/plan", "/..%2f..%2fetc/passwd", "/api/tables/..%2fsite.csv", `/api/lots/${"x".repeat(500)}/plan`]) {
    assert.equal((await s.get(path)).status, 404, path);
  }
  assert.match(await raw(s.port, `GET /../../etc/passwd HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\n\r\n`), /^HTTP\/1\.1 404/);
  const wrong = await s.send("DELETE", `/api/lots/${LOT}/plan`);
  assert.equal(wrong.status, 405);
  assert.equal(wrong.headers.get("allow"), "GET, HEAD, POST");
  const head = await fetch(`${s.base}/api/lots`, { method: "HEAD" });
  assert.equal(head.status, 200);
  assert.equal((await s.post(`/api/lots/${LOT}/plan`, " ".repeat((1 << 20) + 1))).status, 413);
  assert.equal((await s.get("/api/mill")).status, 200, "still there");
});

test("a request that never ends does not keep others waiting", async (t) => {
  const s = await serve(t);
  const slow = raw(s.port, `POST /api/lots/${LOT}/plan HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\nOrigin: ${s.base}\r\nContent-Type: application/json\r\nContent-Length: 50\r\n\r\n{`, 1500);
  const answers = await Promise.all(Array.from({ length: 20 }, () => s.get(`/api/lots/${LOT}/plan`)));
  assert.ok(answers.every((r) => r.status === 200));
  await slow;
});
