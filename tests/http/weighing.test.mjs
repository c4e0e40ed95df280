// The weigh room over HTTP: the queue, weighings judged and booked, labels, scans, deliveries.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor, entryId } from "./batch_kit.mjs";
import { serve } from "./server.mjs";

const items = async (server) => (await server.get("/api/weighing")).json.items;
const find = (list, material) => list.find((i) => i.material_id === material);

test("the queue tells what is needed first, on which scale, with what care", async (t) => {
  const server = await serve(t);
  assert.deepEqual((await server.get("/api/weighing")).json.items, []);
  const a = await Floor.start(server, "L26-0101");
  await Floor.start(server, "L26-0107");
  const r = (await server.get("/api/weighing")).json;
  assert.ok(r.items.length > 20);
  const due = r.items.map((i) => i.due_utc_ms);
  assert.deepEqual(due, [...due].sort((x, y) => x - y));
  assert.equal(new Set(r.items.map((i) => `${i.batch_id} ${i.step} ${i.item}`)).size, r.items.length);
  for (const i of r.items) {
    assert.equal(i.state, "to-weigh");
    assert.ok(i.tolerance_low_mg < i.mass_mg && i.mass_mg < i.tolerance_high_mg, i.name);
    assert.equal(i.mass_mg - i.tolerance_low_mg, i.tolerance_mg);
    assert.ok(i.needed_utc_ms > i.due_utc_ms);
    assert.ok(i.advice.length > 0 && i.advice.every((s) => s.length > 5), i.name);
    assert.equal(i.caution_words.length, i.cautions.length);
    assert.equal(i.cautions.length > 0 && !i.cautions.includes("pressure"), i.ppe.length > 0);
    assert.match(i.label, /^W-/);
    assert.match(i.product_label, /^P-/);
    assert.equal(i.stock.after_mg, i.stock.mg - i.stock.needed_mg);
  }
  const acid = find(r.items, "ACETIC-80");
  assert.ok(acid.ppe.some((p) => p.id === "shield"));
  assert.equal(acid.storage, "Acid store");
  // a step that has begun is no longer weighed for
  const before = r.items.filter((i) => i.batch_id === a.batchId).length;
  await a.enter({ kind: "batch-begun" });
  const step = await a.run((s) => s.kind === "dose");
  await a.weigh(step);
  assert.equal((await items(server)).filter((i) => i.state === "weighed").length, step.items.length);
  await a.enter({ kind: "step-begun", step: step.key });
  assert.equal((await items(server)).filter((i) => i.batch_id === a.batchId).length, before - step.items.length);
});

test("too much or too little needs a reason, and what was taken is booked", async (t) => {
  const server = await serve(t);
  const floor = await Floor.start(server, "L26-0101");
  await floor.enter({ kind: "batch-begun" });
  const [first] = (await items(server)).filter((i) => i.batch_id === floor.batchId);
  const entry = { kind: "weighed", step: first.step, item: first.item, material_id: first.material_id, manual: true };
  const say = (more) => floor.send({ ...entry, ...more });
  let r = await say({ mass_mg: first.tolerance_high_mg + 1 });
  assert.equal(r.status, 422, r.text);
  assert.equal(r.json.error.place, "text");
  assert.match(r.json.error.message, /too much/);
  r = await say({ mass_mg: first.tolerance_low_mg - 1 });
  assert.equal(r.json.error.place, "text");
  assert.match(r.json.error.message, /too little/);
  assert.equal((await items(server))[0].stock.mg, first.stock.mg); // nothing was booked
  r = await say({ mass_mg: first.tolerance_high_mg + 1, text: "lumps; the chief saw it" });
  assert.equal(r.status, 200, r.text);
  let now = find(await items(server), first.material_id);
  assert.equal(now.state, "to-check"); // more than the tolerance: another person
  assert.equal(now.stock.mg, first.stock.mg - first.tolerance_high_mg - 1);
  r = await say({ mass_mg: first.mass_mg }); // weighed anew: the first portion went back
  assert.equal(r.status, 200, r.text);
  now = (await items(server)).find((i) => i.step === first.step && i.item === first.item);
  assert.equal(now.state, now.two_persons ? "to-check" : "weighed");
  assert.equal(now.weighed_mg, first.mass_mg);
  assert.equal(now.stock.mg, first.stock.mg - first.mass_mg);
  // sent twice: booked once
  const twice = { ...entry, mass_mg: first.mass_mg - 1, entry_id: entryId() };
  assert.equal((await floor.send(twice)).status, 200);
  assert.equal((await floor.send(twice)).json.again, true);
  assert.equal(find(await items(server), first.material_id).stock.mg, first.stock.mg - first.mass_mg + 1);
  r = await say({ mass_mg: first.mass_mg, scale_id: "S9" });
  assert.equal(r.json.error.place, "scale_id");
  r = await say({ mass_mg: first.mass_mg, stock_lot: "C-NONE" });
  assert.equal(r.status, 404);
  assert.equal(r.json.error.place, "stock_lot");
});

