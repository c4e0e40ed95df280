// The dyeing of a lot: the verdict, curves and rope that follow the sliders, the shortest safe programme.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axe, overflow, small_targets } from "./checks.mjs";
import { LOT, desk, try_again } from "./page.mjs";
import { text_of } from "./tablet.mjs";
import { in_time, median } from "./timed.mjs";

const LOTS = { isothermal: LOT, migration: "L26-0110", direct: "L26-0112", vat: "L26-0113", hot: "L26-0111" };
const [WHITE, SPEED, DYE] = ["L26-0102", "Rope speed", "Dye, given over"]; // WHITE: a lot without dye

const place = (lot, more = "") => `#/lots/${lot}/dyeing${more}`;
async function dyeing_page(open, lot = LOT, size = undefined, more = "") {
  const page = await open(place(lot, more), size);
  await page.waitForSelector(".dye-upper");
  await settled(page);
  return page;
}
/** No question under way. */
async function settled(page) {
  await page.waitForTimeout(60); // what was done is on its way
  await page.waitForFunction(() => document.querySelector(".dye-top")?.getAttribute("aria-busy") === "false");
  await page.waitForTimeout(40);
}
const slider = (page, name) => page.locator(`.slide:has(label:text-is("${name}")) input`);
const limit = (page, name) => page.locator(`.shorten-fields .field:has(label:text-is("${name}")) input`);
const figure = (page, key) => page.locator(`.dyeing a.num[data-figure="${key}"] .num-value`).first();
const value = async (page, key) => Number((await figure(page, key).innerText()).replace(/,/g, "").replace("\u2212", "-"));
const picture = (page) => page.$eval(".dye-upper", (svg) => svg.innerHTML);
const rope = (page) => page.$eval(".rope-canvas", (canvas) => canvas.toDataURL());
/** What is changed comes into the address when it rests. */
const in_address = (page, text) => page.waitForFunction((part) => decodeURIComponent(location.hash).includes(part), text);
/** Questions the page sends, as they are sent; null: what is planned. */
function questions(page, of = "dyeing") {
  const all = [];
  page.on("request", (r) => r.url().endsWith(`/${of}`) && r.url().includes("/api/lots/") && all.push(r.postDataJSON()));
  return all;
}
async function press(page, key, times) {
  for (let i = 0; i < times; i++) await page.keyboard.press(key);
  await settled(page);
}
async function search(page) {
  await page.click(".shorten-go button");
  await page.waitForSelector(".shorten[aria-busy=false] .trade-svg", { timeout: 300_000 });
}
async function look_at(page, index) {
  await page.locator(".point-pick input").nth(index).check({ force: true });
  await page.waitForSelector(".chosen");
  await settled(page);
}

const STATES = {
  "isothermal": [LOTS.isothermal, async () => undefined],
  "migration, off the mean": [LOTS.migration, async (page) => page.check(".rope-head input[value=off]", { force: true })],
  "direct": [LOTS.direct, async () => undefined],
  "vat, the table": [LOTS.vat, async (page) => page.click(".dye-chart .button")],
  "changed, a dose chosen, all unfolded": [LOTS.migration, async (page) => {
    await slider(page, DYE).focus();
    await press(page, "ArrowLeft", 5);
    await page.click(".dye-off summary");
    const doses = await page.locator(".one-step option").allInnerTexts();
    await page.selectOption(".one-step select", { index: doses.findIndex((text) => /salt/i.test(text)) });
    await page.waitForSelector(".dye-curve");
  }],
  "a why": [LOTS.migration, async (page) => {
    await page.locator(".dye-head-figures a.num").nth(1).click();
    await page.waitForSelector(".why-value");
  }],
  "a limit that cannot be": [LOTS.migration, async (page) => {
    await limit(page, "Strike, at most").fill("-3");
    await page.keyboard.press("Tab");
    await page.waitForSelector(".shorten-fields .field-say");
  }],
  "a shorter programme looked at": [LOTS.isothermal, async (page) => {
    await search(page);
    await look_at(page, 0);
    await page.click(".chosen-steps summary");
    await page.click(".accept .button");
    await page.waitForSelector(".accept-sure");
  }],
};

