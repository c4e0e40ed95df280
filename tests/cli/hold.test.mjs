// `madder hold`: a reading at a hold point, no mill and no batch needed.
import assert from "node:assert/strict";
import { test } from "node:test";
import { madder } from "./madder.mjs";

const words = (text) => text.split(" ");
const near = (got, want, tol, src) => assert.ok(Math.abs(got - want) <= tol, `got ${got}, want ${want} +- ${tol}; source: ${src}`);
const doses = (hold) => hold.remedies[0].steps.flatMap((s) => s.items).map((i) => i.mass_mg / 1e6);

const rows = [
  // arguments, verdict, first remedy, what of it, what it must be, how near, source
  ["--check ph --reading 9.5 --liquor 8000 --temp 45 --alkalinity 2", "correct", "acid", (h) => h.remedies[0].expected.value, 6.5, 0.01, "P: the middle of 6 to 7"],
  ["--check ph --reading 4.5 --liquor 8000 --temp 45 --acetic 0.3 --caustic 0.05", "correct", "alkali", (h) => h.remedies[0].expected.value, 6.5, 0.01, "P: the middle of 6 to 7"],
  ["--check peroxide --reading 25 --liquor 8000 --catalase 1500", "correct", "catalase", (h) => doses(h)[0], 0.128, 1e-6, "D: 24 mg/L x 8000 L / 1500 mg/g"],
  ["--check peroxide --reading 25 --liquor 8000", "correct", "rinse", (h) => h.remedies[0].water_l, 11000, 1e-6, "D: two fills of 5500 L"],
  ["--check salt --reading 44 --low 60 --liquor 8000 --salt 60", "correct", "salt", (h) => doses(h)[0], 128 / 0.99, 1e-3, "D: 16 g/L x 8000 L, 99 %"],
  ["--check level --reading 0.8 --liquor 8000 --temp 60 --stage dyeing", "correct", "level-heat", (h) => Math.max(...h.remedies[0].steps.map((s) => s.temp_end_c)), 80, 0, "S: 80 C, 20 to 30 min, THEN alkali"],
  ["--check wash-off --reading 3 --liquor 8000 --loose 500", "correct", "hot-baths", (h) => h.remedies[0].steps.filter((s) => s.kind === "fill").length, 2, 0, "D: halved twice"],
  ["--check moisture --reading 12 --load 434 --oven 18 --expected 7", "correct", "dry-again", (h) => h.remedies[0].expected.value, 7, 1e-9, "P: as planned"],
  ["--check moisture --reading 4 --load 434 --oven 18 --expected 7", "correct", "take-moisture", (h) => h.remedies[0].expected.value, 7.5 - 3.5 / 16, 1e-6, "D: half the way an hour, 4 h"],
  ["--check absorbency --reading 12 --liquor 8000 --temp 78 --caustic 2", "correct", "re-scour", (h) => doses(h)[0], 4, 1e-6, "P: 0.5 g/L"],
];
for (const [args, verdict, remedy, of, want, tol, src] of rows) {
  test(`madder hold ${args}`, () => {
    const r = madder(["hold", ...words(args), "--json"]);
    assert.equal(r.status, 0, r.out + r.err);
    const { hold, result, why } = JSON.parse(r.out);
    assert.equal(hold.verdict, verdict);
    assert.equal(result.verdict, verdict);
    assert.equal(hold.remedies[0].remedy_id, remedy);
    near(of(hold), want, tol, src);
    assert.ok(why.length > 0 && hold.remedies.every((m) => m.why.length > 0 && m.why.every((w) => w.working && /^[a-z-]+\.md#[a-z-]+$/.test(w.anchor))));
    const text = madder(["hold", ...words(args)]);
    assert.equal(text.status, 0, text.err);
    assert.match(text.out, /\n {2}Why {3}\S/);
    for (const line of text.out.split("\n")) {
      assert.ok(line.length <= 110, line);
      assert.ok(!/\s$/.test(line), `blank at the end: "${line}"`);
    }
  });
}

test("within the limits: pass, and nothing to do", () => {
  const { hold } = JSON.parse(madder(words("hold --check ph --reading 6.4 --liquor 8000 --json")).out);
  assert.deepEqual([hold.verdict, hold.remedies, hold.missing], ["pass", [], []]);
});

test("stop: what is fixed does not level, and a shade is measured before it is corrected", () => {
  for (const args of ["--check level --reading 0.8 --liquor 8000 --stage fixing", "--check shade --reading 1.8 --liquor 8000 --stage dyeing"]) {
    const { hold } = JSON.parse(madder(["hold", ...words(args), "--json"]).out);
    assert.equal(hold.verdict, "stop");
    assert.equal(hold.remedies.length, 0);
    assert.ok(hold.words.length > 20);
  }
});

const failures = [
  ["--reading 9 --liquor 8000", "check", /--check \(check\)/],
  ["--check ph --reading 15 --liquor 8000", "reading", /0 to 14/],
  ["--check ph --reading 9", "liquor_l", /liquor/],
  ["--check moisture --reading 12 --speed 501", "speed_m_per_min", /0 to 500/],
  ["--check salt --reading 15 --liquor 8000", "low", /no usual limits/],
  ["--check ph --reading 9 --liquor 8000 --temp 120", "temp_c", /temp_max_c/],
  ["--check colour --reading 9 --liquor 8000", "check", /core-ph/],
];
for (const [args, place, said] of failures) {
  test(`refused: madder hold ${args}`, () => {
    const text = madder(["hold", ...words(args)]);
    assert.equal(text.status, 1, text.out);
    assert.equal(text.out, "", "nothing half-written");
    assert.match(text.err, said);
    const json = madder(["hold", ...words(args), "--json"]);
    assert.equal(json.status, 1);
    assert.equal(JSON.parse(json.out).error.place, place);
  });
}

test("wrong use", () => {
  const r = madder(words("hold ph --reading 9"));
  assert.equal(r.status, 2);
  assert.match(r.err, /no use for the argument ph/);
  const help = madder(["help", "hold"]).out;
  assert.match(help, /--liquor L/);
  assert.match(help, /peroxide +at most 5 mg\/L/);
  for (const line of help.split("\n")) assert.ok(line.length <= 100, line);
});
