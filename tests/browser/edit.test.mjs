// Trying, saving and losing changes: of a lot, and of the steps of its route.
import assert from "node:assert/strict";
import { test } from "node:test";
import { serve } from "../http/server.mjs";
import { LOT, desk, plan_page, try_again } from "./page.mjs";

const field = (page, name) => page.locator(`.what-if .field:has-text('${name}') input`);
const edit = async (page, bath) => {
  await page.locator(`#bath-${bath} >> text=Edit steps`).click();
  await page.waitForSelector(`#bath-${bath} .edit`);
};
/** Planned: the bar offers to save, or says why not. */
const settled = (page) => page.waitForSelector(".bar .button-strong:enabled, .bar .bar-problem");

test("numbers are taken with a comma, and refused when they can be read two ways", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  await field(page, "Ratio").fill("9,5");
  await page.waitForSelector(".bar .deltas");
  assert.match(await page.innerText("[data-fact=liquor_l]"), /9,500/); // 1,000 kg at 9.5 L/kg
  await field(page, "Load").focus();
  assert.equal(await field(page, "Ratio").inputValue(), "9.5");
  await field(page, "Load").fill("1,000");
  assert.match(await page.innerText(".field:has-text('Load') .field-say"), /Thousands or decimals/);
  assert.equal(await page.locator(".bar >> text=Save lot").isDisabled(), true);
  await field(page, "Load").fill("");
  await page.waitForFunction(() => !document.querySelector(".field-say"));
});

test("an impossible value says what is allowed, at its field", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  await field(page, "Ratio").fill("100");
  await page.waitForSelector(".field:has-text('Ratio') .field-say");
  assert.match(await page.innerText(".field:has-text('Ratio') .field-say"), /2 to 40/); // docs/formats.md#what-if
  assert.match(await page.innerText(".stale"), /last entry that could be planned/);
  assert.equal(await field(page, "Ratio").getAttribute("aria-invalid"), "true");
});

test("steps are added, moved and removed; what is new and what was is marked", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  const before = await page.locator("#bath-2 .step").count();
  await edit(page, 2);
  await page.selectOption("#bath-2 .add-step select", "hold");
  await page.click("#bath-2 .add-step button");
  await settled(page);
  assert.equal(await page.locator("#bath-2 .edit").count(), before + 1);
  const fresh = page.locator("#bath-2 .edit:has(.step-new)");
  await fresh.locator("input").fill("20");
  await settled(page);
  await fresh.locator("button[aria-label^='Move up']").click();
  await settled(page);
  await page.locator("#bath-2 >> text=Done").click();
  await page.waitForSelector("#bath-2 .step.is-new:has-text('20')");
  assert.equal(await page.locator("#bath-2 .step.is-new").count(), 1);
  assert.match(await page.innerText("#bath-2 .step.is-new"), /20\s*min/);
  assert.match(await page.innerText("[data-fact=total_min] .was"), /was 14:51/);
  await edit(page, 2);
  await fresh.locator("button[aria-label^='Remove']").click();
  await page.waitForFunction(() => !document.querySelector(".bar"));
  assert.equal(await page.locator("[data-fact=total_min] .was").count(), 0);
});

test("a new target temperature takes the runs behind it along", async (t) => {
  const { s, open } = await desk(t);
  const page = await plan_page(open);
  await edit(page, 2);
  const target = page.locator("#bath-2 .edit:has(legend strong:text-is('Heat')) input").nth(4); // the third heating: to 98 degC, before the hour
  assert.equal(await target.inputValue(), "98");
  await target.fill("95");
  await settled(page);
  assert.equal(await page.locator(".field-say, .what-if-problem").count(), 0);
  await page.click(".bar >> text=/Save route/");
  await page.waitForSelector(".bar-notice");
  const steps = (await s.get(`/api/lots/${LOT}/plan`)).json.baths[1].steps;
  const run = steps.find((step) => step.kind === "hold" && step.minutes.value === 60);
  assert.equal(run.temp_end_c.value, 95);
});

