// "Can we do it?": the verdict, the map that follows the sliders, what would do.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axe, overflow, small_targets } from "./checks.mjs";
import { desk, try_again } from "./page.mjs";
import { in_time, median } from "./timed.mjs";

const PLACE = "#/fabric";
const MET = "SJ-145";
const NOT_MET = "PIQ-215";

async function fabric_page(open, article = MET, size = undefined) {
  const page = await open(PLACE, size);
  await page.waitForSelector(".map-svg");
  await take(page, article);
  return page;
}
/** Picks an article and waits for its answer. */
async function take(page, article) {
  await page.selectOption("#fabric-article", article);
  await settled(page);
}
/** No question under way. */
async function settled(page) {
  await page.waitForTimeout(60); // what was done is on its way
  await page.waitForFunction(() => document.querySelector(".fabric-main [aria-busy]")?.getAttribute("aria-busy") === "false");
  await page.waitForTimeout(40);
}
const field = (page, name) => page.locator(`.fabric-form .field:has(label:text-is('${name}')) :is(input, select)`);
const slider = (page, name) => page.locator(`.slide:has(label:text-is('${name}')) input`);
const verdict = (page) => page.innerText(".fabric-verdict");
const picture = (page) => page.$eval(".map-svg", (svg) => svg.innerHTML);
/** Questions the page sends, as they are sent. */
function questions(page) {
  const all = [];
  page.on("request", (r) => r.url().endsWith("/api/fabric") && all.push(r.postDataJSON()));
  return all;
}
const asked_of = (a) => ({
  do: "knitted", construction: a.construction, ne: a.yarn_ne, loop_cm: a.loop_mm / 10, gauge_per_inch: a.gauge_per_inch, diameter_inch: a.diameter_inch, feeders: a.feeders,
  elastane_pct: a.elastane_pct, gsm: a.finished_gsm, width_cm: a.finished_width_cm, length_shrink_pct: a.shrink_length_max_pct, width_shrink_pct: a.shrink_width_max_pct,
  spirality_pct: a.spirality_max_pct,
});

const STATES = {
  "can be met": async () => undefined,
  "cannot be met": (page) => take(page, NOT_MET),
  "another loop length": async (page) => {
    await slider(page, "Loop length").focus();
    for (let i = 0; i < 9; i++) await page.keyboard.press("ArrowRight");
    await page.waitForSelector(".slide-keep button");
  },
  "a washed sample": async (page) => {
    await page.check("input[value=washed]", { force: true });
    await settled(page);
  },
  "a cure applied": async (page) => {
    await take(page, NOT_MET);
    await page.locator(".cure").first().click();
    await settled(page);
  },
  "a wrong entry": async (page) => {
    await field(page, "Gauge").fill("200");
    await page.keyboard.press("Tab");
    await page.waitForSelector(".field-say");
  },
  "a why": async (page) => {
    await page.locator(".fabric-figures a.num").first().click();
    await page.waitForSelector(".why");
  },
};

