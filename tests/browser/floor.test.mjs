// The screen at a machine, as somebody with wet gloves and a bad line meets it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { axe, overflow } from "./checks.mjs";
import { desk } from "./page.mjs";
import { LOT, TABLETS, KEY_PX, key, text_of, title, events_of, kinds, lot_at, is_check, running_before, tablet, press, choose, hold, touch, read, shows, cut, sent, too_small, sound_screen, clear_of_foot } from "./tablet.mjs";

test("every state of the screen: accessible, keys of 20 mm, no word below 18 px, the next step in sight", async (t) => {
  const { s, open } = await desk(t);
  const idle = await Floor.start(s, LOT);
  for (const size of TABLETS) {
    const page = await tablet(open, idle, size);
    await sound_screen(page, `idle ${size}`);
    await page.context().close();
  }
  await idle.enter({ kind: "batch-begun" });
  const stops = [
    ["heat", (step) => step.kind === "heat"], ["dose", (step) => step.kind === "dose" && step.items.length > 1], ["peroxide", is_check("peroxide")],
  ];
  const looked = new Set(); // axe takes its time: each question once, in either size
  for (const [what, until] of stops) {
    const step = await idle.run(until);
    if (step.items.length > 0) await idle.weigh(step);
    if (!step.check) await idle.enter({ kind: "step-begun", step: step.key });
    for (const size of TABLETS) {
      const page = await tablet(open, idle, size);
      await sound_screen(page, `${what} ${size}`);
      if (!step.check) {
        const next = await page.locator(".next strong").boundingBox();
        assert.ok(next.y + next.height <= size[1], "the next step is in sight without scrolling");
        assert.ok(next.height / 1.1 >= 45, "and large enough for two metres");
      }
      for (const ask of ["more", ...(step.check ? ["reading"] : ["interrupt", "remark"])]) {
        await press(page, ask);
        await page.waitForSelector("dialog[open]");
        await sound_screen(page, `${what} ${size} ${ask}`, looked.has(`${ask} ${size}`) ? { look: null } : {});
        looked.add(`${ask} ${size}`);
        await page.keyboard.press("Escape");
        await page.waitForSelector("dialog", { state: "detached" });
      }
      await page.context().close();
    }
  }
  const step = idle.step(idle.state.steps[idle.state.now].key);
  await idle.enter({ kind: "reading", step: step.key, value: 250 });
  for (const size of TABLETS) {
    const page = await open("#/hall", size);
    await give(page, given_remedies(idle).remedies);
    await page.evaluate((id) => (location.hash = `#/floor/${id}`), idle.batchId);
    await page.waitForSelector(".remedy");
    await clear_of_foot(page);
    await sound_screen(page, `held ${size}`);
    await page.context().close();
  }
});

test("a lot is run from its plan: what is frozen is said, begun at the machine, seen in the hall", async (t) => {
  const { s, open } = await desk(t);
  const page = await open(`#/lots/${LOT}`);
  await page.click(".lot-acts >> text=Run this lot");
  await page.waitForSelector(".run-lot-facts");
  assert.deepEqual(await axe(page), []);
  assert.match(await page.innerText(".run-lot"), /version \d[\s\S]*Hold points/);
  await page.click(".run-lot >> text=Fix the plan and go to the floor");
  await page.waitForSelector(key("begin-lot"));
  assert.equal(await page.innerText("h1"), LOT);
  await press(page, "begin-lot");
  await page.waitForSelector(".left-value");
  await sent(page);
  assert.deepEqual(kinds(await events_of(s, `${LOT}.1`)), ["batch-made", "batch-begun", "step-begun 1.1"]);
  assert.match(await page.innerText(".next"), /Fill/);
  await press(page, "hall");
  await page.waitForSelector(".hall tbody tr");
  const row = page.locator(`.hall tr:has-text("${LOT}")`);
  assert.match(await row.innerText(), /Load/);
  assert.deepEqual(await axe(page), []);
  await row.locator("a").first().click();
  await page.waitForSelector(".left-value");
  const again = await open(`#/lots/${LOT}`);
  await again.click(".lot-acts >> text=Run this lot");
  await again.waitForSelector(".run-lot-say >> text=Go to it");
});