test("every state is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  for (const [name, [lot, enter]] of Object.entries(STATES)) {
    const page = await dyeing_page(open, lot);
    await enter(page);
    assert.deepEqual(await axe(page), [], name);
    for (const width of [390, 800, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(150);
      assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    }
    await page.setViewportSize({ width: 800, height: 1100 });
    assert.deepEqual(await small_targets(page), [], name);
    if (name !== "a limit that cannot be") assert.deepEqual(page.faults, [], name); // the server's 422 stands in the console
    await page.context().close();
  }
});

test("the verdict and the figures are the server's, for every kind of dyeing", async (t) => {
  const { s, open } = await desk(t);
  for (const [name, lot] of Object.entries(LOTS)) {
    const { status, json } = await s.get(`/api/lots/${lot}/dyeing`);
    assert.equal(status, 200, name);
    assert.equal(json.simulated, true, name);
    const page = await dyeing_page(open, lot);
    assert.equal(await page.innerText("#dye-verdict"), json.strike.level ? "Strikes level" : "Strikes too fast", name);
    assert.ok((await text_of(page, ".dye-verdict")).includes(json.level.words), name);
    for (const [key, want] of Object.entries({ minutes: json.programme.minutes, "strike.most": json.strike.most_pct_per_contact, "level.end.de": json.level.end.de_most })) {
      assert.ok(Math.abs((await value(page, key)) - want) <= Math.max(0.5 * 10 ** -2, want * 0.006), `${name}: ${key} ${await value(page, key)} for ${want}`);
    }
    for (const dye of json.dyes) {
      const text = await page.innerText(`#dye-dyes + table tr:has-text("${dye.name}")`);
      assert.ok(text.includes(dye.rates_words.slice(1)), `${name}: ${text}`); // it begins large here
      assert.match(text, { fitted: /From the record/, partly: /Known in part/, placeholder: /Placeholder/ }[dye.rates], name);
    }
    const placeholders = json.dyes.filter((dye) => dye.rates === "placeholder").map((dye) => dye.dye_id);
    const warned = await page.locator(".dye-rates").allInnerTexts();
    for (const id of placeholders) assert.match(warned.join(), new RegExp(`Rates are placeholders.*${id}`, "s"), name);
    assert.equal(await page.locator(".dye-line:not(.is-fixed):not(.dye-key *):not(.is-thin)").count(), json.dyes.length, "a curve a dye");
    const marks = await page.$$eval(".dye-key .dye-mark", (all) => all.map((e) => e.getAttribute("d")));
    assert.equal(new Set(marks).size, Math.min(5, json.dyes.length), "each dye its own mark, not a colour alone");
    assert.deepEqual(page.faults, [], name);
    await page.context().close();
  }
});

test("a lot without dye says so", async (t) => {
  const { s, open } = await desk(t);
  const { json } = await s.get(`/api/lots/${WHITE}/dyeing`);
  assert.equal(json.simulated, false);
  const page = await open(place(WHITE));
  await page.waitForSelector(`.dyeing .quiet-state:has-text("${json.reason.words}")`); // "Loading" stands there before
  assert.equal(await page.innerText(".dyeing .quiet-state"), json.reason.words);
  assert.deepEqual(page.faults, []);
});

/**
 * Drags a slider over its whole way. `painted`: for each event the time until a frame was painted
 * after it; `answered`: for each new map of the rope, the time since the last event before it.
 */
