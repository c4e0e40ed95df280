// The pages in the states a person brings them into: changed, wrong, unfolded, zoomed, cut off.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axe, label_faults, overflow, small_targets } from "./checks.mjs";
import { LOT, desk, plan_page } from "./page.mjs";
import { in_time } from "./timed.mjs";

const ratio = (page) => page.locator(".what-if .field:has-text('Ratio') input");

/** Each state is entered on a fresh plan page. */
const STATES = {
  "a change not saved": async (page) => {
    await ratio(page).fill("10");
    await page.waitForSelector(".bar .deltas");
  },
  "wrong entries": async (page) => {
    await page.locator(".what-if .field:has-text('Load') input").fill("1,000");
    await ratio(page).fill("100");
    await page.waitForSelector(".bar-problem");
  },
  "steps being edited": async (page) => {
    await page.locator("#bath-5 >> text=Edit steps").click();
    await page.waitForSelector("#bath-5 .edit");
  },
  "the curve as a table": async (page) => {
    await page.click(".curve-head button[aria-pressed]");
    await page.waitForSelector(".twin table");
  },
  "a step chosen, a bath zoomed": async (page) => {
    await page.selectOption(".curve-head select", "5");
    await page.focus(".plot-hit");
    await page.keyboard.press("ArrowRight");
    await page.waitForSelector(".reading");
  },
  "a mass balance unfolded": async (page) => {
    await page.locator("#bath-5 summary").click();
  },
  "a why open": async (page) => {
    await page.locator("[data-fact=cycle_min] a.num").click();
    await page.waitForSelector(".why");
  },
};

test("every state of the plan page is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  for (const [name, enter] of Object.entries(STATES)) {
    const page = await plan_page(open);
    await enter(page);
    assert.deepEqual(await axe(page), [], name);
    for (const width of [390, 800, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(100);
      assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    }
    await page.setViewportSize({ width: 390, height: 844 });
    assert.deepEqual(await small_targets(page), [], name);
    await page.context().close();
  }
});

test("targets of every place are large enough", async (t) => {
  const { open } = await desk(t);
  for (const place of ["#/lots", "#/orders", "#/orders/S26-041", "#/check", `#/lots/${LOT}`, "#/nowhere"]) {
    const page = await open(place);
    await page.waitForTimeout(400);
    assert.deepEqual(await small_targets(page), [], place);
    await page.context().close();
  }
});

test("labels of the curve keep clear of each other and of the line: every lot, whole and by bath", async (t) => {
  const { s, open } = await desk(t);
  const { lots } = (await s.get("/api/lots")).json;
  assert.ok(lots.length >= 20);
  let curves = 0;
  for (const size of [[1280, 800], [390, 844]]) {
    const page = await open("#/lots", size);
    for (const { lot_id } of lots) {
      await page.evaluate((id) => (location.hash = `#/lots/${id}`), lot_id);
      await page.waitForFunction((id) => document.querySelector("h1")?.textContent === id && document.querySelector(".plot-svg, .failure"), lot_id);
      if (!(await page.locator(".plot-svg").count())) continue; // cannot be planned yet, and the page says why
      assert.deepEqual(await label_faults(page), [], `${lot_id} at ${size[0]}`);
      curves += 1;
    }
    await page.evaluate((id) => (location.hash = `#/lots/${id}`), LOT);
    await page.waitForFunction((id) => document.querySelector(".lot-title h1")?.textContent === id, LOT);
    for (const bath of await page.$$eval(".curve-head select option", (all) => all.map((o) => o.value))) {
      await page.selectOption(".curve-head select", bath);
      await page.waitForTimeout(40);
      assert.deepEqual(await label_faults(page), [], `bath ${bath} at ${size[0]}`);
    }
    await page.context().close();
  }
  assert.ok(curves > 40, `${curves} curves seen`);
});

test("a tap on the curve reads a step; a second one goes to it in the tables", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  const box = await page.locator(".plot-hit").boundingBox();
  await page.mouse.click(box.x + box.width * 0.5, box.y + box.height * 0.3);
  const name = await page.innerText(".reading strong");
  assert.match(name, /^5\.\d+ /); // the middle of this lot is its dyeing bath
  assert.equal(await page.locator(".step.is-chosen").count(), 1);
  await page.locator(".plot-hit").scrollIntoViewIfNeeded();
  const again = await page.locator(".plot-hit").boundingBox();
  await page.mouse.click(again.x + again.width * 0.5, again.y + again.height * 0.3);
  await page.waitForFunction(() => {
    const r = document.querySelector(".step.is-chosen").getBoundingClientRect();
    return r.top >= 0 && r.bottom <= innerHeight;
  });
  assert.equal(await page.evaluate(() => document.activeElement.id), `step-${name.split(" ")[0].replace(".", "-")}`);
});