test("a step that cannot be is told at its field, stays in sight, and can be set right", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  await edit(page, 2);
  const minutes = page.locator("#bath-2 .edit:has(legend strong:text-is('Run')) input").first();
  await minutes.fill("0");
  await page.waitForSelector("#bath-2 .field-say");
  assert.equal(await minutes.inputValue(), "0");
  await minutes.fill("50");
  await page.waitForFunction(() => !document.querySelector("#bath-2 .field-say"));
  await page.waitForSelector(".bar .deltas");
});

test("somebody else saved the lot first: said, the change kept, then saved on top", async (t) => {
  const { s, open } = await desk(t);
  const page = await plan_page(open);
  await field(page, "Ratio").fill("9");
  await page.waitForSelector(".bar .deltas");
  const { revision } = (await s.get(`/api/lots/${LOT}/plan`)).json.lot;
  const other = await s.send("PUT", `/api/lots/${LOT}`, JSON.stringify({ revision, speed_m_per_min: 70 }), { "content-type": "application/json" });
  assert.equal(other.status, 200);
  await page.click(".bar >> text=Save lot");
  await page.waitForSelector(".bar >> text=/Someone else/");
  assert.equal(await field(page, "Ratio").inputValue(), "9");
  await page.click(".bar >> text=/keep my changes/");
  await page.waitForSelector(".bar .deltas");
  assert.equal(await field(page, "Rope speed").inputValue(), "70");
  await page.click(".bar >> text=Save lot");
  await page.waitForSelector(".bar-notice");
  const { lot } = (await s.get(`/api/lots/${LOT}/plan`)).json;
  assert.deepEqual([lot.ratio_l_per_kg, lot.speed_m_per_min], [9, 70]);
});

test("somebody else saved the route first: baths not touched here come from the newer one", async (t) => {
  const { s, open } = await desk(t);
  const page = await plan_page(open);
  const json = { "content-type": "application/json" };
  await edit(page, 3); // of the same stage as the bath that they change
  const mine = page.locator("#bath-3 .edit:has(legend strong:text-is('Run')) input").first();
  await mine.fill("12");
  await settled(page);
  const { route } = (await s.get(`/api/lots/${LOT}/plan`)).json;
  const theirs = structuredClone(route);
  const bleach = theirs.stages[1].baths[0].steps.find((step) => step.do === "hold" && step.minutes === 60);
  bleach.minutes = 45;
  assert.equal((await s.send("PUT", `/api/routes/${route.route_id}`, JSON.stringify(theirs), json)).status, 200);
  await page.click(".bar >> text=/Save route/");
  await page.waitForSelector(".bar >> text=/Someone else/");
  await page.click(".bar >> text=/keep my changes/");
  await page.click(".bar >> text=/Save route as version 3/");
  await page.waitForSelector(".bar-notice");
  const now = (await s.get(`/api/lots/${LOT}/plan`)).json.route;
  assert.equal(now.version, 3);
  assert.ok(now.stages[1].baths[0].steps.some((step) => step.do === "hold" && step.minutes === 45), "theirs is kept");
  assert.equal(now.stages[1].baths[1].steps.find((step) => step.do === "hold").minutes, 12);
});

test("typed while the server is away: kept, and planned when it is back", async (t) => {
  const { s, open } = await desk(t);
  const page = await plan_page(open);
  await s.stop();
  await field(page, "Ratio").fill("10");
  await page.waitForSelector(".offline");
  await page.waitForSelector(".bar >> text=/Kept here/");
  await page.click("text=All lots"); // away and back: still there
  await page.goBack();
  await page.waitForSelector(".plot-svg");
  assert.equal(await field(page, "Ratio").inputValue(), "10");
  await serve(t, s.file, s.port);
  await try_again(page);
  await page.waitForSelector(".bar .deltas");
  assert.match(await page.innerText(".bar"), /10,000/);
});
