// Laboratory to bulk, offered with a recipe: what a lot taught is offered for the next one, is taken only
// when somebody says so, stands with the recipe, on the plan and on the card, and is not learned twice.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { Floor } from "./batch_kit.mjs";
import { serve } from "./server.mjs";

const SHADE = "S-201", FIRST = "L26-0107", FIRST_MACHINE = "W1", NEXT = "L26-0108", NEXT_MACHINE = "O4";
const near = (got, want, off, what) => assert.ok(Math.abs(got - want) <= off, `${what}: ${got}, not ${want}`);
const sum = (list) => list.reduce((a, b) => a + b, 0);

/** Runs a lot to its end, with so much more dye than was asked for. */
async function dye(s, lot, times) {
  const floor = await Floor.start(s, lot);
  await floor.enter({ kind: "batch-begun" });
  floor.weigh = async (step) => {
    for (const item of step.items) {
      const mass_mg = Math.round(item.mass_mg * (item.dye ? times : 1));
      const why = mass_mg === item.mass_mg ? {} : { text: "paler than the laboratory" };
      await floor.enter({ kind: "weighed", step: step.key, item: item.item, material_id: item.material_id, mass_mg, manual: true, ...why });
    }
  };
  await floor.run();
  await floor.enter({ kind: "batch-released", text: "All in order" });
}
const find = (s, from, more = {}) => s.post("/api/recipe", { do: "find", ...more, from: { substrate: "J18-ISO60", shade: SHADE, ...from } });
const shade_of = async (s) => (await s.get("/api/laboratory")).json.shades.find((x) => x.shade_id === SHADE);
const factor_of = async (s, dye_id, machine_id, shade_id) =>
  (await s.get("/api/learn")).json.result.factors.find((f) => f.dye_id === dye_id && f.machine_id === machine_id && f.shade_id === shade_id);
