// The list of lots of a mill that has run for years.
import assert from "node:assert/strict";
import { test } from "node:test";
import { long_ago } from "../http/lots_kit.mjs";
import { axe } from "./checks.mjs";
import { desk } from "./page.mjs";

const rows = (page) => page.locator(".lots .data tbody tr");
const rows_are = (page, n) => page.waitForFunction((k) => document.querySelectorAll(".lots .data tbody tr").length === k, n);

test("done lots of long ago: listed in parts, found by a word whether listed or not", async (t) => {
  const { s, open } = await desk(t);
  const demo = (await s.get("/api/lots")).json;
  const done = demo.lots.filter((l) => l.stage === "done").length;
  await long_ago(s, 450);
  const all = demo.all + 450;
  const page = await open("#/lots", [800, 1280]);
  const first = demo.all - done + 200;
  await rows_are(page, first);
  assert.equal(await page.innerText(".page-count"), `${first} of ${all} lots`);
  assert.match(await page.innerText(".lots-rest"), new RegExp(`${first} of ${all} lots are listed`));
  assert.deepEqual(await axe(page), []);

  await page.fill("#lots-filter", "OLD-007"); // not listed
  await rows_are(page, 1);
  assert.match(await rows(page).innerText(), /OLD-007/);
  await page.fill("#lots-filter", "OLD");
  await page.waitForSelector(".lots-rest:has-text('lots match')");
  await page.fill("#lots-filter", "no such words");
  await page.waitForSelector("text=No lot matches the filter.");
  await page.click("text=Clear the filter");
  await rows_are(page, first);

  await page.click("text=List earlier ones");
  await rows_are(page, first + 200);
  await page.click("text=List earlier ones");
  await rows_are(page, all);
  assert.equal(await page.innerText(".page-count"), `${all} lots`);
  assert.equal(await page.locator(".lots-rest").count(), 0);
  assert.deepEqual(page.faults, []);
});
