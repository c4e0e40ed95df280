// The finishing of a lot: the line drawn, set anew from a reading, and the lot judged after washing.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { axe, overflow, small_targets } from "./checks.mjs";
import { LOT, desk } from "./page.mjs";

const PLACE = (lot) => `#/lots/${lot}/finish`;
const LOTS = { open: LOT, tube: "L26-0122", cannot: "L26-0123", raised: "L26-0104", guessed: "L26-0105" };
const READING = { lies_cm: "168", courses_per_cm: "16.2", moisture_pct: "82", wet_gsm: "290" };

async function finish_page(open, lot = LOT, size = undefined, more = "") {
  const page = await open(PLACE(lot) + more, size);
  await page.waitForSelector(".stretch-svg");
  return page;
}
const quiet = (page) => page.waitForFunction(() => document.querySelector(".line-section").getAttribute("aria-busy") === "false");
async function read(page, pass, values) {
  for (const [field, text] of Object.entries(values)) await page.fill(`#read-${pass}-${field}`, text);
  await page.waitForTimeout(250); // longer than what is waited for more keys
  await quiet(page);
}
const figure = (page, key) => page.locator(`.line a.num[data-figure="${key}"]`).first();
const shown = (q) => String(Number(q.value.toFixed(1))).replace("-", "\u2212");

const STATES = {
  "open, as planned": [LOTS.open, async () => undefined],
  "a reading, half of another": [LOTS.open, async (page) => {
    await read(page, 1, READING);
    await page.fill("#read-2-lies_cm", "165");
    await page.waitForSelector(".read-missing");
  }],
  "a reading that cannot be": [LOTS.open, async (page) => {
    await read(page, 1, { ...READING, lies_cm: "5000" });
    await page.waitForSelector(".field-say");
  }],
  "a why": [LOTS.open, async (page) => {
    await page.locator(".figs-set a.num").first().click();
    await page.waitForSelector(".why-value");
  }],
  "a tube": [LOTS.tube, async () => undefined],
  "cannot be met": [LOTS.cannot, async () => undefined],
  "raised": [LOTS.raised, async () => undefined],
  "no sample washed": [LOTS.guessed, async () => undefined],
  "judged, everything unfolded": [LOTS.open, async (page) => {
    for (const summary of await page.locator(".results-form summary").all()) await summary.click();
    await judge(page, SHRUNK);
  }],
};
const SHRUNK = {
  "length_after_cm-0": "32", "length_after_cm-1": "32.1", "width_after_cm-0": "34", "width_after_cm-1": "34.1", "sample_g-0": "1.70", "sample_g-1": "1.72",
  "measured-0": "166", "measured-1": "167",
};
async function judge(page, values) {
  for (const [id, text] of Object.entries(values)) await page.fill(`#result-${id}`, text);
  await page.click(".results-go");
  await page.waitForSelector(".results-answer[aria-busy=false]");
}

test("every state is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  for (const [name, [lot, enter]] of Object.entries(STATES)) {
    const page = await finish_page(open, lot);
    await enter(page);
    assert.deepEqual(await axe(page), [], name);
    for (const width of [390, 800, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(150);
      assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    }
    await page.setViewportSize({ width: 800, height: 1100 });
    assert.deepEqual(await small_targets(page), [], name);
    await page.context().close();
  }
});

test("what the operator reads and presses is large: 18 px, and 20 mm for what is done on the floor", async (t) => {
  const { open } = await desk(t);
  for (const size of [[800, 1100], [1280, 900]]) {
    const page = await finish_page(open, LOT, size);
    const little = await page.$$eval(".fig dt, .fig dd .num-value, .outcome p, .read-field label, .read-field input, .pass-note, .pass h4, .result-field label, .result-list legend", (all) =>
      all.filter((e) => parseFloat(getComputedStyle(e).fontSize) < 18).map((e) => e.outerHTML.slice(0, 90)));
    assert.deepEqual(little, []);
    const MM = 96 / 25.4;
    const heights = await page.$$eval(".read-field input, .results-go, .finish-sheet", (all) => all.map((e) => e.getBoundingClientRect().height));
    assert.ok(Math.min(...heights) >= 20 * MM - 0.5, `${Math.min(...heights)} px`);
    await page.context().close();
  }
});

