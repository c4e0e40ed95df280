// Pages that are not in the first load: they wait quietly, say when they do not come, and come back.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axe } from "./checks.mjs";
import { desk } from "./page.mjs";

const PAGE = /\/check-[A-Z0-9]+\.(js|css)$/;

test("the first load is the frame and its first place; the other pages come by themselves later", async (t) => {
  const { s, open } = await desk(t);
  const page = await open("#/lots");
  await page.waitForSelector(".data");
  const loaded = () => page.evaluate(() => performance.getEntriesByType("resource").map((e) => new URL(e.name).pathname).filter((p) => /\.(js|css)$/.test(p)));
  await page.waitForFunction((re) => performance.getEntriesByType("resource").some((e) => new RegExp(re).test(new URL(e.name).pathname)), PAGE.source);
  const all = await loaded();
  assert.ok(all.some((p) => p.startsWith("/lot-")), all.join(" "));
  await s.stop(); // and now they need no server
  await page.click(".head-nav >> text=Check");
  await page.waitForSelector("h1:text-is('Check')");
});

test("on a slow line the page says that it waits", async (t) => {
  const { s, open } = await desk(t);
  const page = await open("#/lots");
  let let_go;
  const held = new Promise((resolve) => (let_go = resolve));
  await page.route(PAGE, async (route) => {
    await held;
    await route.continue();
  });
  await page.goto(`${s.base}/#/check`);
  await page.reload();
  await page.waitForSelector("#main [role=status]");
  assert.equal(await page.locator(".head-nav [aria-current]").innerText(), "Check");
  let_go();
  await page.waitForSelector("h1:text-is('Check')");
});

for (const ending of ["js", "css"])
  test(`a ${ending} that does not come: said, and had at the next try`, async (t) => {
    const { s, open } = await desk(t);
    const page = await open("#/lots");
    const path = new RegExp(`/check-[A-Z0-9]+\\.${ending}$`);
    await page.route(path, (route) => route.abort());
    await page.goto(`${s.base}/#/check`);
    await page.reload();
    await page.waitForSelector("#main .failure");
    assert.match(await page.innerText("#main .failure"), /did not load/);
    assert.deepEqual(await axe(page), []);
    await page.unroute(path);
    await page.click("#main .failure button");
    await page.waitForSelector("h1:text-is('Check')");
    assert.ok(await page.locator(".findings, .quiet-state").first().evaluate((e) => getComputedStyle(e).display !== "inline"));
  });

test("pages of an older build are not found: the app starts anew", async (t) => {
  const { s, open } = await desk(t);
  const page = await open("#/lots");
  await page.route(PAGE, (route) => route.fulfill({ status: 404, body: "" }));
  await page.goto(`${s.base}/#/check`);
  await page.reload();
  await page.waitForSelector("#main .failure");
  await page.click("#main .failure button");
  await page.waitForSelector("#main .failure");
  let loads = 0;
  page.on("load", () => (loads += 1));
  await page.unroute(PAGE);
  await page.click("#main .failure button");
  await page.waitForSelector("h1:text-is('Check')");
  assert.ok(loads <= 1);
});
