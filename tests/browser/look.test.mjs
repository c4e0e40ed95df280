// A sample that is looked at: two keys instead of a number; what is not as it should be holds the lot.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axe } from "./checks.mjs";
import { desk } from "./page.mjs";
import { KEY_PX, TABLETS, cut, events_of, is_check, key, lot_at, press, sent, shows, tablet, text_of, too_small } from "./tablet.mjs";

const LOT = "L26-0107"; // after its bleach: absorbency, whiteness and husks by eye

async function look(page, name) {
  await press(page, "reading");
  await page.waitForSelector(`dialog ${key("good")}`);
  await press(page, name);
}

test("not as it should be: the lot is held, and goes on when a second look is good", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, is_check("sample"), LOT);
  const step = floor.state.steps[floor.state.now];
  const page = await tablet(open, floor, TABLETS[1]);
  await press(page, "reading");
  await page.waitForSelector(`dialog ${key("good")}`);
  assert.deepEqual(await axe(page), []);
  assert.deepEqual(await too_small(page, KEY_PX), []);
  await press(page, "bad");
  await page.waitForSelector(".held");
  assert.match(await text_of(page, ".held"), /not as it should be/i);
  await sent(page);
  const [reading, ...after] = (await events_of(s, floor.batchId)).filter((e) => e.step === step.key);
  assert.deepEqual([reading.kind, reading.value, after], ["reading", 0, []], "nothing passed it");
  await page.waitForSelector(".remedy");
  assert.deepEqual(await axe(page), []);
  await press(page, "accept");
  await page.waitForSelector("dialog[open]");
  assert.match(await text_of(page, "dialog[open]"), /not as it should be/i);
  await page.keyboard.press("Escape");
  await page.waitForSelector("dialog[open]", { state: "detached" });
  await floor.enter({ kind: "remedy-approved", step: step.key, of_seq: reading.seq, remedy_id: "run-on" });
  await floor.run(is_check("sample"));
  await page.waitForSelector(key("reading"));
  await look(page, "good");
  await page.waitForFunction((k) => !document.querySelector(".now-place")?.textContent.includes(`Step ${k} `), step.key);
  await sent(page);
  const kinds = (await events_of(s, floor.batchId)).filter((e) => e.step === step.key).map((e) => e.kind);
  assert.deepEqual(kinds.slice(-2), ["reading", "decision"]);
});

test("without a line: what the screen expects of a sample is what the server will say", async (t) => {
  const { s, open } = await desk(t);
  const floor = await lot_at(s, is_check("sample"), LOT);
  const page = await tablet(open, floor);
  const up = await cut(page);
  await look(page, "bad");
  await page.waitForSelector(".held");
  await up();
  await sent(page);
  await shows(page, "not as it should be");
  assert.equal((await s.get(`/api/batches/${floor.batchId}`)).json.batch.state, "held");
});