test("every state is accessible, fits its window and has large enough targets", async (t) => {
  const { open } = await desk(t);
  for (const [name, enter] of Object.entries(STATES)) {
    const page = await fabric_page(open);
    await enter(page);
    assert.deepEqual(await axe(page), [], name);
    for (const width of [390, 800, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await page.waitForTimeout(100);
      assert.ok((await overflow(page)) <= 0, `${name} at ${width}`);
    }
    await page.setViewportSize({ width: 800, height: 1100 });
    assert.deepEqual(await small_targets(page), [], name);
    if (name !== "a wrong entry") assert.deepEqual(page.faults, [], name); // the server's 422 stands in the console
    await page.context().close();
  }
});

test("every article: the verdict and the figures are the server's", async (t) => {
  const { s, open } = await desk(t);
  const { articles } = (await s.get("/api/articles")).json;
  const page = await fabric_page(open);
  const seen = new Set();
  for (const a of articles) {
    const { result } = (await s.post("/api/fabric", asked_of(a))).json;
    await take(page, a.article_id);
    const twisted = result.spirality.over_pct > 0;
    const said = await verdict(page);
    assert.match(said, result.verdict === "met" && !twisted ? /^Can be met$/ : /^Cannot be met: (off by|spirality)/, `${a.article_id}: ${said}`);
    const text = (await page.innerText(".fabric-figures")).replace(/\u00a0/g, " ");
    assert.ok(text.includes(`${result.best.width_cm.toFixed(1)} cm`), `${a.article_id}: ${text}`);
    assert.ok(text.includes(`${Math.abs(Number(result.best.length_shrink_pct.toFixed(1)))} %`), `${a.article_id}: ${text}`);
    assert.equal(await page.locator(".map-feasible:not(.map-key *)").count(), result.verdict === "met" ? 1 : 0);
    assert.equal(await page.locator(".map-gap").count(), Object.values(result.clash_pct ?? {}).filter((v) => v > 0).length);
    seen.add(result.verdict);
  }
  assert.equal(seen.size, 2, "both verdicts are among the articles");
});

/**
 * Drags a slider over its whole way. For each event: the time until a frame was painted after it, and
 * whether that frame was another picture. `answered`: for each new picture, the time since the last
 * event before it.
 */
async function drag(page, input, steps = 40) {
  await page.evaluate(() => {
    window.painted = [];
    window.answered = [];
    if (window.watched) return;
    window.watched = true;
    const painted = (then) => requestAnimationFrame(() => {
      const channel = new MessageChannel(); // after the frame was handed over
      channel.port1.onmessage = then;
      channel.port2.postMessage(0);
    });
    let last = 0;
    addEventListener("input", (event) => {
      last = event.timeStamp;
      const at = last;
      const before = document.querySelector(".map-svg").innerHTML;
      requestAnimationFrame(() => {
        const drawn = document.querySelector(".map-svg").innerHTML !== before;
        const channel = new MessageChannel();
        channel.port1.onmessage = () => window.painted.push([performance.now() - at, drawn]);
        channel.port2.postMessage(0);
      });
    }, true);
    new MutationObserver(() => {
      const at = last;
      painted(() => window.answered.push(performance.now() - at));
    }).observe(document.querySelector(".map"), { subtree: true, childList: true, attributes: true });
  });
  const box = await input.boundingBox();
  const y = box.y + box.height / 2;
  const grip = await input.evaluate((e) => 38 + (e.getBoundingClientRect().width - 76) * ((e.value - e.min) / (e.max - e.min)));
  await page.mouse.move(box.x + grip, y);
  await page.mouse.down();
  for (let i = 0; i <= steps; i++) await page.mouse.move(box.x + 38 + (box.width - 76) * (i / steps), y);
  await page.mouse.up();
  await page.waitForTimeout(150);
  return page.evaluate(() => window.painted);
}

test("the map follows the loop slider without a question, within a moment of the finger", async (t) => {
  const { open } = await desk(t);
  for (const size of [[1280, 800], [800, 1280]]) {
    const page = await fabric_page(open, MET, size);
    const asked = questions(page);
    const top = await page.$eval(".map-svg", (svg) => svg.getBoundingClientRect().top);
    const seen = await page.evaluate(() => {
      window.tops = new Set();
      new MutationObserver(() => window.tops.add(Math.round(document.querySelector(".map-svg").getBoundingClientRect().top))).observe(document.querySelector(".fabric-main"), { subtree: true, childList: true, attributes: true, characterData: true });
    });
    assert.equal(seen, undefined);
    const painted = await drag(page, slider(page, "Loop length"));
    const times = painted.map(([ms]) => ms);
    t.diagnostic(`${size.join("x")}: ${times.length} frames, from input to painted: median ${median(times).toFixed(1)} ms, longest ${Math.max(...times).toFixed(1)} ms`);
    assert.ok(painted.length >= 20, `${painted.length} events`);
    assert.ok(painted.filter(([, drawn]) => drawn).length >= painted.length * 0.9, "each was drawn in the next frame");
    in_time(t, `${size.join("x")}, from input to painted`, median(times), 100);
    assert.deepEqual(asked, [], "no question while it moves");
    assert.deepEqual(await page.evaluate(() => [...window.tops]), [Math.round(top)], "the map stands still under the finger");
    assert.match(await slider(page, "Loop length").getAttribute("aria-valuetext"), /cm, (Can|Cannot) be met$/);
    await page.context().close();
  }
});

test("what stands at a loop length is what the server says of it", async (t) => {
  const { s, open } = await desk(t);
  const page = await fabric_page(open);
  const a = (await s.get("/api/articles")).json.articles.find((one) => one.article_id === MET);
  await slider(page, "Loop length").focus();
  for (const [key, times] of [["ArrowRight", 3], ["ArrowRight", 12], ["Home", 1], ["ArrowRight", 6], ["End", 1]]) {
    for (let i = 0; i < times; i++) await page.keyboard.press(key);
    const loop_cm = parseFloat(await page.innerText(".slide output"));
    const { result } = (await s.post("/api/fabric", { ...asked_of(a), loop_cm })).json;
    assert.match(await verdict(page), result.verdict === "met" ? /^Can be met/ : /^Cannot be met/, `${loop_cm} cm`);
    assert.ok((await page.innerText(".fabric-reasons")).includes(`${result.relaxed.width_cm.toFixed(1)}\u00a0cm`), `${loop_cm} cm`);
  }
  const at = await page.innerText(".slide output");
  await page.click(".slide-keep button");
  await settled(page);
  assert.ok(at.startsWith(`${await field(page, "Loop length, per loop").inputValue()}\u00a0cm`), at);
  assert.match(await page.innerText(".slide-keep"), /^As it is/);
});

test("a slow line: one question at a time, the last picture stays, the last value wins", async (t) => {
  const { s, open } = await desk(t);
  const page = await fabric_page(open);
  let under_way = 0;
  let most = 0;
  let sent = 0;
  await page.route("**/api/fabric", async (route) => {
    sent += 1;
    most = Math.max(most, (under_way += 1));
    await new Promise((resolve) => setTimeout(resolve, 200));
    await route.continue();
  });
  page.on("requestfinished", (r) => r.url().endsWith("/api/fabric") && (under_way -= 1));
  const asked = questions(page);
  const before = await picture(page);
  const input = slider(page, "Width asked for");
  const painted = await drag(page, input, 60);
  assert.ok(before && (await page.locator(".map-svg").count()) === 1, "a picture is always there");
  await settled(page);
  assert.equal(most, 1);
  assert.ok(painted.length > 20 && sent < painted.length / 2, `${sent} questions for ${painted.length} moves`);
  assert.ok(asked.slice(0, -1).every((q) => q.map_frames === 1), "while it moves, only what is shown");
  assert.equal(asked.at(-1).map_frames, 41, "and all loop lengths when it rests");
  const width = Number(await input.inputValue());
  assert.equal(asked.at(-1).width_cm, width);
  assert.equal(await field(page, "Full open width").inputValue(), String(width));
  const a = (await s.get("/api/articles")).json.articles.find((one) => one.article_id === MET);
  const { result } = (await s.post("/api/fabric", { ...asked_of(a), width_cm: width })).json;
  assert.ok((await page.innerText(".fabric-figures")).includes(`${result.best.width_cm.toFixed(1)}\u00a0cm`));
});

test("the other sliders: each frame in time, and the answers come while they move", async (t) => {
  const { open } = await desk(t);
  const page = await fabric_page(open);
  for (const name of ["Width asked for", "Weight asked for", "Yarn count"]) {
    const times = (await drag(page, slider(page, name))).map(([ms]) => ms);
    await settled(page);
    const answered = await page.evaluate(() => window.answered);
    t.diagnostic(`${name}: ${times.length} frames, median ${median(times).toFixed(1)} ms, longest ${Math.max(...times).toFixed(1)} ms; ${answered.length} pictures, ${median(answered).toFixed(1)} ms after the last move before them`);
    assert.ok(answered.length >= 5, `${name}: ${answered.length} pictures`);
    in_time(t, `${name}, painted`, median(times), 100);
    in_time(t, `${name}, answered`, median(answered), 200);
  }
  assert.deepEqual(page.faults, []);
});

test("each cure is a button that does it, and can be undone", async (t) => {
  const { open } = await desk(t);
  const page = await fabric_page(open, NOT_MET);
  let done = 0;
  for (const article of [NOT_MET, "RIB-215", "INT-200"]) {
    await take(page, article);
    const off = await verdict(page);
    const reasons = await page.innerText(".fabric-clashes");
    const twisted = reasons.includes("spirality");
    const names = await page.locator(".cure").allInnerTexts();
    for (let i = 0; i < names.length; i++) {
      const of_twist = await page.locator(".cure").nth(i).evaluate((e) => e.closest(".cures-group").querySelector("h3").textContent.includes("spirality"));
      await page.locator(".cure").nth(i).click();
      await settled(page);
      const left = await page.locator(".fabric-clashes").allInnerTexts().then((all) => all.join());
      if (of_twist) assert.doesNotMatch(left, /spirality/, `${article}: ${names[i]}`);
      else assert.doesNotMatch(left, /asked for is/, `${article}: ${names[i]}`);
      if (!twisted || left === "") assert.equal(await page.innerText(".fabric-verdict strong"), "Can be met", `${article}: ${names[i]}`);
      assert.equal(await page.locator(".field-say").count(), 0);
      await page.click(".cures-head button");
      await settled(page);
      assert.equal(await verdict(page), off);
      assert.equal(await page.innerText(".fabric-clashes"), reasons);
      done += 1;
    }
  }
  assert.ok(done >= 6, `${done} cures`);
});

test("an error stands at its field, the last picture stays, and both are gone when it is put right", async (t) => {
  const { open } = await desk(t);
  const page = await fabric_page(open);
  const before = await picture(page);
  await field(page, "Gauge").fill("200");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".field-say");
  assert.match(await page.innerText(".field-say"), /3 to 80/);
  assert.equal(await field(page, "Gauge").getAttribute("aria-invalid"), "true");
  assert.equal(await picture(page), before);
  assert.equal(await page.locator(".fabric-stale").count(), 1);
  await field(page, "Gauge").fill("28");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".field-say", { state: "detached" });
  assert.equal(await page.locator(".fabric-stale").count(), 0);
  assert.notEqual(await picture(page), before);
  const asked = questions(page);
  await field(page, "Weight").fill("1,450"); // a thousand or one: not sent at all
  await page.keyboard.press("Enter");
  assert.match(await page.innerText(".field-say"), /Thousands or decimals/);
  await settled(page);
  assert.deepEqual(asked, []);
  await field(page, "Weight").fill("145");
  await field(page, "Feeders").fill("");
  await page.keyboard.press("Tab");
  await page.waitForSelector(".field-say");
  assert.match(await page.innerText(".fabric-form .field:has(label:text-is('Feeders')) .field-say"), /feeders/i);
});

