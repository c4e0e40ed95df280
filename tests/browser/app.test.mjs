// The web app as a person meets it.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { test } from "node:test";
import { serve } from "../http/server.mjs";
import { axe, overflow } from "./checks.mjs";
import { LOT, desk, plan_page, try_again } from "./page.mjs";

const PLACES = ["#/lots", "#/orders", "#/orders/S26-041", "#/check", `#/lots/${LOT}`, "#/lots/L26-0117", `#/lots/${LOT}?why=b5.liquor_l`, "#/fabric"];

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
      assert.ok((await overflow(page)) <= 0, `${place} at ${width}`);
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
  const said = (await page.innerText(".what-if .field:has-text('Ratio') .field-say")).replaceAll("\u00a0", " ");
  assert.match(said, /^Allowed: 2 to 40 L\/kg\. Give a value in this range, or leave it out: then it is as stored\.$/, "a sentence, without a name of a field");
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

test("printed: more than a page, with the lot, its baths and its materials on it", async (t) => {
  const { s, open } = await desk(t);
  const page = await plan_page(open);
  const pdf = await page.pdf({ format: "A4" });
  const text = execFileSync("pdftotext", ["-layout", "-", "-"], { input: pdf }).toString("utf8");
  const pages = text.split("\f").filter((one) => one.trim());
  assert.ok(pages.length > 1, `${pages.length} pages`);
  assert.ok(text.includes(LOT));
  const { plan, baths } = (await s.get(`/api/lots/${LOT}/plan`)).json;
  for (const bath of baths ?? plan.baths) assert.ok(text.includes(bath.name), bath.name);
  assert.match(text, /308\.1/); // kg of salt: 38.13 g/L in 8000 L, 99 % pure (1.36 % between the bands)
  assert.doesNotMatch(text, /Edit steps|Discard|Save lot/); // nothing to press on paper
});

test("by keyboard alone: every stop is seen, ringed, and not under anything", async (t) => {
  const { open } = await desk(t);
  for (const [place, size] of [["#/lots", [1280, 800]], ["#/orders/S26-041", [1280, 800]], [`#/lots/${LOT}`, [1280, 800]], [`#/lots/${LOT}`, [390, 844]]]) {
    const page = await open(place, size);
    await page.waitForTimeout(400);
    if (place.includes(LOT)) { // with the bar of an unsaved change, which lies over the page
      await page.locator(".what-if .field:has-text('Ratio') input").fill("9");
      await page.waitForSelector(".bar .deltas");
      await page.evaluate(() => { document.activeElement.blur(); window.scrollTo(0, 0); });
    }
    const faults = [];
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press("Tab");
      const fault = await page.evaluate(() => {
        const e = document.activeElement;
        if (!e || e === document.body) return "";
        const of = (node) => getComputedStyle(node);
        const ringed = [e, e.closest("tr"), e.parentElement].filter(Boolean).some((node) =>
          (of(node).outlineStyle !== "none" && parseFloat(of(node).outlineWidth) >= 2) || of(node).boxShadow !== "none");
        const own = ringed || (e.matches(".plot-hit") && [...document.querySelectorAll(".plot-svg *")].some((node) => of(node).outlineStyle !== "none"));
        const r = e.getBoundingClientRect();
        const spots = [[0.5, 0.5], [0.1, 0.2], [0.9, 0.8]].map(([fx, fy]) => [r.left + r.width * fx, r.top + r.height * fy]);
        const free = spots.some(([x, y]) => {
          const top = document.elementFromPoint(x, y);
          return top && (e.contains(top) || top.contains(e) || top.closest("label, tr") === e.closest("label, tr"));
        });
        const name = `${e.outerHTML.slice(0, 90)} at ${Math.round(r.left)},${Math.round(r.top)}`;
        return !own ? `no ring: ${name}` : !free ? `hidden: ${name}` : "";
      });
      if (fault) faults.push(fault);
    }
    assert.deepEqual(faults, [], `${place} ${size.join("x")}`);
    await page.context().close();
  }
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
  await try_again(page);
});
