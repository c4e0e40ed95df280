// The shade check of a batch: the sample measured, its difference in the record, what is to be added,
// the addition weighed and run, the check read again. The demo laboratory is invented.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { test } from "node:test";
import { entryId, Floor } from "./batch_kit.mjs";
import { serve } from "./server.mjs";
import { calibrate, cutting, file, LOT, posted, RECIPE, SUBSTRATE } from "./shade_kit.mjs";

const near = (got, want, off, what) => assert.ok(Math.abs(got - want) <= off, `${what}: ${got}, not ${want}`);
const isShade = (step) => step.kind === "check" && step.check.kind === "shade";
const SAMPLES = "/api/laboratory/samples";

async function atTheCheck(t, lot = LOT, before = calibrate) {
  const s = await serve(t);
  await before(s);
  const floor = await Floor.start(s, lot);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run(isShade);
  assert.ok(check, "the demo route has a shade check");
  const measure = async (sample) => floor.enter({ kind: "reading", step: check.key, sample });
  const remedies = async () => (await s.get(`/api/batches/${floor.batchId}/remedies?step=${check.key}`)).json;
  const again = async () => floor.enter({ kind: "decision", step: check.key, of_seq: floor.step(check.key).reading_seq, decision: "repeat" });
  const approve = (remedy_id) => floor.send({ kind: "remedy-approved", step: check.key, of_seq: floor.step(check.key).reading_seq, remedy_id });
  return { s, floor, check, measure, remedies, again, approve };
}

test("off the shade: measured, corrected by an addition that is weighed and run, measured again, passed", async (t) => {
  const { s, floor, check, measure, remedies, approve } = await atTheCheck(t);
  const pale = await cutting(s, [0.85, 1, 1]);
  const { event } = await measure(posted(pale));
  const held = floor.step(check.key);
  assert.equal(floor.state.batch.state, "held");
  assert.equal(held.in_limits, false);
  assert.ok(held.reading > check.check.high);
  near(held.measured.difference, held.reading, 1e-4, "shown is what was stored");
  assert.equal(held.measured.standard_id, "S-212.standard");
  assert.match(held.measured.caption, /D65.*CMC\(2:1\)/);
  assert.notEqual(held.measured.standard.swatch, held.measured.sample.swatch);
  assert.equal(event.measured.sample.reflectance.length, 31);
  event.measured.sample.reflectance.forEach((v, i) => near(100 * v, pale[i], 1e-9, "as measured"));
  const d = held.measured;
  near(Math.hypot(d.dl, d.da, d.db), Math.hypot(d.dl, d.dc, d.dh), 1e-3, "D: the parts are one difference");

  const told = await remedies();
  assert.equal(told.verdict, "correct", JSON.stringify(told).slice(0, 500));
  assert.equal(told.correction.way, "add");
  assert.equal(told.correction.substrate, SUBSTRATE, "that of the dip that was approved");
  const yellow = told.correction.dyes.find((x) => x.dye_id === "RG-1");
  near(yellow.dyed_pct_owf, RECIPE["RG-1"], 1e-5, "D: as it was weighed");
  near(yellow.strength_pct, 85, 2.5, "I: the sample was made so");
  const missing = (0.15 / 0.85) * RECIPE["RG-1"];
  near(yellow.add_pct_owf, missing, 0.15 * missing, "I: what is missing, of a dye that works like 85 %");
  const [best] = told.remedies;
  assert.equal(best.remedy_id, "shade-add");
  assert.equal(best.approve, "technologist", "P: up to 10 % of the depth");
  assert.ok(best.expected.value < 0.1 && best.minutes > 60);
  assert.deepEqual(best.why.map((x) => x.rule), ["shading-addition", ...best.why.slice(1).map(() => "addition-kg")]);
  const [given] = best.steps.flatMap((step) => step.items);
  const kg = (yellow.add_pct_owf / 100) * floor.state.batch.load_kg;
  const strength = (best.steps.flatMap((x) => x.items).find((x) => x.material_id === "RG-1").mass_mg / 1e6 / kg);
  assert.ok(strength > 0.2 && strength <= 1.2, `D: kg on the load over the strength of the product: ${strength}`);
  assert.equal(given.dye, true);

  assert.equal((await approve("shade-add")).status, 200);
  await floor.enter({ kind: "remark", text: "the addition is approved" });
  const queued = (await s.get("/api/weighing")).json.items.filter((x) => x.step.startsWith("R1."));
  assert.ok(queued.some((x) => x.material_id === "RG-1" && x.state === "to-weigh" && x.tolerance_mg > 0), "the weigh room has it");
  const dose = floor.state.steps.find((x) => x.remedy_number === 1 && x.items.length > 0);
  await floor.run((step) => step.key === dose.key);
  const unweighed = await floor.send({ kind: "step-begun", step: dose.key });
  assert.equal(unweighed.status, 409);
  assert.match(unweighed.json.error.message, /weighed/);
  const back = await floor.run(isShade);
  assert.equal(back.key, check.key);
  await measure(posted(await cutting(s, [1, 1, 1])));
  assert.equal(floor.step(check.key).state, "done");
  await floor.run();
  assert.equal(floor.state.batch.state, "complete");
  await floor.enter({ kind: "batch-released" });

  const report = (await s.get(`/api/batches/${floor.batchId}/report`)).json;
  assert.deepEqual(report.summary.not_first.map((x) => x.id), ["remedy"]);
  const readings = report.readings.filter((x) => x.step === check.key);
  assert.deepEqual(readings.map((x) => x.inside), [false, true]);
  assert.ok(readings[0].measured.difference > 1 && readings[1].measured.difference < 0.2);
  assert.ok(report.weighings.some((x) => x.step === dose.key && x.weighed_kg > 0));
  const { events } = (await s.get(`/api/batches/${floor.batchId}/events`)).json;
  assert.equal(events.find((x) => x.kind === "remedy-approved").remedy_id, "shade-add");
  const pdf = Buffer.from(await (await fetch(`${s.base}/api/batches/${floor.batchId}/report.pdf`)).arrayBuffer());
  const paper = execFileSync("pdftotext", ["-layout", "-", "-"], { input: pdf }).toString().replace(/\s+/g, " ");
  for (const said of [/Shading addition, \d+ steps before/, /Measured: cutting against S-212\.standard, D65/, /dL\* 0[.,]/]) assert.match(paper, said);
  let hash = Buffer.alloc(32);
  for (const e of events) {
    // docs/methods/record.md
    const { seq, batch_id, kind, words, at_utc_ms, device_utc_ms = 0, happened_utc_ms, by, entry_id, hash: told_, ...body } = e;
    hash = createHash("sha256").update(hash).update([seq, batch_id, kind, at_utc_ms, device_utc_ms, happened_utc_ms, by, entry_id, JSON.stringify(body)].map((x) => `${x}\n`).join("")).digest();
    assert.equal(hash.toString("hex"), told_, `event ${seq}`);
  }
});