test("a washed sample begins with what knitting tells, and is answered as one", async (t) => {
  const { s, open } = await desk(t);
  const page = await fabric_page(open);
  await page.check("input[value=washed]", { force: true });
  await settled(page);
  const relaxed = [await field(page, "Weight, relaxed").inputValue(), await field(page, "Open width, relaxed").inputValue()].map(Number);
  assert.ok(Math.abs(relaxed[0] - 163.6) < 0.1 && Math.abs(relaxed[1] - 149.7) < 0.1, relaxed.join());
  await field(page, "Open width, relaxed").fill("120");
  await page.keyboard.press("Enter");
  await settled(page);
  assert.match(await verdict(page), /^Cannot be met: off by/);
  const { result } = (await s.post("/api/fabric", { do: "washed", relaxed_gsm: relaxed[0], relaxed_width_cm: 120, gsm: 145, width_cm: 151, length_shrink_pct: 6, width_shrink_pct: 6 })).json;
  assert.ok((await page.innerText(".fabric-figures")).includes(`${result.best.width_cm.toFixed(1)}\u00a0cm`));
  assert.equal(await page.locator(".slide").count(), 3, "no yarn is known of a sample");
  await page.check("input[value=knitted]", { force: true });
  await settled(page);
  assert.equal(await verdict(page), "Can be met");
});

