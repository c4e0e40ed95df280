// Signing at the floor screen, the second person in the weigh room, deliveries, keys by right.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { BADGE, give_badge, mill_with_people, password_of, sign_in } from "../http/people.mjs";
import { axe, overflow } from "./checks.mjs";
import { desk } from "./page.mjs";

const LOT = "L26-0101";
const SHOTS = process.env.MADDER_SHOTS;
const SIZES = [[1280, 800], [800, 1280]];
const FAULTS = (page) => page.faults.filter((f) => !/40[139]|422|429|ERR_|Failed to fetch|Failed to load resource/.test(f));

async function in_order(page, name) {
  assert.deepEqual(await axe(page), [], name);
  for (const [width, height] of SIZES) {
    await page.setViewportSize({ width, height });
    await page.waitForTimeout(100); // a page that measures itself does so behind the change
    assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    if (SHOTS) await page.screenshot({ path: `${SHOTS}/${name.replace(/ /g, "-")}-${width}.png` });
  }
  await page.setViewportSize({ width: 1280, height: 800 });
}
async function enter_as(page, role, hash) {
  await page.getByLabel("Name", { exact: true }).fill(`p-${role}`);
  await page.getByLabel("Password").fill(password_of(role));
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForSelector(hash.includes("floor") ? ".floor-keys" : "h1:not(:has-text('Sign in'))");
}
/** Held by the keyboard until the key has done it, wherever on the page it stands. */
async function hold(page, selector) {
  await page.waitForTimeout(350); // keys do nothing twice within 300 ms
  await page.locator(selector).first().focus();
  await page.keyboard.down("Enter");
  await page.waitForSelector(`${selector}.is-held`);
  await page.waitForSelector(`${selector}.is-held`, { state: "detached" });
  await page.keyboard.up("Enter");
}
async function press(page, selector) {
  await page.waitForTimeout(350);
  await page.locator(selector).first().click();
}