async function drag(page, input, steps = 40) {
  await page.evaluate(() => {
    window.painted = [];
    window.answered = [];
    const after = (then) => requestAnimationFrame(() => {
      const channel = new MessageChannel(); // after the frame was handed over
      channel.port1.onmessage = then;
      channel.port2.postMessage(0);
    });
    let last = 0;
    addEventListener("input", (event) => {
      const at = (last = event.timeStamp);
      after(() => window.painted.push(performance.now() - at));
    }, true);
    new MutationObserver(() => {
      const at = last;
      after(() => window.answered.push(performance.now() - at));
    }).observe(document.querySelector(".dye-upper"), { subtree: true, childList: true, attributes: true });
  });
  await input.scrollIntoViewIfNeeded();
  const box = await input.boundingBox();
  const y = box.y + box.height / 2;
  const grip = await input.evaluate((e) => 38 + (e.getBoundingClientRect().width - 76) * ((e.value - e.min) / (e.max - e.min)));
  await page.mouse.move(box.x + grip, y);
  await page.mouse.down();
  for (let i = 0; i <= steps; i++) await page.mouse.move(box.x + 38 + (box.width - 76) * (i / steps), y);
  await page.mouse.up();
  await page.waitForTimeout(100);
  await settled(page);
  return page.evaluate(() => ({ painted: window.painted, answered: window.answered }));
}

test("curves and rope follow the sliders: each frame in time, the answers while they move", async (t) => {
  const { open } = await desk(t);
  for (const [size, name, lot] of [[[1280, 900], DYE, LOTS.migration], [[1280, 900], SPEED, LOTS.migration], [[800, 1280], DYE, LOTS.isothermal]]) {
    const page = await dyeing_page(open, lot, size);
    const before = [await picture(page), await rope(page)];
    const asked = questions(page);
    const { painted, answered } = await drag(page, slider(page, name));
    t.diagnostic(`${lot} ${size.join("x")} ${name}: ${painted.length} events, painted after median ${median(painted).toFixed(1)} ms, longest ${Math.max(...painted).toFixed(1)} ms; ${answered.length} pictures, median ${median(answered).toFixed(1)} ms after the last move before them`);
    assert.ok(painted.length >= 15, `${painted.length} events`);
    in_time(t, `${lot} ${size.join("x")} ${name}, painted`, median(painted), 100);
    assert.ok(answered.length >= 3, `${answered.length} pictures`);
    assert.notEqual(await picture(page), before[0]);
    assert.notEqual(await rope(page), before[1]);
    assert.ok(asked.slice(0, -1).every((q) => q.sensitivity === false), "no reruns while it moves");
    assert.ok(!("sensitivity" in asked.at(-1)), "and all of it when it rests");
    assert.match(await slider(page, name).getAttribute("aria-valuetext"), /, Strikes (level|too fast), (ends|may end)/);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  }
});

test("a slow line: one question at a time, the last picture stays, the last value wins", async (t) => {
  const { s, open } = await desk(t);
  const lot = LOTS.migration;
  const page = await dyeing_page(open, lot);
  let under_way = 0;
  let most = 0;
  await page.route("**/dyeing", async (route) => {
    most = Math.max(most, (under_way += 1));
    await new Promise((resolve) => setTimeout(resolve, 150));
    await route.continue();
  });
  page.on("requestfinished", (r) => r.url().endsWith("/dyeing") && (under_way -= 1));
  const asked = questions(page);
  const { painted } = await drag(page, slider(page, DYE), 60);
  assert.equal(most, 1);
  assert.ok(asked.length < painted.length, `${asked.length} questions for ${painted.length} moves`);
  const minutes = Number(await slider(page, DYE).inputValue());
  assert.equal(asked.at(-1).dose_dye_min, minutes);
  const { json } = await s.post(`/api/lots/${lot}/dyeing`, { dose_dye_min: minutes });
  assert.ok(Math.abs((await value(page, "minutes")) - json.programme.minutes) < 0.6);
  assert.ok((await text_of(page, ".dye-verdict")).includes(json.strike.words));
});

