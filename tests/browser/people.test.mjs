// Signing in, the lock, who is who: on a desk, on a phone, on a tablet shared by a shift.
import assert from "node:assert/strict";
import { test } from "node:test";
import { BADGE, give_badge, mill_with_people, password_of, run } from "../http/people.mjs";
import { axe, overflow, small_targets } from "./checks.mjs";
import { desk } from "./page.mjs";

const WIDTHS = [390, 800, 1280];

async function in_order(page, name) {
  assert.deepEqual(await axe(page), [], name);
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 900 });
    await page.waitForTimeout(100); // a page that measures itself does so behind the change
    assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    assert.deepEqual(await small_targets(page), [], `${name} at ${width}`);
  }
}

async function sign_in(page, role) {
  await page.getByLabel("Name", { exact: true }).fill(`p-${role}`);
  await page.getByLabel("Password").fill(password_of(role));
  await page.getByRole("button", { name: "Sign in" }).click();
}

test("by password: a wrong one is told, the right one opens the place asked for; signing out leaves nothing", async (t) => {
  const { open } = await desk(t, mill_with_people(t, ["lab"]));
  const page = await open("#/lots/L26-0107");
  assert.equal(await page.textContent("h1"), "Sign in");
  assert.ok(!(await page.content()).includes("L26-0107"), "nothing of the mill is there");
  await in_order(page, "signing in");
  await page.getByLabel("Name", { exact: true }).fill("P-Lab");
  await page.getByLabel("Password").fill("wrong words");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".signin-wrong p");
  assert.match(await page.textContent(".signin-wrong"), /does not fit/);
  await in_order(page, "a wrong password");
  await sign_in(page, "lab");
  await page.waitForSelector(".lot-title h1");
  assert.equal(await page.textContent(".who summary"), "A lab");
  await page.click(".who summary");
  await in_order(page, "who I am");
  assert.equal(await page.getByRole("link", { name: "People", exact: true }).count(), 0);
  await page.getByRole("button", { name: "Sign out" }).click();
  await page.waitForSelector(".signin");
  assert.ok(!(await page.content()).includes("L26-0107"));
  assert.deepEqual(page.faults.filter((f) => !f.includes("401")), []);
});

test("by badge and PIN: a scanner types the badge, the keys are 20 mm", async (t) => {
  const mill = mill_with_people(t, ["operator"]);
  give_badge(mill);
  const { open } = await desk(t, mill);
  const page = await open("#/lots", [1280, 900]);
  await page.getByRole("button", { name: "Badge and PIN" }).click();
  await in_order(page, "the badge");
  await page.keyboard.type(`${BADGE.badge}\n`); // where the focus is
  await page.waitForSelector(".keypad");
  await in_order(page, "the keypad");
  await page.setViewportSize({ width: 1280, height: 900 });
  const box = await page.getByRole("button", { name: "5", exact: true }).boundingBox();
  assert.ok(box.width >= 117.9 && box.height >= 117.9, JSON.stringify(box)); // 20 mm on a tablet of 10 inches
  await page.click(".keysize summary");
  await page.locator(".keysize-range").fill("600"); // 85.6 mm are 600 px: 20 mm are 140.2
  const larger = await page.getByRole("button", { name: "5", exact: true }).boundingBox();
  assert.ok(larger.width >= 140.1 && larger.height >= 140.1, JSON.stringify(larger));
  await in_order(page, "the size of the keys");
  for (const digit of "739155") await page.getByRole("button", { name: digit, exact: true }).click();
  await page.locator(".keypad").getByRole("button", { name: "Sign in" }).click();
  await page.waitForSelector(".signin-wrong p");
  for (const digit of "7391") await page.getByRole("button", { name: digit, exact: true }).click();
  await page.getByRole("button", { name: "Delete" }).click();
  await page.keyboard.type("1"); // a keyboard will do too, when the field has the focus
  await page.getByLabel("PIN", { exact: true }).first().fill(BADGE.pin);
  await page.keyboard.press("Enter");
  await page.waitForSelector(".who summary");
  assert.equal(await page.textContent(".who summary"), "A operator");
  const again = await page.context().newPage();
  await again.goto(page.url());
  await again.waitForSelector(".who summary");
  assert.equal(await again.evaluate(() => localStorage.getItem("madder.sign-in")), "badge");
});

