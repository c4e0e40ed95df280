// What is done at the bench: dips and who decides them, dyed samples, correction, dispensing, verdict, laboratory to bulk.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { axe, overflow, small_targets } from "./checks.mjs";
import { laboratory, mill, settled, tab, seen, press, questions, correction, dispensing, verdict } from "./laboratory_kit.mjs";
import { desk } from "./page.mjs";

test("dips by round: made of the recipe shown, submitted, approved, made the recipe of the shade; a conflict shows what stands", async (t) => {
  const { s, open } = await desk(t);
  const page = await mill(open, "S-201");
  const asked = questions(page);
  await press(page, 0, "ArrowRight", 3);
  await settled(page);
  assert.deepEqual([asked.at(-1).from, asked.at(-1).files], [{ substrate: "J18-ISO60", shade: "S-201" }, undefined], "no file is sent");
  await page.click("text=Make it a dip");
  await page.waitForSelector(".lab-record .lab-done");
  const of = async (id) => (await s.get("/api/laboratory")).json.shades.find((one) => one.shade_id === id);
  const dip = (await of("S-201")).dips.at(-1);
  assert.ok((await page.innerText(".lab-record")).includes(`Dip ${dip.dip_id} is recorded`));
  assert.equal(dip.recipe.split(",")[0].split("=")[0], asked.at(-1).recipe.split(",")[0].split("=")[0]);
  await page.click("text=Make it the recipe of the shade");
  await page.waitForFunction(() => document.querySelector(".lab-record")?.textContent.includes("It is the recipe of the shade now."));
  assert.equal((await of("S-201")).dyes.length, dip.dyes.length);

  await page.selectOption(".lab-mill .lab-standard select", "S-205");
  await tab(page, "Dips");
  const lavender = await of("S-205");
  assert.deepEqual(await page.$$eval(".lab-dip-item strong", (all) => all.map((e) => e.textContent)), [...lavender.dips].sort((a, b) => b.round - a.round || (a.dip_id < b.dip_id ? -1 : 1)).map((d) => d.dip_id));
  const item = (id) => page.locator(".lab-dip-item", { hasText: id });
  assert.match(await item("S-205.1A").innerText(), /Rejected/);
  assert.ok((await item("S-205.2A").innerText()).includes(`${lavender.dips.find((d) => d.dip_id === "S-205.2A").difference.toFixed(2)} from the standard`));
  await item("S-205.2A").locator("text=Approve").click();
  assert.match(await item("S-205.2A").innerText(), /Say who decides/);
  await page.fill(".lab-who input", "A. Tester");
  // someone else changes it first
  const other = lavender.dips.find((d) => d.dip_id === "S-205.2A");
  assert.equal((await s.put("/api/laboratory/dips/S-205.2A", { revision: other.revision, remark: "seen" })).status, 200);
  await item("S-205.2A").locator("text=Approve").click();
  await page.waitForFunction(() => document.body.textContent.includes("Someone else changed it in the meantime"));
  assert.match(await item("S-205.2A").innerText(), /seen/, "what stands now");
  await item("S-205.2A").locator("input[type=checkbox]").check();
  await item("S-205.2A").locator("text=Approve").click();
  await page.waitForFunction(() => document.querySelector(".lab-done[role=status]")?.textContent.includes("It is the recipe of the shade now."));
  const after = await of("S-205");
  assert.deepEqual([after.dips.find((d) => d.dip_id === "S-205.2A").state, after.recipe], ["approved", other.recipe]);
  assert.match(await item("S-205.2A").innerText(), /This is the recipe of the shade/);
  await page.locator("text=Dispense this round").first().click();
  await page.waitForSelector(".lab-dip");
  assert.deepEqual(await page.$$eval(".lab-dip h3", (all) => all.map((e) => e.firstChild.textContent.trim())), ["S-205.2A", "S-205.2B"]);
  assert.equal(await page.inputValue("label:text-is('Round') + span input"), "2");
});

test("dyed samples: the spoilt one is marked and says what to do", async (t) => {
  const { open } = await desk(t);
  const page = await laboratory(open);
  await tab(page, "Dyed samples");
  assert.equal(await page.locator(".lab-samples tbody tr").count(), 48);
  await page.click(".lab-only");
  assert.deepEqual((await page.innerText(".lab-samples tbody")).split(/\s*[\t\n]\s*/).filter((x) => /RS-1|another dose|dye again/.test(x)), ["RS-1@2", "has another dose", "dye again"]);
});

test("correction: what to add and the next recipe; a wrong depth is told at its field", async (t) => {
  const { s, open } = await desk(t);
  const page = await laboratory(open);
  const asked = questions(page);
  await correction(page);
  await page.waitForTimeout(150);
  const { result } = (await s.post("/api/recipe", asked.at(-1))).json;
  assert.equal(result.way, "add");
  assert.match(await page.innerText(".lab-way-word"), /Add to this bath/);
  assert.ok((await page.innerText(".lab-correct-answer")).includes(result["RB-1"].strength_pct.toFixed(0)));
  const n = asked.length;
  await page.locator(".lab-dyed-row input").first().fill("1.2.3");
  await page.waitForSelector(".lab-dyed-row .field-say");
  assert.equal(asked.length, n, "nothing wrong is asked");
  await page.locator(".lab-dyed-row input").first().fill("99");
  await page.waitForSelector(".lab-dyed > .field-say");
  assert.match(await page.innerText(".lab-dyed > .field-say"), /30/);
});

