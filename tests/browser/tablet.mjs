// A tablet at a machine: what a finger does on it, and what every state of its screen is held to.
import assert from "node:assert/strict";
import { Floor } from "../http/batch_kit.mjs";
import { axe_here, overflow } from "./checks.mjs";

export const LOT = "L26-0101";
export const TABLETS = [[1280, 800], [800, 1280]];
export const KEY_PX = 118; // 20 mm on a 10 inch tablet, as long as the device is not calibrated
export const API = /\/api\//;

export const key = (name) => `[data-key="${name}"]`;
export const text_of = async (page, selector) => (await page.innerText(selector)).replaceAll("\u00a0", " ");
export const title = (page) => text_of(page, ".now-title, .held-title");
export const events_of = async (s, id) => (await s.get(`/api/batches/${id}/events`)).json.events;
export const kinds = (events) => events.map((e) => (e.step ? `${e.kind} ${e.step}` : e.kind));

/** A lot that has been brought to the step that `until` names. */
export async function lot_at(s, until, lot = LOT) {
  const floor = await Floor.start(s, lot);
  await floor.enter({ kind: "batch-begun" });
  if (until) await floor.run(until);
  return floor;
}
export const is_check = (kind) => (step) => step.check?.kind === kind;

/** A step runs, and one of this kind comes behind it. */
export async function running_before(s, kind) {
  const floor = await Floor.start(s, LOT);
  const { steps } = floor.state;
  const step = steps.find((one, i) => one.kind === "heat" && steps[i + 1].kind === kind);
  await floor.enter({ kind: "batch-begun" });
  await floor.run((one) => one.key === step.key);
  await floor.enter({ kind: "step-begun", step: step.key });
  return { step, floor };
}

export async function tablet(open, floor, size = TABLETS[0]) {
  const page = await open("#/hall", size);
  await page.evaluate((id) => (location.hash = `#/floor/${id}`), floor.batchId);
  await page.waitForSelector(".floor-keys");
  return page;
}
/** Presses as a finger does: the screen takes no second act within 300 ms. */
export async function press(page, name) {
  await page.waitForTimeout(320);
  await page.click(key(name));
}
export async function choose(page, words) {
  await page.waitForTimeout(320);
  await page.click(`dialog >> text=${words}`);
}
/** Until the key has done it: how long a second is on a loaded machine is the page's to say. */
export async function hold(page, name) {
  await page.waitForTimeout(320);
  await page.locator(key(name)).evaluate((e) => e.scrollIntoView({ block: "center" })); // the foot lies over the page
  const box = await page.locator(key(name)).boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.waitForSelector(`${key(name)}.is-held`);
  await page.waitForSelector(`${key(name)}.is-held`, { state: "detached" });
  await page.mouse.up();
}
/** Shorter than it takes, timed within the page: the machine under the test may be slow. */
export async function touch(page, name, ms) {
  await page.waitForTimeout(320);
  await page.evaluate(async ([k, wait]) => {
    const e = document.querySelector(k);
    const to = (type) => e.dispatchEvent(new PointerEvent(type, { bubbles: true, isPrimary: true, button: 0, pointerId: 1 }));
    to("pointerdown");
    await new Promise((resolve) => setTimeout(resolve, wait));
    to("pointerup");
    e.dispatchEvent(new MouseEvent("click", { bubbles: true, detail: 1 }));
    await new Promise((resolve) => setTimeout(resolve, 1200));
  }, [key(name), ms]);
}
export async function read(page, digits) {
  await press(page, "reading");
  await page.waitForSelector(".pad");
  await page.keyboard.type(digits);
  await press(page, "enter");
}
/** The foot lies over the page: what it covers in part is no smaller than it is. */
export const clear_of_foot = (page) => page.evaluate(() => document.querySelector(".remedy details").scrollIntoView({ block: "center" }));
/** Until the page shows what `look` returns something for. */
export const shows = (page, text) => page.waitForFunction((t) => document.querySelector(".floor")?.innerText.includes(t), text);
/** Cuts the line; the pages that are loaded stay. Gives back how to put it up again. */
export async function cut(page) {
  await page.route(API, (route) => route.abort("internetdisconnected"));
  return () => page.unroute(API);
}
/** Until every act is with the server, and the screen shows its answer. */
export const sent = (page) => page.waitForFunction(() => !document.querySelector('[data-unsent]:not([data-unsent="0"]), .unconfirmed'), null, { timeout: 45_000 });

/** Keys below 20 mm, and words below 18 px. */
export function too_small(page, least) {
  return page.evaluate((px) => {
    const out = [];
    const top = [...document.querySelectorAll("dialog[open]")].at(-1) ?? document.querySelector(".floor");
    for (const e of top.querySelectorAll("a[href], button, input, textarea")) {
      const r = e.getBoundingClientRect();
      if (r.width > 0 && (r.height < px - 0.5 || r.width < px - 0.5)) out.push(`${Math.round(r.width)}x${Math.round(r.height)} ${e.outerHTML.slice(0, 80)}`);
    }
    const walk = document.createTreeWalker(document.querySelector("#app"), NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const host = walk.currentNode.parentElement;
      if (!walk.currentNode.textContent.trim() || !host.getClientRects().length || host.closest(".visually-hidden, .skip")) continue;
      const scale = host.ownerSVGElement ? host.getScreenCTM().a : 1;
      const size = parseFloat(getComputedStyle(host).fontSize) * scale;
      if (size < 17.9) out.push(`${size} px: ${walk.currentNode.textContent.slice(0, 40)}`);
    }
    return [...new Set(out)];
  }, least);
}

/** `look`: axe where a test does not go through both ways of holding the tablet itself; null where the same was looked at. */
export async function sound_screen(page, what, { look = axe_here } = {}) {
  assert.deepEqual(page.faults, [], what);
  if (look) assert.deepEqual(await look(page), [], what);
  assert.ok((await overflow(page)) <= 0, `${what}: over the edge`);
  assert.deepEqual(await too_small(page, KEY_PX), [], what);
}

/** As a scanner types: keys without a pause, ended by Enter. */
export async function scan(page, text) {
  await page.evaluate((keys) => {
    for (const key of [...keys, "Enter"]) document.body.dispatchEvent(new KeyboardEvent("keydown", { key: key === "\u001d" ? "]" : key, ctrlKey: key === "\u001d", bubbles: true, cancelable: true }));
  }, text);
}
/** A mass, mg, by the keys, slower than a scanner. */
export async function type(page, grams, item) {
  const text = item.mass_mg >= 999_950 ? String(grams / 1e6) : String(grams / 1e3);
  for (const key of text) {
    await page.keyboard.press(key);
    await page.waitForTimeout(70);
  }
}