test("step after step by its keys, over a dose that has to be weighed first, to the last one and released", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, (step) => step.key === "1.2");
  const page = await tablet(open, floor);
  const refresh = async () => (floor.state = (await s.get(`/api/batches/${floor.batchId}`)).json);
  const where = () => JSON.stringify([floor.state.now, floor.state.steps.map((step) => [step.state, step.readings?.length])]);
  let doses = 0;
  await refresh();
  for (let guard = 0; guard < 12; guard++) {
    const step = floor.state.steps[floor.state.now];
    if (step.bath > 1 && doses > 0) break;
    await page.waitForFunction((k) => document.querySelector(".now-place")?.textContent.includes(`Step ${k} `), step.key);
    if (step.kind === "dose" && step.state === "waiting") {
      await shows(page, "Not everything in this dose has been weighed.");
      assert.equal(await page.isDisabled(key("begin")), true);
      await floor.weigh(step);
      await page.waitForSelector(`${key("begin")}:enabled`, { timeout: 60_000 });
      doses += 1;
      await refresh();
    }
    const before = where();
    const keys = step.check ? key("reading") : step.state === "waiting" ? `${key("begin")}:enabled` : `${key("end")}, ${key("end-early")}`;
    const name = await (await page.waitForSelector(keys)).getAttribute("data-key");
    if (name === "end-early") await hold(page, name);
    else if (name === "reading") await read(page, String(Floor.inside(step)));
    else await press(page, name);
    // What the server has of it is the measure, not how long this machine took.
    for (let i = 0; i < 300 && where() === before; i++) {
      await page.waitForTimeout(200);
      await refresh();
    }
    assert.notEqual(where(), before, `${name} of step ${step.key} arrived`);
    await sent(page);
    await refresh(); // one key may end a step and begin the next: two entries
  }
  assert.ok(doses > 0, "a dose was met");
  await refresh();
  const last = floor.state.steps.at(-1);
  await floor.run((step) => step.key === last.key);
  await page.waitForFunction((k) => document.querySelector(".now-place")?.textContent.includes(`Step ${k} `), last.key);
  for (let name = ""; name !== "end"; await sent(page)) {
    name = await (await page.waitForSelector(`${key("begin")}:enabled, ${key("end")}`)).getAttribute("data-key");
    await press(page, name);
    await page.waitForSelector(key(name), { state: "detached" });
  }
  await page.waitForSelector(key("release"));
  assert.match(await title(page), /All steps are done/);
  await hold(page, "release");
  await shows(page, "This lot is released.");
  await sent(page);
  assert.equal((await s.get(`/api/batches/${floor.batchId}`)).json.batch.state, "released");
  assert.deepEqual(page.faults, []);
});

test("a peroxide check that does not pass: asked twice, said by shape and word, read again, passed", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, is_check("peroxide"));
  const page = await tablet(open, floor);
  await read(page, "5000");
  assert.match(await text_of(page, ".pad-say"), /Only 0 to 1,?000 mg\/L can be read here/);
  for (let i = 0; i < 4; i++) await page.keyboard.press("Backspace");
  await page.keyboard.type("25");
  assert.equal(await page.locator(".band-above").count(), 1);
  await press(page, "enter");
  assert.match(await text_of(page, ".pad-say"), /25 mg\/L is outside the limits. Is this what you read/);
  await press(page, "no");
  assert.equal(await page.innerText(".pad-value .is-empty"), "–");
  await page.click(".key-digit >> text='2'");
  await page.waitForTimeout(120);
  await page.click(".key-digit >> text='5'");
  await press(page, "enter");
  await press(page, "yes");
  await page.waitForSelector(".held");
  assert.match(await title(page), /Residual peroxide: Not passed/);
  assert.equal(await page.locator(".held-title svg .shape-stop").count(), 1);
  assert.match(await text_of(page, ".held"), /Read: 25 mg\/L. Allowed: at most/);
  await page.waitForSelector(`${key("repeat")}:enabled`);
  await press(page, "repeat");
  await page.waitForSelector(key("reading"));
  await sent(page);
  await read(page, "1");
  await page.waitForSelector(key("reading"), { state: "detached" });
  await sent(page);
  const events = (await events_of(s, floor.batchId)).filter((e) => ["reading", "decision"].includes(e.kind)).slice(-4);
  assert.deepEqual(events.map((e) => e.decision ?? e.value), [25, "repeat", 1, "pass"]);
});

