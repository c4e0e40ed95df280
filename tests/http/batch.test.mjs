// A lot that is run: frozen, entered step by step, read again, and never twice.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { test } from "node:test";
import { entryId, Floor } from "./batch_kit.mjs";
import { serve } from "./server.mjs";

const LOT = "L26-0101";

test("a lot is frozen, run to its end and released; the hall and the lots follow", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  assert.equal(floor.batchId, `${LOT}.1`);
  assert.equal(floor.state.batch.state, "idle");
  const plan = (await s.get(`/api/lots/${LOT}/plan`)).json;
  assert.equal(floor.state.batch.liquor_l, plan.headline.liquor_l.value);
  await floor.enter({ kind: "batch-begun" });
  const hall = (await s.get("/api/batches")).json;
  assert.equal(hall.batches[0].batch_id, floor.batchId);
  assert.equal(hall.machines.find((m) => m.machine_id === floor.state.batch.machine_id).batch_id, floor.batchId);
  assert.equal(hall.batches[0].unloaded, false);
  const { lots } = (await s.get("/api/lots")).json; // by due date
  for (const m of hall.machines) assert.equal(m.next_lot_id, lots.find((l) => l.machine_id === m.machine_id && ["ready", "planned"].includes(l.stage))?.lot_id ?? null, m.machine_id);
  assert.ok(hall.machines.some((m) => m.next_lot_id));
  assert.equal((await s.get("/api/lots")).json.lots.find((l) => l.lot_id === LOT).stage, "dyeing");
  await floor.run();
  assert.equal(floor.state.batch.state, "complete");
  assert.equal(floor.state.batch.right_first, true);
  assert.ok(floor.state.steps.every((step) => step.state === "done" && step.ended_utc_ms >= step.begun_utc_ms));
  await floor.enter({ kind: "batch-released", text: "All in order" });
  assert.equal((await s.get("/api/lots")).json.lots.find((l) => l.lot_id === LOT).stage, "done");
  assert.equal((await s.get("/api/batches")).json.batches.length, 0);
  const kept = (await s.get(`/api/batches/${floor.batchId}`)).json;
  assert.equal(kept.batch.state, "released");
  assert.equal((await floor.send({ kind: "step-begun", step: "1.1" })).status, 409);
});

test("the chain of events can be reckoned again by anybody", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  await floor.enter({ kind: "remark", text: "Naht geprüft: ok\nzweite Zeile" });
  const { events } = (await s.get(`/api/batches/${floor.batchId}/events`)).json;
  let hash = Buffer.alloc(32);
  for (const e of events) {
    // docs/methods/record.md: the fields in order, each ended by a line feed, behind the hash before
    const { seq, batch_id, kind, words, at_utc_ms, device_utc_ms = 0, happened_utc_ms, by, entry_id, hash: told, ...body } = e;
    const text = [seq, batch_id, kind, at_utc_ms, device_utc_ms, happened_utc_ms, by, entry_id, JSON.stringify(body)].map((x) => `${x}\n`).join("");
    hash = createHash("sha256").update(hash).update(text).digest();
    assert.equal(hash.toString("hex"), told, `event ${seq}`);
  }
  assert.equal(events.at(-1).hash, (await s.get(`/api/batches/${floor.batchId}`)).json.batch.head);
});

test("an entry that is sent again is stored once, and its number stands for nothing else", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  const entry = { entry_id: entryId(), kind: "batch-begun", device_utc_ms: 1000, sent_utc_ms: 61000 };
  const first = await floor.send(entry);
  const again = await floor.send(entry);
  assert.equal(first.status, 200, first.text);
  assert.equal(again.status, 200, again.text);
  assert.equal(again.json.again, true);
  assert.equal(again.json.event.seq, first.json.event.seq);
  assert.equal(first.json.event.at_utc_ms - first.json.event.happened_utc_ms, 60000, "it waited a minute on a device whose clock is wrong");
  const other = await floor.send({ ...entry, kind: "remark", text: "something else" });
  assert.equal(other.status, 409);
  assert.match(other.json.error.message, /another entry/);
  assert.equal((await s.get(`/api/batches/${floor.batchId}/events`)).json.events.length, 2);
});

test("two tablets at one hold point: the first reading counts, the second is told so", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run((step) => step.kind === "check");
  const value = Floor.inside(check);
  const [a, b] = await Promise.all([
    floor.send({ kind: "reading", step: check.key, value }),
    floor.send({ kind: "reading", step: check.key, value }),
  ]);
  assert.deepEqual([a.status, b.status].sort(), [200, 409]);
  const { events } = (await s.get(`/api/batches/${floor.batchId}/events`)).json;
  assert.equal(events.filter((e) => e.kind === "reading").length, 1);
});

