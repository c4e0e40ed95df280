// The laboratory in the mill: samples out of files, dips through their states, recipes of shades, and
// questions about recipes asked of them. The demo mill's laboratory is invented.
import assert from "node:assert/strict";
import { test } from "node:test";
import { serve } from "./server.mjs";

const SUBSTRATE = "J18-ISO60";
const SAMPLES = "/api/laboratory/samples";
const DIPS = "/api/laboratory/dips";
const near = (got, want, off, what) => assert.ok(Math.abs(got - want) <= off, `${what}: ${got}, not ${want}`);
const NM = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
/** A file of grey slopes, one a name. */
const file = (...names) => ({ name: "run.csv", text: `name,${NM.join(",")}\n${names.map((n, k) => `${n},${NM.map((_, i) => (20 + (k + 1) * 0.3 * i).toFixed(2)).join(",")}\n`).join("")}` });

async function laboratory(t) {
  const s = await serve(t);
  const list = async () => (await s.get("/api/laboratory")).json;
  const shade = async (id) => (await list()).shades.find((x) => x.shade_id === id);
  const dip = async (id) => (await list()).shades.flatMap((x) => x.dips).find((d) => d.dip_id === id);
  return { s, list, shade, dip };
}
const refused = (r, status, place, what) => {
  assert.equal(r.status, status, `${what ?? ""} ${r.text.slice(0, 300)}`);
  assert.equal(r.json.error.place, place, r.text.slice(0, 300));
};

