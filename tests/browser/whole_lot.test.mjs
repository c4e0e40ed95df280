// One lot from its plan to its report, on a tablet: the weigh room, a peroxide check that fails, a line that
// is lost, a shade that is off and corrected, the release. What nothing happens in goes by the helper.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { calibrate, cutting, file, LOT, SUBSTRATE } from "../http/shade_kit.mjs";
import { desk } from "./page.mjs";
import { choose, hold, key, press, read, scan, sent, shows, text_of, type } from "./tablet.mjs";

const TABLET = [1280, 800];
const BATCH = `${LOT}.1`;
const MOST_MS = 90_000;

test("a whole lot: weighed, failed and corrected twice, cut off in between, released, and the report tells it all", async (t) => {
  const began = Date.now();
  const { s, open } = await desk(t);
  await calibrate(s);
  const get = async (path) => (await s.get(path)).json;
  const events = async () => (await get(`/api/batches/${BATCH}/events`)).events;

  // -- from the plan to the machine
  const page = await open(`#/lots/${LOT}`, TABLET, { hasTouch: true });
  await page.tap(".lot-acts >> text=Run this lot");
  await page.waitForSelector(".run-lot-facts");
  await page.tap(".run-lot >> text=Fix the plan and go to the floor");
  await page.waitForSelector(key("begin-lot"));
  const floor = new Floor(s, BATCH, await get(`/api/batches/${BATCH}`));
  const refresh = async () => (floor.state = await get(`/api/batches/${BATCH}`));
  const step_of = (kind) => floor.state.steps.find((x) => x.check?.kind === kind);
  /** Runs on without the screen, which follows by itself. */
  const run_to = async (until) => {
    await sent(page); // the screen shows what it expects before the server has it
    await refresh();
    const step = await floor.run(until);
    if (step) await page.waitForFunction((k) => document.querySelector(".now-place")?.textContent.includes(`tep ${k} `), step.key);
    return step;
  };
  /** The keys that move the lot on, until this step is at hand and waits. */
  const walk_to = async (step_key) => {
    for (;;) {
      await sent(page);
      await refresh();
      const step = floor.state.steps[floor.state.now];
      if (step.key === step_key) return step;
      await page.waitForFunction((k) => document.querySelector(".now-place")?.textContent.includes(`tep ${k} `), step.key);
      const forward = await page.waitForSelector(`${key("begin")}:enabled, ${key("end")}, ${key("end-early")}`);
      const name = await forward.getAttribute("data-key");
      await (name === "end-early" ? hold(page, name) : press(page, name));
    }
  };
  await press(page, "begin-lot");
  await page.waitForSelector(".left-value");

  // -- the weigh room, by its screen
  const room = await open("#/weigh", TABLET, { hasTouch: true });
  await room.waitForSelector(".weigh-line");
  const weigh_all = async (step_key) => {
    const mine = async () => (await get("/api/weighing")).items.filter((i) => i.step === step_key);
    for (const item of await mine()) {
      await room.waitForSelector(`.weigh-line:has-text("· ${step_key}"):has-text("${item.name}")`); // it asks every few seconds
      await scan(room, item.product_label);
      await room.waitForSelector(".weigh-pan");
      await type(room, item.mass_mg, item);
      await room.keyboard.press("Enter");
      await room.waitForSelector(".weigh-pan", { state: "detached" });
      await room.waitForFunction(async ([k, n]) => (await (await fetch("/api/weighing")).json()).items.find((i) => i.step === k && i.item === n)?.weighed_mg !== 0, [step_key, item.item]);
    }
    return (await mine()).length;
  };
  const dose = floor.state.steps.find((x) => x.kind === "dose");
  await walk_to(dose.key);
  await shows(page, "Not everything in this dose has been weighed.");
  assert.equal(await weigh_all(dose.key), dose.items.length);
  await page.waitForSelector(`${key("begin")}:enabled`);
  await press(page, "begin");
  await page.waitForSelector(`${key("end")}, ${key("end-early")}`);

  // -- a peroxide check that does not pass
  const peroxide = await run_to((x) => x.check?.kind === "peroxide");
  await read(page, "30");
  await page.waitForSelector(key("yes"));
  await press(page, "yes");
  await page.waitForSelector(".remedy");
  const offered = await get(`/api/batches/${BATCH}/remedies?step=${peroxide.key}`);
  const [catalase] = offered.remedies;
  assert.match(await text_of(page, ".remedy >> nth=0"), new RegExp(`${catalase.title}[\\s\\S]*approved by`, "i"));
  await hold(page, `approve-${catalase.remedy_id}`);
  await page.waitForFunction(() => document.querySelector(".now-place")?.textContent.includes("R1.1"));
  await run_to((x) => x.key === peroxide.key);
  await read(page, "2");
  await sent(page);

  // -- the line is lost: the lot goes on, what is entered waits in sight
  await run_to((x) => x.kind === "hold" && x.bath > peroxide.bath);
  await press(page, "begin");
  await page.waitForSelector(key("end-early"));
  await sent(page);
  const before = (await events()).length;
  await page.context().setOffline(true);
  await shows(page, "No connection to the server");
  await press(page, "interrupt");
  await page.waitForSelector("dialog[open]");
  await choose(page, "No steam");
  await page.waitForSelector(key("resume"));
  await press(page, "resume");
  await page.waitForSelector(key("remark"));
  await press(page, "remark");
  await page.fill("dialog textarea", "Steam was away for a moment");
  await press(page, "enter");
  await page.waitForSelector("[data-waits='3']");
  assert.equal((await events()).length, before, "nothing has arrived");
  await page.context().setOffline(false);
  await sent(page);
  const late = (await events()).slice(before);
  assert.deepEqual(late.map((e) => e.kind), ["interrupted", "resumed", "remark"], "in their order, each once");
  assert.ok(late.every((e) => e.device_utc_ms > 0 && e.happened_utc_ms < e.at_utc_ms), "when it happened, not when it arrived");
  const waited = await floor.send({ kind: "remark", text: "Written down at the boiler", device_utc_ms: 1000, sent_utc_ms: 601_000 });
  assert.equal(waited.status, 200, waited.text);

  // -- the shade is off: measured by its curve, an addition weighed and given
  const shade = await run_to((x) => x.check?.kind === "shade");
  await press(page, "reading");
  await press(page, "by-curve");
  await page.fill(".shade-curve", (await cutting(s, [0.85, 1, 1])).join(" "));
  await press(page, "gloss-included");
  await press(page, "enter");
  await page.waitForSelector('[data-remedy="shade-add"]');
  assert.match(await text_of(page, ".shade"), /ΔE 2\.1 outside the tolerance/);
  await hold(page, "approve-shade-add");
  await page.waitForFunction(() => document.querySelector(".now-place")?.textContent.includes("R2.1"));
  const addition = await run_to((x) => x.remedy_number === 2 && x.kind === "dose");
  await shows(page, "Not everything in this dose has been weighed.");
  assert.equal(await weigh_all(addition.key), addition.items.length);
  await page.waitForSelector(`${key("begin")}:enabled`);
  await press(page, "begin");
  await page.waitForSelector(key("end-early"));
  await hold(page, "end-early");
  await sent(page);
  await run_to((x) => x.key === shade.key);
  const stored = await s.post("/api/laboratory/samples", {
    file: file({ a: await cutting(s, [1, 1, 1]) }), substrate: SUBSTRATE, specular: "included",
    as: [{ sample: "a", kind: "bulk", lot_id: LOT, sample_id: "CUT-2", name: "After the addition" }],
  });
  assert.equal(stored.status, 200, stored.text);
  await press(page, "reading");
  await press(page, "sample-CUT-2");
  await page.waitForFunction((k) => !document.querySelector(".now-place")?.textContent.includes(`tep ${k} `), shade.key);
  await sent(page);

  // -- to its end, and released
  await refresh();
  assert.equal(step_of("shade").state, "done");
  await floor.run();
  await page.waitForSelector(key("release"));
  await hold(page, "release");
  await shows(page, "This lot is released.");
  await sent(page);
  assert.deepEqual(page.faults.filter((f) => !/ERR_INTERNET_DISCONNECTED/.test(f)), []);
  assert.deepEqual(room.faults, []);

  // -- the report tells it all
  const report = await get(`/api/batches/${BATCH}/report`);
  assert.equal(report.batch.state, "released");
  assert.equal(report.summary.right_first, false);
  assert.deepEqual(report.summary.not_first.map((x) => x.id), ["remedy"]);
  assert.ok(report.summary.interrupted_min >= 0 && report.summary.weighed_kg > report.summary.planned_kg);
  const readings = (k) => report.readings.filter((x) => x.step === k).map((x) => [x.inside, x.measured === null ? x.value : Math.round(x.measured.difference * 10) / 10]);
  assert.deepEqual(readings(peroxide.key), [[false, 30], [true, 2]]);
  assert.deepEqual(readings(shade.key), [[false, 2.1], [true, 0.2]]);
  assert.deepEqual(report.events.filter((e) => e.kind === "remedy-approved").map((e) => e.remedy_id), [catalase.remedy_id, "shade-add"]);
  const given = report.weighings.filter((x) => x.step === addition.key);
  assert.ok(given.length >= 1 && given.every((x) => Math.abs(x.off_pct) < 1), JSON.stringify(given));
  const pdf = Buffer.from(await (await fetch(`${s.base}/api/batches/${BATCH}/report.pdf`)).arrayBuffer());
  const paper = execFileSync("pdftotext", ["-layout", "-", "-"], { input: pdf }).toString().replace(/\s+/g, " ");
  for (const said of [/Not right first time|not right first time/i, /a remedy was needed/i, new RegExp(catalase.title), /Shading addition, \d+ steps before/, /Measured: sample against S-212\.standard/,
    /Measured: CUT-2 against S-212\.standard/, /No steam/, /Steam was away/, /Written down at the boiler \(waited on its device, stored/, /Reactive Golden Yellow/]) assert.match(paper, said);
  const all = await events();
  assert.equal(new Set(all.map((e) => e.entry_id)).size, all.length, "nothing twice");
  t.diagnostic(`${Math.round((Date.now() - began) / 1000)} s of ${MOST_MS / 1000}`);
});