test("a reading outside its limits holds the batch until somebody decides", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run((step) => step.kind === "check" && (step.check.low !== null || step.check.high !== null));
  const bad = check.check.high !== null ? check.check.high + 0.9 * (check.check.most - check.check.high) : check.check.low / 2;
  const { event } = await floor.enter({ kind: "reading", step: check.key, value: bad });
  assert.equal(floor.state.batch.state, "held");
  assert.match((await s.get("/api/batches")).json.batches[0].waits_for, /decision/);
  assert.equal((await floor.send({ kind: "step-begun", step: floor.state.steps[floor.state.now + 1].key })).status, 409);
  const pass = await floor.send({ kind: "decision", step: check.key, of_seq: event.seq, decision: "pass" });
  assert.equal(pass.status, 409);
  assert.match(pass.json.error.message, /outside its limits/);
  assert.equal((await floor.send({ kind: "decision", step: check.key, of_seq: event.seq, decision: "accept" })).status, 422, "no reason");
  await floor.enter({ kind: "decision", step: check.key, of_seq: event.seq, decision: "accept", text: "agreed with the customer" });
  assert.equal(floor.step(check.key).state, "done");
  await floor.run();
  assert.equal(floor.state.batch.right_first, false);
});

test("a sample that is not as it should be holds the lot: run on and look again", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, "L26-0107"); // after its bleach: absorbency, whiteness and husks by eye
  await floor.enter({ kind: "batch-begun" });
  const look = await floor.run((step) => step.check?.kind === "sample");
  assert.deepEqual([look.check.low, look.check.high], [null, null]);
  const { event } = await floor.enter({ kind: "reading", step: look.key, value: 0 });
  assert.equal(floor.state.batch.state, "held");
  assert.equal((await floor.send({ kind: "decision", step: look.key, of_seq: event.seq, decision: "pass" })).status, 409);
  const told = (await s.get(`/api/batches/${floor.batchId}/remedies?step=${look.key}`)).json;
  assert.deepEqual(told.remedies.map((r) => r.remedy_id), ["run-on"]);
  await floor.enter({ kind: "remedy-approved", step: look.key, of_seq: event.seq, remedy_id: "run-on" });
  await floor.run((step) => step.check?.kind === "sample");
  await floor.enter({ kind: "reading", step: look.key, value: 1 });
  assert.deepEqual([floor.step(look.key).state, floor.state.batch.state], ["done", "running"]);
});

test("what cannot be is refused with place and remedy, and leaves no trace", async (t) => {
  const s = await serve(t);
  const lot = (await s.get(`/api/lots/${LOT}/plan`)).json.lot;
  const stale = await s.post(`/api/lots/${LOT}/batches`, { revision: lot.revision + 1 });
  assert.equal(stale.status, 409, stale.text);
  const changed = await s.post(`/api/lots/${LOT}/batches`, { revision: lot.revision, load_kg: 300 });
  assert.equal(changed.status, 422);
  assert.match(changed.json.error.remedy, /save the changes/);
  const floor = await Floor.start(s, LOT);
  const twice = await s.post(`/api/lots/${LOT}/batches`, { revision: lot.revision });
  assert.equal(twice.status, 409);
  assert.equal(twice.json.error.value, floor.batchId);
  await floor.enter({ kind: "batch-begun" });
  for (const [entry, status, place] of [
    [{ kind: "nonsense" }, 422, "kind"],
    [{ kind: "batch-made" }, 422, "kind"],
    [{ kind: "step-begun" }, 422, "step"],
    [{ kind: "step-begun", step: "99.1" }, 404, "step"],
    [{ kind: "step-begun", step: "1.2" }, 409, "step"],
    [{ kind: "step-ended", step: "1.1" }, 409, "step"],
    [{ kind: "step-skipped", step: "1.1" }, 422, "text"],
    [{ kind: "reading", step: "1.1" }, 422, "value"],
    [{ kind: "reading", step: "1.1", value: 7 }, 409, "step"],
    [{ kind: "remark", text: "" }, 422, "text"],
    [{ kind: "remark", text: "x".repeat(2001) }, 422, "text"],
    [{ kind: "remark", text: "x", entry_id: "short" }, 422, "entry_id"],
    [{ kind: "remark", text: "x", device_utc_ms: -1 }, 422, "device_utc_ms"],
    [{ kind: "step-begun", step: "1.1", temp_c: 400 }, 422, "temp_c"],
    [{ kind: "batch-released" }, 409, "kind"],
    [{ kind: "interrupted" }, 422, "interrupt"],
    [{ kind: "resumed" }, 409, "kind"],
    [{ kind: "remedy-approved", step: "1.1", remedy_id: "x", of_seq: 1, steps: [] }, 409, null],
  ]) {
    const r = await floor.send(entry);
    assert.equal(r.status, status, `${JSON.stringify(entry)}: ${r.text}`);
    if (place) assert.equal(r.json.error.place, place, r.text);
    assert.ok(r.json.error.remedy, r.text);
  }
  assert.equal((await s.get(`/api/batches/${floor.batchId}/events`)).json.events.length, 2);
  const gone = await s.get("/api/batches/NONE.1");
  assert.equal(gone.status, 404);
});

