// What every page is held to, whatever state it is in.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tally } from "../tally.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** The width of a tablet held upright: there, too, every state is looked at. */
export const TABLET = { width: 800, height: 1280 };

/** Violations of WCAG 2.0 to 2.2, A and AA, as lines of text: of the page as it stands, and again in a tablet's width. */
export async function axe(page) {
  const here = await axe_here(page);
  const size = page.viewportSize();
  if (size.width === TABLET.width) return here;
  await resize(page, TABLET);
  const upright = await axe_here(page);
  await resize(page, size);
  return [...here, ...upright.map((line) => `at ${TABLET.width} px: ${line}`)];
}

/** Of the page as it stands only: for tests that go through the widths themselves, the tablet's among them. */
export async function axe_here(page) {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(AXE); // not by a script tag: the page allows none but its own
  const { found, ...looked } = await page.evaluate(async () => {
    const r = await axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] });
    const found = r.violations.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120)).join(" | ")}`);
    return { found, place: location.hash, rules: r.passes.length + r.violations.length, by_hand: r.incomplete.map((v) => v.id) };
  });
  tally("axe", { ...looked, width: page.viewportSize().width, findings: found.length });
  return found;
}

/** Until the page has measured itself anew: it does so behind the change, and what it draws then takes a frame. */
async function resize(page, size) {
  await page.setViewportSize(size);
  await page.evaluate(() => new Promise((done) => setTimeout(() => requestAnimationFrame(() => requestAnimationFrame(done)), 150)));
}

/**
 * Controls smaller than a fingertip: 44 px (WCAG 2.5.5); links within text at least 24 px high
 * (WCAG 2.5.8).
 */
export function small_targets(page) {
  return page.evaluate(() => {
    const seen = (e) => e.offsetParent !== null && !e.classList.contains("skip") && getComputedStyle(e).visibility !== "hidden";
    const inline = "a.num, .lot-sub a, .findings a, .quiet-state a";
    const size = (e) => {
      const r = (e.classList.contains("row-link") ? e.closest("tr") : e).getBoundingClientRect();
      return [Math.round(r.width * 10) / 10, Math.round(r.height * 10) / 10];
    };
    const out = [];
    for (const e of document.querySelectorAll("a[href], button, select, input, summary")) {
      if (!seen(e)) continue;
      const [w, h] = size(e);
      const least = e.matches(inline) ? 23.9 : 43.9;
      if (h < least || (least > 40 && w < least)) out.push(`${w}x${h} ${e.outerHTML.slice(0, 100)}`);
    }
    return out;
  });
}

/** Pixels by which the page is wider than its window. */
export function overflow(page) {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}

/**
 * Labels of the curve that touch another text of it, and labels the curve runs through. Boxes are
 * the browser's own; 1.5 px are allowed for the side bearings of the glyphs.
 */
export function label_faults(page) {
  return page.evaluate(() => {
    const svg = document.querySelector(".plot-svg");
    const boxes = [...svg.querySelectorAll("text")].filter((e) => e.textContent.trim()).map((e) => {
      const b = e.getBBox();
      // a halo or a line's leading is not ink: the middle 70 % of the height is
      return { text: e.textContent, label: e.classList.contains("label"), x: b.x + 1.5, y: b.y + b.height * 0.2, r: b.x + b.width - 1.5, b: b.y + b.height * 0.85 };
    });
    const found = [];
    boxes.forEach((a, i) => boxes.slice(i + 1).forEach((c) => {
      if (a.x < c.r && c.x < a.r && a.y < c.b && c.y < a.b) found.push(`${a.text} / ${c.text}`);
    }));
    const line = svg.querySelector(".line-plan");
    const points = [...line.getAttribute("d").matchAll(/([ML])([-\d.]+) ([-\d.]+)/g)].map(([, k, x, y]) => [k, Number(x), Number(y)]);
    for (let i = 1; i < points.length; i++) {
      const [, x0, y0] = points[i - 1];
      const [k, x1, y1] = points[i];
      if (k === "M") continue;
      for (let s = 0; s <= 20; s++) {
        const x = x0 + ((x1 - x0) * s) / 20;
        const y = y0 + ((y1 - y0) * s) / 20;
        for (const b of boxes) if (b.label && x > b.x && x < b.r && y > b.y && y < b.b) found.push(`${b.text} on the line`);
      }
    }
    return [...new Set(found)];
  });
}
