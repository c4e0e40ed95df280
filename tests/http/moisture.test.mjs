// Moisture behind the stenter: the hold point of a batch after the unloading, its remedies, the lot report.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { test } from "node:test";
import { Floor } from "./batch_kit.mjs";
import { serve } from "./server.mjs";

const LOT = "L26-0111"; // its route checks the moisture behind the stenter
const near = (got, want, tol, src) => assert.ok(Math.abs(got - want) <= tol, `got ${got}, want ${want} +- ${tol}; source: ${src}`);
const isMoisture = (step) => step.kind === "check" && step.check.kind === "moisture";

// What the run takes of the oven, kg/kg: docs/methods/hold-points.md#moisture.
const takes = (from, to) => Math.max(from - Math.max(0.25, to), 0) + (to < 0.25 ? 0.24 * Math.log((Math.min(from, 0.25) - 0.01) / (to - 0.01)) : 0);

test("too wet: dried again by the reading; too dry: takes moisture; in the lot report", async (t) => {
  const s = await serve(t);
  const plan = (await s.get(`/api/lots/${LOT}/plan`)).json;
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run(isMoisture);
  assert.ok(check, "the route has the check in its pass");
  assert.deepEqual([check.check.low, check.check.high, check.check.unit], [6, 9, "%"]);
  const stenter = plan.finish.passes.find((p) => p.kind === "stenter");
  near(check.check.expected, stenter.behind.moisture_pct.value, 1e-9, "O: the plan");
  assert.equal(floor.state.steps.at(-1).key, check.key, "behind everything in the vessel");
  assert.equal(floor.state.baths.at(-1).name, "Finishing");
  const hall = (await s.get("/api/batches")).json;
  const machine = hall.machines.find((m) => m.machine_id === hall.batches[0].machine_id);
  assert.deepEqual([hall.batches[0].unloaded, machine.batch_id], [true, null], "off the machine, which is free");
  const none = await floor.send({ kind: "reading", step: check.key, value: 301 });
  assert.equal(none.status, 422);
  assert.match(none.json.error.allowed, /0 to 300/);

  const { event } = await floor.enter({ kind: "reading", step: check.key, value: 14, instrument: "meter 2" });
  const told = (await s.get(`/api/batches/${floor.batchId}/remedies?step=${check.key}`)).json;
  assert.equal(told.verdict, "correct", JSON.stringify(told).slice(0, 600));
  assert.deepEqual(told.remedies.map((r) => r.remedy_id), ["dry-again", "dry-speed"]);
  const [again, speed] = told.remedies;
  near(again.expected.value, 7, 1e-9, "D: what the plan foresees");
  const water = plan.finish.finished_kg.value / 1.085 * (14 - 7) / 100;
  assert.ok(again.words.startsWith(`${water.toFixed(1)} kg of water off`), again.words);
  const dewatered = plan.finish.passes[plan.finish.passes.indexOf(stenter) - 1].behind.moisture_pct.value / 100;
  const planned = stenter.set.speed_m_per_min.value, oven = speed.why.find((w) => w.rule === "drying-speed-by-reading");
  assert.ok(oven.working.startsWith(`${takes(dewatered, 0.14).toFixed(3)} kg/kg at ${planned.toFixed(1)} m/min; ${takes(dewatered, 0.07).toFixed(3)} kg/kg`), oven.working);
  assert.ok(again.why.every((w) => /^hold-points\.md#moisture$/.test(w.anchor)));
  assert.equal(again.steps[0].items.length, 0);

  await floor.enter({ kind: "remedy-approved", step: check.key, of_seq: event.seq, remedy_id: "dry-again" });
  await floor.run(isMoisture);
  const dry = await floor.enter({ kind: "reading", step: check.key, value: 4 });
  const back = (await s.get(`/api/batches/${floor.batchId}/remedies?step=${check.key}`)).json;
  assert.deepEqual(back.remedies.map((r) => r.remedy_id), ["take-moisture", "steam"], "no speed: what it came with is not the plan's any more");
  near(back.remedies[0].expected.value, 7.5 - 3.5 / 16, 1e-9, "D: half the way an hour, four hours");
  near(back.remedies[1].expected.value, 7, 1e-9, "D: as planned");
  await floor.enter({ kind: "remedy-approved", step: check.key, of_seq: dry.event.seq, remedy_id: "take-moisture" });
  await floor.run(isMoisture);
  await floor.enter({ kind: "reading", step: check.key, value: 7.2, instrument: "oven balance" });
  assert.equal(floor.state.batch.state, "complete");
  assert.equal(floor.state.batch.right_first, false);
  const report = (await s.get(`/api/batches/${floor.batchId}/report`)).json;
  const readings = report.readings.filter((r) => r.check === "moisture");
  assert.deepEqual(readings.map((r) => [r.value, r.inside]), [[14, false], [4, false], [7.2, true]]);
  const pdf = Buffer.from(await (await fetch(`${s.base}/api/batches/${floor.batchId}/report.pdf`)).arrayBuffer());
  const paper = execFileSync("pdftotext", ["-layout", "-", "-"], { input: pdf }).toString().replace(/\s+/g, " ");
  for (const said of [/Moisture, on bone dry 14 % 6 to 9 % Remedy approved/, /Moisture, on bone dry 7\.2 % 6 to 9 % Passed/, /Dry again, 1 step before/]) assert.match(paper, said);
});

test("the route has it in its pass", async (t) => {
  const s = await serve(t);
  const { json } = await s.get("/api/routes/R-HOT80");
  const route = json.route ?? json;
  const stenter = route.passes.find((p) => p.check);
  assert.deepEqual([stenter.kind, stenter.check.kind, stenter.check.low], ["stenter", "moisture", 6]);
});
