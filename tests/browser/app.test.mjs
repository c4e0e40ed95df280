// The web app as a person meets it.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { test } from "node:test";
import { serve } from "../http/server.mjs";
import { LOT, desk, plan_page } from "./page.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const PLACES = ["#/lots", "#/orders", "#/orders/S26-041", "#/check", `#/lots/${LOT}`, "#/lots/L26-0117", `#/lots/${LOT}?why=b5.liquor_l`];

async function axe(page) {
  await page.evaluate(AXE); // not by a script tag: the page allows none but its own
  return page.evaluate(async () => {
    const r = await axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] });
    return r.violations.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120)).join(" | ")}`);
  });
}

test("every place: no fault in the console, accessible, nothing runs over the edge, targets large enough", async (t) => {
  const { open } = await desk(t);
  for (const place of PLACES) {
    const page = await open(place);
    await page.waitForTimeout(500);
    assert.deepEqual(page.faults, [], place);
    assert.deepEqual(await axe(page), [], place);
    for (const width of [390, 800, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(120);
      const [wide, seen] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
      assert.ok(wide <= seen, `${place} at ${width}: ${wide} > ${seen}`);
    }
    await page.setViewportSize({ width: 800, height: 1280 });
    const small = await page.evaluate(() => [...document.querySelectorAll("button, select, input")]
      .filter((e) => e.offsetParent && !e.closest("[hidden]"))
      .map((e) => [e.getBoundingClientRect(), e.outerHTML.slice(0, 100)])
      .filter(([r]) => r.height > 0 && (r.height < 43.5 || r.width < 43.5)).map(([r, html]) => `${Math.round(r.width)}x${Math.round(r.height)} ${html}`));
    assert.deepEqual(small, [], place);
    await page.context().close();
  }
});

test("lots: filter and way to a plan", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/lots");
  await page.waitForSelector("text=L26-0107");
  await page.fill("input", "coal black");
  await page.waitForFunction(() => !document.body.innerText.includes("L26-0107"));
  assert.match(await page.innerText("main"), /L26-0103/);
  await page.fill("input", "");
  await page.click("text=L26-0107");
  await page.waitForSelector(".plot-svg");
  assert.equal(await page.innerText("h1"), LOT);
});

test("why: from a number down to a field of a record, and back", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  const number = page.locator(".facts a.num, .fact a.num, a.num").first();
  await number.click();
  await page.waitForSelector(".why");
  const seen = [];
  for (let depth = 0; depth < 12; depth++) {
    seen.push(await page.innerText("#why-title"));
    const next = page.locator(".why-inputs a").first();
    if (!(await next.count())) break;
    const before = await page.innerText(".why-key");
    await next.click();
    await page.waitForFunction((was) => document.querySelector(".why-key")?.textContent !== was, before);
  }
  assert.ok(seen.length >= 2, seen.join(" > "));
  assert.match(await page.innerText(".why-source"), /\w/);
  assert.match(page.url(), /why=/);
  await page.keyboard.press("Escape");
  await page.waitForSelector(".why", { state: "detached" });
  assert.ok(await page.evaluate(() => document.activeElement && document.activeElement !== document.body), "focus has gone back");
});

test("the curve is walked by keys, its labels do not overlap, and it has a table twin", async (t) => {
  const { open } = await desk(t);
  for (const size of [[1280, 800], [800, 1280]]) {
    const page = await plan_page(open, LOT, size);
    await page.waitForTimeout(300);
    const crossing = await page.evaluate(() => {
      const boxes = [...document.querySelectorAll(".plot-svg text")].filter((e) => e.textContent.trim())
        .map((e) => ({ text: e.textContent, r: e.getBoundingClientRect() }));
      const found = [];
      for (let i = 0; i < boxes.length; i++) for (let k = i + 1; k < boxes.length; k++) {
        const a = boxes[i].r, b = boxes[k].r;
        const w = Math.min(a.right, b.right) - Math.max(a.left, b.left), h = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (w > 1.5 && h > 3) found.push(`${boxes[i].text} / ${boxes[k].text}`);
      }
      return found;
    });
    assert.deepEqual(crossing, [], size.join("x"));
    await page.focus(".plot-hit");
    await page.keyboard.press("ArrowRight");
    const first = await page.innerText(".readout");
    await page.keyboard.press("ArrowRight");
    await page.waitForFunction((was) => document.querySelector(".readout").innerText !== was, first);
    await page.click(".curve-head button[aria-pressed]");
    assert.ok(await page.locator(".curve table tbody tr").count() > 30);
    await page.context().close();
  }
});

test("what if: re-planned, told against before, discarded, saved; a wrong value keeps what was typed", async (t) => {
  const { s, open } = await desk(t);
  const page = await plan_page(open);
  const ratio = page.locator(".what-if .field:has-text('Ratio') input");
  await ratio.fill("10");
  await page.waitForSelector(".bar .deltas");
  assert.match(await page.innerText(".bar"), /8,000/);
  assert.match(await page.innerText(".bar"), /10,000/);
  await page.click(".bar >> text=Discard");
  await page.waitForFunction(() => !document.querySelector(".bar .deltas"));
  assert.equal(await ratio.inputValue(), "8");
  await ratio.fill("100");
  await page.waitForSelector(".field-say, .what-if-problem p");
  assert.equal(await ratio.inputValue(), "100");
  await ratio.fill("9");
  await page.waitForSelector(".bar .deltas");
  await page.click(".bar >> text=/Save/");
  await page.waitForFunction(() => !document.querySelector(".bar .deltas"));
  const stored = (await s.get(`/api/lots/${LOT}/plan`)).json;
  assert.equal(stored.headline.liquor_l.value, 9000);
});

test("another machine; a step's minutes edited", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  await page.selectOption("#what-if-machine", "O4");
  await page.waitForSelector(".bar .deltas");
  await page.click(".bar >> text=Discard");
  await page.waitForFunction(() => !document.querySelector(".bar .deltas"));
  await page.locator("#bath-2 >> text=Edit steps").first().click();
  const minutes = page.locator("#bath-2 .edit:has-text('Run') input").first();
  await minutes.fill("75");
  await page.waitForSelector(".bar .deltas");
  assert.match(await page.innerText(".bar"), /version 2/i);
});

test("printed: more than a page, with the lot on it", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  const pdf = (await page.pdf({ format: "A4" })).toString("latin1");
  assert.ok((pdf.match(/\/Type \/Page\b/g) ?? []).length > 1);
});

test("the server goes away: said, the plan stays, and works again after a restart", async (t) => {
  const { s, open } = await desk(t);
  const page = await plan_page(open);
  await s.stop();
  await page.locator(".what-if .field:has-text('Ratio') input").fill("9");
  await page.waitForSelector(".offline");
  assert.equal(await page.innerText("h1"), LOT);
  assert.ok(await page.locator(".plot-svg").count());
  const again = await serve(t, s.file, s.port);
  assert.equal(again.port, s.port);
  await page.click(".offline button");
  await page.waitForSelector(".offline", { state: "detached" });
});