test("a sample of the laboratory: only of this lot; sent again it is the same entry", async (t) => {
  const { s, floor, check, remedies, again } = await atTheCheck(t);
  const curve = await cutting(s, [0.85, 0.95, 0.9]);
  const bulk = async (lot_id, sample_id) => {
    const r = await s.post(SAMPLES, { file: file({ a: curve }), substrate: SUBSTRATE, specular: "included", as: [{ sample: "a", kind: "bulk", lot_id, sample_id }] });
    assert.equal(r.status, 200, r.text);
  };
  await bulk(LOT, "CUT-1");
  await bulk(LOT, "CUT-2");
  await bulk("L26-0106", "CUT-OTHER");
  const entry = (sample_id) => ({ kind: "reading", step: check.key, sample: { sample_id } });
  for (const [id, status] of [["CUT-9", 404], ["CUT-OTHER", 409], ["S-212.2A.sample", 409]]) {
    const r = await floor.send(entry(id));
    assert.equal(r.status, status, r.text);
    assert.equal(r.json.error.place, "sample.sample_id");
    assert.ok(r.json.error.remedy);
  }
  const once = { entry_id: entryId(), ...entry("CUT-1") };
  const first = await floor.send(once), second = await floor.send(once);
  assert.deepEqual([first.status, first.json.again, second.status, second.json.again], [200, false, 200, true]);
  assert.equal(second.json.event.seq, first.json.event.seq);
  assert.equal((await floor.send({ ...once, sample: { sample_id: "CUT-2" } })).status, 409);
  assert.equal((await remedies()).measured.sample_id, "CUT-1");
  const fixed = await floor.send({ kind: "corrected", of_seq: first.json.event.seq, field: "value", is: "0.1", value: 0.1, text: "mistyped" });
  assert.equal(fixed.status, 409, "a difference that was reckoned is not typed over");
  floor.state = second.json.state;
  await again();
  const byFile = { entry_id: entryId(), kind: "reading", step: check.key, sample: posted(curve) };
  const sent = await floor.send(byFile), resent = await floor.send(byFile);
  assert.deepEqual([sent.status, resent.status, resent.json.again], [200, 200, true], resent.text);
  assert.equal((await floor.send({ ...byFile, sample: posted(await cutting(s, [1, 1, 1])) })).status, 409, "another curve");
  assert.equal((await floor.send({ ...byFile, step: "1.1" })).status, 409, "another step");
});

