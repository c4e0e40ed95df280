// The laboratory page: recipes for a standard, sliders that follow at once, samples, correction.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { axe, overflow, small_targets } from "./checks.mjs";
import { desk, try_again } from "./page.mjs";
import { in_time, median } from "./timed.mjs";

const PLACE = "#/laboratory";

async function laboratory(open, size = undefined) {
  const page = await open(PLACE, size);
  await without_mill(page);
  await page.click("text=Try with the demo samples");
  await settled(page);
  return page;
}
/** The mill's samples stand there first. */
async function mill(open, shade = "S-205", size = undefined) {
  const page = await open(PLACE, size);
  await settled(page);
  await page.selectOption(".lab-mill .lab-standard select", shade);
  await settled(page);
  return page;
}
async function without_mill(page) {
  await page.click("text=Use files instead");
  await page.waitForSelector(".lab-drop");
}
/** No question under way, and an answer there. */
async function settled(page) {
  await page.waitForSelector(".lab-recipes");
  await page.waitForTimeout(60); // what was done is on its way
  await page.waitForSelector(".lab-recipes[aria-busy=false]");
  await page.waitForTimeout(40);
}
async function take(page, standard) {
  await page.selectOption(".lab-standard select", standard);
  await settled(page);
}
const tab = (page, name) => page.click(`.lab-tabs >> text=${name}`);
const slider = (page, n) => page.locator(".lab-slide input").nth(n);
const fills = (page) => page.$$eval(".lab-main .lab-half", (all) => all.map((e) => e.getAttribute("fill")));
const seen = (page) => page.$$eval(".lab-seen tbody tr td:nth-child(2)", (all) => all.map((e) => e.textContent));
const press = async (page, n, key, times) => {
  await slider(page, n).focus();
  for (let i = 0; i < times; i++) await page.keyboard.press(key);
};
/** Questions the page sends, as they are sent. */
function questions(page) {
  const all = [];
  page.on("request", (r) => r.url().endsWith("/api/recipe") && all.push(r.postDataJSON()));
  return all;
}
async function correction(page) {
  await tab(page, "Correction");
  await page.selectOption("label:text-is('Sample as it came out') + select", "Sage first dyeing");
  await page.click("text=Use the recipe shown under Recipes");
  await page.waitForSelector(".lab-way-word");
}

async function dispensing(page) {
  await tab(page, "Dispensing");
  await page.click("text=Add the recipe shown");
  await page.waitForSelector(".lab-dip");
}
async function verdict(page) {
  await tab(page, "Verdict");
  await page.selectOption("label:text-is('Sample') + select", "Sage first dyeing");
  await page.waitForSelector(".lab-judge .lab-field");
}

const STATES = {
  "recipes": async () => undefined,
  "moved": async (page) => {
    await press(page, 1, "ArrowRight", 60);
    await settled(page);
  },
  "out of reach": (page) => take(page, "Sea green"),
  "the curve as a table": (page) => page.click("text=The values as a table"),
  "a wrong tolerance": async (page) => {
    await page.fill(".lab-short input", "1000");
    await page.waitForSelector(".field-say");
  },
  "dyed samples": async (page) => {
    await tab(page, "Dyed samples");
    await page.waitForSelector(".lab-samples");
  },
  "correction": correction,
  "light, eye and formula": (page) => page.click("text=Light, eye and formula"),
  "dyes to search with": (page) => page.click("text=Dyes to search with"),
  "dispensing": dispensing,
  "no dips yet": (page) => tab(page, "Dispensing"),
  "verdict": verdict,
};

test("every state is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  const empty = await open(PLACE);
  await without_mill(empty);
  assert.deepEqual(await axe(empty), [], "without samples");
  await empty.setViewportSize({ width: 390, height: 900 });
  assert.ok((await overflow(empty)) <= 0, "without samples at 390");
  for (const [name, enter] of Object.entries(STATES)) {
    const page = await laboratory(open);
    await enter(page);
    assert.deepEqual(await axe(page), [], name);
    for (const width of [390, 800, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(100);
      assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    }
    await page.setViewportSize({ width: 800, height: 1100 });
    assert.deepEqual(await small_targets(page), [], name);
    if (name !== "a wrong tolerance") assert.deepEqual(page.faults, [], name); // the server's 422 stands in the console
    await page.context().close();
  }
});

