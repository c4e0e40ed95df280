// The pictures of README and docs/tour.md, taken from the program under test: script/pictures runs it.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Floor } from "../http/batch_kit.mjs";
import { desk, shut } from "./page.mjs";

const LOT = "L26-0107";
const OUT = new URL("../../docs/img/", import.meta.url).pathname;
const ends = [];
const t = { after: (end) => ends.unshift(end) };
const { s, open } = await desk(t);

async function shot(name, hash, size, ready, acts = async () => undefined) {
  const page = await open(hash, size);
  await page.waitForSelector(ready);
  await acts(page);
  await page.evaluate(() => document.fonts.ready);
  await page.waitForTimeout(400); // what was asked for last is drawn
  await page.screenshot({ path: join(OUT, `${name}.png`) });
  await page.context().close();
  console.log(name);
}
/** Page `number` of a document of the server. */
async function leaf(name, path, number = 1) {
  const dir = mkdtempSync(join(tmpdir(), "madder-pictures-"));
  const r = await fetch(s.base + path);
  if (!r.ok) throw new Error(`${path}: ${r.status}`);
  writeFileSync(join(dir, "a.pdf"), Buffer.from(await r.arrayBuffer()));
  execFileSync("pdftoppm", ["-png", "-r", "108", "-f", String(number), "-l", String(number), "-singlefile", join(dir, "a.pdf"), join(OUT, name)]);
  rmSync(dir, { recursive: true });
  console.log(name);
}
const is_check = (kind) => (step) => step.check?.kind === kind;

await shot("lots", "#/lots", [1280, 800], "tbody tr");
await shot("plan", `#/lots/${LOT}`, [1280, 1280], ".plot-svg");
await shot("why", `#/lots/${LOT}`, [1280, 800], ".plot-svg", async (page) => {
  await page.locator("a.num[data-figure*='mass_kg']").first().click();
  await page.waitForSelector(".why-head");
});
await leaf("card", `/api/lots/${LOT}/card.pdf`);
await shot("fabric", "#/fabric", [1280, 800], ".map-svg", async (page) => {
  await page.selectOption("#fabric-article", "PIQ-215");
  await page.waitForSelector(".fabric-main [aria-busy=false]");
});
await shot("laboratory", "#/laboratory", [1280, 1180], ".lab-recipes[aria-busy=false]");
await shot("dyeing", `#/lots/${LOT}/dyeing`, [1280, 1180], ".dye-top[aria-busy=false]");
await shot("finishing", `#/lots/${LOT}/finish`, [1280, 1480], ".line-section[aria-busy=false] svg");

const floor = await Floor.start(s, LOT);
await floor.enter({ kind: "batch-begun" });
await shot("weigh", "#/weigh", [1280, 800], ".weigh-line", (page) => page.locator(".weigh-line").first().click());
const heat = await floor.run((step) => step.kind === "heat");
await floor.enter({ kind: "step-begun", step: heat.key });
await shot("floor", `#/floor/${floor.batchId}`, [1280, 800], ".floor-keys");
await shot("hall", "#/hall", [1280, 800], ".hall tbody tr");
const check = await floor.run(is_check("peroxide"));
await floor.enter({ kind: "reading", step: check.key, value: 25 });
await shot("hold", `#/floor/${floor.batchId}`, [1280, 800], ".remedy");
await leaf("report", `/api/batches/${floor.batchId}/report.pdf`);
for (const end of ends) await end();
await shut();