test("numbers can be asked why, and the focus comes back", async (t) => {
  const { open } = await desk(t);
  const page = await fabric_page(open, NOT_MET);
  const links = await page.locator(".fabric-place a.num").count();
  assert.ok(links >= 8);
  for (let i = 0; i < links; i++) {
    const number = page.locator(".fabric-place a.num").nth(i);
    await number.focus();
    await page.keyboard.press("Enter");
    await page.waitForSelector(".why-words");
    assert.ok((await page.innerText(".why-source")).includes(".md#"), await number.innerText());
    await page.keyboard.press("Escape");
    await page.waitForSelector(".why", { state: "detached" });
    assert.equal(await number.evaluate((e) => e === document.activeElement), true);
  }
});

test("grips are large enough for gloves, and what is read from afar is large", async (t) => {
  const { open } = await desk(t);
  const page = await fabric_page(open, NOT_MET, [800, 1100]);
  for (const box of await page.$$eval(".slide input", (all) => all.map((e) => e.getBoundingClientRect().height))) assert.ok(box >= 56, `${box} px`);
  const sizes = await page.$$eval(".fabric-verdict p, .fabric-figures dd, .fabric-clashes li, .slide label, .slide output, .cure", (all) => all.map((e) => [parseFloat(getComputedStyle(e).fontSize), e.className || e.tagName]));
  assert.deepEqual(sizes.filter(([px]) => px < 18), []);
});