test("the page says what the server says: verdict, outcome, settings, measures", async (t) => {
  const { s, open } = await desk(t);
  for (const lot of Object.values(LOTS)) {
    const { finish } = (await s.get(`/api/lots/${lot}/finish`)).json;
    const page = await finish_page(open, lot);
    const verdict = await page.innerText("#finish-verdict");
    if (finish.met) assert.match(verdict, /within the specification/i, lot);
    else {
      assert.match(verdict, finish.aim.feasible ? /^Not met$/ : /^Cannot be met$/, lot);
      assert.equal(await page.locator(".finish-off li").count(), finish.outcome.filter((o) => o.off !== 0).length);
    }
    for (const o of finish.outcome) {
      const row = page.locator(`[data-outcome="${o.what}"]`);
      const says = await row.locator(".outcome-says").innerText();
      const flat = finish.tube && o.what === "width" ? 0.5 : 1;
      const [low, high] = (await row.locator(".outcome-allowed").innerText()).replace(/\u2212/g, "-").match(/-?[\d.]+/g).map(Number);
      const fine = o.unit === "g/m2" ? 0.5 : 0.05;
      assert.ok(Math.abs(low - o.low * flat) <= fine && Math.abs(high - o.high * flat) <= fine, `${lot} ${o.what}: ${low} to ${high}`);
      if (o.value) assert.ok(Math.abs(parseFloat((await row.locator(".num-value").innerText()).replace("\u2212", "-")) - o.value.value * flat) <= fine, `${lot} ${o.what}`);
      if (o.value === null) assert.match(says, /Not known/, lot);
      else if (o.off === 0) assert.match(says, /Within/, lot);
      else {
        const by = Math.abs(o.off) * flat;
        assert.ok(says.includes(o.unit === "g/m2" ? by.toFixed(0) : String(Number(by.toFixed(1)))), `${lot} ${o.what}: ${says}`);
        assert.match(says, /too (narrow|wide|light|heavy|much|little)/);
        assert.equal(await row.locator(".ob-off").count(), 1);
      }
    }
    assert.equal(await page.locator(".pass").count(), finish.passes.length + 1);
    for (const [i, pass] of finish.passes.entries()) {
      const card = page.locator(`[data-pass="${i + 1}"]`);
      for (const q of [pass.set.overfeed_pct, pass.behind.courses_per_cm, pass.behind.layflat_cm ?? pass.behind.width_cm])
        if (q) assert.equal(await card.locator(`a.num[data-figure="${q.figure}"] .num-value`).first().innerText(), shown(q), `${lot} ${pass.words} ${q.figure}`);
      if (!pass.shapes) assert.match(await card.innerText(), /not worked out/);
    }
    assert.deepEqual(page.faults, []);
    await page.context().close();
  }
});