test("an interruption stops the steps, a takeover changes hands, a poll that knows all is short", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  await floor.enter({ kind: "step-begun", step: "1.1" });
  await floor.enter({ kind: "interrupted", interrupt: "steam", text: "boiler" });
  assert.equal(floor.state.batch.state, "paused");
  assert.equal((await floor.send({ kind: "step-ended", step: "1.1" })).status, 409);
  await floor.enter({ kind: "taken-over" });
  await floor.enter({ kind: "resumed" });
  assert.equal(floor.state.batch.state, "running");
  await floor.enter({ kind: "step-ended", step: "1.1" });
  const short = (await s.get(`/api/batches/${floor.batchId}?after=${floor.state.batch.last_seq}`)).json;
  assert.equal(short.unchanged, true);
  assert.ok(!("steps" in short));
  assert.equal((await s.get(`/api/batches/${floor.batchId}?after=x`)).status, 422);
});

test("only one batch is on a machine", async (t) => {
  const s = await serve(t);
  const { lots } = (await s.get("/api/lots")).json;
  const first = await Floor.start(s, LOT);
  await first.enter({ kind: "batch-begun" });
  const other = lots.find((l) => l.lot_id !== LOT && l.machine_id === first.state.batch.machine_id && l.n_rolls > 0);
  assert.ok(other, "the demo has two lots of one machine");
  const second = await Floor.start(s, other.lot_id);
  const r = await second.send({ kind: "batch-begun" });
  assert.equal(r.status, 409);
  assert.equal(r.json.error.value, first.batchId);
  await first.enter({ kind: "batch-stopped", text: "torn" });
  await second.enter({ kind: "batch-begun" });
});

test("what was run teaches: right first time, and why not", async (t) => {
  const s = await serve(t);
  const chemicals = (await s.get("/api/tables/chemical")).text, scarce = chemicals.replace(/^(FIX,.*),12,/m, "$1,3,");
  assert.notEqual(scarce, chemicals);
  assert.equal((await s.csv("/api/tables/chemical", scarce)).status, 200);
  const paper = async (id) => execFileSync("pdftotext", ["-layout", "-", "-"], { input: Buffer.from(await (await fetch(`${s.base}/api/batches/${id}/report.pdf`)).arrayBuffer()) }).toString().split("\f").map((p) => p.replace(/\s+/g, " "));
  const before = (await s.get("/api/learn")).text;
  for (const [lot, accept] of [["L26-0101", false], ["L26-0105", true]]) {
    const floor = await Floor.start(s, lot);
    assert.match((await paper(floor.batchId))[0], /Not begun\. The batch is not over\./, "nothing has gone wrong so far");
    await floor.enter({ kind: "batch-begun" });
    if (accept) {
      const check = await floor.run((step) => step.kind === "check" && step.check.high !== null);
      const { event } = await floor.enter({ kind: "reading", step: check.key, value: check.check.high + 0.4 * (check.check.most - check.check.high) });
      await floor.enter({ kind: "decision", step: check.key, of_seq: event.seq, decision: "accept", text: "agreed" });
    }
    await floor.run();
    await floor.enter({ kind: "batch-released" });
  }
  const after = await s.get("/api/learn");
  assert.equal(after.status, 200, after.text.slice(0, 300));
  assert.notEqual(after.text, before);
  assert.ok(after.text.includes("S-302"), "the shade of the second lot");
  const report = (await s.get("/api/batches/L26-0105.1/report")).json;
  assert.deepEqual(report.summary.not_first.map((n) => n.id), ["accepted"]);
  assert.equal((await s.get("/api/batches/L26-0101.1/report")).json.summary.right_first, true);
  const pdf = await fetch(`${s.base}/api/batches/L26-0105.1/report.pdf`);
  assert.equal(pdf.headers.get("content-type"), "application/pdf");
  const pages = await paper("L26-0105.1");
  const read = report.readings.map((r) => r.check);
  assert.ok(read.includes("peroxide") && read.includes("ph"));
  for (const said of [/Residual peroxide [\d.]+ mg\/L at most 5 mg\/L/, /pH of the bath [\d.]+ \d+\.\d to \d+\.\d/, /Absorbency, drop test 5 ?s at most 5 s/, /interrupted 0 min/]) assert.match(pages[0], said, "the words and units of the card");
  assert.match(pages[0], /Weighed step material/, "no table waits for the next page while there is room");
  for (const page of pages.slice(0, -1)) assert.ok(page.includes("L26-0105.1") && !page.includes("\u2026"), "whose it is, and nothing cut");
  const found = (await s.get("/api/check")).json.findings;
  assert.ok(found.some((f) => / are needed, 0\.0 kg are in stock\.$/.test(f.message)), `more was weighed out than came in: there is none; ${found.map((f) => f.message).filter((m) => /stock/.test(m))}`);
  assert.ok(found.every((f) => /[.\w]$/.test(f.message) && !/ -\d.* in stock/.test(f.message)));
  const long = found.find((f) => f.message.startsWith("This fabric cannot meet"));
  assert.match(`${long.message} ${long.remedy}`, /tightest tolerance\. Ask the customer before dyeing\.$/, "nothing of it is cut");
  const lines = (await s.get("/api/record.jsonl")).text.trim().split("\n").map((l) => JSON.parse(l));
  assert.equal(lines.length, lines.at(-1).seq);
  const csv = (await s.get("/api/record.csv")).text;
  assert.equal(csv.trim().split("\n").length, lines.length + 1);
});

