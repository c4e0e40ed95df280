// A Chromium page on a served demo mill.
import { after } from "node:test";
import { chromium } from "playwright-core";
import { serve } from "../http/server.mjs";

const FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync"];

export const LOT = "L26-0107";

/** One browser for the tests of a file; what a page keeps is its context's, and that is new each time. */
let started;
const browser_of = () => (started ??= chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: FLAGS }));
export const shut = async () => (await started)?.close();
after(shut);

/** {s: server, open(hash, size) -> page}; page.faults gathers what the console complains of. */
export async function desk(t, mill = undefined) {
  const s = await serve(t, mill);
  const browser = await browser_of();
  const contexts = [];
  t.after(() => Promise.all(contexts.map((context) => context.close())));
  const open = async (hash, [width, height] = [1280, 800], more = {}) => {
    const context = await browser.newContext({ viewport: { width, height }, reducedMotion: "reduce", locale: "en-GB", ...more });
    contexts.push(context);
    context.setDefaultTimeout(90_000); // a wait is for something that comes; how soon depends on the machine
    const page = await context.newPage();
    page.faults = [];
    page.on("pageerror", (e) => page.faults.push(e.message));
    page.on("console", (m) => m.type() === "error" && page.faults.push(m.text()));
    await page.goto(`${s.base}/${hash}`);
    await page.waitForSelector("h1");
    return page;
  };
  return { s, open };
}

/** The plan page, drawn. */
export async function plan_page(open, lot = LOT, size = undefined) {
  const page = await open(`#/lots/${lot}`, size);
  await page.waitForSelector(".plot-svg");
  return page;
}

/** The server is back: the button tries at once. The page may have found out by itself before it. */
export async function try_again(page) {
  await page.evaluate(() => document.querySelector(".offline button")?.click());
  await page.waitForSelector(".offline", { state: "detached" });
}