test("two additions, and no third", async (t) => {
  const { s, floor, check, measure, remedies, approve } = await atTheCheck(t);
  for (const made of [0, 1]) {
    await measure(posted(await cutting(s, [0.82, 1, 1])));
    const told = await remedies();
    assert.equal(told.correction.additions_made, made);
    assert.equal(told.remedies[0].remedy_id, "shade-add", JSON.stringify(told.missing));
    assert.match(told.remedies[0].words, new RegExp(`addition ${made + 1} of at most 2`));
    assert.equal((await approve("shade-add")).status, 200);
    floor.state = (await s.get(`/api/batches/${floor.batchId}`)).json;
    await floor.run(isShade);
  }
  await measure(posted(await cutting(s, [0.82, 1, 1])));
  const told = await remedies();
  assert.equal(told.verdict, "stop");
  assert.match(told.words, /Two additions are made/);
  assert.ok(told.missing.some((x) => /Shading addition: 2 are made/.test(x)), told.missing.join());
  assert.ok(told.remedies.every((x) => x.remedy_id !== "shade-add") && told.remedies.some((x) => x.remedy_id === "strip-part"));
  const third = await approve("shade-add");
  assert.equal(third.status, 404);
  assert.match(third.json.error.message, /2 are made/);
  const yellow = told.correction.dyes.find((x) => x.dye_id === "RG-1");
  assert.ok(yellow.dyed_pct_owf > 1.3 * RECIPE["RG-1"], "both additions count as dyed");
  assert.equal((await approve("strip-part")).status, 200);
  floor.state = (await s.get(`/api/batches/${floor.batchId}`)).json;
  await floor.run(isShade);
  await measure(posted(await cutting(s, [0.7, 0.8, 0.8])));
  const after = await remedies();
  assert.equal(after.correction, null);
  assert.match(after.correction_missing.message, /colour was taken off/);
  assert.equal(floor.step(check.key).state, "running");
});

test("darker and pale of another hue: colour off, with what it takes", async (t) => {
  const { s, measure, remedies, again } = await atTheCheck(t);
  await measure(posted(await cutting(s, [1.3, 1.3, 1.3])));
  const told = await remedies();
  assert.equal(told.verdict, "stop");
  assert.deepEqual(told.remedies.map((x) => x.approve).filter((x) => x !== "quality"), []);
  assert.ok(told.remedies.some((x) => x.remedy_id === "strip-full" && x.water_l > 0 && x.minutes > 60));
  await again();
  await measure(posted(await cutting(s, [0.5, 0.6, 0.6])));
  const far = await remedies();
  assert.ok(far.remedies.every((x) => x.remedy_id !== "shade-add"));
  assert.match(far.words, /fifth of the depth/);
});

test("a difference typed as a number: yes or no, and what is missing", async (t) => {
  const { floor, check, remedies } = await atTheCheck(t);
  await floor.enter({ kind: "reading", step: check.key, value: 1.6 });
  assert.equal(floor.step(check.key).measured, null);
  const told = await remedies();
  assert.deepEqual([told.verdict, told.measured, told.correction, told.remedies.length], ["stop", null, null, 0]);
  assert.deepEqual(told.missing, ["The measurement of the sample with its recipe"]);
});