test("a delivery is booked once, and its container is offered, judged and looked through", async (t) => {
  const server = await serve(t);
  const floor = await Floor.start(server, "L26-0101");
  await floor.enter({ kind: "batch-begun" });
  const [first] = await items(server);
  const other = (await items(server)).find((i) => i.material_id !== first.material_id);
  const delivery = { entry_id: entryId(), stock_lot_id: "C26-1", material_id: first.material_id, mass_mg: 25_000_000, supplier_lot: "7/A", expiry: "2099-12-31" };
  let r = await server.post("/api/stock", delivery);
  assert.equal(r.status, 200, r.text);
  assert.equal(r.json.again, false);
  assert.equal((await server.post("/api/stock", delivery)).json.again, true);
  const scan = (text) => server.post("/api/scan", { text });
  r = await scan(`${r.json.label}\r`);
  assert.deepEqual([r.json.kind, r.json.id, r.json.material_id], ["stock-lot", "C26-1", first.material_id]);
  let now = find(await items(server), first.material_id);
  assert.equal(now.stock.mg, first.stock.mg + 25_000_000);
  assert.deepEqual(now.containers.map((c) => [c.stock_lot_id, c.supplier_lot, c.left_mg, c.expired, c.opened]), [["C26-1", "7/A", 25_000_000, false, false]]);
  const weigh = (i, more) => floor.send({ kind: "weighed", step: i.step, item: i.item, material_id: i.material_id, mass_mg: i.mass_mg, manual: true, ...more });
  r = await weigh(other, { stock_lot: "C26-1" });
  assert.equal(r.status, 409);
  assert.match(r.json.error.message, /another material/);
  r = await weigh(first, { stock_lot: "C26-1", scale_id: first.scale_id ?? "" });
  assert.equal(r.status, 200, r.text);
  now = find(await items(server), first.material_id);
  assert.deepEqual([now.containers[0].left_mg, now.containers[0].opened], [25_000_000 - first.mass_mg, true]);
  // past its date
  await server.post("/api/stock", { ...delivery, entry_id: entryId(), stock_lot_id: "OLD", expiry: "2020-01-31" });
  assert.equal(find(await items(server), first.material_id).containers.find((c) => c.stock_lot_id === "OLD").expired, true);
  r = await weigh(first, { stock_lot: "OLD" });
  assert.match(r.json.error.message, /past its date/);
  assert.equal((await weigh(first, { stock_lot: "OLD", text: "the laboratory tried it" })).status, 200);
  for (const [change, place] of [[{ stock_lot_id: "C26-1" }, "stock_lot"], [{ stock_lot_id: "a b" }, "stock_lot"], [{ stock_lot_id: "C9", material_id: "NONE" }, "material_id"], [{ stock_lot_id: "C9", mass_mg: 0 }, "mass_mg"], [{ stock_lot_id: "C9", expiry: "soon" }, "expiry"], [{ stock_lot_id: "C9", entry_id: "x" }, "entry_id"]]) {
    r = await server.post("/api/stock", { ...delivery, entry_id: entryId(), ...change });
    assert.equal(r.json?.error?.place, place, r.text);
  }
});