/** How remedies are reckoned has its own tests; here they are given. */
function given_remedies(floor) {
  const run = { ...floor.state.steps.find((step) => step.kind === "hold"), key: "R1.2", minutes: 10, items: [] };
  const dose = { ...floor.state.steps.find((step) => step.kind === "dose"), key: "R1.1" };
  const one = { remedy_id: "catalase", title: "More catalase", words: "Catalase for the peroxide that was read, then read again.", minutes: 15, water_l: 12, expected: { value: 1, low: 0.5, high: 2, unit: "mg/L" },
    approve: "technologist", approve_words: "technologist", cautions: ["Exhaust on"], steps: [dose, run], why: [{ rule: "catalase", title: "Catalase", words: "By the peroxide that was read.", working: "", source: "common practice" }] };
  return { dose, remedies: [one, { ...one, remedy_id: "rinse", title: "One more rinse", steps: [run], why: [] }] };
}
const give = (page, remedies) => page.route(/\/remedies\?/, (route) => route.fulfill({ json: { verdict: "correct", verdict_words: "To be corrected", words: "More than the dyes stand.", remedies } }));

test("a remedy is a card with what it takes; approved, its steps come next", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, is_check("peroxide"));
  const check = floor.state.steps[floor.state.now];
  await floor.enter({ kind: "reading", step: check.key, value: 25 });
  const { dose, remedies } = given_remedies(floor);
  const page = await open("#/hall");
  await give(page, remedies);
  await page.evaluate((id) => (location.hash = `#/floor/${id}`), floor.batchId);
  await page.waitForSelector(".remedy");
  for (const said of ["More catalase", "15 min", "12.0 L", "1 mg/L", "technologist", "Exhaust on", dose.items[0].name]) assert.ok((await text_of(page, ".remedy >> nth=0")).includes(said), said);
  await clear_of_foot(page);
  assert.deepEqual(await axe(page), []);
  let entry;
  await page.route(/\/events$/, (route) => {
    entry = route.request().postDataJSON();
    return route.fulfill({ status: 409, json: { error: { code: "conflict", message: "not in this test", place: "", value: "", allowed: "", remedy: "" } } });
  });
  await touch(page, "approve-catalase", 400);
  assert.equal(entry, undefined, "a short press approves nothing");
  await hold(page, "approve-catalase");
  await page.waitForFunction(() => document.querySelector(".waits.is-bad"));
  assert.deepEqual([entry.kind, entry.step, entry.remedy_id, entry.of_seq], ["remedy-approved", check.key, "catalase", floor.state.batch.last_seq]);
});

test("the line is lost: the lot goes on here, everything is kept over a reload, sent in order and once", async (t) => {
  const { s, open } = await desk(t);
  const { step, floor } = await running_before(s, "hold");
  const page = await tablet(open, floor);
  await shows(page, step.words);
  const up = await cut(page);
  await shows(page, "No connection to the server");
  const first = await title(page);
  await press(page, "end");
  await page.waitForSelector(".unconfirmed");
  assert.notEqual(await title(page), first, "the next step is shown");
  await shows(page, "2 entries wait to be sent");
  await press(page, "remark");
  await page.fill("dialog textarea", "Rope 2 runs slower.");
  await press(page, "enter");
  await shows(page, "3 entries wait to be sent");
  assert.deepEqual(await axe(page), []);
  await page.reload();
  await page.waitForSelector(".unconfirmed");
  await shows(page, "3 entries wait to be sent");
  assert.notEqual(await title(page), first, "after the reload the lot stands at the same step");
  const before = (await events_of(s, floor.batchId)).length;
  await page.waitForTimeout(1500);
  await up();
  await sent(page);
  const events = (await events_of(s, floor.batchId)).slice(before);
  assert.deepEqual(events.map((e) => e.kind), ["step-ended", "step-begun", "remark"]);
  assert.ok(events[0].at_utc_ms - events[0].happened_utc_ms > 1000, "stored as of when it was entered");
});

test("the answer is lost on its way: sent again, stored once", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, (step) => step.key === "1.2");
  await floor.enter({ kind: "step-begun", step: "1.2" });
  const page = await tablet(open, floor);
  let swallowed = 0;
  await page.route(/\/events$/, async (route) => {
    await route.fetch();
    swallowed += 1;
    return swallowed <= 2 ? route.abort("connectionreset") : route.continue();
  });
  await press(page, "remark");
  await page.fill("dialog textarea", "Once.");
  await press(page, "enter");
  await page.waitForFunction(() => document.querySelector("[data-waits]"));
  await sent(page);
  assert.ok(swallowed > 2);
  assert.equal((await events_of(s, floor.batchId)).filter((e) => e.text === "Once.").length, 1);
});