test("the mill's samples: every state is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  for (const [name, enter] of Object.entries({
    recipes: async () => undefined,
    dips: async (page) => { await tab(page, "Dips"); await page.waitForSelector(".lab-dip-item"); },
    "nobody decides": async (page) => { await tab(page, "Dips"); await page.click(".lab-dip-acts >> text=Reject"); await page.waitForSelector(".lab-dip-item .field-say"); },
    "a round dispensed": async (page) => { await tab(page, "Dips"); await page.locator("text=Dispense this round").first().click(); await page.waitForSelector(".lab-dip"); },
  })) {
    const page = await mill(open);
    await enter(page);
    assert.deepEqual(await axe(page), [], name);
    for (const width of [390, 800, 1280]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(100);
      assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    }
    await page.setViewportSize({ width: 800, height: 1100 });
    assert.deepEqual(await small_targets(page), [], name);
    assert.deepEqual(page.faults, [], name);
    await page.context().close();
  }
});

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

test("fields, differences and doses are the server's, under the light that is chosen", async (t) => {
  const { s, open } = await desk(t);
  const page = await open(PLACE);
  await without_mill(page);
  const asked = questions(page);
  await page.click("text=Try with the demo samples");
  await settled(page);
  await take(page, "Plum");
  const { json } = await s.post("/api/recipe", asked.findLast((q) => q.do === "find"));
  const { lights, recipes } = json.found;
  assert.equal(await page.locator(".lab-card").count(), recipes.length);
  for (const view of lights) {
    await page.check(`.lab-lights input[value=${view.light}]`, { force: true });
    assert.deepEqual(await fills(page), [view.standard.swatch, recipes[0].seen[view.light].swatch], view.light);
    assert.ok((await page.innerText(".lab-main figcaption")).startsWith(`${view.caption}. To judge, look at the cloth.`));
  }
  assert.deepEqual(await seen(page), [...lights.map((l) => recipes[0].difference[l.light].toFixed(2)), recipes[0].cost_per_kg.toFixed(3)]);
  await page.locator(".lab-card").nth(3).click();
  assert.equal((await seen(page))[0], recipes[3].difference.D65.toFixed(2));
  assert.equal(await page.locator(".lab-slide").count(), recipes[3].dyes.length);
});

test("a slider: one question in flight, the last of it answered, the picture kept", async (t) => {
  const { s, open } = await desk(t);
  const page = await laboratory(open);
  const asked = questions(page);
  let under_way = 0;
  let most = 0;
  await page.route("**/api/recipe", async (route) => {
    most = Math.max(most, ++under_way);
    await new Promise((done) => setTimeout(done, 150));
    await route.continue();
  });
  page.on("requestfinished", (r) => r.url().endsWith("/api/recipe") && (under_way -= 1));
  const before = await fills(page);
  await press(page, 1, "ArrowRight", 80);
  assert.equal((await fills(page)).length, 2, "the picture stays");
  await settled(page);
  assert.equal(most, 1, "one at a time");
  assert.ok(asked.length < 40, `${asked.length} questions for 80 steps`);
  const last = asked.at(-1);
  assert.equal(last.do, "predict");
  const { curves } = (await s.post("/api/recipe", last)).json;
  const now = await fills(page);
  assert.equal(now[1], curves.seen.D65.swatch);
  assert.notEqual(now[1], before[1]);
  assert.deepEqual((await seen(page)).slice(0, 3), ["D65", "A", "F11"].map((light) => curves.seen[light].difference.toFixed(2)));
  const text = (await page.locator(".lab-slide output").nth(1).innerText()).split(/\s/)[0];
  assert.ok(Math.abs(Number(text) - Number(/,?RR-1=([\d.]+)/.exec(last.recipe)[1])) < 1e-3, "what is written is what was asked");
  await page.click("text=Back to the recipe");
  assert.deepEqual(await fills(page), before);
});

