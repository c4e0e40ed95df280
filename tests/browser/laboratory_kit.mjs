// The laboratory page: how it is opened, and what a test does on it.
export const PLACE = "#/laboratory";

export async function laboratory(open, size = undefined) {
  const page = await open(PLACE, size);
  await without_mill(page);
  await page.click("text=Try with the demo samples");
  await settled(page);
  return page;
}
/** The mill's samples stand there first. */
export async function mill(open, shade = "S-205", size = undefined) {
  const page = await open(PLACE, size);
  await settled(page);
  await page.selectOption(".lab-mill .lab-standard select", shade);
  await settled(page);
  return page;
}
export async function without_mill(page) {
  await page.click("text=Use files instead");
  await page.waitForSelector(".lab-drop");
}
/** No question under way, and an answer there. */
export async function settled(page) {
  await page.waitForSelector(".lab-recipes");
  await page.waitForTimeout(60); // what was done is on its way
  await page.waitForSelector(".lab-recipes[aria-busy=false]");
  await page.waitForTimeout(40);
}
export async function take(page, standard) {
  await page.selectOption(".lab-standard select", standard);
  await settled(page);
}
export const tab = (page, name) => page.click(`.lab-tabs >> text=${name}`);
export const slider = (page, n) => page.locator(".lab-slide input").nth(n);
export const fills = (page) => page.$$eval(".lab-main .lab-half", (all) => all.map((e) => e.getAttribute("fill")));
export const seen = (page) => page.$$eval(".lab-seen tbody tr td:nth-child(2)", (all) => all.map((e) => e.textContent));
export const press = async (page, n, key, times) => {
  await slider(page, n).focus();
  for (let i = 0; i < times; i++) await page.keyboard.press(key);
};
/** Questions the page sends, as they are sent. */
export function questions(page) {
  const all = [];
  page.on("request", (r) => r.url().endsWith("/api/recipe") && all.push(r.postDataJSON()));
  return all;
}
export async function correction(page) {
  await tab(page, "Correction");
  await page.selectOption("label:text-is('Sample as it came out') + select", "Sage first dyeing");
  await page.click("text=Use the recipe shown under Recipes");
  await page.waitForSelector(".lab-way-word");
}

export async function dispensing(page) {
  await tab(page, "Dispensing");
  await page.click("text=Add the recipe shown");
  await page.waitForSelector(".lab-dip");
}
export async function verdict(page) {
  await tab(page, "Verdict");
  await page.selectOption("label:text-is('Sample') + select", "Sage first dyeing");
  await page.waitForSelector(".lab-judge .lab-field");
}