test("a step is chosen on the chart and changed; the address keeps it; back to the plan", async (t) => {
  const { s, open } = await desk(t);
  const lot = LOTS.migration;
  const page = await dyeing_page(open, lot);
  const { json } = await s.get(`/api/lots/${lot}/dyeing`);
  const planned = json.programme.minutes;
  const dose = json.programme.steps.find((step) => step.gives === "dye");
  await page.selectOption(".one-step select", String(dose.step));
  await page.check(".dye-curve input[value=progressive]", { force: true });
  await settled(page);
  await page.locator(".one-step .slide input").focus();
  await press(page, "ArrowRight", 4);
  const { json: then } = await s.post(`/api/lots/${lot}/dyeing`, { steps: [{ step: dose.step, curve: "progressive", exponent: 2, minutes: dose.minutes + 4 }] });
  assert.ok(Math.abs((await value(page, "strike.most")) - then.strike.most_pct_per_contact) < 0.006, "as the server says of it");
  assert.match(await page.innerText(".dye-head-figures"), /was/);
  assert.match(await page.innerText(".dye-state"), /With your changes/);
  await in_address(page, `"step":${dose.step}`);
  await page.reload();
  await page.waitForSelector(".dye-upper");
  await settled(page);
  assert.match(await page.innerText(".dye-state"), /With your changes/);
  assert.ok(Math.abs((await value(page, "minutes")) - then.programme.minutes) < 0.6);
  await page.click(".dye-state .button");
  await settled(page);
  assert.ok(Math.abs((await value(page, "minutes")) - planned) < 0.6);
  await page.waitForFunction(() => !/[?&]d=/.test(location.hash));
  assert.equal(await page.locator(".dye-head-figures .was").count(), 0);
  // A minute of the chart, by keyboard: it is read, its step chosen.
  await page.focus(".dye-slider");
  await page.keyboard.press("End");
  assert.match(await page.getAttribute(".dye-slider", "aria-valuetext"), /°C/);
  assert.match(await page.innerText(".dye-readout"), /%/);
  assert.deepEqual(page.faults, []);
});

test("an address that says nothing sensible leaves the plan; one that cannot be is refused with a way back", async (t) => {
  const { open } = await desk(t);
  for (const bad of ["%7B", "[1]", "7", '{"steps":[4]}']) {
    const page = await dyeing_page(open, LOT, undefined, `?d=${encodeURIComponent(bad)}`);
    assert.match(await page.innerText(".dye-state"), /As planned/, bad);
    assert.deepEqual(page.faults, [], bad);
    await page.context().close();
  }
  const page = await open(place(LOT, `?d=${encodeURIComponent('{"speed_m_per_min":-4}')}`));
  await page.click(".failure .button");
  await page.waitForSelector(".dye-upper");
  assert.match(await page.innerText(".dye-state"), /As planned/);
});

test("a change that cannot be is told at its slider; the picture before it stays", async (t) => {
  const { open } = await desk(t);
  const page = await dyeing_page(open, LOTS.direct); // its hottest step is too near to what can be reckoned with
  await page.click(".dye-off summary");
  const warmer = slider(page, "All of it warmer or colder");
  await warmer.focus();
  await page.keyboard.press("End");
  await page.waitForSelector(".dye-off .field-say");
  await settled(page);
  assert.equal(await warmer.getAttribute("aria-invalid"), "true");
  assert.match(await page.innerText(".dye-state"), /cannot be worked out/);
  assert.equal(await page.locator(".dye-upper").count(), 1);
  assert.deepEqual(await axe(page), []);
  await press(page, "Home", 1);
  await page.waitForSelector(".dye-off .field-say", { state: "detached" });
  assert.match(await page.innerText(".dye-state"), /With your changes/);
});

test("a limit that cannot be is told at its field, the rest stays, and it goes when it is put right", async (t) => {
  const { open } = await desk(t);
  const page = await dyeing_page(open, LOTS.migration);
  const before = await picture(page);
  const field = limit(page, "Strike, at most");
  await field.fill("-3");
  await page.keyboard.press("Tab");
  await page.waitForSelector(".shorten-fields .field-say");
  assert.equal(await field.getAttribute("aria-invalid"), "true");
  assert.equal(await picture(page), before);
  await field.fill("2.5");
  await page.keyboard.press("Tab");
  await page.waitForSelector(".shorten-fields .field-say", { state: "detached" });
  await settled(page);
  assert.match(await page.innerText(".dye-head-figures"), /limit 2\.5/, "the chart goes by it");
  const asked = questions(page, "shorten");
  await limit(page, "Off the mean, at most").fill("1,000"); // a thousand or one: not sent at all
  assert.match(await page.innerText(".shorten-fields .field-say"), /Thousands or decimals/);
  assert.equal(await page.isDisabled(".shorten-go button"), true);
  await limit(page, "Off the mean, at most").fill("-1");
  await page.click(".shorten-go button");
  await page.waitForSelector(".shorten[aria-busy=false] .field-say");
  assert.equal(asked.length, 1);
});