test("a slider feels instant: an answer within a tenth of a second", async (t) => {
  const { open } = await desk(t);
  const page = await laboratory(open);
  await page.evaluate(() => {
    window.took = [];
    const input = document.querySelector(".lab-slide input");
    const of = () => document.querySelector(".lab-main .is-match").getAttribute("fill") + document.querySelector(".lab-seen").textContent;
    window.step = (v) => new Promise((done) => {
      const was = of();
      const from = performance.now();
      input.value = v;
      input.dispatchEvent(new InputEvent("input", { bubbles: true }));
      const look = () => (of() !== was || performance.now() - from > 2000 ? done(performance.now() - from) : requestAnimationFrame(look));
      look();
    });
  });
  const took = [];
  for (let v = 210; v < 330; v += 6) took.push(await page.evaluate((x) => window.step(x), v));
  took.sort((a, b) => a - b);
  assert.ok(took.at(-1) < 2000, "each was painted");
  in_time(t, "a dose moved, painted", median(took), 100);
});

test("out of reach: how near, and what is in the way; what the screen cannot show is said", async (t) => {
  const { open } = await desk(t);
  const page = await laboratory(open);
  await take(page, "Sea green");
  const text = await page.innerText(".lab-verdict");
  assert.match(text, /No dye set matches this shade/);
  assert.match(text, /Nearest is .+ away\. Limited by: these dyes cannot get brighter\./);
  assert.match(await page.innerText(".lab-main figcaption"), /Sea green: this screen cannot show it/);
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

test("any light the server knows, either observer, any formula with its weights: asked for, and in the caption", async (t) => {
  const { s, open } = await desk(t);
  const page = await laboratory(open);
  const asked = questions(page);
  await page.click("text=Light, eye and formula");
  const offered = await page.$$eval(".lab-also input", (all) => all.map((e) => e.value));
  const { files } = (await s.get("/api/laboratory/demo")).json;
  assert.deepEqual([...offered].sort(), [...(await s.post("/api/recipe", { do: "calibrate", files })).json.laboratory.illuminants].sort());
  await page.uncheck(".lab-also input[value=A]", { force: true });
  await page.check(".lab-also input[value=LED-B3]", { force: true });
  await settled(page);
  await page.selectOption("label:text-is('Deciding light') + select", "D50");
  await settled(page);
  await page.selectOption("label:text-is('Observer') + select", "2");
  await page.selectOption("label:text-is('Formula') + select", "ciede2000");
  await page.fill("label:text-is('l, of lightness') + span input", "1.5");
  await settled(page);
  const last = asked.findLast((q) => q.do === "find");
  assert.deepEqual([last.lights, last.observer, last.formula, last.l], ["D50,D65,F11,LED-B3", 2, "ciede2000", 1.5]);
  assert.ok(asked.some((q) => q.do === "calibrate" && q.observer === 2), "the samples are judged under it too");
  assert.match(await page.innerText(".lab-main figcaption"), /^D50, 2 degree observer, CIEDE2000 \(1\.5:1\)\. To judge, look at the cloth\./);
  assert.equal((await seen(page)).length, 5, "four lights and the cost");
  const more = offered.filter((l) => !last.lights.split(",").includes(l));
  for (const l of more.slice(0, 4)) await page.check(`.lab-also input[value="${l}"]`, { force: true });
  for (const l of more.slice(4)) assert.ok(await page.isDisabled(`.lab-also input[value="${l}"]`), "eight at most");
  assert.ok(more.length > 4);
  await settled(page);
  await page.fill("label:text-is('l, of lightness') + span input", "99");
  await page.waitForSelector(".lab-conditions .field-say");
  assert.match(await page.innerText(".lab-conditions .field-say"), /0\.1 to 10/);
});

test("dyes of the search: must, never, no deeper than, only together", async (t) => {
  const { open } = await desk(t);
  const page = await laboratory(open);
  const asked = questions(page);
  const cards = () => page.$$eval(".lab-card-dyes", (all) => all.map((e) => [...e.children].map((x) => [x.firstChild.textContent.trim(), Number(x.querySelector("b").textContent)])));
  await page.click("text=Dyes to search with");
  const row = (dye) => page.locator(".lab-rules li", { hasText: dye });
  await row("RK-1").locator("input[value=must]").check({ force: true });
  await settled(page);
  assert.ok((await cards()).every((dyes) => dyes.some(([id]) => id === "RK-1")));
  await row("RK-1").locator("input[value=never]").check({ force: true });
  await settled(page);
  assert.ok((await cards()).every((dyes) => dyes.every(([id]) => id !== "RK-1")));
  await row("RG-1").locator("input[type=text]").fill("0.1");
  await settled(page);
  assert.ok((await cards()).every((dyes) => dyes.every(([id, depth]) => id !== "RG-1" || depth <= 0.1)));
  const n = asked.length;
  await page.selectOption("[aria-label='Dye 1 of the ratio']", "RY-1");
  await page.fill("[aria-label='Parts of dye 1']", "2");
  await settled(page);
  assert.match(await page.innerText(".lab-together"), /two dyes/);
  assert.ok(asked.slice(n).every((q) => q.ratios === undefined), "half a ratio is not asked");
  await page.selectOption("[aria-label='Dye 2 of the ratio']", "RR-1");
  await page.fill("[aria-label='Parts of dye 2']", "1");
  await settled(page);
  assert.deepEqual([asked.at(-1).ratios, asked.at(-1).never, asked.at(-1).limits], ["RY-1=2,RR-1=1", "RK-1", "RG-1=0.1"]);
  for (const dyes of await cards()) {
    const of = Object.fromEntries(dyes);
    if (of["RY-1"] > 0.01) assert.ok(Math.abs(of["RY-1"] / of["RR-1"] - 2) < 0.02, JSON.stringify(of));
  }
  await row("RY-1").locator("input[value=must]").check({ force: true });
  await row("RR-1").locator("input[value=never]").check({ force: true });
  await page.waitForSelector(".lab-narrow .field-say");
  await page.click("text=Allow all dyes");
  await settled(page);
  assert.equal(asked.at(-1).must, undefined);
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

test("files: chosen ones find their use, a broken one is told with its place, a large one is not sent", async (t) => {
  const { s, open } = await desk(t);
  const { files } = (await s.get("/api/laboratory/demo")).json;
  const of = ({ name, text }) => ({ name, mimeType: "text/csv", buffer: Buffer.from(text) });
  const page = await open(PLACE);
  await without_mill(page);
  await page.setInputFiles(".lab-choose input", [files.dyes, files.standard_file, files.spectra].map(of));
  await settled(page);
  assert.deepEqual(await page.$$eval(".lab-files select", (all) => all.map((e) => e.value)), ["spectra", "standard_file", "dyes"]);
  const asked = questions(page);
  await page.setInputFiles(".lab-choose input", [of({ name: "big.csv", text: "x".repeat(1 << 20) })]);
  await page.waitForSelector(".lab-files .field-say");
  assert.match(await page.innerText(".lab-files .field-say"), /big\.csv is larger/);
  assert.equal(asked.length, 0);
  await page.setInputFiles(".lab-choose input", [of({ name: "odd.csv", text: files.spectra.text.replace(/\nRY-1@1,[\d.]+/, "\nRY-1@1,none") })]);
  await page.waitForSelector(".failure");
  assert.deepEqual(await axe(page), [], "a broken file");
  assert.match(await page.innerText(".failure"), /odd\.csv:/);
});

test("a lost connection: the picture stays, and the question is asked again", async (t) => {
  const { open } = await desk(t);
  const page = await laboratory(open);
  await page.context().setOffline(true);
  await page.selectOption(".lab-standard select", "Plum");
  await page.waitForSelector(".offline");
  assert.equal((await fills(page)).length, 2);
  await page.context().setOffline(false);
  await try_again(page);
  await page.waitForFunction(() => document.querySelector(".lab-field-words")?.textContent.includes("Plum") && !document.querySelector(".failure") && !document.querySelector(".lab-recipes.is-stale"));
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