test("what runs short is told with the time", async (t) => {
  const server = await serve(t);
  await Floor.start(server, "L26-0107");
  const all = (await server.get("/api/weighing")).json;
  const some = all.items.find((i) => i.stock.mg > 0);
  // counted down to half of what is needed, by a table that says so
  const name = some.dye ? "dye" : "chemical";
  const rows = (await server.get(`/api/tables/${name}`)).text.split("\n");
  const at = rows[0].split(",").indexOf("stock_kg");
  const row = rows.findIndex((line) => line.startsWith(`${some.material_id},`));
  rows[row] = rows[row].replace(/("[^"]*"|[^,]*)(,|$)/g, ((n) => (cell, value, end) => (n++ === at ? `${some.stock.needed_mg / 2e6}`.slice(0, 8) + end : value + end))(0));
  const r = await server.csv(`/api/tables/${name}`, rows.join("\n"));
  assert.equal(r.status, 200, r.text);
  const after = (await server.get("/api/weighing")).json;
  const short = after.short.find((s) => s.material_id === some.material_id);
  assert.ok(short.stock.short_by_mg > 0 && short.stock.after_mg < 0);
  assert.ok(after.items.some((i) => i.material_id === some.material_id && i.due_utc_ms === short.stock.runs_out_utc_ms) || Math.abs(short.stock.runs_out_utc_ms - after.now_utc_ms) < 10 * 3600e3);
  assert.equal(after.short.filter((s) => s.material_id === some.material_id).length, 1);
});

test("a weighing is judged before it is stored", async (t) => {
  const server = await serve(t);
  const judge = (more) => server.post("/api/weighing", { material_id: "RY-1", target_mg: 200_000, mass_mg: 200_000, ...more });
  let r = await judge({});
  assert.equal(r.status, 200, r.text);
  assert.deepEqual([r.json.verdict, r.json.tolerance_low_mg, r.json.tolerance_high_mg, r.json.class_id], ["within", 199_000, 201_000, "DYE"]);
  r = await judge({ mass_mg: 201_001, scale_id: "S2" });
  assert.deepEqual([r.json.verdict, r.json.needs_reason, r.json.needs_second, r.json.too_fine, r.json.off_mg], ["above", true, true, true, 1001]);
  assert.equal((await judge({ material_id: "RK-1" })).json.needs_second, true);
  for (const [more, place] of [[{ mass_mg: 0 }, "mass_mg"], [{ target_mg: -1 }, "target_mg"], [{ material_id: "X" }, "material_id"], [{ scale_id: "X" }, "scale_id"], [{ mas: 1 }, "mas"]]) {
    assert.equal((await judge(more)).json.error.place, place);
  }
});

test("a scan says what it is, a misread one where", async (t) => {
  const server = await serve(t);
  const floor = await Floor.start(server, "L26-0101");
  const scan = (text) => server.post("/api/scan", { text });
  const [first] = await items(server);
  let r = await scan(first.label);
  assert.deepEqual(r.json, { kind: "weighing", words: "Weighed portion", id: floor.batchId, name: null, material_id: null, step: first.step, item: first.item });
  r = await scan(first.product_label);
  assert.deepEqual([r.json.kind, r.json.name], ["material", first.name]);
  r = await scan("]C1010401234567890110A1\u001d17261231310300250021S");
  assert.deepEqual(r.json, { kind: "goods", words: "Goods that came in", gtin: "04012345678901", supplier_lot: "A1", serial: "S", mass_mg: 2_500_000, expiry: "2026-12-31" });
  r = await scan(first.label.replace(/.$/, (c) => (c === "A" ? "B" : "A")));
  assert.equal(r.status, 422);
  assert.match(r.json.error.message, /misread/);
  assert.match(r.json.error.place, /^scan:\d+$/);
  for (const text of ["", "\u0000", "x".repeat(300), "ßßß", "L-\"><script>"]) assert.ok((await scan(text)).status >= 400);
  assert.equal((await server.post("/api/scan", "{")).status, 422);
});

test("labels come as PDF, of one dose or all", async (t) => {
  const server = await serve(t);
  const floor = await Floor.start(server, "L26-0101");
  const [first] = await items(server);
  const pages = async (path) => {
    const r = await server.get(path);
    assert.equal(r.status, 200, r.text.slice(0, 200));
    assert.equal(r.headers.get("content-type"), "application/pdf");
    return r.text.length;
  };
  const one = await pages(`/api/batches/${floor.batchId}/labels.pdf?step=${first.step}`);
  assert.ok(await pages(`/api/batches/${floor.batchId}/labels.pdf`) > one);
  assert.equal((await server.get(`/api/batches/${floor.batchId}/labels.pdf?step=99.9`)).status, 404);
  assert.equal((await server.get("/api/batches/NONE/labels.pdf")).status, 404);
});
