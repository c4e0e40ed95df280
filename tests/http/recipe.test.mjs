// From measured samples to recipes: what is answered, what is refused, and that the docs say it all.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/recipe";
const near = (got, want, off, what) => assert.ok(Math.abs(got - want) <= off, `${what}: ${got}, not ${want}`);

/** The server and its demo files, with a question asked of them. */
async function laboratory(t) {
  const s = await serve(t);
  const { files } = (await s.get("/api/laboratory/demo")).json;
  return { s, files, ask: (question, more = {}) => s.post(PATH, { ...question, files: { ...files, ...more } }) };
}

test("the demo samples are marked as invented and can be trusted, but for the one that was spoilt", async (t) => {
  const { s, files, ask } = await laboratory(t);
  assert.deepEqual(Object.keys(files), ["spectra", "standard_file", "dyes"]);
  for (const [key, file] of Object.entries(files)) assert.match(file.text, /^# Invented/, key);
  const { status, json } = await ask({ do: "calibrate" });
  assert.equal(status, 200, JSON.stringify(json));
  assert.deepEqual(json.result.rungs.filter((r) => r.verdict !== "good").map((r) => [r.sample, r.verdict, r.action]), [["RS-1@2", "wrong_dose", "dye_again"]], "I: 17 % more than its name says");
  near(json.result.rungs.find((r) => r.sample === "RS-1@2").dose_error_pct, 17, 1.5, "I");
  near(json.result.surface.k1, 0.04, 0.005, "I: made with k1 0.04, k2 0.5");
  const { samples, dyes } = json.laboratory;
  assert.equal(dyes.length, 8);
  near(dyes[0].most_pct_owf, 7.5, 1e-9, "D: 6 % owf, a quarter beyond");
  const kinds = (kind) => samples.filter((x) => x.kind === kind);
  assert.deepEqual([kinds("cloth").length, kinds("dyed").length, kinds("other").length], [1, 48, 8]);
  assert.ok(samples.every((x) => /^#[0-9a-f]{6}$/.test(x.swatch)));
  const mill = new Set((await s.send("GET", "/api/tables/dye")).text.split("\n").map((line) => line.split(",")[0]));
  for (const { dye_id } of dyes) assert.ok(mill.has(dye_id), `${dye_id} is a dye of the demo mill`);
});

test("find: recipes with all that is drawn", async (t) => {
  const { ask } = await laboratory(t);
  const { status, json } = await ask({ do: "find", standard: "Sage", lights: "D65,A,F11", tolerance: 0.8 });
  assert.equal(status, 200, JSON.stringify(json));
  assert.equal(json.result.verdict, "reached");
  const { lights, recipes, standard, start_nm, step_nm } = json.found;
  assert.deepEqual(lights.map((l) => l.light), ["D65", "A", "F11"]);
  assert.deepEqual([standard.length, start_nm, step_nm], [31, 400, 10]);
  // I: made of these doses
  for (const [dye, dose] of [["RG-1", 0.125], ["RB-1", 0.115], ["RR-1", 0.03]]) near(recipes[0].dyes.find((d) => d.dye_id === dye).depth_pct_owf, dose, 0.01 * dose, dye);
  for (const l of lights) {
    assert.equal(l.caption, `${l.light}, 10 degree observer, CMC(2:1)`);
    assert.equal(l.within_ab.length, 48);
    const [a, b] = l.within_ab[0];
    assert.ok(a > l.standard.a && Math.abs(b - l.standard.b) < 1e-3, "the first point is redder");
    near(Math.hypot(l.standard.a, l.standard.b), l.standard.c, 1e-3, "D: chroma");
    // D: CMC at the standard's own hue and chroma: dL alone is l SL times the tolerance
    const sl = l.standard.l < 16 ? 0.511 : (0.040975 * l.standard.l) / (1 + 0.01765 * l.standard.l);
    near(l.within_cl[12][1] - l.standard.l, 0.8 * 2 * sl, 1e-3, `S: CMC, ${l.light}`);
    const sc = (0.0638 * l.standard.c) / (1 + 0.0131 * l.standard.c) + 0.638;
    near(l.within_cl[0][0] - l.standard.c, 0.8 * sc, 1e-3, `S: CMC, ${l.light}`);
  }
  for (const r of recipes) assert.ok(["D65", "A", "F11"].every((light) => /^#[0-9a-f]{6}$/.test(r.seen[light].swatch)));
});

test("predict: the colour by light, as find told it", async (t) => {
  const { ask, files } = await laboratory(t);
  const found = (await ask({ do: "find", standard: "Plum" })).json.found;
  const [best] = found.recipes;
  const recipe = best.dyes.map((d) => `${d.dye_id}=${d.depth_pct_owf}`).join();
  const { status, json } = await ask({ do: "predict", recipe, sample: "Plum" }, { sample_file: files.standard_file });
  assert.equal(status, 200, JSON.stringify(json));
  for (const light of ["D65", "A", "F11"]) {
    const seen = json.curves.seen[light];
    for (const key of ["l", "a", "b", "c"]) near(seen[key], best.seen[light][key], 1e-3, `${light} ${key}`);
    near(seen.difference, best.difference[light], 1e-3, light);
  }
  near(json.result.cost_per_kg, best.cost_per_kg, 1e-9, "the price of the same doses");
  assert.equal(json.result.price_missing, "no");
  const alone = (await ask({ do: "predict", recipe })).json;
  assert.equal(alone.curves.seen.D65.difference, undefined);
});

test("a shade beyond these dyes: how near, and what is in the way", async (t) => {
  const { ask } = await laboratory(t);
  const { json } = await ask({ do: "find", standard: "Sea green" });
  assert.equal(json.result.verdict, "not_reached");
  assert.match(json.result.nearest.limited_by, /^[a-z_]+$/);
  assert.equal(json.found.lights[0].standard.in_gamut, false, "I: greener than the screen");
});

test("correct: what it was, what it is to be, and what it will be", async (t) => {
  const { ask, files } = await laboratory(t);
  const asked = { do: "correct", standard: "Sage", sample: "Sage first dyeing", recipe: "RG-1=0.125,RB-1=0.115,RR-1=0.03" };
  const { status, json } = await ask(asked, { sample_file: files.standard_file });
  assert.equal(status, 200, JSON.stringify(json));
  assert.equal(json.result.way, "add");
  near(json.result["RB-1"].strength_pct, 84, 3, "I: made with 84 %");
  const { standard, sample, after } = json.colours;
  assert.equal(standard.seen.D65.difference, undefined);
  near(sample.seen.D65.difference, json.result.before.difference, 1e-9, "before");
  near(after.seen.D65.difference, json.result.after.difference, 1e-6, "after");
});

test("salt and alkali by the mill's own tables, unless tables come along", async (t) => {
  const { ask } = await laboratory(t);
  const [best] = (await ask({ do: "find", standard: "Sage" })).json.found.recipes;
  // I: 0.27 % in all is below the middle of 0.3 to 0.5, 10 at 0.15 and 20 at 0.4
  const depth = best.dyes.reduce((sum, d) => sum + d.depth_pct_owf, 0);
  near(best.salt_g_per_l, 10 + (10 * (depth - 0.15)) / 0.25, 1e-3, "D: between the two");
  assert.deepEqual([best.salt.table_id, best.alkali.table_id, best.alkali_g_per_l], ["SALT-A", "SODA-A", 5]);
  assert.match(best.alkali.title, /NAOH-A/, "that caustic goes with it deeper down");
  const own = { dose_table: { name: "t.csv", text: "table_id\nSALT-A\n" }, dose_band: { name: "b.csv", text: "table_id,depth_max_pct_owf,amount_g_per_l\nSALT-A,9,33\n" } };
  const given = (await ask({ do: "find", standard: "Sage" }, own)).json.found.recipes[0];
  assert.equal(given.salt_g_per_l, 33);
  assert.equal("alkali" in given, false);
  const recipe = best.dyes.map((d) => `${d.dye_id}=${d.depth_pct_owf}`).join();
  const told = (await ask({ do: "predict", recipe })).json;
  near(told.result.salt_g_per_l, best.salt_g_per_l, 1e-3, "as find told it");
  assert.equal(told.doses.salt.decided_by, best.salt.decided_by);
});

test("the laboratory sheet: a PDF, marked as the mill is, or a fault", async (t) => {
  const { s } = await laboratory(t);
  const asked = { do: "dispense", recipe: "RY-1=1.2;RY-1=1.3,RB-1=0.03", sample_g: 5, ratio_l_per_kg: 10, shade: "Sage", round: 1 };
  const r = await fetch(`${s.base}/api/recipe/sheet.pdf`, { method: "POST", headers: { "content-type": "application/json", origin: s.base }, body: JSON.stringify(asked) });
  assert.equal(r.status, 200);
  assert.equal(r.headers.get("content-type"), "application/pdf");
  assert.match(r.headers.get("content-disposition"), /laboratory-sheet\.pdf/);
  const bytes = Buffer.from(await r.arrayBuffer());
  assert.equal(bytes.subarray(0, 5).toString(), "%PDF-");
  const text = execFileSync("pdftotext", ["-layout", "-", "-"], { input: bytes }).toString();
  for (const word of ["INVENTED", "Sage", "RB-1 diluted 1", "SALT-A", "Dip 2"]) assert.ok(text.includes(word), word);
  for (const [body, status, place] of [[{ ...asked, recipe: "RY-1" }, 422, "recipe"], [{ ...asked, do: "find" }, 422, /./], [{ ...asked, programme: "a;".repeat(17) }, 422, "programme"], [{ do: "calibrate" }, 422, "do"]]) {
    const bad = await s.post("/api/recipe/sheet.pdf", body);
    assert.equal(bad.status, status, JSON.stringify(bad.json));
    assert.match(bad.json.error.place, new RegExp(place));
  }
});

test("hostile bodies: each refused at its place", async (t) => {
  const { s, files } = await laboratory(t);
  const ask = async (body) => (await s.post(PATH, body)).json.error;
  const deep = `{"do":"calibrate","files":${"[".repeat(5000)}${"]".repeat(5000)}}`;
  const FIND = { do: "find", standard: "Sage" };
  const wrong = [];
  for (const [body, code, place] of [
    ["", "parse", ""],
    ["[]", "parse", "the document"],
    ["{", "parse", /^\d+:\d+$/],
    [deep, "parse", /^\d+:\d+$/],
    ['{"do":"find","do":"find"}', "parse", /^\d+:\d+$/],
    ['{"do":"calibrate","files":{"spectra":{"name":"a\\u0000b","text":""}}}', "parse", /^\d+:\d+$/],
    [{ ...FIND }, "bad_argument", "spectra"],
    [{ ...FIND, files: null }, "bad_argument", "spectra"],
    [{ ...FIND, files: [] }, "parse", "files"],
    [{ ...FIND, files: { spectra: "a,b" } }, "parse", "files.spectra"],
    [{ ...FIND, files: { spectra: { name: "a.csv" } } }, "parse", "files.spectra.text"],
    [{ ...FIND, files: { spectra: { name: "a.csv", text: 7 } } }, "parse", "files.spectra.text"],
    [{ ...FIND, files: { spectra: { name: "a.csv", text: "", path: "/etc" } } }, "parse", "files.spectra.path"],
    [{ ...FIND, files: { spectrum: files.spectra } }, "parse", "files.spectrum"],
    [{ ...FIND, files: { spectra: { name: "x".repeat(121), text: "" } } }, "out_of_range", "files.spectra.name"],
    [{ ...FIND, files: { spectra: { name: "", text: "no spectra\n" } } }, "parse", /^spectra/],
    [{ ...FIND, files: { spectra: { name: "a.csv", text: files.spectra.text.replace("cloth,", "cloth,nan") } } }, "parse", /^a\.csv:4/],
    [{ ...FIND, sample: "x", files }, "parse", "sample"],
    [{ ...FIND, tolerance: -1, files }, "out_of_range", "tolerance"],
    [{ ...FIND, standard: "Nothing", files }, "not_found", "standards.csv"],
    [{ do: "predict", recipe: "XX=1", files }, "not_found", "recipe"],
  ]) {
    const e = await ask(body);
    const what = JSON.stringify(body).slice(0, 90);
    if (e?.code !== code || !(place instanceof RegExp ? place.test(e.place) : place === e.place)) wrong.push(`${what}: ${JSON.stringify(e).slice(0, 300)}`);
  }
  assert.deepEqual(wrong, []);
  const big = await s.post(PATH, { ...FIND, files: { spectra: { name: "big.csv", text: "x".repeat(1 << 20) } } });
  assert.equal(big.status, 413);
  assert.match(big.json.error.remedy + big.json.error.allowed, /1 MiB/);
  assert.equal((await s.get("/api/mill")).status, 200, "and it lives on");
});

test("docs/api.md names every member", async (t) => {
  const { ask, files } = await laboratory(t);
  const text = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8");
  const section = text.split(`### POST ${PATH}\n`)[1].split("\n### POST")[0];
  const found = (await ask({ do: "find", standard: "Sage", shown: 1 })).json.found;
  const listed = (await ask({ do: "calibrate" })).json.laboratory;
  const corrected = (await ask({ do: "correct", standard: "Sage", sample: "Sand", recipe: "RG-1=0.1" }, { sample_file: files.standard_file })).json.colours;
  const keys = [...Object.keys(found.lights[0]), ...Object.keys(found.lights[0].standard), ...Object.keys(listed), ...Object.keys(listed.samples[0]), ...Object.keys(listed.dyes[0]), ...Object.keys(corrected), "seen", "files",
    "spectra", "ladder", "dyes", "standard_file", "sample_file", "dose_table", "dose_band", "salt", "alkali", "name", "text"];
  for (const key of keys) assert.ok(section.includes(`\`${key}\``) || section.includes(`"${key}"`), key);
});