test("without the server: said; back again: answered", async (t) => {
  const { s, open } = await desk(t);
  const page = await fabric_page(open);
  const down = (route) => route.abort();
  await page.route("**/api/**", down);
  await field(page, "Weight").fill("150");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".offline");
  await page.waitForSelector(".fabric-lost");
  assert.equal(await page.locator(".map-svg").count(), 1, "the last picture stays");
  await page.unroute("**/api/**", down);
  await try_again(page);
  await page.waitForSelector(".fabric-lost", { state: "detached" });
  const { articles } = (await s.get("/api/articles")).json;
  const { result } = (await s.post("/api/fabric", { ...asked_of(articles.find((a) => a.article_id === MET)), gsm: 150 })).json;
  await settled(page);
  assert.ok((await page.innerText(".fabric-figures")).includes(`${result.best.width_cm.toFixed(1)}\u00a0cm`));
});

test("printed: verdict, map, figures and what was asked are on paper", async (t) => {
  const { open } = await desk(t);
  const page = await fabric_page(open, NOT_MET);
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 718, height: 1000 });
  await page.waitForTimeout(200);
  const box = await page.locator(".map-svg").boundingBox();
  assert.ok(box.width > 400 && box.height > 200 && box.x + box.width <= 718, JSON.stringify(box));
  const text = await page.innerText("#main");
  for (const part of ["Cannot be met", "Asked for", "The fabric", "Fully relaxed"]) assert.ok(text.includes(part), part);
  assert.equal(await page.locator(".slides:visible").count(), 0);
});
