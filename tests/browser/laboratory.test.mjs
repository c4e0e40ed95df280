// The laboratory page: its states, recipes for a standard, sliders that follow at once, files, a lost line.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axe, overflow, small_targets } from "./checks.mjs";
import { PLACE, laboratory, mill, without_mill, settled, take, tab, slider, fills, seen, press, questions, correction, dispensing, verdict } from "./laboratory_kit.mjs";
import { desk, try_again } from "./page.mjs";
import { in_time, median } from "./timed.mjs";

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
  assert.match(await page.innerText(".lab-main figcaption"), /^D50, 2 degree observer, CIEDE2000\(1\.5:1\)\. To judge, look at the cloth\./);
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