test("dispensing: as the server says, a round, the sheet as a file", async (t) => {
  const { s, open } = await desk(t);
  const page = await laboratory(open);
  const asked = questions(page);
  await dispensing(page);
  await page.click("text=Add a dip");
  await page.fill("[aria-label='Recipe of dip 2, % owf']", "RY-1=0,4, RB-1 = 0.02");
  await page.fill("[aria-label='Dip 2']", "D-2");
  await page.waitForFunction(() => document.querySelectorAll(".lab-dip").length === 2);
  await page.waitForTimeout(100);
  const last = asked.findLast((q) => q.do === "dispense");
  assert.equal(last.recipe, "RG-1=0.125,RR-1=0.0303,RB-1=0.115;RY-1=0.4,RB-1=0.02");
  const { dips, result } = (await s.post("/api/recipe", last)).json;
  const text = await page.innerText(".lab-dispensed");
  for (const d of dips) for (const one of d.dyes) assert.ok(text.includes(`${one.ml.toFixed(2)} mL`), `${one.dye_id} ${one.ml}`);
  assert.equal(await page.locator(".lab-dispensed .sheet-table").first().locator("tbody tr").count(), result.solutions.length);
  assert.ok(text.includes(`${dips[1].salt_g.toFixed(2)} g`) && text.includes("SALT-A"));
  await page.fill("label:text-is('Programme, one step a line') + textarea", "Heat to 60\nHold 45 min");
  const [file] = await Promise.all([page.waitForEvent("download"), page.click("text=Save the sheet")]);
  assert.equal(file.suggestedFilename(), "Sage-round-1.pdf");
  const words = execFileSync("pdftotext", ["-layout", await file.path(), "-"]).toString();
  for (const word of ["D-2", "Hold 45 min", "RB-1", "INVENTED", `${dips[0].water_ml.toFixed(2)} mL`]) assert.ok(words.includes(word), word);
  const n = asked.length;
  await page.fill("[aria-label='Recipe of dip 2, % owf']", "RY-1");
  await page.waitForSelector(".lab-dip-row .field-say");
  assert.equal(asked.length, n, "what is no recipe is not asked");
  await page.fill("[aria-label='Recipe of dip 2, % owf']", "RY-1=99");
  await page.waitForSelector(".lab-dips > .field-say");
  await page.click("[aria-label='Remove dip 2']");
  await page.waitForFunction(() => document.querySelectorAll(".lab-dip").length === 1 && !document.querySelector(".lab-dips .field-say"));
});

test("verdict: the server's, under every light; a tolerance for each", async (t) => {
  const { s, open } = await desk(t);
  const page = await laboratory(open);
  const asked = [];
  page.on("request", (r) => r.url().endsWith("/api/colour") && asked.push(r.postDataJSON()));
  await verdict(page);
  const { json } = await s.post("/api/colour", asked.at(-1));
  const [v] = json.result.verdicts;
  assert.match(await page.innerText(".lab-way-word"), v.passes ? /^\s*Passes/ : /Does not pass/);
  assert.ok((await page.innerText(".lab-judge .lab-near")).includes(v.words));
  for (const l of json.result.lights) {
    await page.check(`.lab-lights input[value=${l.illuminant}]`, { force: true });
    assert.deepEqual(await page.$$eval(".lab-judge .lab-half", (all) => all.map((e) => e.getAttribute("fill"))), [l.standard_swatch, l.sample_swatch]);
    assert.ok((await page.innerText(".lab-judge figcaption")).startsWith(`${l.illuminant}, 10 degree observer, CMC(2:1). To judge, look at the cloth.`));
  }
  assert.deepEqual(await page.$$eval(".lab-judge tbody td:nth-child(2)", (all) => all.map((e) => e.textContent)), json.result.lights.map((l) => l.de.toFixed(2)));
  const most = Math.max(...json.result.lights.map((l) => l.de)) + 0.1;
  await page.fill("label:has-text('Tolerance: one') + input", `${most.toFixed(2)}, ${most.toFixed(2)}, ${most.toFixed(2)}`);
  await page.waitForFunction(() => document.querySelector(".lab-way-word")?.textContent.includes("Passes"));
  assert.equal(asked.at(-1).tolerance.length, 3);
  await page.fill("label:has-text('Tolerance: one') + input", "1, 2");
  await page.waitForSelector(".lab-judge .field-say");
});

