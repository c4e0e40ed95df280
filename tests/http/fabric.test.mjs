// Can a specification be met: what is answered, what is refused, and that the docs say it all.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const PATH = "/api/fabric";
const ASKED = { gsm: 160, gsm_tol_pct: 5, width_cm: 160, width_tol_cm: 2, length_shrink_pct: 5, width_shrink_pct: 4, growth_pct: 2 };
const WASHED = { do: "washed", relaxed_gsm: 160, relaxed_width_cm: 150, ...ASKED };
const KNITTED = { do: "knitted", construction: "single-jersey", tex: 20, loop_cm: 0.28, gauge_per_inch: 28, diameter_inch: 30, feeders: 96, elastane_pct: 5, spirality_pct: 5, torque_pct: 1, ...ASKED };

test("no: by how much, and what would do", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, WASHED);
  assert.equal(status, 200);
  assert.deepEqual(Object.keys(json), ["do", "result", "why", "notes"]);
  const r = json.result;
  assert.equal(r.verdict, "not_met");
  assert.ok(Math.abs(r.limit_wanted.width_cm - 156.25) < 1e-9, "D: 150 cm / 0.96");
  assert.equal(r.limit_wanted.gsm, null, "no weight cures a width");
  assert.ok(Math.abs(r.knit_change.loop_pct - 1.12) < 1e-9, "D: 158/156.25");
  assert.ok(json.why.every((w) => w.label && w.words && w.source && /^[a-z-]+\.md#[a-z-]+$/.test(w.anchor)));
});

test("yes: what to aim at, and how far one may go", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, { ...WASHED, width_shrink_pct: 8 });
  assert.equal(status, 200);
  const r = json.result;
  assert.equal(r.verdict, "met");
  assert.ok(r.best.strain_pct < 100 && r.width_cm.low <= r.best.width_cm && r.best.width_cm <= r.width_cm.high);
  assert.ok(r.corners.length >= 3);
  for (const c of r.corners) { // D: the mass of a metre depends on the length shrinkage alone
    const metre = 160 * 150 * (1 - c.length_shrink_pct / 100);
    assert.ok(Math.abs(c.gsm * c.width_cm - metre) < 1e-6, JSON.stringify(c));
  }
});

test("from knitting data, with what is not known said", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, KNITTED);
  assert.equal(status, 200, JSON.stringify(json));
  assert.equal(json.result.relaxed.needles, 2638, "D: pi x 30 x 28 = 2638.9, to the nearest even");
  assert.ok(json.notes.some((n) => n.includes("washed sample")));
});

const AREA = (ring) => Math.abs(ring.reduce((sum, [x, y], i) => sum + x * ring[(i + 1) % ring.length][1] - ring[(i + 1) % ring.length][0] * y, 0)) / 2;
const near = (got, want, off, what) => assert.ok(Math.abs(got - want) <= off, `${what}: ${got}, not ${want}`);

test("a map: every loop length is answered as if it had been asked", async (t) => {
  const s = await serve(t);
  const { status, json } = await s.post(PATH, { ...KNITTED, map_frames: 9, map_loop_pct: 8 });
  assert.equal(status, 200, JSON.stringify(json));
  assert.deepEqual(json.result, (await s.post(PATH, KNITTED)).json.result, "the answer itself is the same with a map");
  const { map } = json;
  assert.equal(map.frames.length, 9);
  assert.equal(map.now, 4);
  assert.deepEqual(map.box, { width_cm: { low: 158, high: 162 }, gsm: { low: 152, high: 168 } }, "D: the tolerances");
  assert.equal(map.frames[map.now].change_pct, 0);
  assert.deepEqual(map.frames.map((f) => f.loop_cm), [0.2576, 0.2632, 0.2688, 0.2744, 0.28, 0.2856, 0.2912, 0.2968, 0.3024], "D: 0.28 cm and 2 % steps");
  const sides = [];
  for (const frame of map.frames) {
    const { result } = (await s.post(PATH, { ...KNITTED, ...frame.set })).json;
    assert.equal(frame.verdict, result.verdict);
    for (const key of ["width_cm", "gsm", "length_shrink_pct", "width_shrink_pct", "strain_pct"]) near(frame.best[key], result.best[key], 1e-4, key);
    near(frame.relaxed.gsm, result.relaxed.gsm, 1e-4, "relaxed");
    near(frame.spirality.total_pct, result.spirality.total_pct, 1e-4, "spirality");
    for (const clash of frame.clashes) {
      near(clash.pct, result.clash_pct[clash.of], 1e-4, clash.of);
      const asked_more = clash.by_cm === undefined ? KNITTED.gsm > frame.best.gsm : KNITTED.width_cm > frame.best.width_cm;
      assert.equal(clash.above, asked_more, "D: the fairest miss lies between what is asked for and what can be had");
    }
    sides.push(...frame.clashes.map((clash) => clash.above));
    assert.equal(frame.clashes.length === 0, frame.verdict === "met");
    assert.equal(frame.feasible.length >= 3, frame.verdict === "met");
    for (const [x, y] of frame.feasible) {
      assert.ok(x >= 158 - 0.01 && x <= 162 + 0.01 && y >= 152 - 0.01 && y <= 168 + 0.01, "within the box");
    }
    assert.ok(AREA(frame.feasible.length ? frame.feasible : frame.allowed) <= AREA(frame.allowed) + 0.1);
    for (const [pct, width] of frame.width_lines) near(width * (1 - pct / 100), frame.relaxed.width_cm, 0.01, "D: relaxed to this width");
  }
  const wide = (await s.post(PATH, { ...KNITTED, width_cm: 175, map_frames: 9, map_loop_pct: 30 })).json.map.frames;
  for (const frame of wide) for (const { of, above } of frame.clashes) if (of === "width_against_shrinkage") {
    assert.equal(above, frame.best.width_cm < 175);
    sides.push(above);
  }
  assert.ok(sides.includes(true) && sides.includes(false), "loops that are too short and too long");
  const metre = map.frames[0].relaxed.gsm * map.frames[0].relaxed.width_cm;
  for (const line of map.length_lines) {
    for (const [x, y] of line.points) near(x * y, metre * (1 - line.length_shrink_pct / 100), 4, "D: the mass of a metre");
  }
});

