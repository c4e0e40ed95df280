// The chemistry of a lot's baths, its footprint, and the bath desk.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axe, label_faults, overflow, small_targets } from "./checks.mjs";
import { LOT, desk } from "./page.mjs";

const BATH = `#/lots/${LOT}/bath`;
const FOOT = `#/lots/${LOT}/footprint`;

async function bath_page(open, lot = LOT, size = undefined) {
  const page = await open(`#/lots/${lot}/bath`, size);
  await page.waitForSelector(".bath-chart .plot-svg");
  return page;
}
async function compared(page) {
  await page.waitForSelector("#footprint-against option:nth-child(2)", { state: "attached" });
  const other = await page.$eval("#footprint-against", (s) => s.options[1].value);
  await page.selectOption("#footprint-against", other);
  await page.waitForSelector(".differences");
  return other;
}
const field = (page, name) => page.locator(`.desk-field:has-text('${name}') input`);
async function answered(page) {
  await page.click(".desk-go");
  await page.waitForFunction(() => document.querySelector(".desk-answer").getAttribute("aria-busy") === "false");
}

const STATES = {
  "the chart, a minute read": [BATH, async (page) => {
    await page.waitForSelector(".bath-chart .plot-svg");
    await page.focus(".plot-hit");
    for (let i = 0; i < 8; i++) await page.keyboard.press("PageUp");
  }],
  "one bath, the dissolved unfolded": [BATH, async (page) => {
    await page.waitForSelector(".bath-chart .plot-svg");
    await page.selectOption(".curve-head select", "5");
    await page.click(".bath-dissolved summary");
  }],
  "a why of a bath": [BATH, async (page) => {
    await page.locator("#bath-table-title ~ table a.num").first().click();
    await page.waitForSelector(".why");
  }],
  "the footprint": [FOOT, (page) => page.waitForSelector(".waterfall")],
  "two routes compared, in money": [FOOT, async (page) => {
    await compared(page);
    await page.check("input[value=money]", { force: true });
  }],
  "a pH worked out": ["#/desk", (page) => page.waitForSelector(".answer-large")],
  "a wrong temperature": ["#/desk/ph", async (page) => {
    await field(page, "Temperature").fill("160");
    await answered(page);
    await page.waitForSelector(".field-say");
  }],
  "more substances": ["#/desk/neutralise", async (page) => {
    await page.waitForSelector(".answer-large");
    await page.click(".desk-more summary");
  }],
  "two ways to rinse": ["#/desk/rinse", (page) => page.waitForSelector(".answer-nested[open]")],
};

test("every state of the new pages is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  for (const [name, [place, enter]] of Object.entries(STATES)) {
    const page = await open(place);
    await enter(page);
    assert.deepEqual(await axe(page), [], name);
    for (const width of [390, 800, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(100);
      assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    }
    await page.setViewportSize({ width: 800, height: 1100 });
    assert.deepEqual(await small_targets(page), [], name);
    await page.context().close();
  }
});

test("labels of the pH chart keep clear of each other and of the line: every lot, whole and by bath", async (t) => {
  const { s, open } = await desk(t);
  const { lots } = (await s.get("/api/lots")).json;
  let charts = 0;
  for (const size of [[1280, 800], [800, 1100]]) {
    const page = await open("#/lots", size);
    for (const { lot_id } of lots) {
      await page.evaluate((id) => (location.hash = `#/lots/${id}/bath`), lot_id);
      await page.waitForFunction((id) => document.querySelector("h1")?.textContent === id && document.querySelector(".bath-chart .plot-svg, .failure"), lot_id);
      if (!(await page.locator(".bath-chart .plot-svg").count())) continue; // cannot be planned yet, and the page says why
      assert.deepEqual(await label_faults(page), [], `${lot_id} at ${size[0]}`);
      charts += 1;
    }
    await page.evaluate((id) => (location.hash = `#/lots/${id}/bath`), LOT);
    await page.waitForFunction((id) => document.querySelector(".lot-title h1")?.textContent === id && document.querySelector(".bath-chart .plot-svg"), LOT);
    for (const bath of await page.$$eval(".curve-head select option", (all) => all.map((o) => o.value))) {
      await page.selectOption(".curve-head select", bath);
      await page.waitForTimeout(40);
      assert.deepEqual(await label_faults(page), [], `bath ${bath} at ${size[0]}`);
    }
    await page.context().close();
  }
  assert.ok(charts > 40, `${charts} charts seen`);
});

