// What the lots teach. The mill has no store of lots that were run yet, so the answer is that of an
// older book, put in its place.
import assert from "node:assert/strict";
import { test } from "node:test";
import { madder } from "../cli/madder.mjs";
import { axe, axe_here, overflow, small_targets } from "./checks.mjs";
import { desk } from "./page.mjs";

/** 150 lots of twenty shades: one of them bad, a week of trouble, a machine that is pale by a tenth. */
function book() {
  const rows = ["lot_id,ended,right_first,shade_id,machine_id,article_id,additions,de,dye_id,planned_pct_owf,found_pct_owf"];
  for (let i = 0; i < 150; i++) {
    const day = new Date(Date.UTC(2026, 0, 5) + i * 43_200_000).toISOString().slice(0, 16).replace("T", " ");
    const shade = i % 5 === 0 ? "NAVY" : `S-${200 + (i % 19)}`;
    const machine = ["J1", "J2", "O3"][i % 3];
    const wrong = (shade === "NAVY" && i % 2 === 0) || (i >= 98 && i < 112);
    const found = 1.5 * (machine === "J1" ? 1.1 : 1) * (1 + 0.02 * (((i * 7) % 5) - 2)) * (i === 7 ? 3 : 1);
    const de = 0.5 + 0.06 * (((i * 11) % 7) - 3) + (i === 120 ? 1 : 0);
    rows.push(`L${i},${day},${wrong ? "no" : "yes"},${shade},${machine},A-${i % 4},${wrong ? 2 : 0},${de.toFixed(2)},${i % 2 ? "RB-1" : "RY-1"},1.5,${found.toFixed(4)}`);
  }
  return rows.join("\n") + "\n";
}

async function learn_page(open, size = undefined) {
  const answer = madder(["learn", "--file", "-", "--json"], { input: book() });
  assert.equal(answer.status, 0, answer.err);
  const page = await open("#/lots", size);
  await page.route("**/api/learn", (route) => route.fulfill({ contentType: "application/json", body: answer.out }));
  await page.evaluate(() => { location.hash = "#/learn"; });
  await page.waitForSelector(".learn-plot");
  return { page, taught: JSON.parse(answer.out).result };
}

test("without lots it says so, and how to read an older book", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/learn");
  await page.waitForSelector(".quiet-state >> text=No lots have been run yet");
  assert.deepEqual(await axe(page), []);
  assert.deepEqual(page.faults, []);
});

test("every state is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  for (const size of [[1280, 800], [800, 1280], [390, 800]]) {
    const { page } = await learn_page(open, size);
    for (const enter of [async () => undefined, () => page.check("input[value=machine]", { force: true }), () => page.click(".learn-out >> nth=0 >> summary")]) {
      await enter();
      assert.deepEqual(await axe_here(page), [], size.join("x"));
      assert.deepEqual(await small_targets(page), [], size.join("x"));
      assert.ok((await overflow(page)) <= 0, `${size.join("x")}: ${await overflow(page)} px too wide`);
    }
    assert.deepEqual(page.faults, []);
  }
});

test("groups: the worst first, all of them when asked, another grouping", async (t) => {
  const { open } = await desk(t);
  const { page, taught } = await learn_page(open);
  const rows = "section[aria-labelledby=learn-groups] tbody tr";
  assert.equal(await page.locator(rows).count(), 12);
  assert.match(await page.locator(rows).first().innerText(), /NAVY[\s\S]*Worse/);
  await page.click("section[aria-labelledby=learn-groups] .learn-more");
  assert.equal(await page.locator(rows).count(), taught.groups.filter((g) => g.by === "shade").length);
  await page.check("input[value=machine]", { force: true });
  assert.equal(await page.locator(rows).count(), 3);
  assert.match(await page.innerText("section[aria-labelledby=learn-groups] .section-lead"), /no more than chance/);
});

