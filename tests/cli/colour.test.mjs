// `madder colour`: measured cloth at the terminal. Curves and colours are invented unless said.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { madder, scratch } from "./madder.mjs";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const PATCHES = join(root, "tests/samples/cxf_144_patches.cxf");
const BANDS = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);

/** Rows of an oracle's table, below its notes and its header. */
function table(name) {
  const lines = readFileSync(join(root, "tests/oracle", name), "utf8").trim().split("\n");
  return lines.filter((l) => !l.startsWith("#")).slice(1).map((l) => l.split(",").map(Number));
}

/** A CSV of curves, one row each: {name: r or nm => r}, in per cent. */
function curves(t, file, samples, specular = {}) {
  const rows = Object.entries(samples).map(([name, r]) =>
    [name, specular[name] ?? "SCI", ...BANDS.map((nm) => (100 * (typeof r === "function" ? r(nm) : r)).toFixed(6))].join(","));
  const path = join(scratch(t), file);
  writeFileSync(path, `name,specular,${BANDS.join(",")}\n${rows.join("\n")}\n`);
  return path;
}

/** Reflectance of a dye that absorbs around 600 nm. */
const blue = (ks) => (nm) => {
  const k = 0.02 + ks * Math.exp(-(((nm - 600) / 60) ** 2));
  return 1 + k - Math.sqrt(k * k + 2 * k);
};

const json = (...args) => {
  const r = madder(["colour", ...args, "--json"]);
  assert.equal(r.status, 0, r.out + r.err);
  return JSON.parse(r.out);
};
const near = (got, want, tol, why) => assert.ok(Math.abs(got - want) <= tol, `${why}: got ${got}, want ${want}`);
const tidy = (out) => assert.ok(out.split("\n").every((l) => l.length <= 96 && !/\s$/.test(l)), `a line is too long, or ends with blanks:\n${out}`);

