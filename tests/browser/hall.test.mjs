// The hall: every machine in a row, what waits or is late first, each state by a shape and a word.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor } from "../http/batch_kit.mjs";
import { axe_here, overflow, small_targets } from "./checks.mjs";
import { desk } from "./page.mjs";

test("the hall: what waits stands first, by shape and word; free machines last; nothing is coloured that is as it should be", async (t) => {
  const { s, open } = await desk(t);
  const page = await open("#/hall");
  await page.waitForSelector(".hall tbody tr");
  const machines = (await s.get("/api/batches")).json.machines;
  assert.equal(await page.locator(".hall tbody tr").count(), machines.length);
  assert.match(await page.innerText(".page-count"), new RegExp(`^0 of ${machines.length} `));

  const runs = await Floor.start(s, "L26-0107");
  await runs.enter({ kind: "batch-begun" });
  await runs.enter({ kind: "step-begun", step: "1.1" });
  const waits = await Floor.start(s, "L26-0101");
  await waits.enter({ kind: "batch-begun" });
  await waits.enter({ kind: "interrupted", interrupt: "steam" });
  await page.waitForFunction(() => document.querySelectorAll(".hall .hall-lot").length === 2 && document.querySelector(".hall tbody tr").innerText.includes("No steam")); // by itself, both as they are now
  const rows = page.locator(".hall tbody tr");
  assert.match(await rows.nth(0).innerText(), /L26-0101[\s\S]*No steam/);
  assert.equal(await rows.nth(0).locator(".shape-warning").count(), 1);
  assert.match(await rows.nth(1).innerText(), /L26-0107[\s\S]*1\.1\s*Load[\s\S]*on time, planned \d+:\d\d/);
  assert.equal(await rows.nth(1).locator(".shape").count(), 0);
  assert.match(await page.innerText(".page-count"), /^2 of /);

  for (const size of [[1280, 800], [800, 1280], [390, 844], [1920, 1080]]) {
    await page.setViewportSize({ width: size[0], height: size[1] });
    await page.waitForTimeout(150);
    assert.ok((await overflow(page)) <= 0, size.join("x"));
    assert.deepEqual(await axe_here(page), [], size.join("x"));
    assert.deepEqual(await small_targets(page), [], size.join("x"));
  }
  await rows.nth(1).locator("a").first().click();
  await page.waitForSelector(".left-value");
  assert.deepEqual(page.faults, []);
});

test("ends late: by how much, beside what was planned, with a shape", async (t) => {
  const { s, open } = await desk(t);
  const run = await Floor.start(s, "L26-0107");
  const now = Date.now();
  const ago = (min) => ({ device_utc_ms: now - min * 60_000, sent_utc_ms: now });
  await run.enter({ kind: "batch-begun", ...ago(100) });
  await run.enter({ kind: "step-begun", step: "1.1", ...ago(30) });
  const page = await open("#/hall");
  await page.waitForSelector(".hall-late");
  assert.match(await page.innerText(".hall-late"), /(1:\d\d h|\d+ min) late\s+planned \d+:\d\d/);
  assert.equal(await page.locator(".hall-late .shape-warning").count(), 1);
  assert.equal(await page.locator(".hall-bar").count(), 1);
});