async function held(t, roles) {
  const mill = mill_with_people(t, ["technologist", ...roles]);
  if (roles.includes("operator")) give_badge(mill);
  const { s, open } = await desk(t, mill);
  const techno = await sign_in(s, "technologist");
  const floor = await Floor.start(techno, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run((step) => step.kind === "check" && step.check.kind === "peroxide");
  await floor.enter({ kind: "reading", step: check.key, value: 30 });
  const state = async () => (await techno.get(`/api/batches/${floor.batchId}`)).json;
  return { s, open, techno, floor, check, state, hash: `#/floor/${floor.batchId}` };
}

test("a remedy is approved by the technologist's password at the operator's screen, and without a line it waits unsigned", async (t) => {
  const { open, floor, state, hash } = await held(t, ["operator"]);
  const page = await open(hash);
  await enter_as(page, "operator", hash);
  await page.waitForSelector(".remedy");
  assert.equal(await page.locator('[data-key="stop"]').count(), 1, "an operator may stop a lot");
  await page.context().setOffline(true);
  await hold(page, '[data-key^="approve-"]');
  await page.waitForSelector("dialog.ask-sign");
  assert.match(await page.textContent(".sign-who"), /A operator may not sign this: it takes a technologist/);
  await page.waitForSelector(".sign-line:has-text('needs the connection')");
  await in_order(page, "signing pad without a line");
  assert.equal(await page.locator('[data-key="sign"]').isDisabled(), true);
  await press(page, 'dialog [data-key="close"]');
  await page.waitForSelector('[data-to-sign="remedy-approved"]');
  assert.equal((await state()).batch.remedies, 0);
  await page.context().setOffline(false);
  await page.waitForFunction(() => !document.querySelector(".to-sign")?.textContent.includes("until the server is back"));
  await press(page, '[data-key="sign-remedy-approved"]');
  await page.getByLabel("Name to sign in with").fill("p-technologist");
  await page.getByLabel("Password").fill("not the words");
  await press(page, '[data-key="sign"]');
  await page.waitForSelector(".ask-sign .ask-say:has-text('does not fit')");
  await in_order(page, "signing pad");
  await page.getByLabel("Password").fill(password_of("technologist"));
  await press(page, '[data-key="sign"]');
  await page.waitForSelector("dialog.ask-sign", { state: "detached" });
  await page.waitForSelector(".held", { state: "detached" });
  const now = await state();
  assert.equal(now.batch.remedies, 1);
  assert.equal(await page.locator(".to-sign").count(), 0);
  const kept = await page.evaluate(() => JSON.stringify(localStorage));
  assert.ok(!kept.includes("four words"), "no secret stays on the device");
  await page.goto(`${page.url()}/history`);
  await page.waitForSelector(".event:has-text('signed: approved, A technologist (technologist)')");
  assert.deepEqual(FAULTS(page), []);
  assert.ok(floor.batchId);
});

test("who may not enter is offered no key that the server would refuse", async (t) => {
  const { open, techno, floor, check, hash } = await held(t, ["planner", "quality"]);
  const page = await open(hash);
  await enter_as(page, "planner", hash);
  await page.waitForSelector(".held");
  assert.equal(await page.locator('[data-key="repeat"]').count(), 0);
  const { json } = await techno.get(`/api/batches/${floor.batchId}`);
  await floor.enter({ kind: "decision", step: check.key, of_seq: json.steps.find((x) => x.key === check.key).reading_seq, decision: "accept", text: "agreed", signature: { password: password_of("technologist") } });
  await page.waitForSelector('[data-no-right="run-enter"]');
  await in_order(page, "floor without the right");
  for (const key of ["end", "begin", "interrupt", "reading"]) assert.equal(await page.locator(`[data-key="${key}"]`).count(), 0, key);
  assert.equal(await page.locator('.floor-keys [data-key="remark"]').count(), 1, "remarks are for everybody");
  await page.goto(page.url().replace(/#.*/, "#/weigh"));
  await page.waitForSelector(".weigh-line");
  assert.equal(await page.locator('[data-key="receive"]').count(), 0);
  await page.locator(".weigh-line").first().click();
  await page.waitForSelector('[data-no-right="weigh"]');
});

test("two at a weighing: the floor says why it waits, the second signs at the screen of the first, then the dose begins", async (t) => {
  const mill = mill_with_people(t, ["technologist", "weigh-room", "operator"]);
  give_badge(mill);
  const { s, open } = await desk(t, mill);
  const techno = await sign_in(s, "technologist");
  const floor = await Floor.start(techno, LOT);
  await floor.enter({ kind: "batch-begun" });
  const step = await floor.run((one) => one.kind === "dose" && one.state === "waiting");
  const lines = async () => (await techno.get("/api/weighing")).json.items.filter((i) => i.batch_id === floor.batchId && i.step === step.key);
  for (const i of await lines()) await floor.enter({ kind: "weighed", step: i.step, item: i.item, material_id: i.material_id, manual: true, mass_mg: i.item === 1 ? i.tolerance_high_mg + 1 : i.mass_mg, ...(i.item === 1 ? { text: "lumps" } : {}) });
  const waits = floor.state.to_check.filter((x) => x.step === step.key);
  assert.ok(waits.length);
  const page = await open(`#/floor/${floor.batchId}`);
  await enter_as(page, "technologist", "floor");
  await page.waitForSelector('[data-key="begin"]:disabled:has-text("Another person has to check")');
  await in_order(page, "a dose that waits");
  await page.goto(page.url().replace(/#.*/, "#/weigh"));
  await page.waitForSelector(".weigh-checks");
  for (const x of waits) {
    await page.locator(`.weigh-line:has-text("To be checked"):has-text("${x.name}"):has-text("${step.key}")`).first().click();
    await press(page, '[data-key="check-sign"]');
    await page.waitForSelector("dialog.ask-sign .keypad");
    if (x === waits[0]) await in_order(page, "weigh room check");
    const box = await page.locator("dialog .keypad button", { hasText: /^5$/ }).boundingBox();
    assert.ok(box.width >= 117.9 && box.height >= 117.9, `20 mm: ${JSON.stringify(box)}`);
    await page.getByLabel("Badge", { exact: true }).fill(BADGE.badge);
    for (const digit of BADGE.pin) await page.locator("dialog .keypad button", { hasText: new RegExp(`^${digit}$`) }).click();
    await page.locator('dialog .keypad button[type="submit"]').click();
    await page.waitForSelector("dialog.ask-sign", { state: "detached" });
  }
  assert.ok((await techno.get(`/api/batches/${floor.batchId}`)).json.to_check.every((x) => x.step !== step.key));
  await page.goto(page.url().replace(/#.*/, `#/floor/${floor.batchId}`));
  await press(page, '[data-key="begin"]:not(:disabled)');
  await page.waitForFunction(async ([id, key, device]) => (await (await fetch(`/api/batches/${id}`, { headers: { "madder-device": device } })).json()).steps.find((x) => x.key === key).state === "running", [floor.batchId, step.key, await page.evaluate(() => localStorage.getItem("madder.device-key"))]);
  assert.deepEqual(FAULTS(page), []);
});

test("a delivery is booked from its label, and what runs short is told anew", async (t) => {
  const { s, open } = await desk(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const page = await open("#/weigh");
  await page.waitForSelector(".weigh-line");
  const [first] = (await s.get("/api/weighing")).json.items;
  await press(page, '[data-key="receive"]');
  await page.waitForSelector("dialog .receive option >> nth=5", { state: "attached" });
  await press(page, 'dialog [data-key="book"]');
  await page.waitForSelector("dialog .ask-say:has-text('Choose the material')");
  await page.evaluate((keys) => {
    for (const key of [...keys, "Enter"]) document.body.dispatchEvent(new KeyboardEvent("keydown", { key: key === "\u001d" ? "]" : key, ctrlKey: key === "\u001d", bubbles: true, cancelable: true }));
  }, "]C1010401234567890110A1\u001d17281231310300250021S");
  await page.waitForSelector("dialog .ask-say:has-text('Goods')");
  assert.deepEqual([await page.inputValue('[data-field="kg"]'), await page.inputValue('[data-field="supplier_lot"]')], ["2.5", "A1"]);
  await page.selectOption('[data-field="material_id"]', first.material_id);
  await page.fill('[data-field="stock_lot_id"]', "C-77");
  await in_order(page, "receiving");
  await press(page, 'dialog [data-key="book"]');
  await page.waitForSelector("dialog .ask-say:has-text('booked as C-77')");
  const now = (await s.get("/api/weighing")).json.items.find((i) => i.material_id === first.material_id);
  assert.equal(now.stock.mg, first.stock.mg + 2_500_000);
  assert.equal(now.containers.find((c) => c.stock_lot_id === "C-77").supplier_lot, "A1");
  assert.deepEqual(page.faults, []);
});

test("a mill without people approves without ceremony", async (t) => {
  const { s, open } = await desk(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run((step) => step.kind === "check" && step.check.kind === "peroxide");
  await floor.enter({ kind: "reading", step: check.key, value: 30 });
  const page = await open(`#/floor/${floor.batchId}`);
  await page.waitForSelector(".remedy");
  await hold(page, '[data-key^="approve-"]');
  await page.waitForSelector(".held", { state: "detached" });
  assert.equal(await page.locator("dialog").count(), 0);
  assert.equal((await s.get(`/api/batches/${floor.batchId}`)).json.batch.remedies, 1);
});
