// The weigh room: the queue, a scanner's burst, the band, reasons, another person, a lost line.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { axe_here, overflow, small_targets } from "./checks.mjs";
import { desk } from "./page.mjs";
import { scan, type } from "./tablet.mjs";

const LOT = "L26-0101";

async function room(t, size = undefined) {
  const { s, open } = await desk(t);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const page = await open("#/weigh", size);
  await page.waitForSelector(".weigh-line");
  const items = async () => (await s.get("/api/weighing")).json.items;
  return { s, page, floor, items };
}
test("a weighing from the scan to the record", async (t) => {
  const { page, items } = await room(t);
  const [first] = await items();
  await page.click(".weigh-line >> nth=0");
  await page.waitForSelector(".weigh-one");
  assert.equal(await page.locator(".weigh-pan").count(), 0); // not before the product is known
  const other = (await items()).find((i) => i.material_id !== first.material_id);
  await scan(page, other.product_label);
  await page.waitForSelector(".weigh-say:has-text('Put it back')");
  assert.equal(await page.locator(".weigh-pan").count(), 0);
  await scan(page, first.product_label);
  await page.waitForSelector(".weigh-pan");
  const zone = () => page.locator(".weigh-bar").getAttribute("data-zone");
  assert.equal(await zone(), "empty");
  await type(page, first.tolerance_low_mg - 1000, first);
  assert.equal(await zone(), "below");
  await page.click("text=Clear");
  await type(page, first.tolerance_high_mg + 1000, first);
  assert.equal(await zone(), "above");
  assert.match(await page.locator(".weigh-zone").innerText(), /Too much/);
  await page.click("text=Clear");
  await type(page, first.mass_mg, first);
  assert.equal(await zone(), "within");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".weigh-none");
  await page.waitForFunction(async ([step, item]) => (await (await fetch("/api/weighing")).json()).items.find((i) => i.step === step && i.item === item).weighed_mg > 0, [first.step, first.item]);
  const now = (await items()).find((i) => i.step === first.step && i.item === first.item);
  assert.equal(now.weighed_mg, first.mass_mg);
  assert.deepEqual(page.faults, []);
});

test("tare, and too much with a reason, which another person is asked to check", async (t) => {
  const { page, items, floor, s } = await room(t);
  const first = (await items()).find((i) => !i.two_persons && i.mass_mg > 2e6);
  await page.click(`.weigh-line:has-text("${first.name}") >> nth=0`);
  await scan(page, first.product_label);
  await page.waitForSelector(".weigh-pan");
  await type(page, 1_500_000, first);
  await page.click('[data-key="tare"]');
  await page.waitForSelector("text=Tare 1.500");
  const over = first.tolerance_high_mg + 50_000;
  await type(page, over + 1_500_000, first);
  assert.match(await page.locator(".weigh-zone").innerText(), /Too much/);
  await page.waitForTimeout(350);
  await page.click('.weigh-pan [data-key="enter"]');
  await page.waitForSelector("dialog");
  await page.waitForTimeout(350);
  await page.click("dialog >> text=The technologist allowed it");
  const held = page.locator('dialog [data-key="enter"]');
  await held.hover();
  await page.waitForTimeout(350);
  await page.mouse.down();
  await page.waitForTimeout(1200);
  await page.mouse.up();
  await page.waitForSelector(".weigh-line:has-text('To be checked')");
  const now = (await items()).find((i) => i.step === first.step && i.item === first.item);
  assert.deepEqual([now.weighed_mg, now.state], [over, "to-check"]);
  const { events } = (await s.get(`/api/batches/${floor.batchId}/events`)).json;
  const weighed = events.findLast((e) => e.kind === "weighed");
  assert.deepEqual([weighed.manual, weighed.text], [true, "The technologist allowed it"]);
});

test("without a line the weighing is kept, and a known label still opens the pan", async (t) => {
  const { page, items } = await room(t);
  const [first] = await items();
  await page.context().setOffline(true);
  await scan(page, first.product_label);
  await page.waitForSelector(".weigh-pan");
  await type(page, first.mass_mg, first);
  await page.keyboard.press("Enter");
  await page.waitForSelector("[data-waits='1']");
  assert.equal((await items()).find((i) => i.step === first.step && i.item === first.item).weighed_mg, 0);
  await page.context().setOffline(false);
  await page.waitForFunction(async ([step, item]) => (await (await fetch("/api/weighing")).json()).items.find((i) => i.step === step && i.item === item).weighed_mg > 0, [first.step, first.item], { timeout: 60_000 });
});

for (const [name, size] of [["a desk", [1280, 800]], ["a tablet", [800, 1280]], ["a telephone", [390, 844]]])
  test(`accessible, large enough and within the window on ${name}`, async (t) => {
    const { page, items } = await room(t, size);
    assert.deepEqual(await axe_here(page), []);
    const [first] = await items();
    await scan(page, first.product_label);
    await page.waitForSelector(".weigh-pan");
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/weigh-${size[0]}.png`, fullPage: true });
    const [net, enter] = [await page.locator(".weigh-net").boundingBox(), await page.locator('.weigh-pan [data-key="enter"]').boundingBox()];
    if (size[0] >= 800) assert.ok(net.y >= 0 && enter.y + enter.height <= size[1], "the mass and the last key are in sight together");
    assert.deepEqual(await axe_here(page), []);
    assert.deepEqual(await small_targets(page), []);
    assert.ok((await overflow(page)) <= 0, `${await overflow(page)} px too wide`);
    assert.deepEqual(page.faults, []);
  });
