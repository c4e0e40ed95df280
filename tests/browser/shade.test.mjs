// The shade check at the machine: swatches, a stored sample, a curve that is typed or pasted, no line.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { calibrate, cutting, file, LOT, SUBSTRATE } from "../http/shade_kit.mjs";
import { axe } from "./checks.mjs";
import { desk } from "./page.mjs";
import { cut, hold, key, press, sent, shows, sound_screen, tablet, TABLETS, text_of } from "./tablet.mjs";

const SHOTS = process.env.SHOTS;
const swatches = (page) => page.$$eval(".pair path", (all) => all.map((e) => e.getAttribute("fill")));

async function at_the_check(t) {
  const { s, open } = await desk(t);
  await calibrate(s);
  const floor = await Floor.start(s, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run((step) => step.check?.kind === "shade");
  const state = async () => (await s.get(`/api/batches/${floor.batchId}`)).json;
  return { s, open, floor, check, state };
}
async function store(s, id, parts) {
  const r = await s.post("/api/laboratory/samples", {
    file: file({ a: await cutting(s, parts) }), substrate: SUBSTRATE, specular: "included",
    as: [{ sample: "a", kind: "bulk", lot_id: LOT, sample_id: id, name: "Cutting after fixing" }],
  });
  assert.equal(r.status, 200, r.text);
}
const shot = async (page, name, size) => SHOTS && page.screenshot({ path: `${SHOTS}/shade-${name}-${size[0]}.png` });

test("a stored sample: both colours, the difference in words, and what to add", async (t) => {
  const { s, open, state } = await at_the_check(t).then(async (x) => (await store(x.s, "CUT-1", [0.85, 1, 1]), x));
  const first = await tablet(open, { batchId: `${LOT}.1` });
  await first.waitForSelector(".pair-none");
  await press(first, "reading");
  await first.waitForSelector(key("sample-CUT-1"));
  await sound_screen(first, "where the sample comes from", { look: axe });
  await shot(first, "from", TABLETS[0]);
  await press(first, "sample-CUT-1");
  await first.waitForSelector('[data-remedy="shade-add"]');
  const [standard, sample] = await swatches(first);
  const { measured } = (await state()).steps.find((step) => step.check?.kind === "shade");
  assert.deepEqual([standard, sample], [measured.standard.swatch, measured.sample.swatch]);
  const said = await text_of(first, ".shade");
  for (const words of [/ΔE 2\.1 outside the tolerance/, /bluer 2\.3/, /D65, 10 degree observer, CMC\(2:1\)/, /CUT-1 against S-212\.standard/, /Yellow B3 worked like 86 %/]) assert.match(said, words);
  const card = await text_of(first, '[data-remedy="shade-add"]');
  for (const words of [/g\s+Reactive Golden Yellow B3/, /min/, /approved by: Technologist/i, /0\.08|0\.1/]) assert.match(card, words);
  await first.context().close();
  for (const size of TABLETS) {
    const page = await tablet(open, { batchId: `${LOT}.1` }, size);
    await page.waitForSelector(".remedy");
    await sound_screen(page, `measured ${size}`);
    await shot(page, "held", size);
    await page.context().close();
  }
  const page = await tablet(open, { batchId: `${LOT}.1` });
  await page.waitForSelector(".remedy");
  await hold(page, "approve-shade-add");
  await page.waitForFunction(() => document.querySelector(".now-place")?.textContent.includes("R1.1"));
  assert.equal((await s.get("/api/weighing")).json.items.some((i) => i.step.startsWith("R1.")), true);
});

test("a curve: typed by large keys, pasted, and what is wrong with it", async (t) => {
  const { s, open, state } = await at_the_check(t);
  const values = await cutting(s, [1, 1, 1]);
  for (const size of TABLETS) {
    const page = await tablet(open, { batchId: `${LOT}.1` }, size);
    await press(page, "reading");
    await press(page, "by-curve");
    await page.waitForSelector(".shade-curve");
    assert.equal(await page.getAttribute(key("gloss-included"), "aria-pressed"), "true", "as the standard was measured");
    await sound_screen(page, `curve ${size}`);
    await shot(page, "curve", size);
    await page.context().close();
  }
  const page = await tablet(open, { batchId: `${LOT}.1` });
  await press(page, "reading");
  await press(page, "by-curve");
  for (const k of ["2", "9", ".", "5"]) await page.click(`.pad-keys .key-digit:text-is("${k}")`);
  await press(page, "next-value");
  assert.equal(await page.inputValue(".shade-curve"), "29.5 ");
  const say = () => text_of(page, ".pad-limits");
  assert.match(await say(), /1 value; next is 420 nm/);
  await press(page, "enter");
  await page.waitForSelector('.pad-say:has-text("next is 420 nm")');
  await page.fill(".shade-curve", "29.5 x");
  assert.match(await say(), /“x” is not a reflectance/);
  await page.fill(".shade-curve", [...values, 30, 31].join("\n"));
  assert.match(await say(), /too many/);
  await page.fill(".shade-curve", values.map((v) => String(v).replace(".", ",")).join("\n"));
  assert.match(await say(), /31 values: the curve is complete/);
  await press(page, "enter");
  await page.waitForFunction(() => !document.querySelector(".pair"));
  const step = (await state()).steps.find((one) => one.check?.kind === "shade");
  assert.equal(step.state, "done");
  assert.ok(step.measured.difference < 0.2);
  assert.deepEqual(page.faults, []);
});

test("without a line the sample waits on the tablet, once, and is measured when the line is back", async (t) => {
  const { s, open, floor, state } = await at_the_check(t);
  const page = await tablet(open, floor);
  await page.waitForSelector(".pair");
  await page.waitForFunction(() => document.querySelector(".pair path")?.getAttribute("fill") !== null);
  const back = await cut(page);
  await press(page, "reading");
  await press(page, "by-curve");
  await page.fill(".shade-curve", file({ one: await cutting(s, [0.85, 1, 1]) }, "x").text);
  assert.match(await text_of(page, ".pad-limits"), /file of an instrument/);
  await press(page, "gloss-included");
  await press(page, "enter");
  await page.waitForSelector("[data-waits='1']");
  await shows(page, "The sample is waiting to be measured");
  assert.equal(await page.isDisabled(key("reading")), true);
  assert.equal((await state()).steps.find((one) => one.check?.kind === "shade").reading_seq, 0);
  await back();
  await sent(page);
  await page.waitForSelector('[data-remedy="shade-add"]');
  assert.equal((await s.get(`/api/batches/${floor.batchId}/events`)).json.events.filter((e) => e.measured).length, 1);
});