test("the drawing is to scale across, and each machine has its words", async (t) => {
  const { s, open } = await desk(t);
  for (const [lot, size] of [[LOTS.cannot, [1280, 900]], [LOTS.cannot, [800, 1100]], [LOTS.tube, [1920, 1000]]]) {
    const { finish } = (await s.get(`/api/lots/${lot}/finish`)).json;
    const page = await finish_page(open, lot, size);
    const downwards = (await page.locator(".line.is-down").count()) > 0;
    assert.equal(downwards, size[0] === 800);
    const widths = await page.$$eval(".st-edge", (all, down) => all.filter((e) => e.closest(".stretch-svg")).map((e) => {
      // the last point of each of the two edges
      const ends = e.getAttribute("d").split("M").filter(Boolean).map((line) => line.split("L").at(-1).split(" ").map(Number));
      return Math.abs(ends[0][down ? 0 : 1] - ends[1][down ? 0 : 1]);
    }), downwards);
    const lies = [finish.tube ? finish.start.width_cm.value / 2 : finish.start.width_cm.value, ...finish.passes.map((p) => (p.behind.layflat_cm ?? p.behind.width_cm).value)];
    assert.equal(widths.length, lies.length);
    const scale = widths[0] / lies[0];
    widths.forEach((w, i) => assert.ok(Math.abs(w - scale * lies[i]) < 0.3, `${lot}, stretch ${i}: ${w} px of ${lies[i]} cm`));
    // the fabric goes on where the stretch before ended
    const joints = await page.$$eval(".stretch-svg .st-edge", (all, down) => all.map((e) => {
      const points = e.getAttribute("d").split("M").filter(Boolean)[0].split("L").map((p) => Number(p.split(" ")[down ? 0 : 1]));
      return [points[0], points.at(-1)];
    }), downwards);
    joints.slice(1).forEach(([from], i) => assert.ok(Math.abs(from - joints[i][1]) < 0.3, `${lot}: a step before stretch ${i + 1}`));
    const words = await page.$$eval(".stretch-svg", (all) => all.map((e) => [e.getAttribute("role"), e.getAttribute("aria-label")]));
    finish.passes.forEach((p, i) => assert.ok(words[i + 1][0] === "img" && words[i + 1][1].startsWith(`${p.words}: `), words[i + 1][1]));
    // the wetter the fabric, the more of it is stroked
    const strokes = await page.$$eval(".stretch-svg .st-moisture", (all) => all.map((e) => (e.getAttribute("d").match(/M/g) ?? []).length / (e.ownerSVGElement.width.baseVal.value * e.ownerSVGElement.height.baseVal.value)));
    assert.ok(strokes[0] > 1.5 * strokes[1] && strokes[1] > 4 * strokes.at(-1), strokes.join(" "));
    await page.context().close();
  }
});

test("a reading sets the rest anew: was and now, and it outlives a reload", async (t) => {
  const { s, open } = await desk(t);
  const path = `/api/lots/${LOT}/finish`;
  const reading = Object.fromEntries(Object.entries(READING).map(([k, v]) => [k, Number(v)]));
  const planned = (await s.get(path)).json.finish;
  const now = (await s.post(path, { readings: [{ pass: 1, ...reading }] })).json.finish;
  const page = await finish_page(open);
  await read(page, 1, READING);
  const key = now.passes[1].set.overfeed_pct.figure;
  await page.waitForFunction(([k, v]) => document.querySelector(`.line a.num[data-figure="${k}"] .num-value`).textContent === v, [key, shown(now.passes[1].set.overfeed_pct)]);
  const dd = page.locator('[data-pass="2"] .figs-set .fig:has-text("Overfeed") dd');
  assert.match(await dd.innerText(), new RegExp(`was ${shown(planned.passes[1].set.overfeed_pct).replace(".", "\\.")}`));
  assert.match(await page.locator('[data-pass="1"] .read-off').first().innerText(), /1\.8 more/);
  assert.match(await page.innerText('[data-pass="1"] .read-weighed'), new RegExp(now.passes[0].read.weighed_off_pct.value.toFixed(1).replace(".", "\\.")));
  assert.match(await page.innerText(".warnings"), /Weighed behind pass 1/);
  assert.match(new URL(page.url()).hash, /r=1,168,16\.2,82,290/);
  await page.reload();
  await page.waitForSelector(".stretch-svg");
  assert.equal(await page.inputValue("#read-1-lies_cm"), "168");
  await page.waitForFunction(([k, v]) => document.querySelector(`.line a.num[data-figure="${k}"] .num-value`)?.textContent === v, [key, shown(now.passes[1].set.overfeed_pct)]);
  // another tab of the lot and back, without the readings in the address
  await page.click(".lot-tabs >> text=Bath");
  await page.click(".lot-tabs >> text=Finishing");
  await page.waitForSelector(".stretch-svg");
  assert.equal(await page.inputValue("#read-1-courses_per_cm"), "16.2");
  assert.match(new URL(page.url()).hash, /r=1,/);
  await page.click("text=Clear all readings");
  await quiet(page);
  await page.waitForFunction(([k, v]) => document.querySelector(`.line a.num[data-figure="${k}"] .num-value`).textContent === v, [key, shown(planned.passes[1].set.overfeed_pct)]);
  assert.equal(await page.locator(".line .was").count(), 0);
  assert.equal(new URL(page.url()).hash, PLACE(LOT));
  assert.deepEqual(page.faults, []);
});