test("charts: each point that is out has the shape of its rule, and the key its words", async (t) => {
  const { open } = await desk(t);
  const { page, taught } = await learn_page(open);
  for (const [i, chart] of taught.charts.entries()) {
    const figure = page.locator(".learn-chart").nth(i);
    const points = taught.points.filter((p) => p.chart === chart.chart);
    const out = points.filter((p) => p.rules);
    assert.equal(await figure.locator(".learn-plot .learn-mark").count(), out.length, chart.chart);
    assert.equal(await figure.locator(".learn-plot circle").count(), points.filter((p) => p.value !== null && !p.rules).length, chart.chart);
    for (const p of out) assert.match(await figure.locator(".learn-key").innerText(), new RegExp(taught.rules.find((r) => r.rule === p.rules.split(" ")[0]).words.replaceAll("(", "\\(").replaceAll(")", "\\)")));
    if (out.length) {
      await figure.locator("summary").click();
      assert.equal(await figure.locator("tbody tr").count(), out.length);
      assert.equal(await figure.locator("tbody tr").first().locator("th").innerText(), out[0].at);
    }
  }
  assert.match(await page.locator(".learn-chart").first().innerText(), /points? (is|are) out/);
});

test("factors: of the dye that is chosen, and what would be applied", async (t) => {
  const { open } = await desk(t);
  const { page, taught } = await learn_page(open);
  const table = "section[aria-labelledby=learn-factors]";
  for (const dye of taught.dyes) {
    await page.selectOption(`${table} select`, dye.dye_id);
    const all = taught.factors.filter((f) => f.dye_id === dye.dye_id);
    const mine = all.filter((f) => f.level !== "cell");
    assert.equal(await page.locator(`${table} tbody tr`).count(), mine.length);
    await page.click(`${table} .learn-more`);
    assert.equal(await page.locator(`${table} tbody tr`).count(), all.length);
    await page.click(`${table} .learn-more`);
    const j1 = mine.findIndex((f) => f.level === "machine" && f.machine_id === "J1");
    assert.match(await page.locator(`${table} tbody tr`).nth(j1).innerText(), /Applied/);
    assert.ok((await page.locator(`${table} tbody tr`).nth(j1).innerText()).includes(mine[j1].factor.toFixed(3)));
  }
});

test("long tables come in parts: each row once, points in the order of time", async (t) => {
  const { open } = await desk(t);
  const answer = JSON.parse(madder(["learn", "--file", "-", "--json"], { input: book() }).out);
  const all = answer.result;
  const FIRST = 3;
  const newest = all.charts.flatMap((c) => all.points.filter((p) => p.chart === c.chart).slice(-FIRST));
  const parts = {
    "": { ...all, groups: all.groups.slice(0, FIRST), factors: all.factors.slice(0, FIRST), points: newest, rows_next: FIRST },
    [`?after=${FIRST}`]: { ...all, groups: all.groups.slice(FIRST), factors: all.factors.slice(FIRST), points: all.points.filter((p) => !newest.includes(p)), rows_next: null },
  };
  const page = await open("#/lots");
  await page.route(/\/api\/learn/, (route) => route.fulfill({ contentType: "application/json", body: JSON.stringify({ ...answer, result: parts[new URL(route.request().url()).search] }) }));
  await page.evaluate(() => { location.hash = "#/learn"; });
  const dots = () => page.locator(".learn-chart >> nth=0 >> .learn-plot circle").evaluateAll((list) => list.map((e) => Number(e.getAttribute("cx"))));
  await page.waitForSelector(".learn-plot");
  const few = (await dots()).length;
  assert.ok(few <= FIRST);
  await page.click("text=Show more rows");
  await page.waitForSelector(".learn-rest", { state: "detached" });
  const many = await dots();
  assert.ok(many.length > few);
  assert.deepEqual(many, [...many].sort((a, b) => a - b), "from left to right");
  const rows = await page.locator("section[aria-labelledby=learn-factors] tbody tr").count();
  assert.ok(all.factors.length > FIRST && rows > FIRST, `${rows} of ${all.factors.length}`);
  assert.deepEqual(page.faults, []);
});