/** The text of a PDF of the server. */
async function pdf_text(s, path) {
  const r = await fetch(s.base + path);
  assert.equal(r.status, 200, path);
  const dir = mkdtempSync(join(tmpdir(), "madder-bulk-"));
  try {
    writeFileSync(join(dir, "a.pdf"), Buffer.from(await r.arrayBuffer()));
    const text = spawnSync("pdftotext", ["-layout", join(dir, "a.pdf"), "-"], { encoding: "utf8" });
    assert.equal(text.status, 0, text.stderr);
    return text.stdout.replace(/\s+/g, " ");
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}

test("without a machine nothing is offered; without lots, no factor", async (t) => {
  const s = await serve(t);
  const plain = (await find(s, {})).json;
  assert.equal(plain.found.bulk, undefined);
  assert.ok(plain.found.recipes.every((r) => r.bulk === undefined));
  const none = await find(s, { machine: NEXT_MACHINE, best_guess: true });
  assert.equal(none.status, 200, none.text);
  assert.deepEqual(none.json.found.bulk, { shade_id: SHADE, machine_id: NEXT_MACHINE, best_guess: true, lots: 0, dyes: [] });
  for (const r of none.json.found.recipes) {
    assert.equal(r.bulk.differs, false);
    assert.deepEqual(r.bulk.dyes.map((d) => [d.dye_id, d.depth_pct_owf]), r.dyes.map((d) => [d.dye_id, d.depth_pct_owf]).map(([id, x]) => [id, Math.round(x * 1e6) / 1e6]));
  }
  // the recipes themselves are the same with an offer and without
  assert.deepEqual(none.json.found.recipes.map((r) => r.dyes), plain.found.recipes.map((r) => r.dyes));
});

test("a lot taught it; it is offered, chosen, planned, printed, and not learned twice", async (t) => {
  const s = await serve(t);
  const was = (await shade_of(s)).recipe;
  assert.equal(was, "RB-1=1.15,RV-1=0.12,RR-1=0.09");
  assert.equal((await shade_of(s)).bulk, null);
  await dye(s, FIRST, 1.06);
  const cell = await factor_of(s, "RB-1", FIRST_MACHINE, SHADE);
  assert.equal(cell.lots, 1);
  assert.ok(cell.factor > 1.02 && cell.factor < 1.06, "D: its one lot weighs a part only");

  // one lot proves nothing: offered as such, multiplied only by the best guess
  const careful = (await find(s, { machine: FIRST_MACHINE })).json.found;
  const of = (f, id) => f.bulk.dyes.find((d) => d.dye_id === id);
  assert.equal(of(careful, "RB-1").use, "unproven");
  assert.equal(of(careful, "RB-1").multiply, 1);
  near(of(careful, "RB-1").factor, cell.factor, 1e-12, "the factor of the page What the lots teach");
  const guess = (await find(s, { machine: FIRST_MACHINE, best_guess: true })).json;
  const rb = of(guess.found, "RB-1");
  assert.equal(rb.use, "applied");
  near(rb.multiply, cell.factor, 5e-4, "D: to three decimals");
  assert.deepEqual([rb.level, rb.lots], ["cell", 1]);
  assert.ok(rb.low < 1 && rb.high > rb.multiply && rb.own_weight_pct > 10 && rb.own_weight_pct < 90);
  assert.match(rb.words, /1 lot of this shade on this machine/);
  assert.ok(guess.why.some((w) => w.source === "normal-normal" && w.anchor === "laboratory-to-bulk.md#with-the-recipe"));
  const best = guess.found.recipes.find((r) => r.dyes.some((d) => d.dye_id === "RB-1"));
  const line = best.bulk.dyes.find((d) => d.dye_id === "RB-1");
  near(line.laboratory_pct_owf, best.dyes.find((d) => d.dye_id === "RB-1").depth_pct_owf, 1e-12, "the laboratory's stays beside it");
  near(line.depth_pct_owf, line.laboratory_pct_owf * rb.multiply, 1e-6, "D");
  assert.equal(best.bulk.differs, true);
  // another machine knows it of the mill only, and less
  const other = of((await find(s, { machine: NEXT_MACHINE, best_guess: true })).json.found, "RB-1");
  assert.equal(other.level, "mill");
  assert.ok(other.multiply > 1 && other.multiply < rb.multiply && other.high - other.low > rb.high - rb.low);

  // nothing was changed by asking
  assert.equal((await shade_of(s)).recipe, was);
  const plan = async (lot) => (await s.get(`/api/lots/${lot}/plan`)).json;
  const before = await plan(NEXT);
  assert.ok(!before.warnings.some((w) => w.id.startsWith("bulk")));

  // chosen
  const put = (body) => s.put(`/api/shades/${SHADE}/recipe`, { recipe: was, was, ...body });
  const stale = await put({ machine_id: NEXT_MACHINE, best_guess: true, factors: "RV-1=1.3" });
  assert.equal(stale.status, 409, stale.text);
  assert.equal(stale.json.error.place, "factors");
  const factors = stale.json.error.allowed;
  assert.equal(factors, ["RB-1", "RV-1", "RR-1"].map((id) => `${id}=${other.multiply}`).join(), "D: all of one lot, dosed alike");
  assert.equal((await put({ machine_id: "X9" })).json.error.place, "machine");
  const taken = await put({ machine_id: NEXT_MACHINE, best_guess: true, factors });
  assert.equal(taken.status, 200, taken.text);
  const deeper = (x) => Math.round(x * other.multiply * 1e6) / 1e6;
  assert.equal(taken.json.recipe, `RB-1=${deeper(1.15)},RV-1=${deeper(0.12)},RR-1=${deeper(0.09)}`);
  assert.equal(taken.json.bulk.machine_id, NEXT_MACHINE);
  assert.deepEqual(taken.json.bulk.dyes.map((d) => [d.dye_id, d.multiply]), ["RB-1", "RV-1", "RR-1"].map((id) => [id, other.multiply]));
  assert.match(taken.json.bulk.dyes[0].words, /1 lot of other machines.*applied/);
  assert.deepEqual((await shade_of(s)).bulk, taken.json.bulk);

  // on the plan, with its rule; on the card; for another machine a warning
  const after = await plan(NEXT);
  near(after.headline.depth_pct_owf.value, deeper(1.15) + deeper(0.12) + deeper(0.09), 1e-9, "D");
  const note = after.warnings.find((w) => w.id === "bulk");
  assert.match(note.text, new RegExp(`factors of ${NEXT_MACHINE} that somebody chose: RB-1 × ${other.multiply}, RV-1 × ${other.multiply}`));
  assert.ok(!after.warnings.some((w) => w.id === "bulk-machine"));
  const why = (await s.get(`/api/lots/${NEXT}/why?figure=recipe.RB-1.bulk_depth_pct_owf`)).json;
  assert.ok(JSON.stringify(why).includes("bulk-depth"), JSON.stringify(why).slice(0, 300));
  assert.match(await pdf_text(s, `/api/lots/${NEXT}/card.pdf`), new RegExp(`Laboratory to bulk, ${NEXT_MACHINE}: RB-1 × ${other.multiply},.* RV-1 × ${other.multiply}, RR-1 × ${other.multiply}`));
  assert.ok((await plan(FIRST)).warnings.some((w) => w.id === "bulk-machine" && w.text.includes(FIRST_MACHINE) && w.text.includes(NEXT_MACHINE)));

  // dyed as it was multiplied: the laboratory is still as pale as it was, and not right by itself now
  await dye(s, NEXT, 1);
  const learned = (await s.get("/api/learn")).json.result;
  assert.equal(learned.lots, 2);
  const mill = learned.factors.find((f) => f.dye_id === "RB-1" && f.level === "mill");
  const next_cell = learned.factors.find((f) => f.dye_id === "RB-1" && f.machine_id === NEXT_MACHINE && f.shade_id === SHADE);
  assert.ok(next_cell.factor > other.multiply - 0.02, `D: planned is the laboratory's depth: ${next_cell.factor}`);
  assert.ok(mill.factor > 1.02, `D: ${mill.factor}`);
  assert.ok(sum(learned.factors.map((f) => (f.factor < 1 ? 1 : 0))) === 0);

  // the laboratory's recipe again
  const back = await s.put(`/api/shades/${SHADE}/recipe`, { recipe: was, was: taken.json.recipe });
  assert.equal(back.status, 200, back.text);
  assert.equal(back.json.bulk, null);
  assert.ok(!(await plan(NEXT)).warnings.some((w) => w.id.startsWith("bulk")));
});

test("what cannot be offered", async (t) => {
  const s = await serve(t);
  const refused = (r, status, place) => {
    assert.equal(r.status, status, r.text);
    assert.equal(r.json.error.place, place);
  };
  refused(await find(s, { machine: "X9" }), 404, "from.machine");
  refused(await s.post("/api/recipe", { do: "find", standard: "S-201.standard", from: { substrate: "J18-ISO60", machine: "O4" } }), 409, "from.machine");
  refused(await find(s, { machine: 4 }), 422, "from.machine");
  refused(await find(s, { best_guess: "yes" }), 422, "from.best_guess");
});