test("behind a second pass it is measured against what the first reading asked for, and can be asked why", async (t) => {
  const { s, open } = await desk(t);
  const first = { pass: 1, lies_cm: 160, courses_per_cm: 16, moisture_pct: 90 };
  const one = (await s.post(`/api/lots/${LOT}/finish`, { readings: [first] })).json;
  const page = await finish_page(open, LOT, undefined, "?r=1,160,16,90,_2,165,17.5,7,");
  await quiet(page);
  const overfeed = page.locator('[data-pass="2"] .figs-set .fig:has-text("Overfeed") a.num');
  assert.equal(await overfeed.locator(".num-value").innerText(), shown(one.finish.passes[1].set.overfeed_pct));
  await overfeed.click();
  await page.waitForSelector(".why-value");
  assert.ok((await page.innerText(".why-value")).startsWith(shown(one.finish.passes[1].set.overfeed_pct)));
  const { inputs } = one.figures[one.finish.passes[1].set.overfeed_pct.figure];
  assert.equal(await page.locator(".why-inputs li").count(), inputs.length);
  await page.locator(".why-inputs a").first().click();
  await page.waitForSelector(".why-trail");
  assert.doesNotMatch(await page.innerText(".why-body"), /has no figure/);
  assert.match(new URL(page.url()).hash, /r=1,160,16,90,_2,165,17.5,7,/); // a link that can be sent
  await page.keyboard.press("Escape");
  assert.equal(new URL(page.url()).hash, `${PLACE(LOT)}?r=1,160,16,90,_2,165,17.5,7,`);
});

test("half a reading asks nothing; the rest can be taken as planned", async (t) => {
  const { s, open } = await desk(t);
  const { finish } = (await s.get(`/api/lots/${LOT}/finish`)).json;
  const page = await finish_page(open);
  let asked = 0;
  page.on("request", (r) => (asked += r.method() === "POST" ? 1 : 0));
  await read(page, 1, { lies_cm: "168" });
  assert.equal(asked, 0);
  assert.match(await page.innerText(".read-missing"), /courses.*moisture/i);
  await page.click("text=Take the rest as planned");
  await page.waitForTimeout(300);
  await quiet(page);
  assert.equal(asked, 1);
  assert.ok(Math.abs(Number(await page.inputValue("#read-1-courses_per_cm")) - finish.passes[0].behind.courses_per_cm.value) < 0.01);
  await read(page, 1, { moisture_pct: "1,000" }); // a thousand or one: held back
  assert.equal(asked, 1);
  assert.match(await page.innerText("#read-1-moisture_pct-say"), /Thousands or decimals/);
});