test("the list: ladders, standards and dips of the demo mill", async (t) => {
  const { list } = await laboratory(t);
  const { substrates, samples, shades } = await list();
  assert.deepEqual(substrates.map((x) => [x.substrate, x.cloth, x.rungs, x.specular, x.dyes.length]), [[SUBSTRATE, `${SUBSTRATE}.cloth`, 48, "included", 8]]);
  assert.deepEqual(substrates[0].dyes[0].depths_pct_owf, [0.1, 0.3, 1, 2, 4, 6]);
  near(substrates[0].dyes[0].most_pct_owf, 7.5, 1e-12, "D: a quarter beyond 6");
  assert.equal(samples.length, 61);
  assert.ok(samples.every((x) => /^#[0-9a-f]{6}$/.test(x.colour.swatch)));
  assert.equal(shades.length, 35);
  for (const x of shades.filter((y) => y.standard)) {
    const { colour } = samples.find((y) => y.sample_id === x.standard);
    for (const k of ["l", "a", "b"]) near(colour[k], x[k], 0.02, `I: made for the colour of ${x.shade_id}, ${k}`);
  }
  const dips = shades.flatMap((x) => x.dips);
  assert.deepEqual(dips.map((d) => [d.dip_id, d.state, d.within]), [
    ["S-201.1A", "made", null], ["S-203.1A", "made", false], ["S-205.1A", "rejected", false], ["S-205.2A", "submitted", true],
    ["S-205.2B", "made", true], ["S-212.1A", "rejected", false], ["S-212.1B", "rejected", false], ["S-212.2A", "approved", true]]);
  assert.deepEqual(dips.map((d) => d.may.join(" ")), ["submitted rejected", "submitted rejected", "", "approved rejected", "submitted rejected", "", "", "rejected"]);
  const sage = shades.find((x) => x.shade_id === "S-212");
  assert.equal(sage.recipe, "RG-1=0.34,RR-1=0.12,RB-1=0.33");
  assert.deepEqual(shades.filter((x) => x.lots_running.length > 0).map((x) => x.shade_id).includes("S-204"), true);
});

test("questions about recipes take their samples from the mill, and answer as with files", async (t) => {
  const { s } = await laboratory(t);
  const ask = (q, from = { substrate: SUBSTRATE, shade: "S-212" }) => s.post("/api/recipe", { ...q, from });
  const files = (await s.get("/api/laboratory/demo")).json.files;
  const recipe = "RG-1=0.1,RR-1=0.03,RB-1=0.08";
  const a = (await ask({ do: "predict", recipe })).json, b = (await s.post("/api/recipe", { do: "predict", recipe, files })).json;
  a.curves.predicted.forEach((v, i) => near(v, b.curves.predicted[i], 1e-9, "the same ladders"));
  near(a.result.cost_per_kg, b.result.cost_per_kg, 1e-12, "prices of the mill in its currency");
  const again = (await ask({ do: "predict", recipe })).json; // the fitted surface is kept
  assert.deepEqual(again, a);
  const c = (await ask({ do: "calibrate" })).json;
  assert.deepEqual(c.result.rungs.filter((r) => r.verdict !== "good").map((r) => r.sample), [`${SUBSTRATE}.RS-1.2`]);
  assert.ok(c.laboratory.samples.every((x) => x.file === "mill"));
  assert.deepEqual(c.laboratory.samples.filter((x) => x.kind === "other").map((x) => x.name), ["S-212.1A.sample", "S-212.1B.sample", "S-212.2A.sample", "S-212.standard"]);
  const f = (await ask({ do: "find" })).json;
  assert.equal(f.result.tolerance, 0.8);
  const made = f.found.recipes.find((r) => r.dyes.map((d) => d.dye_id).sort().join() === "RB-1,RG-1,RR-1");
  for (const [dye, dose] of [["RG-1", 0.0893], ["RR-1", 0.0342], ["RB-1", 0.0838]]) near(made.dyes.find((d) => d.dye_id === dye).depth_pct_owf, dose, 0.03 * dose, "I: near what the standard was made with");
  const k = (await ask({ do: "correct", sample: "Sage grey 1A", recipe: "RG-1=0.1,RR-1=0.0325,RB-1=0.0838", tolerance: 1.5 })).json;
  assert.equal(k.result.tolerance, 1.5);
  near(k.result.before.difference, 2.2, 0.05, "I");
  const d = await s.post("/api/recipe", { do: "dispense", recipe, sample_g: 5, ratio_l_per_kg: 10, from: { substrate: SUBSTRATE } });
  assert.equal(d.status, 200, d.text);
  // a new rung is seen at once
  await s.post(SAMPLES, { file: file("RT-1@0.5"), substrate: SUBSTRATE, specular: "included" });
  assert.equal((await ask({ do: "calibrate" }, { substrate: SUBSTRATE })).json.laboratory.dyes.length, 9);
});

test("what a question to the mill cannot mean", async (t) => {
  const { s } = await laboratory(t);
  const ask = (q, from) => s.post("/api/recipe", { ...q, from });
  refused(await ask({ do: "calibrate" }, { substrate: "J19" }), 404, "from.substrate");
  refused(await ask({ do: "calibrate" }, { substrate: SUBSTRATE, shade: "S-999" }), 404, "from.shade");
  refused(await ask({ do: "find" }, { substrate: SUBSTRATE, shade: "S-301" }), 404, "standard");
  refused(await ask({ do: "find" }, { substrate: SUBSTRATE }), 404, "standard");
  refused(await ask({ do: "calibrate" }, { substrate: SUBSTRATE, shade: "S-601" }), 404, "from.substrate", "no vat dye has a ladder");
  refused(await ask({ do: "predict", recipe: "VB-1=1" }, { substrate: SUBSTRATE, shade: "S-212" }), 404, "recipe");
  refused(await ask({ do: "predict", recipe: "RG-1=1" }, {}), 422, "from.substrate");
  refused(await ask({ do: "predict", recipe: "RG-1=1" }, { substrate: SUBSTRATE, lot: 1 }), 422, "from.lot");
  refused(await ask({ do: "guess" }, { substrate: SUBSTRATE }), 422, "do");
  refused(await s.post("/api/recipe", { do: "predict", recipe: "RG-1=1", from: { substrate: SUBSTRATE }, files: { spectra: file("a") } }), 422, "from");
});

test("samples: by their names, by a list, averaged, replaced", async (t) => {
  const { s, list, dip } = await laboratory(t);
  const base = { substrate: SUBSTRATE, specular: "included", measured: "2026-11-20" };
  const sample = async (id) => (await list()).samples.find((x) => x.sample_id === id);
  let r = await s.post(SAMPLES, { ...base, file: file("RT-1@0.5", "RT-1@1", "RT-1@1") });
  assert.equal(r.status, 200, r.text);
  assert.deepEqual(r.json.samples.map((x) => [x.sample_id, x.kind, x.dye_id, x.depth_pct_owf, x.measured]), [
    [`${SUBSTRATE}.RT-1.0.5`, "rung", "RT-1", 0.5, "2026-11-20"], [`${SUBSTRATE}.RT-1.1`, "rung", "RT-1", 1, "2026-11-20"]]);
  const csv = (await s.get("/api/tables/lab_reading")).text;
  assert.match(csv, /\nJ18-ISO60\.RT-1\.1,410,20\.75\n/, "D: mean of 20.6 and 20.9");
  r = await s.post(SAMPLES, { ...base, file: file("x", "y", "z"), as: [{ sample: "x", kind: "dip", dip_id: "S-201.1A", remark: "dry" }, { sample: "z", kind: "bulk", lot_id: "L26-0106" }] });
  assert.equal(r.status, 200, r.text);
  assert.deepEqual(r.json.left_out, ["y"]);
  assert.deepEqual(r.json.samples.map((x) => [x.sample_id, x.shade_id, x.lot_id]), [["S-201.1A.sample", "S-201", ""], ["L26-0106.bulk", "S-204", "L26-0106"]]);
  const d = await dip("S-201.1A");
  assert.equal(d.sample_id, "S-201.1A.sample");
  assert.equal(d.revision, 2);
  assert.ok(d.difference > 5 && d.within === false);
  // a standard is measured on what it is, not on the substrate
  r = await s.post(SAMPLES, { file: file("x"), as: [{ sample: "x", kind: "standard", shade_id: "S-301", name: "Bottle" }] });
  assert.deepEqual(r.json.samples.map((x) => [x.sample_id, x.name, x.substrate, x.specular]), [["S-301.standard", "Bottle", "", "unknown"]]);
  // what was measured with the gloss treated otherwise is not held against it
  await s.post(DIPS, { shade_id: "S-301", substrate: SUBSTRATE, recipe: "RB-1=1" });
  await s.post(SAMPLES, { ...base, file: file("x"), as: [{ sample: "x", kind: "dip", dip_id: "S-301.1A" }] });
  const unlike = await dip("S-301.1A");
  assert.deepEqual([unlike.sample_id, unlike.difference, unlike.within], ["S-301.1A.sample", null, null]);
  assert.ok(unlike.colour.l > 0);
  // a new substrate begins with its cloth
  r = await s.post(SAMPLES, { substrate: "I20 ISO 60", file: file("cloth", "RB-1@1") });
  assert.deepEqual(r.json.samples.map((x) => x.sample_id), ["I20-ISO-60.cloth", "I20-ISO-60.RB-1.1"]);
  assert.equal((await list()).substrates.length, 2);
  // again
  const more = { ...base, file: file("a", "x"), as: [{ sample: "x", kind: "dip", dip_id: "S-201.1A" }] };
  refused(await s.post(SAMPLES, more), 409, "as[0].sample_id");
  r = await s.post(SAMPLES, { ...more, replace: true });
  assert.equal(r.status, 200, r.text);
  assert.notEqual((await dip("S-201.1A")).difference, d.difference);
  assert.equal((await sample("S-201.1A.sample")).remark, "");
});

test("samples are refused whole, with every fault", async (t) => {
  const { s, list } = await laboratory(t);
  const before = await list();
  const base = { substrate: SUBSTRATE, specular: "included" };
  const listed = (...as) => ({ ...base, file: file("a", "b", "RB-1@3"), as });
  const tries = [
    [{ ...base, file: file("RT-1@1", "hm") }, 422, "run.csv:3"],
    [{ ...base, file: file("RT-1@1", "NONE@1") }, 404, "NONE@1.dye_id"],
    [{ ...base, file: file("RB-1@1") }, 409, "sample_id"],
    [{ ...base, file: { name: "bad.csv", text: `name,${NM.join(",")}\nRB-1@3,${NM.map(() => "x").join(",")}\n` } }, 422, "bad.csv:2:2"],
    [{ ...base, substrate: "J19", file: file("RB-1@3") }, 404, "substrate"],
    [{ substrate: SUBSTRATE, file: file("RB-1@3") }, 409, "specular"],
    [{ ...base, specular: "excluded", file: file("RB-1@3") }, 409, "specular"],
    [{ ...base, measured: "20.11.2026", file: file("RB-1@3") }, 422, "measured"],
    [{ ...base, file: file("white") }, 409, "sample_id"],
    [listed({ sample: "c", kind: "dip", dip_id: "S-201.1A" }), 404, "as[0].sample"],
    [listed({ sample: "a", kind: "dip", dip_id: "S-999.1A" }), 404, "as[0].dip_id"],
    [listed({ sample: "a", kind: "bulk", dip_id: "S-201.1A" }), 422, "as[0].dip_id"],
    [listed({ sample: "a", kind: "bulk", lot_id: "L26-9999" }), 404, "as[0].lot_id"],
    [listed({ sample: "a", kind: "bulk" }), 422, "as[0].shade_id"],
    [listed({ sample: "a", kind: "standard", shade_id: "S-212", sample_id: "OTHER" }), 409, "as[0].shade_id"],
    [listed({ sample: "a", kind: "cloth", sample_id: "OTHER" }), 409, "as[0].substrate"],
    [listed({ sample: "a", kind: "rung" }), 422, "as[0].dye_id"],
    [listed({ sample: "a", kind: "rung", dye_id: "RB-1", depth_pct_owf: 31 }), 422, "as[0].depth_pct_owf"],
    [listed({ sample: "a", kind: "dip", dip_id: "S-205.2A", sample_id: "NEW" }, { sample: "b", kind: "dip", dip_id: "S-205.1A", sample_id: "NEW2" }), 409, "as[1].sample_id", "decided"],
    [{ ...listed({ sample: "a", kind: "dip", dip_id: "S-212.2A" }), replace: true }, 409, "as[0].sample_id"],
    [{ ...listed({ sample: "a", kind: "standard", shade_id: "S-204", sample_id: "S-201.standard" }), replace: true }, 409, "as[0].sample_id"],
    [{ ...listed({ sample: "a", kind: "bulk", lot_id: "L26-0106", sample_id: "S-201.standard" }), replace: true }, 409, "as[0].sample_id"],
    [listed({ sample: "a", kind: "swatch" }), 422, "as[0].kind"],
    [{ ...base }, 422, "file"],
  ];
  for (const [body, status, place] of tries) {
    refused(await s.post(SAMPLES, body), status, place, JSON.stringify(body).slice(-150));
  }
  const both = (await s.post(SAMPLES, { ...base, file: file("hm", "RB-1@1", "so") })).json.error;
  assert.equal(both.total, 3);
  assert.deepEqual(await list(), before, "nothing was changed");
});

test("a dip from the beaker to the recipe of its shade", async (t) => {
  const { s, shade, dip } = await laboratory(t);
  const today = new Date().toLocaleDateString("sv");
  let r = await s.post(DIPS, { shade_id: "S-201", substrate: SUBSTRATE, recipe: "RB-1=0.06,RV-1=0.7", remark: "without yellow" });
  assert.equal(r.status, 200, r.text);
  assert.deepEqual([r.json.dip.dip_id, r.json.dip.round, r.json.dip.made, r.json.dip.state, r.json.dip.recipe], ["S-201.1B", 1, today, "made", "RB-1=0.06,RV-1=0.7"]);
  r = await s.post(DIPS, { shade_id: "S-205", substrate: SUBSTRATE, recipe: "RB-1=0.04" });
  assert.equal(r.json.dip.dip_id, "S-205.3A", "the round that was submitted is closed");
  r = await s.post(DIPS, { shade_id: "S-301", substrate: SUBSTRATE, recipe: "RB-1=1", round: 4, dip_id: "X-1", made: "2026-11-01" });
  assert.deepEqual([r.json.dip.dip_id, r.json.dip.round, r.json.dip.made], ["X-1", 4, "2026-11-01"]);
  r = await s.put(`${DIPS}/S-201.1B`, { revision: 1, state: "submitted", remark: "sent by post" });
  assert.deepEqual([r.json.dip.state, r.json.dip.decided_by, r.json.dip.remark, r.json.dip.revision], ["submitted", "", "sent by post", 2]);
  const { recipe } = await shade("S-201");
  const body = { revision: 2, state: "approved", by: "Harebell Outfitters", recipe_of_shade: true, was: recipe };
  refused(await s.put(`${DIPS}/S-201.1B`, { ...body, was: "RB-1=1" }), 409, "was");
  assert.equal((await dip("S-201.1B")).state, "submitted", "both or neither");
  r = await s.put(`${DIPS}/S-201.1B`, body);
  assert.equal(r.status, 200, r.text);
  assert.deepEqual([r.json.dip.state, r.json.dip.decided_by, r.json.dip.decided], ["approved", "Harebell Outfitters", today]);
  assert.deepEqual(r.json.lots, ["L26-0107", "L26-0108"]);
  assert.equal((await shade("S-201")).recipe, "RB-1=0.06,RV-1=0.7");
  const plan = (await s.get("/api/lots/L26-0107/plan")).text;
  assert.ok(plan.includes('"RV-1"') && !plan.includes('"RR-1"'), "the plan of a lot takes it");
});

test("steps of a dip that cannot be", async (t) => {
  const { s, shade } = await laboratory(t);
  const put = (id, body) => s.put(`${DIPS}/${id}`, body);
  refused(await put("S-205.2A", { revision: 1, state: "approved" }), 422, "by");
  refused(await put("S-205.2A", { revision: 2, state: "approved", by: "me" }), 409, "revision");
  refused(await put("S-205.2A", { state: "approved", by: "me" }), 422, "revision");
  refused(await put("S-205.2A", { revision: 1, state: "made" }), 409, "state");
  refused(await put("S-205.2A", { revision: 1, state: "lost" }), 422, "state");
  refused(await put("S-205.1A", { revision: 1, state: "submitted" }), 409, "state");
  refused(await put("S-205.2A", { revision: 1, state: "rejected", by: "me", recipe_of_shade: true, was: "" }), 422, "recipe_of_shade");
  refused(await put("S-205.2A", { revision: 1, state: "approved", by: "me", recipe_of_shade: true }), 422, "was");
  refused(await put("S-205.2B", { revision: 1, sample_id: "S-205.2A.sample" }), 409, "sample_id");
  refused(await put("S-205.2B", { revision: 1, sample_id: "S-203.1A.sample" }), 409, "sample_id");
  refused(await put("S-205.2B", { revision: 1, sample_id: "NONE" }), 404, "sample_id");
  refused(await put("S-999.1A", { revision: 1 }), 404, "dip_id");
  await s.post(DIPS, { shade_id: "S-212", substrate: SUBSTRATE, recipe: "RB-1=0.1" });
  await put("S-212.3A", { revision: 1, state: "submitted" });
  refused(await put("S-212.3A", { revision: 2, state: "approved", by: "me" }), 409, "state", "another is approved");
  for (const [body, status, place] of [
    [{ shade_id: "S-999", recipe: "RB-1=1" }, 404, "shade_id"], [{ recipe: "RB-1" }, 422, "recipe"], [{ recipe: "RB-1=25" }, 422, "recipe"],
    [{ recipe: "VB-1=1" }, 422, "recipe"], [{ recipe: "SALT=1" }, 404, "recipe"], [{ recipe: "RB-1=1", substrate: "J19" }, 404, "substrate"],
    [{ recipe: "RB-1=1", made: "soon" }, 422, "made"], [{ recipe: "RB-1=1", round: 100 }, 422, "round"], [{ recipe: "RB-1=1", dip_id: "S-205.2A" }, 409, "dip_id"],
    [{ recipe: "RB-1=1", dip_id: "a b" }, 422, "dip_id"], [{}, 422, "recipe"]]) {
    refused(await s.post(DIPS, { shade_id: "S-205", substrate: SUBSTRATE, ...body }), status, place, JSON.stringify(body));
  }
  assert.equal((await shade("S-205")).dips.length, 3);
});

test("the recipe of a shade: replaced whole, by who has seen it, and not under a running lot", async (t) => {
  const { s, shade } = await laboratory(t);
  const put = (id, body) => s.put(`/api/shades/${id}/recipe`, body);
  const { recipe } = await shade("S-212");
  refused(await put("S-212", { recipe: "RB-1=1", was: "" }), 409, "was");
  refused(await put("S-212", { recipe: "RB-1=1" }), 422, "was");
  refused(await put("S-212", { recipe: "RB-1=1,DB-1=1", was: recipe }), 422, "recipe");
  refused(await put("S-212", { recipe: "RB-1=20.5", was: recipe }), 422, "recipe");
  refused(await put("S-212", { recipe: "NONE=1", was: recipe }), 404, "recipe");
  refused(await put("S-999", { recipe: "RB-1=1", was: "" }), 404, "shade_id");
  refused(await put("WH-1", { recipe: "RB-1=1", was: "" }), 422, "recipe");
  const rust = await shade("S-204");
  const r = await put("S-204", { recipe: "RG-1=1", was: rust.recipe });
  refused(r, 409, "shade_id");
  assert.equal(r.json.error.value, rust.lots_running[0]);
  const done = await put("S-212", { recipe: "RG-1=0.0893,RR-1=0.0348,RB-1=0.0838", was: recipe });
  assert.equal(done.status, 200, done.text);
  assert.deepEqual(done.json.dyes.map((d) => [d.dye_id, d.depth_pct_owf]), [["RG-1", 0.0893], ["RR-1", 0.0348], ["RB-1", 0.0838]]);
  assert.equal((await shade("S-212")).recipe, "RG-1=0.0893,RR-1=0.0348,RB-1=0.0838");
});

test("behind Z the dips of a round are AA, AB", async (t) => {
  const s = await serve(t);
  const ids = [];
  for (let i = 0; i < 28; i++) ids.push((await s.post("/api/laboratory/dips", { shade_id: "S-211", substrate: "J18-ISO60", recipe: "RB-1=1", round: 9 })).json?.dip?.dip_id);
  assert.deepEqual([ids[0], ids[25], ids[26], ids[27]], ["S-211.9A", "S-211.9Z", "S-211.9AA", "S-211.9AB"]);
});