test("two tabs of one tablet: what waits goes once, whoever sends it", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s);
  const one = await tablet(open, floor);
  const two = await one.context().newPage();
  await two.goto(one.url());
  await two.waitForSelector(".floor-keys");
  const ups = [await cut(one), await cut(two)];
  for (const [page, text] of [[one, "from the first"], [two, "from the second"]]) {
    await press(page, "remark");
    await page.fill("dialog textarea", text);
    await press(page, "enter");
  }
  for (const page of [one, two]) await shows(page, "2 entries wait to be sent");
  let posts = 0;
  for (const page of [one, two]) page.on("request", (r) => (posts += r.method() === "POST" && /events$/.test(r.url()) ? 1 : 0));
  await Promise.all(ups.map((up) => up()));
  for (const page of [one, two]) await sent(page);
  assert.equal(posts, 2, "one request an entry");
  const remarks = (await events_of(s, floor.batchId)).filter((e) => e.kind === "remark").map((e) => e.text);
  assert.deepEqual(remarks, ["from the first", "from the second"]);
});

test("two tablets read the same hold point: the second is told, and decides what becomes of its entry", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, is_check("peroxide"));
  const [one, two] = [await tablet(open, floor), await tablet(open, floor, TABLETS[1])];
  const up = await cut(two);
  await read(two, "2");
  await shows(two, "1 entry waits to be sent");
  await read(one, "1");
  await sent(one);
  await up();
  await two.waitForSelector(".waits.is-bad");
  await shows(two, "1 entry was not accepted");
  assert.deepEqual(await axe(two), []);
  await two.reload(); // it is still there
  await two.waitForSelector(key("refused"));
  await press(two, "refused");
  await two.waitForSelector("dialog[open]");
  assert.match(await two.innerText("dialog"), /reading, step [\d.]+, 2[\s\S]*The server says:/);
  assert.deepEqual(await axe(two), []);
  assert.deepEqual(await too_small(two, KEY_PX), []);
  await press(two, "discard");
  await press(two, "enter");
  assert.match(await two.innerText(".ask-say"), /Choose a reason/);
  await choose(two, "Already entered on another tablet");
  await press(two, "enter");
  await two.waitForSelector(".waits.is-bad", { state: "detached" });
  await sent(two);
  const events = await events_of(s, floor.batchId);
  assert.deepEqual(events.filter((e) => e.kind === "reading" && e.step).map((e) => e.value).slice(-1), [1]);
  assert.match(events.filter((e) => e.kind === "remark").at(-1).text, /^Not accepted: reading, step [\d.]+, 2; .*Discarded: Already entered on another tablet\.$/);
});

test("what ends something is pressed for a second: a touch does nothing, a key held does, a reader's click asks", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, (step) => step.kind === "hold" && step.minutes >= 10);
  const step = floor.state.steps[floor.state.now];
  await floor.enter({ kind: "step-begun", step: step.key });
  const page = await tablet(open, floor);
  await page.waitForSelector(key("end-early"));
  await touch(page, "end-early", 0);
  await touch(page, "end-early", 600);
  assert.equal(await page.locator(key("end-early")).count(), 1);
  await page.evaluate((k) => document.querySelector(k).click(), key("end-early"));
  await page.waitForFunction((k) => /Press again to confirm/.test(document.querySelector(k).innerText), key("end-early"));
  assert.equal(kinds(await events_of(s, floor.batchId)).includes(`step-ended ${step.key}`), false);
  await page.waitForTimeout(400);
  await page.focus(key("end-early"));
  await page.keyboard.down("Enter");
  await page.waitForTimeout(1150);
  await page.keyboard.up("Enter");
  await page.waitForFunction((k) => !document.querySelector(".now-place")?.textContent.includes(`Step ${k} `), step.key);
  await sent(page);
  assert.equal(kinds(await events_of(s, floor.batchId)).includes(`step-ended ${step.key}`), true);
});