test("quick typing is one question, and an older answer never comes after a newer one", async (t) => {
  const { open } = await desk(t);
  const page = await finish_page(open);
  await read(page, 1, READING);
  const bodies = [];
  await page.route("**/api/lots/*/finish", async (route) => {
    bodies.push(route.request().postDataJSON()?.readings[0].lies_cm);
    if (bodies.length === 1) await new Promise((resolve) => setTimeout(resolve, 900));
    await route.continue().catch(() => undefined); // it may have been given up by then
  });
  await page.evaluate(() => {
    const field = document.querySelector("#read-1-lies_cm");
    for (const text of ["1", "15", "158"]) {
      field.value = text;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
  });
  await page.waitForTimeout(400);
  await page.locator("#read-1-lies_cm").fill("172");
  await page.waitForTimeout(1500);
  await quiet(page);
  assert.deepEqual(bodies, [158, 172]);
  assert.match(await page.locator('[data-pass="2"] .stretch-svg').getAttribute("aria-label"), /comes in 172 cm/);
});

test("nothing typed is lost, however fast the keys and slow the page", async (t) => {
  const { open } = await desk(t);
  const page = await finish_page(open);
  for (const [field, text] of Object.entries({ ...READING, lies_cm: "163.75", courses_per_cm: "16.25" })) {
    await page.focus(`#read-1-${field}`);
    await page.keyboard.type(text);
    assert.equal(await page.inputValue(`#read-1-${field}`), text);
  }
  await quiet(page);
  assert.match(new URL(page.url()).hash, /r=1,163\.75,16\.25,82,290$/);
  // an address that somebody sends is taken
  await page.evaluate((to) => (location.hash = to), `${PLACE(LOT)}?r=2,164,17,7,`);
  await page.waitForFunction(() => document.querySelector("#read-2-lies_cm").value === "164");
  assert.equal(await page.inputValue("#read-1-lies_cm"), "");
});

test("an error stands at its field until it is put right, and the last line stays", async (t) => {
  const { open } = await desk(t);
  const page = await finish_page(open);
  const before = await page.innerText('[data-pass="2"] .figs-set');
  await read(page, 1, { ...READING, lies_cm: "5000" });
  const say = await page.innerText("#read-1-lies_cm-say");
  assert.match(say, /1 to 1000/);
  assert.equal(await page.getAttribute("#read-1-lies_cm", "aria-invalid"), "true");
  assert.equal(await page.locator(".failure").count(), 0);
  assert.equal(await page.innerText('[data-pass="2"] .figs-set'), before);
  await read(page, 1, { lies_cm: "168" });
  await page.waitForSelector("#read-1-lies_cm-say", { state: "detached" });
  assert.notEqual(await page.innerText('[data-pass="2"] .figs-set'), before);
});

test("on a slow line the page says that it waits; without a server the line stays, and follows when it is back", async (t) => {
  const { s, open } = await desk(t);
  const page = await open("#/lots");
  let let_go;
  const held = new Promise((resolve) => (let_go = resolve));
  await page.route("**/api/lots/*/finish", async (route) => {
    await held;
    await route.continue();
  });
  await page.goto(`${s.base}/${PLACE(LOT)}`);
  await page.waitForSelector(".lot-title h1");
  await page.waitForSelector(".finish [role=status]");
  let_go();
  await page.waitForSelector(".stretch-svg");
  await page.unroute("**/api/lots/*/finish");
  await page.route("**/api/**", (route) => route.abort());
  await read(page, 1, READING);
  assert.match(await page.innerText(".line-state"), /No connection to the server/);
  assert.equal(await page.locator(".stretch-svg").count() > 2, true);
  await page.unroute("**/api/**");
  await page.waitForSelector('[data-pass="2"] .was', { timeout: 10000 });
});

test("a line that is not there is said", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/lots");
  await page.route("**/api/lots/*/finish", async (route) => {
    const answer = await (await route.fetch()).json();
    await route.fulfill({ json: { ...answer, finish: null } });
  });
  await page.evaluate((to) => (location.hash = to), PLACE(LOT));
  await page.waitForSelector(".finish .quiet-state:has-text('nothing to finish')");
  assert.equal(await page.locator(".stretch").count(), 0);
});