test("verdict of a dip that the mill keeps; a dip is measured from a file of the instrument", async (t) => {
  const { s, open } = await desk(t);
  const page = await mill(open, "S-205");
  const asked = [];
  page.on("request", (r) => r.url().endsWith("/api/colour") && asked.push(r.postDataJSON()));
  await tab(page, "Verdict");
  await page.selectOption("label:text-is('Sample') + select", "S-205.2A.sample");
  await page.waitForSelector(".lab-judge .lab-field");
  const known = (await s.get("/api/laboratory")).json;
  const dip = known.shades.find((one) => one.shade_id === "S-205").dips.find((d) => d.dip_id === "S-205.2A");
  const d65 = (await s.post("/api/colour", { ...asked.at(-1), illuminants: "D65" })).json.result.lights[0];
  assert.equal(d65.de.toFixed(2), dip.difference.toFixed(2), "as the list of dips has it");

  const made = await s.post("/api/laboratory/dips", { shade_id: "S-205", substrate: "J18-ISO60", recipe: dip.recipe });
  assert.equal(made.status, 200, made.text);
  const { dip_id } = made.json.dip;
  const again = await mill(open, "S-205");
  await tab(again, "Dips");
  const item = again.locator(".lab-dip-item", { hasText: dip_id });
  await item.locator("summary").click();
  await item.locator("text=Take it").click();
  await again.waitForFunction(() => document.querySelector(".lab-dip-item .field-say")?.textContent.includes("Choose the file first"));
  const rows = asked.at(-1).files.samples.text.split("\n").filter((row) => row.startsWith("S-205.2A.sample,")).map((row) => row.replace("S-205.2A.sample", dip_id));
  await item.locator("input[type=file]").setInputFiles({ name: "dip.csv", mimeType: "text/csv", buffer: Buffer.from(["sample,specular,wavelength_nm,reflectance", ...rows, ""].join("\n")) });
  assert.deepEqual(await axe(again), []);
  await item.locator("text=Take it").click();
  await again.waitForFunction((id) => [...document.querySelectorAll(".lab-dip-item")].find((e) => e.textContent.includes(id))?.textContent.includes("from the standard"), dip_id);
  const after = (await s.get("/api/laboratory")).json.shades.find((one) => one.shade_id === "S-205").dips.find((d) => d.dip_id === dip_id);
  assert.equal(after.sample_id, `${dip_id}.sample`);
  assert.equal(after.difference.toFixed(2), dip.difference.toFixed(2));
});

test("laboratory to bulk: offered for a machine beside the recipe, follows the doses, taken only when pressed", async (t) => {
  const { s, open } = await desk(t);
  const floor = await Floor.start(s, "L26-0107");
  await floor.enter({ kind: "batch-begun" });
  floor.weigh = async (step) => {
    for (const item of step.items) await floor.enter({ kind: "weighed", step: step.key, item: item.item, material_id: item.material_id, mass_mg: Math.round(item.mass_mg * (item.dye ? 1.06 : 1)), manual: true, ...(item.dye ? { text: "paler than the laboratory" } : {}) });
  };
  await floor.run();
  await floor.enter({ kind: "batch-released", text: "All in order" });

  const page = await mill(open, "S-201");
  const of = async () => (await s.get("/api/laboratory")).json.shades.find((one) => one.shade_id === "S-201");
  const was = await of();
  await page.waitForSelector(".lab-bulk select option[value=W1]", { state: "attached" });
  assert.equal(await page.locator(".lab-bulk table").count(), 0, "nothing is offered unasked");
  await press(page, 0, "ArrowRight", 3);
  await settled(page);
  const moved = await page.innerText(".lab-slide >> nth=0");
  await page.selectOption(".lab-bulk select", "W1");
  await page.waitForSelector(".lab-bulk table");
  assert.equal(await page.innerText(".lab-slide >> nth=0"), moved, "what was moved stays");
  assert.match(await page.innerText(".lab-bulk"), /range holds 1/);
  assert.equal(await page.locator(".lab-bulk .lab-record button").count(), 0, "one lot proves nothing");
  await page.check(".lab-bulk input[type=checkbox]");
  await page.waitForSelector(".lab-bulk .lab-record button");
  const rows = await page.$$eval(".lab-bulk tbody tr", (all) => all.map((r) => [...r.children].map((c) => c.textContent)));
  const known = rows.filter((r) => r[2] !== "1.000");
  assert.ok(known.length > 0);
  for (const [, lab, factor, bulk] of known) assert.ok(Math.abs(Number(bulk) / (Number(lab) * Number(factor)) - 1) < 0.03, `${lab} ${factor} ${bulk}`);
  assert.deepEqual(await axe(page), []);
  assert.deepEqual(await small_targets(page), []);
  assert.ok((await overflow(page)) <= 0);
  assert.equal((await of()).recipe, was.recipe, "looking changed nothing");
  await page.click("text=times the factors of W1");
  await page.waitForFunction(() => document.querySelector(".lab-bulk .lab-record")?.textContent.includes("It is the recipe of the shade now."));
  const now = await of();
  assert.equal(now.bulk.machine_id, "W1");
  assert.deepEqual(now.bulk.dyes.filter((d) => d.multiply !== 1).map((d) => `${d.dye_id} ${d.multiply.toFixed(3)}`), known.map((r) => `${r[0]} ${r[2]}`));
  await tab(page, "Dips");
  assert.match(await page.innerText(".lab-recipe-now"), /The depths include the laboratory-to-bulk factors of W1: .* × 1\.0/);
  assert.deepEqual(page.faults, []);
});
