// Measured cloth over HTTP: the same answers as the command line, refusals at their place, docs that say it all.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/colour";
const program = process.env.MADDER ?? new URL("../../build/release/madder", import.meta.url).pathname;

async function laboratory(t) {
  const s = await serve(t);
  const { files } = (await s.get("/api/laboratory/demo")).json;
  const samples = files.standard_file;
  return { s, samples, rungs: files.spectra, ask: (body) => s.post(PATH, body) };
}

/** The same question at the command line. */
function told(t, file, args) {
  const dir = mkdtempSync(join(tmpdir(), "madder-colour-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const path = join(dir, file.name);
  writeFileSync(path, file.text);
  const r = spawnSync(program, ["colour", args[0], path, ...args.slice(1), "--json"], { encoding: "utf8" });
  assert.equal(r.status, 0, r.stderr);
  return JSON.parse(r.stdout.replaceAll(path, file.name));
}

test("every question answers as the command line does", async (t) => {
  const { samples, rungs, ask } = await laboratory(t);
  for (const [file, body, args] of [
    [samples, { do: "read", illuminants: "D65,A" }, ["read", "--illuminants", "D65,A"]],
    [samples, { do: "difference", standard: "Sage", sample: "Sage first dyeing", tolerance: [0.8, 1], illuminants: "D65,LED-B3", l: 2 }, ["difference", "--standard", "Sage", "--sample", "Sage first dyeing", "--tolerance", "0.8,1", "--illuminants", "D65,LED-B3", "--l", "2"]],
    [rungs, { do: "whiteness" }, ["whiteness"]],
    [rungs, { do: "strength", standard: "RY-1@1", sample: "RY-1@2", substrate: "cloth" }, ["strength", "--standard", "RY-1@1", "--sample", "RY-1@2", "--substrate", "cloth"]],
    [samples, { do: "fastness", standard: "Sage", sample: "Sage first dyeing" }, ["fastness", "--standard", "Sage", "--sample", "Sage first dyeing"]],
    [samples, { do: "group", most_de: 3, formula: "ciede2000" }, ["group", "--max", "3", "--formula", "ciede2000"]],
    [samples, { do: "level" }, ["level"]],
  ]) {
    const { status, json } = await ask({ ...body, files: { samples: file } });
    assert.equal(status, 200, JSON.stringify(json));
    assert.deepEqual(json, told(t, file, args), body.do);
  }
});

test("the verdict: under each light, in words, with swatches; the standard in a file of its own", async (t) => {
  const { samples, ask } = await laboratory(t);
  const body = { do: "difference", standard: "Sage", sample: "Sage first dyeing", illuminants: "D65,A,F11" };
  const { json } = await ask({ ...body, files: { samples } });
  assert.equal(json.caption, "D65, A, F11; 10 degree observer; CMC(2:1)");
  assert.equal(json.result.verdicts[0].passes, false, "I: made off shade");
  assert.ok(json.result.verdicts[0].words.length > 0);
  assert.deepEqual(json.result.lights.map((l) => l.illuminant), ["D65", "A", "F11"]);
  for (const l of json.result.lights) {
    assert.match(l.standard_swatch + l.sample_swatch, /^(#[0-9a-f]{6}){2}$/);
    assert.deepEqual([l.standard_in_gamut, l.sample_in_gamut], [true, true]);
    assert.notEqual(l.standard_swatch, l.sample_swatch);
  }
  const two = await ask({ ...body, files: { samples, standard_file: samples } });
  assert.deepEqual(two.json.result.lights, json.result.lights);
  const labs = (await ask({ do: "difference", standard_lab: [50, 0, 0], sample_lab: [51, 0, 0], formula: "cie76" })).json;
  assert.equal(labs.result.lights[0].de, 1, "D: 1 in L*");
});

test("hostile bodies: each refused at its place", async (t) => {
  const { s, samples, ask } = await laboratory(t);
  const files = { samples };
  const wrong = [];
  for (const [body, code, place] of [
    ["", "parse", ""],
    ["[]", "parse", "the document"],
    ['{"do":"read","do":"read"}', "parse", /^\d+:\d+$/],
    [`{"do":"read","files":${"[".repeat(5000)}${"]".repeat(5000)}}`, "parse", /^\d+:\d+$/],
    [{}, "parse", "do"],
    [{ do: "raed", files }, "parse", "do"],
    [{ do: "read" }, "bad_argument", "file"],
    [{ do: "read", files: [] }, "parse", "files"],
    [{ do: "read", files: { samples, standard_file: samples } }, "bad_argument", "files.standard_file"],
    [{ do: "difference", files: { standard_file: samples } }, "parse", "files.samples"],
    [{ do: "read", tolerance: 1, files }, "parse", "tolerance"],
    [{ do: "difference", standard: "Sage", tolerance: [1, 2, 3], files }, "bad_argument", "tolerance"],
    [{ do: "difference", standard: "Sage", tolerance: -1, files }, "out_of_range", "tolerance"],
    [{ do: "difference", standard: "Nothing", files }, "not_found", /standard/],
    [{ do: "difference", standard: "Sage", illuminants: "D64", files }, "not_found", "illuminants"],
    [{ do: "group", files }, "bad_argument", "most_de"],
    [{ do: "read", files: { samples: { name: "a.csv", text: samples.text.replace("Sage,", "Sage,nan") } } }, "parse", /^a\.csv:4/],
  ]) {
    const e = (await ask(body)).json.error;
    const what = JSON.stringify(body).slice(0, 90);
    if (e?.code !== code || !(place instanceof RegExp ? place.test(e.place) : place === e.place)) wrong.push(`${what}: ${JSON.stringify(e).slice(0, 300)}`);
  }
  assert.deepEqual(wrong, []);
  assert.equal((await ask({ do: "read", files: { samples: { name: "big.csv", text: "x".repeat(1 << 20) } } })).status, 413);
  assert.equal((await s.get("/api/mill")).status, 200, "and it lives on");
});

test("docs/api.md names every member", () => {
  const text = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8");
  const section = text.split(`### POST ${PATH}\n`)[1].split("\n### POST")[0];
  const source = readFileSync(new URL("../../src/wire/mdr_colour_ask.h", import.meta.url), "utf8");
  const keys = [...source.matchAll(/X\([A-Z_]+, "([a-z_]+)"/g)].map((m) => m[1]);
  assert.ok(keys.length > 30);
  for (const key of [...keys, "samples", "standard_file"]) assert.ok(section.includes(`\`${key}\``) || section.includes(`"${key}"`), key);
});