test("chart, table and checks say what the server says", async (t) => {
  const { s, open } = await desk(t);
  const { baths } = (await s.get(`/api/lots/${LOT}/plan`)).json;
  const over_time = (await s.get(`/api/lots/${LOT}/bath`)).json;
  const page = await bath_page(open);
  for (const bath of baths.filter((b) => b.ph_end)) {
    const link = page.locator(`a.num[data-figure="${bath.ph_end.figure}"]`).first();
    assert.equal(await link.innerText(), bath.ph_end.value.toFixed(1), bath.name);
  }
  // a minute in the middle of the last hold of the dyebath, where everything stands still
  const [dye] = over_time.baths.filter((b) => b.stage === "dyeing");
  const column = (name) => over_time.columns.indexOf(name);
  const minute = Math.round(dye.end_min - 20);
  const point = over_time.points.filter((p) => p[0] <= minute).at(-1);
  await page.focus(".plot-hit");
  await page.keyboard.press("End");
  for (let at = Number(await page.getAttribute(".plot-hit", "aria-valuenow")); at > minute; ) {
    await page.keyboard.press(at - minute >= 15 ? "PageDown" : "ArrowLeft");
    at = Number(await page.getAttribute(".plot-hit", "aria-valuenow"));
  }
  assert.equal(Number(await page.getAttribute(".plot-hit", "aria-valuenow")), minute);
  const shown = (name) => page.innerText(`.bath-values div:has(dt:text-is('${name}')) dd`);
  assert.equal(parseFloat(await shown("pH")), Number(point[column("ph")].toFixed(1)));
  assert.equal(parseFloat(await shown("Salt")), Number(point[column("salt_g_per_l")].toFixed(1)));
  assert.ok((await page.getAttribute(".plot-hit", "aria-valuetext")).includes(`pH ${await shown("pH").then((x) => x.split(" ")[0])}`));
  // every check of the bath's chemistry has a verdict in words
  const chemical = over_time.checks.filter((c) => /^(pH|m?g\/L|dH)$/.test(c.unit));
  const words = await page.$$eval("#bath-checks-title ~ table tbody tr td:last-child", (cells) => cells.map((c) => c.innerText.trim()));
  assert.equal(words.length, chemical.length);
  assert.ok(chemical.length >= 5);
  chemical.forEach((c, i) => {
    if (c.value === null) assert.equal(words[i], "Not known");
    else if ((c.low === null || c.value >= c.low) && (c.high === null || c.value <= c.high)) assert.equal(words[i], "Within");
    else assert.match(words[i], /^(On the edge|Outside)$/);
  });
});

test("a check that fails is marked by shape and word", async (t) => {
  const { s, open } = await desk(t);
  const page = await open("#/lots");
  // the same lot, with a window that its pH cannot meet
  await page.route("**/api/lots/*/plan", async (route) => {
    const plan = await (await route.fetch()).json();
    const step = plan.baths.flatMap((b) => b.steps).find((one) => one.check?.kind === "ph" && one.ph);
    Object.assign(step.check, { low: 1, high: 2 });
    await route.fulfill({ json: plan });
  });
  await page.goto(`${s.base}/${BATH}`);
  await page.waitForSelector(".verdict-outside");
  assert.equal(await page.locator(".verdict-outside").count(), 1);
  assert.match(await page.innerText(".verdict-outside"), /Outside/);
  assert.equal(await page.locator(".verdict-outside svg .shape-warning").count(), 1);
});

test("a why opened on the bath page stays there and gives the focus back", async (t) => {
  const { open } = await desk(t);
  const page = await bath_page(open);
  const number = page.locator("#bath-table-title ~ table a.num").first();
  await number.focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".why-value");
  assert.ok(new URL(page.url()).hash.startsWith(`${BATH}?why=`));
  await page.locator(".why-inputs a").first().click();
  await page.waitForSelector(".why-trail");
  await page.keyboard.press("Escape");
  assert.equal(new URL(page.url()).hash, BATH);
  assert.equal(await page.evaluate(() => document.activeElement.dataset.figure), await number.getAttribute("data-figure"));
});