test("a locked screen hides the work and keeps it; somebody else finds nothing of it", async (t) => {
  const mill = mill_with_people(t, ["technologist"]);
  const { open } = await desk(t, mill);
  const page = await open("#/lots/L26-0107");
  await sign_in(page, "technologist");
  await page.waitForSelector(".plot-svg");
  const ratio = page.locator(".what-if .field:has-text('Ratio') input");
  await ratio.fill("10");
  await page.waitForSelector(".bar .deltas");
  await page.click(".who summary");
  await page.getByRole("button", { name: "Lock the screen" }).click();
  await page.waitForSelector(".signin h1");
  assert.equal(await page.locator(".lot-title h1").isVisible(), false);
  await in_order(page, "locked");
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.getByLabel("Password").fill(password_of("technologist"));
  await page.getByRole("button", { name: "Unlock" }).click();
  await page.locator(".lot-title h1").waitFor({ state: "visible" });
  assert.equal(await ratio.inputValue(), "10", "what was typed is still there");
  await page.click(".who summary");
  await page.getByRole("button", { name: "Lock the screen" }).click();
  await page.getByRole("button", { name: "Somebody else" }).click();
  await sign_in(page, "manager");
  await page.waitForFunction(() => document.querySelector(".who summary")?.textContent === "A manager");
  await page.waitForSelector(".plot-svg");
  assert.notEqual(await ratio.inputValue(), "10");
});

test("a session that ended elsewhere: the page asks to sign in, and goes on", async (t) => {
  const mill = mill_with_people(t, ["planner"]);
  const { open } = await desk(t, mill);
  const page = await open("#/lots");
  await sign_in(page, "planner");
  await page.waitForSelector("tbody tr");
  assert.equal(run(["people", "sign-out", "p-planner", "--mill", mill]).status, 0);
  await page.click(".head-nav a[href='#/check']");
  await page.waitForSelector(".signin");
  await sign_in(page, "planner");
  await page.waitForSelector(".findings li");
});

test("the page of people: add, change, end sessions; who may what", async (t) => {
  const mill = mill_with_people(t, ["lab"]);
  const { open } = await desk(t, mill);
  const page = await open("#/people");
  await sign_in(page, "manager");
  await page.waitForSelector(".person");
  await in_order(page, "people");
  await page.setViewportSize({ width: 1280, height: 900 });
  await page.getByRole("button", { name: "Add a person" }).click();
  await page.getByLabel("Name to sign in with").fill("nina");
  await page.getByLabel("Name printed under records").fill("Nina Roth");
  await page.getByRole("checkbox", { name: "quality" }).check();
  await page.getByLabel("New password").first().fill("password2026!");
  await page.getByRole("button", { name: "Save" }).first().click();
  await page.waitForSelector(".field-say");
  assert.match(await page.textContent(".field-say"), /tried first/);
  await in_order(page, "a password refused");
  await page.setViewportSize({ width: 1280, height: 900 });
  await page.getByLabel("New password").first().fill("nothing that anybody tries");
  await page.getByRole("button", { name: "Save" }).first().click();
  await page.waitForSelector(".person h2:has-text('Nina Roth')");
  const nina = page.locator(".person", { hasText: "Nina Roth" });
  assert.match(await nina.textContent(), /quality.*password/s);
  await nina.getByRole("button", { name: "Change" }).click();
  await nina.getByRole("checkbox", { name: "Active" }).uncheck();
  await nina.getByRole("button", { name: "Save" }).click();
  await page.waitForSelector(".person:has-text('Inactive')");
  assert.equal(await page.locator(".rights tbody tr").count(), 15);
  for (const width of [800, 1280]) {
    await page.setViewportSize({ width, height: 900 });
    assert.ok(await page.$eval(".rights", (e) => e.scrollWidth <= e.clientWidth), `who may do what, to the last role at ${width}`);
  }
  assert.deepEqual(page.faults.filter((f) => !/401|422/.test(f)), []);
});

test("a mill without people: the first one ends the demo", async (t) => {
  const { open } = await desk(t);
  const page = await open("#/lots");
  assert.equal(await page.textContent(".who summary"), "Demo user");
  await page.click(".who summary");
  await in_order(page, "the demo user");
  await page.setViewportSize({ width: 1280, height: 900 });
  await page.getByRole("link", { name: "People", exact: true }).click();
  await page.getByRole("button", { name: "Add the first person" }).click();
  await page.getByLabel("Name to sign in with").fill("anna");
  await page.getByLabel("Name printed under records").fill("Anna Berg");
  await page.getByLabel("New password").fill(password_of("anna"));
  await page.getByRole("button", { name: "Save" }).click();
  await page.waitForSelector(".signin");
  await page.getByLabel("Name", { exact: true }).fill("anna");
  await page.getByLabel("Password").fill(password_of("anna"));
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForSelector(".person h2:has-text('Anna Berg')");
});
