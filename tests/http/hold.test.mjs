// A reading at a hold point over HTTP: the document, what is refused, and that the docs name every member.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/hold";
const ASKED = { do: "hold", check: "ph", reading: 9.5, liquor_l: 8000, temp_c: 45, alkalinity_mmol_per_l: 2 };
const keys = (v) => (Array.isArray(v) ? v.flatMap(keys) : v && typeof v === "object" ? Object.entries(v).flatMap(([k, w]) => [k, ...keys(w)]) : []);

test("the remedies of a reading, every member named in docs/api.md", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, ASKED);
  assert.equal(status, 200);
  assert.deepEqual(Object.keys(json.hold), ["verdict", "verdict_words", "words", "remedies", "missing"]);
  const [acid] = json.hold.remedies;
  assert.equal(acid.remedy_id, "acid");
  assert.equal(acid.steps[0].items[0].substance, undefined);
  assert.ok(acid.expected.low <= acid.expected.value && acid.expected.value <= acid.expected.high);
  const peroxide = (await s.post(PATH, { do: "hold", check: "peroxide", reading: 40, liquor_l: 8000, temp_c: 75, ph: 10, catalase_mg_per_g: 1500 })).json.hold;
  const section = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8").split(`### POST ${PATH}\n`)[1].split("\n### ")[0];
  for (const key of new Set([...keys(json.hold), ...keys(peroxide)])) assert.ok(section.includes(`"${key}"`), key);
});

test("refused: place, what is allowed, what to do", async (t) => {
  const s = await serve(t);
  for (const [more, place] of [[{ reading: 15 }, "reading"], [{ check: "colour" }, "check"], [{ liquor_l: 0 }, "liquor_l"], [{ x: 1 }, "x"]]) {
    const { status, json } = await s.post(PATH, { ...ASKED, ...more });
    assert.equal(status, 422);
    assert.equal(json.error.place, place);
    assert.ok(json.error.remedy);
  }
});