test("read: a file of 144 patches has the colours that it gives itself", () => {
  const answer = json("read", PATCHES);
  assert.equal(answer.caption, "D65; 10 degree observer");
  assert.equal(answer.result.n, 144);
  for (const s of answer.result.samples) {
    assert.equal(s.own_illuminant, "D50");
    assert.equal(s.specular, "none");
    assert.ok(s.own_de <= 0.12, `S: the file's own CIELAB of patch ${s.sample}: ${s.own_de}`);
  }
  const own = json("read", PATCHES, "--illuminant", "D50", "--observer", "2");
  assert.equal(own.caption, "D50; 2 degree observer");
  own.result.colours.forEach((c, i) => {
    const s = own.result.samples[i];
    near(Math.hypot(c.l - s.own_l, c.a - s.own_a, c.b - s.own_b), s.own_de, 1e-9, "D: the same light");
  });
  const text = madder(["colour", "read", PATCHES]);
  assert.match(text.out, /D65; 10 degree observer/);
  assert.equal(text.out.match(/#[0-9a-f]{6}/g).length, 144, "a swatch each");
  tidy(text.out);
});

test("read: greys, two lights, from the standard input, repeats", (t) => {
  const file = curves(t, "greys.csv", { white: 1, grey: 0.2 });
  const answer = json("read", file, "--illuminants", "D65,A");
  assert.equal(answer.result.colours.length, 4);
  near(answer.result.colours[3].l, 51.83724, 1e-4, "D: 116 x 0.2^(1/3) - 16");
  assert.equal(answer.result.colours[3].h_deg, null, "grey has no hue");
  assert.match(answer.notices[0].place, /greys\.csv/);
  assert.match(answer.notices[0].message, /per cent/);
  const piped = madder(["colour", "read", "-"], { input: readFileSync(file) });
  assert.match(piped.out, /File  standard input: read as per cent/);
  const dir = scratch(t);
  const twice = join(dir, "twice.csv");
  writeFileSync(twice, readFileSync(file, "utf8").replace("white", "grey"));
  const refused = madder(["colour", "read", twice]);
  assert.equal(refused.status, 1);
  assert.match(refused.err, /same name/);
  assert.match(refused.err, /twice\.csv:3/);
  const mean = json("read", twice, "--repeats");
  assert.equal(mean.result.colours.length, 1);
  near(mean.result.colours[0].y, 60, 1e-3, "D: mean of 100 and 20");
  assert.equal(mean.result.readings[0].readings, 2);
});

test("difference: published pairs and those of another program", () => {
  const pairs = table("ciede2000_pairs.csv");
  for (const i of [0, 8, 15, 33]) {
    const p = pairs[i];
    const a = json("difference", "--standard-lab", p.slice(1, 4).join(","), "--sample-lab", p.slice(4, 7).join(","), "--formula", "ciede2000");
    assert.equal(a.caption, "D65; 10 degree observer; CIEDE2000(1:1:1)");
    near(a.result.lights[0].de, p[7], 5e-5, `S: Sharma 2005, pair ${p[0]}`);
  }
  const p = table("difference_checks.csv")[4];
  const labs = ["--standard-lab", p.slice(0, 3).join(","), "--sample-lab", p.slice(3, 6).join(",")];
  near(json("difference", ...labs).result.lights[0].de, p[8], 1e-6, "O: CMC(2:1)");
  near(json("difference", ...labs, "--l", "1").result.lights[0].de, p[7], 1e-6, "O: CMC(1:1)");
  near(json("difference", ...labs, "--formula", "din99").result.lights[0].de, p[13], 1e-6, "O: DIN99");
});

test("difference: verdict, parts, words, metamerism, in words as in JSON", (t) => {
  const standard = curves(t, "standard.csv", { blue: blue(5) });
  const samples = curves(t, "dyed.csv", { "lot 7": blue(5.5), "lot 8": blue(5), gloss: blue(5) }, { gloss: "SCE" });
  const args = ["difference", standard, samples, "--illuminants", "D65,A,F11"];
  const a = json(...args);
  assert.deepEqual(a.result.verdicts.map((v) => [v.sample, v.passes]), [["lot 7", false], ["lot 8", true]]);
  assert.equal(a.result.lights.length, 6);
  assert.equal(a.result.lights[0].metamerism_de, null);
  assert.ok(a.result.lights[1].metamerism_de > 0.1);
  assert.match(a.result.verdicts[0].words, /redder, brighter, darker/, "D: more of a dye around 600 nm");
  assert.match(a.notes.join(" "), /1 sample was left out/);
  const r = madder(["colour", ...args]);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /D65, A, F11; 10 degree observer; CMC\(2:1\)/);
  assert.match(r.out, /lot 7 +fails +D65 +1\.07 +1\.00 +dE +redder, brighter, darker/);
  assert.match(r.out, /colour\.md#differences/);
  tidy(r.out);
  const loose = json(...args, "--tolerance", "2", "--sample", "lot 7");
  assert.equal(loose.result.verdicts[0].passes, true);
  assert.equal(json(...args, "--tolerance", "2", "--limit-l", "-0.5,0.5").result.verdicts[0].over, "dL");
});

test("whiteness: rows of another program, by colours alone", (t) => {
  const white = [94.811, 100, 107.304];
  const rows = table("whiteness_checks.csv").filter((w) => w[3] === 65 && w[4] === 10);
  const labs = rows.map((w, i) => {
    const [fx, fy, fz] = w.slice(0, 3).map((v, k) => Math.cbrt(v / white[k]));
    return `w${i} ${116 * fy - 16} ${500 * (fx - fy)} ${200 * (fy - fz)}`;
  });
  const file = join(scratch(t), "white.txt");
  writeFileSync(file, `CGATS.17\nILLUMINATION_NAME "D65"\nOBSERVER_ANGLE "10"\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n${labs.join("\n")}\nEND_DATA\n`);
  const a = json("whiteness", file);
  rows.forEach((w, i) => {
    const s = a.result.samples[i];
    near(s.whiteness, w[5], 0.03, "O: whiteness");
    near(s.tint, w[6], 0.02, "O: tint");
    near(s.yellowness, w[7], 0.02, "O: yellowness");
    assert.equal(s.counts, w[8] === 1);
  });
  const r = madder(["colour", "whiteness", file]);
  assert.match(r.out, /w0 +100\.00 +99\.9\d +-0\.0\d/);
  tidy(r.out);
});

test("strength and fastness", (t) => {
  const file = curves(t, "strength.csv", { standard: blue(4), undyed: blue(0), strong: blue(5) });
  const a = json("strength", file, "--standard", "standard", "--substrate", "undyed");
  assert.equal(a.result.samples.length, 1);
  for (const by of ["peak_pct", "sum_pct", "weighted_pct"]) near(a.result.samples[0][by], 125, 1e-3, `D: ${by} of 5/4`);
  near(a.result.samples[0].same_strength_de, 0, 1e-3, "D: one dye");
  assert.match(madder(["colour", "strength", file, "--standard", "standard", "--substrate", "undyed"]).out, /strong +125\.0 +125\.0 +125\.0 +600/);
  const grade = (...more) => json("fastness", "--standard-lab", "50,0,0", "--sample-lab", "51.7,0,0", ...more).result.samples[0].grade;
  assert.equal(grade(), "4", "D: 5 - 1.7/1.7");
  assert.equal(grade("--staining"), "4-5", "D: 5 - 0.23 x 1.7 = 4.61");
});

test("group: fewest groups, codes, order for cutting", (t) => {
  const rolls = Object.fromEntries([5, 5.3, 5.05, 5.35, 5.6].map((ks, i) => [`roll ${i + 1}`, blue(ks)]));
  const file = curves(t, "rolls.csv", { standard: blue(5), ...rolls });
  const a = json("group", file, "--standard", "standard", "--max", "0.3", "--codes", "--widths", "0.5,0.5,0.5");
  assert.equal(a.result.n, 5);
  assert.deepEqual(a.result.rolls.map((r) => r.group), [1, 2, 1, 2, 3]);
  assert.equal(a.result.rolls[0].code, "555");
  assert.equal(a.result.groups_are_fewest, true);
  assert.deepEqual(a.result.order.map((r) => r.roll), ["roll 1", "roll 3", "roll 2", "roll 4", "roll 5"]);
  const r = madder(["colour", "group", file, "--standard", "standard", "--max", "0.3"]);
  assert.match(r.out, /groups +3\n/);
  tidy(r.out);
  const none = madder(["colour", "group", file]);
  assert.equal(none.status, 1);
  assert.match(none.err, /--max/);
});

test("level: along and across a lot", (t) => {
  const at = {};
  for (const m of [0, 100]) for (const side of ["left", "right"]) at[`${m} m ${side}`] = blue(5 + m / 500 + (side === "left" ? 0.1 : 0));
  const file = curves(t, "lot.csv", at);
  const a = json("level", file, "--max-pair", "0.4");
  assert.equal(a.result.level, false);
  assert.equal(a.result.over, "pair");
  assert.ok(a.result.end_de > a.result.side_de && a.result.side_de > 0);
  const r = madder(["colour", "level", file, "--max-pair", "0.4"]);
  assert.equal(r.status, 0);
  assert.match(r.out, /is not level/);
  tidy(r.out);
});

test("bad files are refused with their place, and nothing is answered", (t) => {
  const dir = scratch(t);
  const bad = (name, text) => {
    const path = join(dir, name);
    writeFileSync(path, text);
    return madder(["colour", "read", path]);
  };
  const head = `name,${BANDS.join(",")}\n`;
  const row = (v) => `a,${BANDS.map((nm) => (nm === 450 ? v : 20)).join(",")}\n`;
  const rows = [
    ["nan.csv", head + row("nan"), /nan\.csv:2:7/],
    ["minus.csv", head + row(-3), /minus\.csv:2:7/],
    ["word.csv", head + row("x"), /word\.csv:2:7/],
    ["empty.csv", "", /empty\.csv/],
    ["nul.csv", `${head}a\0${row(20)}`, /nul\.csv/],
    ["entity.cxf", '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e "x">]><x>&e;</x>', /entity\.cxf/],
  ];
  for (const [name, text, place] of rows) {
    const r = bad(name, text);
    assert.equal(r.status, 1, name);
    assert.match(r.err, place);
    assert.equal(r.out, "");
  }
  const gone = madder(["colour", "read", join(dir, "gone.csv"), "--json"]);
  assert.equal(gone.status, 1);
  assert.equal(JSON.parse(gone.out).error.code, "not_found");
});

test("a name cannot steer the terminal", (t) => {
  const file = curves(t, "esc.csv", { "\u001b[31mred\u009b": 0.2 });
  const r = madder(["colour", "read", file]);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /\?\[31mred\?\?/);
  assert.doesNotMatch(r.out, /\u001b|\u009b/);
});

const misuse = [
  [["raed", "x"], /unknown question raed/, /madder colour read/],
  [["read"], /which file/, /QUESTION FILE/],
  [["read", "a", "b"], /no use for the argument b/, /./],
  [["read", "a", "--max", "3"], /has no option --max/, /madder help colour/],
  [["read", "a", "--illuminant", "A", "--illuminants", "A"], /the same option/, /one of them/],
  [["difference", "-", "-"], /cannot be both/, /./],
  [["difference", "--standard-lab", "1,x,3"], /--standard-lab: 1,x,3 cannot be read/, /commas/],
  [["difference", "--standard-lab", "1,,3"], /cannot be read/, /./],
  [["group", "a", "--max", "nan"], /--max: nan cannot be read/, /./],
];
for (const [args, said, advised] of misuse) {
  test(`wrong use: madder colour ${args.join(" ")}`, () => {
    const r = madder(["colour", ...args]);
    assert.equal(r.status, 2, r.out + r.err);
    assert.match(r.err, said);
    assert.match(r.err, advised);
  });
}

test("a word or a number that cannot be: the option, what there is, the nearest", () => {
  const labs = ["difference", "--standard-lab", "50,0,0", "--sample-lab", "51,0,0"];
  const rows = [
    [["--formula", "ciede200"], /--formula/, /did you mean ciede2000/],
    [["--illuminants", "D64"], /--illuminant/, /LED-B1/],
    [["--l", "0"], /--l\b/, /0\.1 to 10/],
    [["--illuminants", "D65,A"], /--illuminant/, /name one/],
  ];
  for (const [more, place, advised] of rows) {
    const r = madder(["colour", ...labs, ...more]);
    assert.equal(r.status, 1, r.out);
    assert.match(r.err, place);
    assert.match(r.err, advised);
  }
});

test("help lists the questions, and the example runs", () => {
  const help = madder(["help", "colour"]).out;
  for (const q of ["read", "difference", "whiteness", "strength", "fastness", "group", "level"]) assert.match(help, new RegExp(`^ {2}${q} `, "m"));
  const example = help.replaceAll(/ \\\n +/g, " ").match(/Example: {2}madder (.*)/)[1].trim().split(/ +/);
  const r = madder(example);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /passes/);
});

test("docs/formats.md names every member of every answer", (t) => {
  const file = curves(t, "all.csv", { standard: 0.2, undyed: 0.8, "1 m left": 0.21, "2 m left": 0.22 });
  const doc = readFileSync(join(root, "docs/formats.md"), "utf8").split("\n## Colour as JSON\n")[1].split("\n## ")[0];
  const more = {
    read: ["--repeats"],
    difference: ["--standard", "standard"],
    whiteness: [],
    strength: ["--standard", "standard", "--substrate", "undyed"],
    fastness: ["--standard", "standard"],
    group: ["--max", "1", "--standard", "standard"],
    level: [],
  };
  for (const [question, args] of Object.entries(more)) {
    const section = doc.split(`\n### ${question}\n`)[1].split("\n### ")[0];
    const { result } = json(question, file, ...args);
    for (const [key, value] of Object.entries(result)) {
      assert.match(section, new RegExp(`\`${key}\``), `${question}: ${key}`);
      for (const member of Array.isArray(value) && value.length > 0 ? Object.keys(value[0]) : []) assert.match(section, new RegExp(`\`${member}\``), `${question}: ${key}.${member}`);
    }
  }
});