for (const [name, asked] of [["washed", WASHED], ["knitted by tex and gauge", KNITTED], ["knitted by count and needles", { ...KNITTED, tex: undefined, ne: 34, gauge_per_inch: undefined, diameter_inch: undefined, needles: 2400 }]])
  test(`every cure of every loop length does: ${name}`, async (t) => {
    const s = await serve(t);
    let tried = 0;
    const kinds = new Set();
    // so narrow that an even number of needles need not fall into it
    const narrow = asked.needles ? [{ needles: 200, width_cm: 15, width_tol_cm: 0, width_shrink_pct: 0.1, growth_pct: 0.1 }] : [];
    for (const demand of [{}, ...(name === "washed" ? [] : [{ spirality_pct: 2.2 }]), { width_cm: 185 }, { gsm: 120 }, { gsm: 210 }, { width_cm: 130 }, ...narrow]) {
      const question = { ...asked, ...demand };
      const { json } = await s.post(PATH, { ...question, map_frames: 5, map_loop_pct: 10 });
      for (const frame of json.map.frames) for (const cure of frame.cures) {
        const again = await s.post(PATH, { ...question, ...frame.set, ...cure.set });
        const twist = cure.of === "feeders" || cure.of === "spirality_pct";
        const cured = twist ? again.json.result?.spirality.over_pct === 0 : again.json.result?.verdict === "met";
        assert.ok(cured, JSON.stringify([demand, frame.set, cure, again.json]));
        for (const value of Object.values(cure.set)) assert.ok(value === null || name === "washed" || String(value).length <= 7, `a person can type ${value}`);
        kinds.add(cure.of);
        if ("growth_pct" in cure.set) kinds.add("growth");
        tried += 1;
      }
    }
    assert.ok(tried > 30, `${tried} cures`);
    assert.deepEqual([...kinds].sort(), [...(name === "washed" ? [] : ["feeders"]), "growth", "gsm", "length_shrink_pct", "loop", "needles", ...(name === "washed" ? [] : ["spirality_pct"]), "width_cm", "width_shrink_pct", "yarn"]);
  });

test("a map of a part, and what a map may not be", async (t) => {
  const s = await serve(t);
  const shown = { map_width_low_cm: 140, map_width_high_cm: 180, map_gsm_low: 120, map_gsm_high: 200 };
  const { json } = await s.post(PATH, { ...WASHED, map_frames: 1, ...shown });
  assert.deepEqual(json.map.window, { width_cm: { low: 140, high: 180 }, gsm: { low: 120, high: 200 } });
  assert.equal(json.map.frames.length, 1);
  assert.equal(json.map.frames[0].loop_cm, null);
  const edge = await s.post(PATH, { ...KNITTED, loop_cm: 0.1, map_frames: 5 });
  assert.equal(edge.status, 200, "the shortest loop that is known");
  assert.deepEqual([edge.json.map.now, edge.json.map.frames.length], [0, 3], "shorter ones are left out");
  for (const [more, place] of [
    [{ map_frames: 4 }, "map_frames"], [{ map_frames: 83 }, "map_frames"], [{ map_loop_pct: 5 }, "map_frames"], [{ map_frames: 3, map_loop_pct: 60 }, "map_loop_pct"],
    [{ map_frames: 3, map_gsm_low: 100 }, "map_width_low_cm"], [{ map_frames: 3, ...shown, map_gsm_high: 110 }, "map_gsm_high"], [{ map_frames: 3, ...shown, map_width_high_cm: 140 }, "map_width_high_cm"],
  ]) {
    const r = await s.post(PATH, { ...WASHED, ...more });
    assert.equal(r.status, 422, JSON.stringify(more));
    assert.equal(r.json.error.place, place);
  }
});