test("after washing: finished again with its settings, release, risk, each with its reasons", async (t) => {
  const { s, open } = await desk(t);
  const page = await finish_page(open);
  const { lot, finish } = (await s.get(`/api/lots/${LOT}/finish`)).json;
  let asked;
  page.on("request", (r) => r.url().endsWith("/api/line") && (asked = r.postDataJSON()));
  for (const summary of await page.locator(".results-form summary").all()) await summary.click();
  await judge(page, { ...SHRUNK, courses_per_cm: "18" });
  assert.match(await page.innerText(".result-verdict h3"), /Finish it again/);
  assert.match(await page.innerText(".result-reasons"), /Length change: beyond its limit by 3\.43\s%/);
  // prefilled: limits are the plan's, machines the mill's
  const width = finish.outcome.find((o) => o.what === "width");
  assert.equal(asked.width_cm, lot.article.finished_width_cm);
  assert.ok(Math.abs(asked.width_tol_cm - (width.high - width.low) / 2) < 0.01);
  assert.equal(asked.length_shrink_pct, finish.outcome.find((o) => o.what === "length-shrinkage").high);
  const csv = (await s.get("/api/tables/finisher")).text.replace(/"[^"]*"/g, "quoted").split(/\r?\n/).map((l) => l.split(","));
  const of = (id, column) => Number(csv.find((l) => l[0] === id)[csv[0].indexOf(column)]);
  const stenter = finish.passes.find((p) => p.kind === "stenter").finisher_id;
  const compactor = finish.passes.find((p) => p.kind === "compact").finisher_id;
  assert.deepEqual([asked.width_min_cm, asked.width_max_cm, asked.overfeed_max_pct], ["width_min_cm", "width_max_cm", "overfeed_max_pct"].map((c) => of(stenter, c)));
  assert.deepEqual([asked.compact_max_pct, asked.compact_overfeed_pct], ["overfeed_max_pct", "overfeed_pct"].map((c) => of(compactor, c)));
  const { result } = (await s.post("/api/line", asked)).json;
  assert.equal(result.verdict, "refinish");
  assert.ok((await page.innerText(".result-again")).includes(`${result.compactor.set_overfeed_pct.toFixed(1)}\u00a0%`));
  // a grade that no setting cures
  await page.selectOption(".grades tr:has-text('Pilling') td:nth-child(2) select", "2");
  await page.selectOption(".grades tr:has-text('Pilling') td:nth-child(3) select", "3-4");
  assert.match(await page.innerText(".results-answer [role=status]"), /earlier values/);
  await judge(page, {});
  assert.match(await page.innerText(".result-verdict h3"), /Risk of a claim/);
  assert.match(await page.innerText(".result-reasons"), /Pilling: not set by finishing/);
  // and everything met
  await page.selectOption(".grades tr:has-text('Pilling') td:nth-child(2) select", "4");
  await judge(page, { "length_after_cm-0": "34", "length_after_cm-1": "34.1", "diagonal_ac_cm-0": "35", "diagonal_bd_cm-0": "35.5" });
  assert.match(await page.innerText(".result-verdict h3"), /^Release$/);
  assert.doesNotMatch(await page.innerText(".results-answer"), /NaN|undefined|_/);
  assert.deepEqual(page.faults, []);
});

test("what no setting cures is a claim at risk, with what would have to be allowed; nothing measured is undecided", async (t) => {
  const { open } = await desk(t);
  const page = await finish_page(open, LOTS.cannot);
  await judge(page, {});
  assert.match(await page.innerText(".result-verdict h3"), /Not decided/);
  assert.match(await page.innerText(".result-reasons"), /Width: asked for, not measured/);
  await judge(page, { ...SHRUNK, "length_after_cm-0": "33.6", "length_after_cm-1": "33.7", "width_after_cm-0": "32.3", "width_after_cm-1": "32.4", "sample_g-0": "1.95", "sample_g-1": "1.97", "measured-0": "161", "measured-1": "162" });
  assert.match(await page.innerText(".result-verdict h3"), /Risk of a claim/);
  const said = await page.innerText(".results-answer");
  assert.match(said, /Width and its shrinkage: cannot both be met/);
  assert.match(said, /Any one of these would do/);
  assert.match(said, /With the courses counted on the lot/);
  assert.doesNotMatch(said, /NaN|undefined|_/);
});