test("dyes without ladders: the difference is there, and why no correction is", async (t) => {
  // sunflower is dyed with dyes that the demo laboratory has no ladders of
  const standard = async (s) => {
    const grey = Array.from({ length: 31 }, (_, i) => 10 + i);
    const r = await s.post(SAMPLES, { file: file({ a: grey }), specular: "included", as: [{ sample: "a", kind: "standard", shade_id: "S-206" }] });
    assert.equal(r.status, 200, r.text);
  };
  const { floor, check, measure, remedies } = await atTheCheck(t, "L26-0121", standard);
  await measure(posted(Array.from({ length: 31 }, (_, i) => 15 + 1.4 * i)));
  const told = await remedies();
  assert.ok(told.measured.difference > 1);
  assert.equal(told.correction, null);
  assert.equal(told.correction_missing.place, "recipe");
  assert.match(told.correction_missing.message, /no ladder of this dye/);
  assert.ok(told.correction_missing.remedy);
  assert.equal(told.verdict, "stop");
  assert.match(told.missing[0], /ladder/);
  await floor.enter({ kind: "decision", step: check.key, of_seq: floor.step(check.key).reading_seq, decision: "accept", text: "agreed with the customer" });
  assert.equal(floor.step(check.key).state, "done");
});

test("what no sample can be: place, and what to do", async (t) => {
  const { s, floor, check, measure } = await atTheCheck(t);
  const curve = await cutting(s, [1, 1, 1]);
  const lab = { name: "lab.csv", text: "name,L,a,b\ncutting,60,-5,8\n" };
  const cgats = { name: "lab.txt", text: "CGATS.17\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\ncutting 60 -5 8\nEND_DATA\n" };
  const send = (sample, more = {}) => floor.send({ kind: "reading", step: check.key, sample, ...more });
  for (const [answer, status, place] of [
    [await send({}), 422, "sample"],
    [await send({ sample_id: "X", file: file({ a: curve }) }), 422, "sample"],
    [await send(posted(curve), { value: 1 }), 422, "value"],
    [await floor.send({ kind: "remark", text: "x", sample: posted(curve) }), 422, "sample"],
    [await floor.send({ kind: "reading", step: check.key, value: 1, measured: {} }), 422, "measured.sample"],
    [await send({ file: lab, specular: "included" }), 422, "lab.csv:1"],
    [await send({ file: cgats, specular: "included" }), 404, "sample.file"],
    [await send({ file: file({ a: curve }) }), 409, "sample.specular"],
    [await send({ file: file({ a: curve }), specular: "excluded" }), 409, "sample.specular"],
    [await send({ file: file({ a: curve, b: curve.map((v) => v + 1) }), specular: "included" }), 409, /^sample\.sample/],
    [await send({ file: file({ a: curve }), sample: "b", specular: "included" }), 404, /^sample\.sample/],
    [await send(posted(curve.map((_, i) => (i < 18 ? 3 : 80)))), 422, "sample"],
    [await send(posted(curve.map((v, i) => (i === 3 ? -4 : v)))), 422, /cutting\.csv/],
    [await send({ file: { name: "x", text: "nothing" }, specular: "included" }), 422, /^x/],
    [await send(posted(curve), { x: 1 }), 422, "x"],
    [await send({ ...posted(curve), glossy: true }), 422, "sample.glossy"],
  ]) {
    assert.equal(answer.status, status, answer.text.slice(0, 300));
    if (place instanceof RegExp) assert.match(answer.json.error.place, place, answer.text);
    else assert.equal(answer.json.error.place, place, answer.text);
    assert.ok(answer.json.error.remedy, answer.text);
  }
  assert.equal(floor.step(check.key).reading_seq, 0, "nothing of it was stored");
  await measure(posted(curve));
  assert.equal(floor.step(check.key).in_limits, true);
});

test("no other check takes a sample, and a shade without a measured standard none", async (t) => {
  const s = await serve(t);
  await calibrate(s);
  const curve = await cutting(s, [1, 1, 1]);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const ph = await floor.run((step) => step.kind === "check");
  const r = await floor.send({ kind: "reading", step: ph.key, sample: posted(curve) });
  assert.equal(r.status, 409);
  assert.equal(r.json.error.place, "sample");
  const other = await Floor.start(s, "L26-0116"); // coral has no standard in the demo laboratory
  await other.enter({ kind: "batch-begun" });
  const check = await other.run(isShade);
  const none = await other.send({ kind: "reading", step: check.key, sample: posted(curve) });
  assert.equal(none.status, 404, none.text);
  assert.equal(none.json.error.place, "sample");
  assert.match(none.json.error.remedy, /laboratory|number/);
  await other.enter({ kind: "reading", step: check.key, value: 0.4 });
  assert.equal(other.step(check.key).state, "done");
});