test("every number can be asked why", async (t) => {
  const { open } = await desk(t);
  const page = await dyeing_page(open, LOTS.isothermal);
  const keys = await page.$$eval(".dyeing a.num", (all) => [...new Set(all.map((e) => e.dataset.figure))]);
  assert.ok(keys.length > 40, `${keys.length} figures`);
  for (const key of keys.filter((_, i) => i % 7 === 0)) {
    await page.locator(`.dyeing a.num[data-figure="${key}"]`).first().click();
    await page.waitForSelector(".why-words");
    assert.ok((await page.innerText(".why-words")).length > 20, key);
    assert.match(await page.innerText(".why-source"), /\w/, key);
    await page.keyboard.press("Escape");
    await page.waitForSelector(".why", { state: "detached" });
  }
});

test("the shortest safe programme: points are the server's, one is looked at, and the limits go with the question", async (t) => {
  const { s, open } = await desk(t);
  const lot = LOTS.isothermal;
  const page = await dyeing_page(open, lot);
  const asked = questions(page, "shorten");
  await limit(page, "Off the mean, at most").fill("0.8");
  await search(page);
  assert.equal(asked[0].de_limit, 0.8);
  const { json } = await s.post(`/api/lots/${lot}/shorten`, asked[0]);
  assert.equal(await page.innerText(".shorten-words"), json.words);
  const rows = await page.locator(".points tbody tr").allInnerTexts();
  assert.equal(rows.length, json.points.length + 1, "and the programme as it is");
  json.points.forEach((point, i) => {
    assert.ok(rows[i].includes(`${Math.round(point.minutes)} min`), rows[i]);
    assert.match(rows[i], point.kept ? /Kept/ : /Beyond/);
  });
  assert.equal(await page.locator(".trade-svg .trade-beyond").count(), json.points.filter((point) => !point.kept).length, "beyond a limit by shape too");
  assert.equal(await page.locator(".trade-svg .trade-ring").count(), json.wanted === null ? 0 : 1);
  const bodies = questions(page);
  await look_at(page, 0);
  assert.deepEqual(bodies.at(-1).steps, json.points[0].dyeing.steps);
  assert.ok(Math.abs((await value(page, "minutes")) - json.points[0].minutes) < 1);
  assert.match(await page.innerText(".dye-state"), /from the search/);
  assert.equal(await page.locator(".chosen-list li").count(), json.points[0].changes.length);
  // Another one on the chart, and back.
  const spot = await page.locator(".trade-svg .trade-point circle:last-of-type").nth(json.points.length - 1).boundingBox();
  await page.mouse.click(spot.x + spot.width / 2, spot.y + spot.height / 2);
  await settled(page);
  assert.ok(await page.locator(".point-pick input").nth(json.points.length - 1).isChecked());
  await page.locator(".point-pick input").last().check({ force: true });
  await settled(page);
  assert.match(await page.innerText(".dye-state"), /As planned/);
  assert.equal(await page.locator(".chosen").count(), 0);
  // A slider makes it another programme: what was found is of the one before.
  await slider(page, SPEED).focus();
  await press(page, "ArrowLeft", 2);
  assert.match(await page.innerText(".shorten-go"), /find it again/i);
  assert.deepEqual(page.faults, []);
});

