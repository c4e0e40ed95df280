// The heat of a batch as it was run: temperatures entered with the steps, in the lot report beside the plan's.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { Floor } from "./batch_kit.mjs";
import { serve } from "./server.mjs";

const LOT = "L26-0107";
const near = (got, want, tol, src) => assert.ok(Math.abs(got - want) <= tol, `got ${got}, want ${want} +- ${tol}; source: ${src}`);
const demo = (table, id) => {
  const [head, ...rows] = readFileSync(new URL(`../../data/demo/${table}.csv`, import.meta.url), "utf8").trim().split("\n").filter((l) => !l.startsWith("#")).map((l) => l.split(/,(?=(?:[^"]*"[^"]*")*[^"]*$)/));
  const row = rows.find((r) => !id || r[0] === id);
  return Object.fromEntries(head.map((k, i) => [k, row[i]]));
};

test("a ramp that ends 4 K hotter takes C x 4 K more steam, and the report says what was recorded", async (t) => {
  const s = await serve(t);
  const floor = await Floor.start(s, LOT);
  const { batch } = floor.state;
  await floor.enter({ kind: "batch-begun" });
  const heat = await floor.run((step) => step.kind === "heat" && step.state === "waiting");
  const at = (await s.get(`/api/batches/${floor.batchId}/report`)).json.summary;
  await floor.enter({ kind: "step-begun", step: heat.key, temp_c: heat.temp_start_c + 1 });
  const { event } = await floor.enter({ kind: "step-ended", step: heat.key, temp_c: heat.temp_end_c + 5 });
  const of = async () => (await s.get(`/api/batches/${floor.batchId}/report`)).json;
  let report = await of();
  const line = report.steps.find((l) => l.step === heat.key);
  const { steel_kg } = demo("machine", batch.machine_id), { steam_barg } = demo("site");
  const hfg = { 3: 2133.0, 4: 2107.6, 6: 2065.4, 8: 2030.1 }[steam_barg];
  assert.ok(hfg, `steam of ${steam_barg} bar`);
  const kjPerK = 1.34 * batch.load_kg + 4.18 * heat.liquor_l + 0.5 * Number(steel_kg);
  const ramp = heat.temp_end_c - heat.temp_start_c;
  near(line.planned_steam_kg, kjPerK * ramp / hfg, 2e-3 * line.planned_steam_kg, "D: m c dT / r of the plan");
  near(line.actual_steam_kg - line.planned_steam_kg, kjPerK * 4 / hfg, 2e-3 * kjPerK * 4 / hfg, "D: 4 K more");
  assert.deepEqual([line.planned_temp_begun_c, line.temp_begun_c, line.planned_temp_c, line.temp_ended_c, line.heat_from], [heat.temp_start_c, heat.temp_start_c + 1, heat.temp_end_c, heat.temp_end_c + 5, "record"]);
  near(report.summary.actual_steam_kg - at.actual_steam_kg, line.actual_steam_kg, 1e-6, "D: what is still to come takes none");
  near(report.summary.actual_heat_mj * 1000 / report.summary.actual_steam_kg, hfg, 0.2, "S: IAPWS-IF97, heat of the steam");
  assert.equal(report.summary.heating_steps_recorded, 1);

  await floor.enter({ kind: "corrected", of_seq: event.seq, field: "temp_c", is: String(heat.temp_end_c + 1), text: "misread" });
  report = await of();
  near(report.steps.find((l) => l.step === heat.key).actual_steam_kg, line.planned_steam_kg, 1e-6, "D: 1 K hotter at both ends");

  await floor.run();
  report = await of();
  const { summary } = report;
  assert.ok(report.steps.some((l) => l.heat_from === "plan") && report.steps.every((l) => (l.actual_steam_kg === null) === (l.heat_from === null)));
  assert.ok(report.steps.filter((l) => l.step !== heat.key).every((l) => l.temp_ended_c === null), "blank where nobody entered one");
  near(summary.actual_steam_kg, report.steps.reduce((sum, l) => sum + (l.actual_steam_kg ?? 0), 0), 1e-6 * summary.actual_steam_kg, "D: of the steps");
  near(summary.planned_steam_kg, report.steps.reduce((sum, l) => sum + l.planned_steam_kg, 0), 1e-6 * summary.planned_steam_kg, "D: of the steps");
  assert.equal(summary.heating_steps, report.steps.filter((l) => l.heat_from).length);
  assert.equal(summary.heating_steps_recorded, 1);
  assert.deepEqual([summary.water_steps_run, summary.actual_water_l], [summary.water_steps, summary.planned_water_l]);
  const pdf = Buffer.from(await (await fetch(`${s.base}/api/batches/${floor.batchId}/report.pdf`)).arrayBuffer());
  const paper = execFileSync("pdftotext", ["-layout", "-", "-"], { input: pdf }).toString().replace(/\s+/g, " ");
  assert.ok(paper.includes(`Steam: ${summary.heating_steps} steps took it; of 1 the temperature was recorded`), paper.slice(0, 800));
  assert.ok(paper.includes(`${(heat.temp_start_c + 1).toFixed(0)} to ${(heat.temp_end_c + 1).toFixed(0)} (${heat.temp_end_c.toFixed(0)})`), "degC as recorded and corrected, and as planned");
  const section = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8").split("### GET /api/batches/{id}/report\n")[1].split("\n### ")[0];
  for (const key of ["planned_steam_kg", "actual_steam_kg", "planned_heat_mj", "actual_heat_mj", "heating_steps", "heating_steps_recorded", "water_steps", "water_steps_run", "heat_from", "planned_temp_begun_c"]) assert.ok(section.includes(`\`${key}\``), key);
});