test("the articles of the mill can be asked with as they stand", async (t) => {
  const s = await serve(t);
  const { articles } = (await s.get("/api/articles")).json;
  const { counts } = (await s.get("/api/mill")).json;
  assert.equal(articles.length, counts.articles);
  for (const a of articles) {
    const r = await s.post(PATH, {
      do: "knitted", construction: a.construction, ne: a.yarn_ne, loop_cm: a.loop_mm / 10, gauge_per_inch: a.gauge_per_inch, diameter_inch: a.diameter_inch,
      feeders: a.feeders, elastane_pct: a.elastane_pct, gsm: a.finished_gsm, width_cm: a.finished_width_cm, length_shrink_pct: a.shrink_length_max_pct,
      width_shrink_pct: a.shrink_width_max_pct, spirality_pct: a.spirality_max_pct, map_frames: 41,
    });
    assert.equal(r.status, 200, `${a.article_id} ${JSON.stringify(r.json)}`);
    assert.equal(r.json.map.frames.length, 41);
    assert.equal(r.json.notes.some((n) => n.startsWith("Elastane")), a.elastane_pct > 0, a.article_id);
  }
});

test("what is wrong: 422 with place and remedy", async (t) => {
  const s = await serve(t);
  for (const [question, place] of [
    [{}, "do"], [{ do: "washed" }, "relaxed_gsm"], [{ ...WASHED, gsm: -1 }, "gsm"], [{ ...WASHED, width_cm: "160" }, "width_cm"],
    [{ ...WASHED, loop_cm: 1 }, "loop_cm"], [{ ...KNITTED, construction: "velvet" }, "construction"], [{ ...KNITTED, tex: null }, "ne"],
    [{ ...KNITTED, needles: 2.5 }, "needles"], [{ ...KNITTED, feeders: 0 }, "feeders"],
  ]) {
    const r = await s.post(PATH, question);
    assert.equal(r.status, 422, JSON.stringify(question));
    assert.equal(r.json.error.place, place);
    assert.ok(r.json.error.message && r.json.error.remedy, place);
  }
});

test("docs/api.md names every member", () => {
  const section = readFileSync(new URL("../../docs/api.md", import.meta.url), "utf8").split(`### POST ${PATH}\n`)[1].split("\n### ")[0];
  for (const question of [WASHED, KNITTED, { ne: 0, needles: 0, map_frames: 0, map_loop_pct: 0, map_width_low_cm: 0, map_width_high_cm: 0, map_gsm_low: 0, map_gsm_high: 0 }])
    for (const [key, value] of Object.entries(question)) assert.ok(section.includes(`\`${key === "do" ? value : key}\``), key);
});

test("constants from washed samples: mean, 95 %, the one that does not belong", async (t) => {
  const s = await serve(t);
  const asked = { do: "constants", construction: "single-jersey", ne: 30, sample_loop_cm: [0.275, 0.277, 0.273], sample_courses_per_cm: [19.8, 19.6, 20],
    sample_wales_per_cm: [15.1, 15, 15.2], sample_gsm: [163, 162, 164] };
  const { status, json } = await s.post(PATH, asked);
  assert.equal(status, 200);
  const kc = [19.8 * 0.275, 19.6 * 0.277, 20 * 0.273];
  const mean = (kc[0] + kc[1] + kc[2]) / 3;
  const sd = Math.sqrt(kc.reduce((a, v) => a + (v - mean) ** 2, 0) / 2);
  assert.ok(Math.abs(json.result.kc.mean - mean) < 1e-12);
  assert.ok(Math.abs(json.result.kc.high - (mean + (4.303 * sd) / Math.sqrt(3))) < 1e-4, "S: t of 2 degrees of freedom is 4.303");
  assert.equal(json.notes.length, 1);
  const odd = await s.post(PATH, { ...asked, sample_courses_per_cm: [19.8, 19.7, 23] });
  assert.match(odd.json.notes.join(" "), /Sample 3 does not seem to belong/);
  for (const [change, place] of [
    [{ sample_gsm: [163, 162] }, "sample_gsm"],
    [{ ne: null }, "ne"],
    [{ sample_ne: [30, 30, 30] }, "ne"],
    [{ sample_loop_cm: [0.275], sample_courses_per_cm: [19.8], sample_wales_per_cm: [15.1], sample_gsm: [163] }, "sample_loop_cm"],
    [{ sample_wales_per_cm: [15.1, 15, 500] }, "samples[2].wales_per_cm"],
    [{ gsm: 150 }, "gsm"],
  ]) {
    const r = await s.post(PATH, { ...asked, ...change });
    assert.equal(r.status, 422, JSON.stringify(change));
    assert.equal(r.json.error.place, place);
  }
});