test("on a slow line: the place of the chart is held, and nothing below it jumps far", async (t) => {
  const { s, open } = await desk(t);
  const page = await open("#/lots");
  let let_go;
  const held = new Promise((resolve) => (let_go = resolve));
  await page.route("**/api/lots/*/bath", async (route) => {
    await held;
    await route.continue();
  });
  await page.goto(`${s.base}/${BATH}`);
  await page.waitForSelector("#bath-table-title");
  assert.equal(await page.locator(".bath-chart[aria-busy=true] [role=status]").count(), 1);
  const top = () => page.$eval("#bath-table-title", (h) => h.getBoundingClientRect().top + scrollY);
  const before = await top();
  let_go();
  await page.waitForSelector(".bath-chart .plot-svg");
  const moved = Math.abs((await top()) - before);
  assert.ok(moved <= 100, `${moved} px`); // two lanes more or less than most lots have
});

test("unsaved changes are not in bath and footprint, and the page says so", async (t) => {
  const { open } = await desk(t);
  const page = await open(`#/lots/${LOT}`);
  await page.waitForSelector(".plot-svg");
  await page.locator(".what-if .field:has-text('Ratio') input").fill("10");
  await page.waitForSelector(".bar .deltas");
  for (const tab of ["Bath", "Footprint"]) {
    await page.click(`.lot-tabs >> text=${tab}`);
    await page.waitForSelector(".saved-only");
    assert.equal(await page.getAttribute(`.lot-tabs a:has-text('${tab}')`, "aria-current"), "page");
  }
  assert.ok(await page.locator(".bar").count());
});

test("the waterfall adds up to the whole, of every quantity, and can be asked", async (t) => {
  const { s, open } = await desk(t);
  const { footprint } = (await s.get(`/api/lots/${LOT}/plan`)).json;
  const page = await open(FOOT);
  await page.waitForSelector(".waterfall");
  const load = { water: "water_l", steam: "steam_kg", power: "power_kwh", cod: "cod_kg", co2: "co2_kg", solids: "solids_kg", money: "cost_minor" };
  for (const [name, key] of Object.entries(load)) {
    await page.check(`input[value=${name}]`, { force: true });
    const rows = await page.$$eval(".waterfall tbody tr", (all) => all.map((r) => [r.querySelector("a.num")?.dataset.figure ?? null, (/M([\d.]+) 8H([\d.]+)/.exec(r.querySelector(".fall-part")?.getAttribute("d") ?? "") ?? []).slice(1).map(Number)]));
    assert.equal(rows.length, footprint.stages.length + 1, name);
    assert.equal(rows.at(-1)[0], footprint.total[key].figure);
    const bars = rows.slice(0, -1).filter(([, bar]) => bar.length);
    assert.equal(bars[0][1][0], 0);
    bars.slice(1).forEach(([, [from]], i) => assert.ok(Math.abs(from - bars[i][1][1]) < 0.2, `${name}: bar ${i + 1} begins where the one before ends`));
    assert.ok(Math.abs(bars.at(-1)[1][1] - rows.at(-1)[1][1]) < 0.5, `${name}: the last bar ends at the whole`);
  }
  assert.equal(await page.locator(".range-confirm").count(), footprint.bands.filter((b) => b.to_confirm).length);
  await page.locator(".waterfall a.num").first().click();
  await page.waitForSelector(".why-value");
});

test("another route beside: its name, its figures, the difference with its sign", async (t) => {
  const { s, open } = await desk(t);
  const page = await open(FOOT);
  const classes = (await s.get("/api/routes")).json.routes;
  const { dye_class } = (await s.get(`/api/lots/${LOT}/plan`)).json.lot.shade;
  const offered = await page.waitForFunction(() => {
    const all = [...document.querySelectorAll("#footprint-against option")].map((o) => o.value).filter(Boolean);
    return all.length ? all : null;
  }).then((h) => h.jsonValue());
  assert.deepEqual(offered.map((id) => classes.find((r) => r.route_id === id).dye_class).filter((c) => c !== dye_class), []);
  const other = await compared(page);
  const { a, b } = (await s.get(`/api/lots/${LOT}/footprint?against=${other}`)).json;
  assert.equal(await page.locator(".waterfall").count(), 2);
  assert.ok((await page.innerText(".fall-pair")).includes(b.name));
  const by = b.footprint.per_kg.water_l_per_kg.value - a.footprint.per_kg.water_l_per_kg.value;
  const said = await page.innerText(".differences tbody tr:first-child td:last-child");
  if (Math.abs(by) < 1e-6) assert.match(said, /the same/);
  else assert.ok(said.includes(by > 0 ? "+" : "\u2212"), said);
});