test("into the route: what is less safe and whom it concerns is said first; then it is its next version", async (t) => {
  const { s, open } = await desk(t);
  const lot = LOTS.isothermal;
  const page = await dyeing_page(open, lot);
  const { json: before } = await s.get(`/api/lots/${lot}/plan`);
  await search(page);
  const asked = questions(page, "shorten");
  assert.deepEqual(asked, []);
  const rows = await page.locator(".points tbody tr").allInnerTexts();
  const beyond = rows.findIndex((text) => /Beyond/.test(text));
  const index = beyond >= 0 && beyond < rows.length - 1 ? beyond : 0;
  await look_at(page, index);
  const says = await page.innerText(".accept-says");
  assert.match(says, /lots use the route|Only this lot/);
  if (beyond === index) {
    assert.match(says, /Beyond a limit|Less level than now/);
    assert.match(await page.innerText(".accept .button"), /all the same/);
  }
  assert.equal((await s.get(`/api/lots/${lot}/plan`)).json.route.version, before.route.version, "nothing is stored yet");
  await page.click(".accept .button");
  await page.click(".accept-sure .button-strong");
  await page.waitForSelector(".shorten-saved");
  assert.match(await page.innerText(".shorten-saved"), new RegExp(`${before.route.route_id} is now at version ${before.route.version + 1}`));
  const { json: after } = await s.get(`/api/lots/${lot}/plan`);
  assert.equal(after.route.version, before.route.version + 1);
  await settled(page);
  assert.match(await page.innerText(".dye-state"), /As planned/);
  const { json: now } = await s.get(`/api/lots/${lot}/dyeing`);
  assert.ok(Math.abs((await value(page, "minutes")) - now.programme.minutes) < 1, "the page is of the new plan");
  assert.deepEqual(page.faults, []);
});

test("somebody else was first: nothing is overwritten, and the newer state can be loaded", async (t) => {
  const { s, open } = await desk(t);
  const lot = LOTS.isothermal;
  const page = await dyeing_page(open, lot);
  await search(page);
  await look_at(page, 0);
  const { route } = (await s.get(`/api/lots/${lot}/plan`)).json;
  const { json: doc } = await s.get(`/api/routes/${route.route_id}`).catch(() => ({ json: null }));
  const put = await s.put(`/api/routes/${route.route_id}`, doc ?? route);
  assert.equal(put.status, 200, put.text);
  await page.click(".accept .button");
  await page.click(".accept-sure .button-strong");
  await page.waitForSelector(".accept:has-text('Someone else')");
  await page.click(".accept .button-strong");
  await settled(page);
  assert.equal(await page.locator(".chosen").count(), 0);
  assert.equal((await s.get(`/api/lots/${lot}/plan`)).json.route.version, route.version + 1);
});

test("the server away: the last picture stays, and what was asked is worked out when it is back", async (t) => {
  const { open } = await desk(t);
  const page = await dyeing_page(open, LOTS.migration);
  await page.context().setOffline(true);
  await slider(page, DYE).focus();
  await press(page, "ArrowLeft", 3);
  await page.waitForSelector(".offline");
  assert.match(await page.innerText(".dye-state"), /No connection to the server/);
  assert.equal(await page.locator(".dye-upper").count(), 1);
  await page.context().setOffline(false);
  await try_again(page);
  await page.waitForFunction(() => !document.querySelector(".dye-state").textContent.includes("away"));
  await settled(page);
  const minutes = Number(await slider(page, DYE).inputValue());
  await in_address(page, `"dose_dye_min":${minutes}`);
});

test("it prints: curves as drawn, the rope, the tables; no slider", async (t) => {
  const { open } = await desk(t);
  const page = await dyeing_page(open, LOTS.migration);
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 718, height: 1000 });
  await page.waitForTimeout(200);
  for (const selector of [".dye-upper", ".rope-canvas", ".dye-lower"]) {
    const box = await page.locator(selector).boundingBox();
    assert.ok(box && box.width > 400 && box.height > 80 && box.x + box.width <= 719, `${selector} ${JSON.stringify(box)}`);
  }
  const canvas = await page.locator(".rope-canvas").boundingBox();
  const names = await page.locator(".rope-names").boundingBox();
  assert.ok(Math.abs(canvas.height - names.height) < 2, "the ropes stand beside their names");
  assert.equal(await page.locator(".dye-slides:visible, .shorten-form:visible, .segments:visible").count(), 0);
  for (const part of ["Dye by dye", "Levelness", "When something goes wrong"]) assert.ok((await page.innerText("#main")).includes(part), part);
});