test("the moisture a dryer may leave stands at its pass, and a reading outside says so", async (t) => {
  const { s, open } = await desk(t);
  const page = await finish_page(open, "L26-0111");
  const { finish } = (await s.get("/api/lots/L26-0111/plan")).json;
  assert.deepEqual(finish.passes.map((p) => p.check && [p.check.low, p.check.high]), [null, [6, 9], null]);
  assert.match(await page.innerText('[data-pass="2"] .pass-limits'), /Moisture limits 6 to 9\s%/);
  assert.equal(await page.locator(".pass-limits").count(), 1);
  await page.fill("#read-2-moisture_pct", "12");
  assert.match(await page.innerText('[data-pass="2"] .read-off >> nth=2'), /outside 6 to 9\s%/);
  await page.fill("#read-2-moisture_pct", "9");
  assert.match(await page.innerText('[data-pass="2"] .read-off >> nth=2'), /more|planned/);
});

test("a wrong sample has its error at the sample, a tube is judged by its flat width", async (t) => {
  const { open } = await desk(t);
  const page = await finish_page(open, LOTS.tube);
  let asked;
  page.on("request", (r) => r.url().endsWith("/api/line") && (asked = r.postDataJSON()));
  await judge(page, { "sample_g-0": "2.1", "sample_g-2": "5000", "measured-0": "61", "length_after_cm-0": "34", "width_after_cm-0": "34" });
  assert.match(await page.innerText("#result-sample_g-2-say"), /0\.01 to 1000 g/); // the second that was sent, the third field
  assert.equal(asked.line, "tubular");
  assert.deepEqual(asked.measured_layflat_cm, [61]);
  assert.equal(asked.bow_max_pct, undefined);
  await judge(page, { "sample_g-2": "2.2" });
  assert.ok(await page.locator(".result-verdict").count());
  assert.equal(await page.locator(".results .field-say").count(), 0);
});

test("it can be used by keyboard alone", async (t) => {
  const { open } = await desk(t);
  const page = await finish_page(open);
  await page.focus("#read-1-lies_cm");
  for (const value of Object.values(READING)) {
    await page.keyboard.type(value);
    await page.keyboard.press("Tab");
  }
  await page.waitForSelector('[data-pass="2"] .was');
  await page.locator('[data-pass="2"] .figs-set a.num').first().focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".why-value");
  const seen = await page.waitForFunction(() => {
    const { top, bottom } = document.querySelector(".num[aria-current]").getBoundingClientRect();
    return top >= 0 && bottom <= innerHeight;
  }).then(() => true, () => false);
  assert.ok(seen, "the number asked about stays in sight");
  await page.keyboard.press("Escape");
  assert.equal(await page.evaluate(() => document.activeElement.classList.contains("num")), true);
});

test("printed: every pass with its drawing and its settings, as vectors; the caution is on it", async (t) => {
  const { s, open } = await desk(t);
  const { finish } = (await s.get(`/api/lots/${LOT}/finish`)).json;
  const page = await finish_page(open);
  await page.emulateMedia({ media: "print" });
  await page.waitForTimeout(300);
  assert.equal(await page.locator(".stretch-svg:visible").count(), finish.passes.length + 1);
  assert.equal(await page.locator("canvas, .results-form:visible, .finish-sheet:visible").count(), 0);
  const text = await page.innerText("#main");
  for (const pass of finish.passes) assert.ok(text.includes(pass.words), pass.words);
  const [, caution] = /^card\.finishing-line,"(.+)"$/m.exec(readFileSync(new URL("../../data/lang/en.csv", import.meta.url), "utf8"));
  assert.ok(text.includes(caution), "the caution is worded as on the setting sheet");
  assert.ok((await overflow(page)) <= 0);
  const sheet = await page.getAttribute(".finish-sheet", "href");
  assert.equal((await s.get(sheet)).headers.get("content-type"), "application/pdf");
});