test("a failed peroxide check: the remedy is computed, approved, run, and the check read again", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run((step) => step.kind === "check" && step.check.kind === "peroxide");
  assert.ok(check, "the demo route has such a check");
  assert.equal((await s.get(`/api/batches/${floor.batchId}/remedies?step=${check.key}`)).status, 409, "nothing was read yet");
  const { event } = await floor.enter({ kind: "reading", step: check.key, value: 30 });
  const told = (await s.get(`/api/batches/${floor.batchId}/remedies?step=${check.key}`)).json;
  assert.equal(told.verdict, "correct", JSON.stringify(told).slice(0, 400));
  const best = told.remedies[0];
  assert.ok(best.steps.some((step) => step.items.some((item) => item.mass_mg > 0)), "something is given");
  const none = await floor.send({ kind: "remedy-approved", step: check.key, of_seq: event.seq, remedy_id: "none" });
  assert.equal(none.status, 404);
  await floor.enter({ kind: "remedy-approved", step: check.key, of_seq: event.seq, remedy_id: best.remedy_id });
  assert.equal(floor.state.batch.remedies, 1);
  assert.equal(floor.state.steps[floor.state.now].remedy_number, 1);
  const again = await floor.run((step) => step.key === check.key);
  assert.equal(again.state, "waiting");
  await floor.enter({ kind: "reading", step: check.key, value: 2 });
  assert.equal(floor.step(check.key).state, "done");
  await floor.run();
  assert.equal(floor.state.batch.state, "complete");
  assert.equal(floor.state.batch.right_first, false);
});

test("what a spreadsheet would reckon is disarmed in the record and the tables", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, "L26-0101");
  await floor.enter({ kind: "remark", text: "=1+1", entry_id: "-1+1-of-a-device".replaceAll("+", "_") });
  const record = (await s.get("/api/record.csv")).text;
  assert.ok(record.includes(`,"'-1_1-of-a-device",`), "an entry's number that begins like one");
  assert.doesNotMatch(record, /(^|,)"?[=+@-](?!\d+(,|$))/m, "no cell begins like a formula");
  const site = (await s.get("/api/tables/site")).text;
  const armed = site.replace("Alder Brook", "=Alder Brook");
  assert.notEqual(armed, site);
  assert.equal((await s.csv("/api/tables/site", armed)).status, 200);
  assert.equal((await s.get("/api/mill")).json.name.startsWith("=Alder Brook"), true);
  const out = (await s.get("/api/tables/site")).text;
  assert.ok(out.includes("'=Alder Brook"), out.slice(0, 400));
  assert.equal((await s.csv("/api/tables/site", out)).status, 200);
  assert.equal((await s.get("/api/tables/site")).text, out, "import takes the apostrophe away again");
});