test("interrupted for a reason and gone on; taken over; a step left out only with a reason", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, (step) => step.key === "1.2");
  await floor.enter({ kind: "step-begun", step: "1.2" });
  const page = await tablet(open, floor);
  await press(page, "interrupt");
  await press(page, "why-steam");
  await page.waitForSelector(".paused");
  assert.match(await page.innerText(".paused"), /No steam/);
  assert.equal(await page.locator(".paused svg .shape-warning").count(), 1);
  await press(page, "resume");
  await page.waitForSelector(".paused", { state: "detached" });
  await press(page, "more");
  await press(page, "take-over");
  await press(page, "enter");
  await press(page, "more");
  await press(page, "skip");
  await choose(page, "Already done");
  await hold(page, "enter");
  await page.waitForSelector("dialog", { state: "detached" });
  await sent(page);
  assert.deepEqual(kinds(await events_of(s, floor.batchId)).slice(-4), ["interrupted", "resumed", "taken-over", "step-skipped 1.2"]);
});

test("the history says it in words; a correction stands beside what it corrects, which stays to be read", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, is_check("peroxide"));
  const check = floor.state.steps[floor.state.now];
  await floor.enter({ kind: "reading", step: check.key, value: 25 });
  const seq = floor.state.batch.last_seq;
  for (const size of TABLETS) {
    const page = await open("#/hall", size);
    await page.evaluate((id) => (location.hash = `#/floor/${id}/history`), floor.batchId);
    await page.waitForSelector(`[data-seq="${seq}"]`);
    assert.match(await text_of(page, `[data-seq="${seq}"]`), /Reading entered[\s\S]*25 mg\/L/);
    await sound_screen(page, `history ${size}`);
    await page.context().close();
  }
  const page = await open("#/hall");
  await page.evaluate((id) => (location.hash = `#/floor/${id}/history`), floor.batchId);
  await page.waitForSelector(key(`correct-${seq}`));
  await press(page, `correct-${seq}`);
  await page.fill("#correct-is", "2,5");
  assert.deepEqual(await too_small(page, KEY_PX), []);
  await press(page, "enter");
  await choose(page, "Typing mistake");
  await press(page, "enter");
  await page.waitForSelector(`[data-seq="${seq}"] del`);
  assert.equal(await text_of(page, `[data-seq="${seq}"] del`), "25 mg/L");
  assert.match(await text_of(page, `[data-seq="${seq}"]`), /2\.5 mg\/L[\s\S]*corrected by .*Typing mistake/);
  await sent(page);
  assert.equal((await s.get(`/api/batches/${floor.batchId}`)).json.steps.find((step) => step.key === check.key).state, "done", "within the limits after all");
});

test("a bank card sets the size of the keys of this device, and it stays", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s);
  const page = await tablet(open, floor);
  await press(page, "more");
  await press(page, "size");
  await page.waitForSelector(".card-bar");
  for (let i = 0; i < 5; i++) await press(page, "wider-much");
  await press(page, "narrower");
  const px = (await page.locator(".card-bar").boundingBox()).width;
  assert.equal(Math.round(px), 505 + 5 * 24 - 2);
  await press(page, "enter");
  await page.reload();
  await page.waitForSelector(".floor-keys");
  const box = await page.locator(key("more")).boundingBox();
  assert.ok(Math.abs(box.height - (20 * px) / 85.6) < 1, `${box.height}`);
  assert.deepEqual(await too_small(page, (20 * px) / 85.6), []);
  assert.ok((await overflow(page)) <= 0);
});

test("the clock of the tablet is wrong: what is left of the step is not", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, (step) => step.kind === "hold" && step.minutes >= 10);
  const step = floor.state.steps[floor.state.now];
  await floor.enter({ kind: "step-begun", step: step.key });
  const page = await open("#/hall");
  await page.clock.setSystemTime(new Date(Date.now() - 47 * 60_000));
  await page.evaluate((id) => (location.hash = `#/floor/${id}`), floor.batchId);
  await page.waitForSelector(".left-value");
  await page.waitForFunction((m) => {
    const [min] = document.querySelector(".left-value").textContent.split(":");
    return Number(min) === m - 1;
  }, step.minutes);
  await press(page, "remark");
  await page.fill("dialog textarea", "By a wrong clock.");
  await press(page, "enter");
  await sent(page);
  await page.waitForTimeout(300);
  const event = (await events_of(s, floor.batchId)).at(-1);
  assert.ok(Math.abs(event.happened_utc_ms - Date.now()) < 20_000, "stored as of now, not of 47 minutes ago");
});

test("no such run, and a server without the lot: said, with a way out", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/hall");
  await page.evaluate(() => (location.hash = "#/floor/L26-0999.1"));
  await page.waitForSelector(".floor-empty .failure");
  assert.match(await page.innerText(".failure"), /There is no such run/);
  await page.click("text=Hall");
  await page.waitForSelector(".hall");
});