test("keys walk the curve from end to end, and a reader hears each step", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  await page.focus(".plot-hit");
  const heard = () => page.getAttribute(".plot-hit", "aria-valuetext");
  await page.keyboard.press("Home");
  assert.match(await heard(), /^1\.1 Load, 0:00/);
  await page.keyboard.press("ArrowRight");
  assert.match(await heard(), /^1\.2 Fill/);
  await page.keyboard.press("ArrowLeft");
  assert.match(await heard(), /^1\.1 /);
  await page.keyboard.press("End");
  assert.match(await heard(), /Unload/);
  assert.equal(await page.getAttribute(".plot-hit", "aria-valuenow"), await page.getAttribute(".plot-hit", "aria-valuemax"));
});

test("the chain of a why: breadcrumb back, address shared, focus returned", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open);
  const number = page.locator("[data-fact=cycle_min] a.num");
  await number.focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".why");
  const first = await page.innerText("#why-title");
  await page.locator(".why-inputs a").first().click();
  await page.waitForSelector(".why-trail");
  assert.equal(await page.innerText(".why-trail li"), first);
  const shared = page.url();
  await page.locator(".why-trail a").click();
  await page.waitForSelector(".why-trail", { state: "detached" });
  assert.equal(await page.innerText("#why-title"), first);
  await page.keyboard.press("Escape");
  assert.equal(await page.evaluate(() => document.activeElement.dataset.figure), await number.getAttribute("data-figure"));
  const other = await open(new URL(shared).hash);
  await other.waitForSelector(".why-value");
  assert.notEqual(await other.innerText("#why-title"), first);
});

test("a redraw of the curve of a plan of about a hundred steps within a frame", async (t) => {
  const { open } = await desk(t);
  const page = await plan_page(open, "L26-0118");
  assert.ok((await page.locator(".step").count()) >= 90);
  const times = await page.evaluate(async () => {
    const select = document.querySelector(".curve-head select");
    const out = [];
    const texts = new Set();
    for (let i = 0; i < 24; i++) {
      const start = performance.now();
      select.value = i % 2 ? "0" : "5";
      select.dispatchEvent(new Event("change", { bubbles: true }));
      for (let k = 0; k < 4; k++) await null; // the page draws in a microtask
      document.querySelector(".plot-svg").getBBox(); // and is laid out
      texts.add(document.querySelector(".plot-svg").textContent);
      if (i % 2) out.push(performance.now() - start); // back to the whole lot: the larger picture
      await new Promise(requestAnimationFrame);
    }
    if (texts.size < 2) throw new Error("nothing was drawn anew within the time taken");
    return out;
  });
  in_time(t, "the whole lot drawn anew, the best of twelve", Math.min(...times), 16);
});

test("a lot past its day is marked by a shape and a word, and found by the word", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/lots");
  await page.waitForSelector(".data tbody tr");
  await page.clock.setFixedTime(new Date("2026-12-04T12:00:00")); // demo mill: due days from 1 December 2026 on
  await page.reload();
  await page.waitForSelector(".data tbody tr");
  const state = (lot) => page.innerText(`tr:has-text('${lot}') .cell-due`);
  assert.doesNotMatch(await state("L26-0101"), /Late/); // due on the 1st, but done
  assert.match(await state("L26-0103"), /Late/); // due on the 3rd, finishing
  assert.doesNotMatch(await state("L26-0104"), /Late/); // due on the 4th: the day is not over
  assert.equal(await page.locator("tr:has-text('L26-0103') .cell-due svg").count(), 1);
  await page.fill("#lots-filter", "late");
  await page.waitForFunction(() => document.querySelectorAll(".data tbody tr").length === 1);
  for (const text of ["L26-0103", "(", "\\", "1×1 rib", "*"]) await page.fill("#lots-filter", text);
  assert.deepEqual(page.faults, []);
});

test("lists are sorted by their heads, both ways", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/lots");
  await page.waitForSelector(".data tbody tr");
  const loads = async () => (await page.$$eval(".cell-load_kg", (cells) => cells.slice(1).map((c) => Number(c.textContent.replace(",", ""))))).filter(Number.isFinite);
  await page.click("th button:has-text('Load')");
  const up = await loads();
  assert.deepEqual(up, [...up].sort((a, b) => a - b));
  await page.click("th button:has-text('Load')");
  assert.deepEqual(await loads(), [...up].sort((a, b) => b - a));
  assert.equal(await page.getAttribute("th.cell-load_kg", "aria-sort"), "descending");
});

test("a lot that cannot be planned, and one that is not there, say so and what to do", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/lots/L26-0120");
  await page.waitForSelector(".failure");
  assert.match(await page.innerText(".failure"), /no rolls[\s\S]*gather rolls/i);
  assert.deepEqual(await axe(page), []);
  const none = await open("#/lots/NOPE");
  await none.waitForSelector(".failure");
  assert.match(await none.innerText(".failure"), /NOPE/);
});