test("the desk answers large, and an error stands beside its field until it is put right", async (t) => {
  const { s, open } = await desk(t);
  const asked = { do: "ph", temp_c: 60, na2co3_g_per_l: 20, na2so4_g_per_l: 50, cold_c: 25 };
  const { result } = (await s.post("/api/bath", asked)).json;
  const page = await open("#/desk");
  await page.waitForSelector(".answer-large dd");
  assert.match(await page.innerText(".answer-large dd"), new RegExp(`^${result.ph.toFixed(2).replace(".", "\\.")}`));
  assert.ok((await page.innerText(".answer-large dd")).includes("±"));
  assert.ok(await page.locator(".answer-why li").count());
  await field(page, "Temperature").fill("160");
  assert.match(await page.innerText(".desk-state"), /earlier values/); // the answer is not of what stands there
  await answered(page);
  const say = await page.locator(".desk-field:has-text('Temperature') .field-say").innerText();
  assert.match(say, /0 to 100/);
  assert.equal(await field(page, "Temperature").getAttribute("aria-invalid"), "true");
  await field(page, "Temperature").fill("80");
  await answered(page);
  await page.waitForSelector(".field-say", { state: "detached" });
  assert.doesNotMatch(await page.innerText(".answer-large dd"), new RegExp(`^${result.ph.toFixed(2).replace(".", "\\.")}`));
  await field(page, "Soda ash").fill("1,000"); // a thousand or one: not sent at all
  assert.match(await page.innerText(".field-say"), /Thousands or decimals/);
});

test("every question of the desk is answered as it stands, and left as it was", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/desk");
  const places = await page.$$eval(".desk-tools a", (all) => all.map((a) => a.getAttribute("href")));
  assert.equal(places.length, 7);
  for (const place of places) {
    await page.evaluate((to) => (location.hash = to), place);
    await page.waitForFunction((to) => document.querySelector(".desk-tools [aria-current]")?.getAttribute("href") === to, place);
    await page.waitForSelector(".answer-large dd");
    assert.equal(await page.locator(".field-say, .failure").count(), 0, place);
    assert.doesNotMatch(await page.innerText(".desk-answer"), /NaN|undefined|_/, place);
  }
  for (const kind of await page.evaluate(() => ((location.hash = "#/desk/titrate"), null)).then(() => page.waitForSelector(".desk-choice select")).then((select) => select.$$eval("option", (all) => all.map((o) => o.value)))) {
    await page.locator(".desk-choice select").first().selectOption(kind);
    await answered(page);
    assert.equal(await page.locator(".field-say, .failure").count(), 0, kind);
    assert.ok(await page.locator(".answer-large dd").count(), kind);
  }
  await page.evaluate(() => (location.hash = "#/desk/rinse"));
  await page.waitForSelector(".answer-nested");
  await field(page, "Load").fill("750");
  await page.evaluate(() => (location.hash = "#/lots"));
  await page.waitForSelector(".data");
  await page.evaluate(() => (location.hash = "#/desk/rinse"));
  await page.waitForSelector(".answer-nested");
  assert.equal(await field(page, "Load").inputValue(), "750");
  assert.deepEqual(page.faults, []);
});

test("keys of the desk are large enough for wet hands, and it can be used by keyboard alone", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/desk/rinse", [800, 1100]);
  await page.waitForSelector(".answer-large dd");
  const heights = await page.$$eval(".desk-form .input, .desk-form .select, .desk-go, .desk-tools a", (all) => all.map((e) => e.getBoundingClientRect().height));
  assert.ok(Math.min(...heights) >= 52, `${Math.min(...heights)} px`);
  const before = await page.innerText(".answer-large dd");
  await field(page, "Load").focus();
  await page.keyboard.type("500");
  await page.keyboard.press("Enter");
  await page.waitForFunction((old) => document.querySelector(".answer-large dd").innerText !== old, before);
});

test("printed: the chart, every bath and the checks are on paper", async (t) => {
  const { s, open } = await desk(t);
  const page = await bath_page(open);
  const { baths } = (await s.get(`/api/lots/${LOT}/plan`)).json;
  await page.emulateMedia({ media: "print" });
  await page.waitForTimeout(300);
  const box = await page.locator(".bath-chart .plot-svg").boundingBox();
  assert.ok(box.width > 300 && box.height > 300);
  const text = await page.innerText("#main");
  for (const bath of baths.filter((b) => b.ph_end)) assert.ok(text.includes(bath.name), bath.name);
  assert.equal(await page.locator(".bath-readout:visible, .lot-tabs:visible").count(), 0);
});
