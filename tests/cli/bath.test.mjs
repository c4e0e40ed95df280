// `madder bath` and `madder rinse`: no mill needed, options as people type them, JSON as HTTP has it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { madder } from "./madder.mjs";

/** "--temp 60" as arguments. */
const words = (text) => text.split(" ");
const ask = (text) => {
  const r = madder([...words(text), "--json"]);
  assert.equal(r.status, 0, r.out + r.err);
  return JSON.parse(r.out);
};
const near = (got, want, tol, src) => assert.ok(Math.abs(got - want) <= tol, `got ${got}, want ${want} +- ${tol}; source: ${src}`);

const RINSE = "--load 1000 --ratio 8 --retained 2.5 --from 60 --to 2 --flow 300 --fill 800 --drain 1000 --run 5";
const VAT = "--temp 60 --dye 1.5 --caustic 6 --dithionite 5 --minutes 60 --machine overflow --load 500 --liquor 5000";

const rows = [
  // arguments, what of the result, what it must be, how near, source
  ["bath ph --temp 60 --soda 20 --sulphate 50", (r) => r.ph, 10.75, 0.04, "O: PHREEQC 3, pitzer.dat"],
  ["bath ph --temp 60 --soda 20 --salt 50 --cold 40", (r) => r.ph_cold, 10.98, 0.04, "O: PHREEQC 3, pitzer.dat"],
  ["bath ph --temp 25 --soda 1 --acetic 1", (r) => r.ph, 5.97, 0.09, "D: Davies"],
  ["bath dose --temp 60 --dose na2co3 --amount 20 --points 41", (r) => r.points[1].ph, 10.21, 0.05, "D: Davies, 0.5 g/L"],
  ["bath probe --temp 60 --reading 11.36 --unknown na2co3", (r) => r.ph_bath, 10.75, 0.01, "D: Davies, 11.36 and 10.75"],
  ["bath probe --temp 60 --reading 11.34 --reading-is bath --unknown naoh", (r) => r.amount_g_per_l, 1, 0.05, "O: PHREEQC 3, pitzer.dat"],
  ["bath same-ph --temp 60 --soda 20 --sulphate 50 --mixed-soda 5", (r) => r.naoh_g_per_l, 0.25, 0.02, "D: mass action"],
  ["bath same_ph --temp 60 --soda 20 --sulphate 50 --mixed-soda 5", (r) => r.naoh_g_per_l, 0.25, 0.02, "D: the same question"],
  ["bath neutralise --temp 25 --soda 1 --liquor 2000 --acid acetic --strength 80 --target-ph 5.97", (r) => r.product_kg, 2.5, 0.13, "D: Davies, 1 g/L"],
  ["bath titrate --kind peroxide --sample 1000 --titrant 1 --normality 0.588", (r) => r.peroxide_mg_per_l, 10, 0.001, "S: AATCC 102"],
  ["bath titrate --kind two_alkalis --sample 10 --first-end 15 --second-end 20 --normality 0.1", (r) => r.naoh_g_per_l, 4, 0.001, "M: Vogel"],
  ["bath hardness --calcium 1000 --magnesium 1000 --ratio 10 --released 1", (r) => r.total_dh, 37.06, 0.01, "D: 661.5 mg CaCO3/L"],
  ["bath salt --from nacl --to na2so4 --amount 50", (r) => r.equal_sodium.g_per_l, 60.76, 0.01, "D: 1.2152 a g"],
  [`bath vat ${VAT}`, (r) => r.need_g_per_l.total, 3.49, 0.01, "D: vat.md"],
  [`bath rinse ${RINSE}`, (r) => r.fill_drain.end_g_per_l, 1.831, 0.001, "D: E18"],
  [`rinse ${RINSE}`, (r) => r.overflow.water_l, 23404, 1, "D: 5500 + 8000 ln(18.75/2)"],
];
for (const [args, of, want, tol, src] of rows) {
  test(`madder ${args}`, () => {
    const answer = ask(args);
    near(of(answer.result), want, tol, src);
    assert.ok(answer.why.length > 0);
    const text = madder(words(args));
    assert.equal(text.status, 0, text.err);
    assert.match(text.out, /\n {2}Why {3}\S/);
    assert.match(text.out, /docs\/methods\/[a-z-]+\.md#[a-z-]+/);
    for (const line of text.out.split("\n")) {
      assert.ok(line.length <= 96, line);
      assert.ok(!/\s$/.test(line), `blank at the end: "${line}"`);
    }
  });
}

test("text: units, uncertainty, a table with heads", () => {
  const ph = madder(words("bath ph --temp 60 --soda 20 --sulphate 50")).out;
  assert.match(ph, /^pH of a bath\n/);
  assert.match(ph, /pH in the bath +10\.7\d \+- 0\.\d\d\n/);
  assert.match(ph, /ionic strength +1\.6\d+ mol\/kg\n/);
  const dose = madder(words("bath dose --temp 60 --dose na2co3 --amount 20 --points 3 --minutes 30")).out;
  assert.match(dose, /time\/whole +dose\/whole +dosed g\/L +pH +time min\n +0 +0 +0 +6\.51 +0\n +0\.5 +0\.5 +10 +10\.7\d +15\n +1 +1 +20 +10\.8\d +30\n/);
  const rinse = madder(words(`rinse ${RINSE}`)).out;
  assert.match(rinse, / {2}Fill and drain\n {4}baths +3\n/);
  assert.match(rinse, /less water by +fill and drain\n/);
});

test("an option may be written with =, and once only", () => {
  near(ask("bath ph --temp=60 --soda=20").result.ph, 10.83, 0.04, "O: PHREEQC 3, pitzer.dat");
  const twice = madder(words("bath ph --temp 60 --temp 50"));
  assert.equal(twice.status, 2);
  assert.match(twice.err, /--temp is given twice/);
});

const misuse = [
  ["bath", /needs 1 argument/, /madder bath QUESTION/],
  ["bath phh --temp 60", /unknown question phh/, /madder bath ph/],
  ["bath colour", /unknown question colour/, /madder help bath/],
  ["bath ph --tmp 60", /unknown option --tmp/, /--temp/],
  ["bath ph --temp 6O", /--temp: 6O is not a number/, /point/],
  ["bath ph --temp 6,5", /--temp: 6,5 is not a number/, /point/],
  ["bath ph --temp nan", /nan is not a number/, /./],
  ["bath ph --temp 1e999", /1e999 is not a number/, /./],
  ["bath ph --temp", /--temp needs a value/, /./],
  ["bath ph --temp 60 --reading 7", /`madder bath ph` has no option --reading/, /madder help bath/],
  ["bath probe --temp 60 --reading 7 --unknown so{da", /no word/, /madder help bath/],
  ["rinse --temp 60", /unknown option --temp/, /./],
  ["rinse 5", /no use for the argument 5/, /./],
  ["plan X --soda 5", /unknown option --soda/, /./],
];
for (const [args, said, advised] of misuse) {
  test(`wrong use: madder ${args}`, () => {
    const r = madder(words(args));
    assert.equal(r.status, 2, r.out);
    assert.equal(r.out, "");
    assert.match(r.err, said);
    assert.match(r.err, advised);
  });
}

const failures = [
  ["bath ph", "temp_c", /--temp \(temp_c\)/],
  ["bath ph --temp 101", "temp_c", /0 to 100 degC/],
  ["bath ph --temp 60 --soda -1", "na2co3_g_per_l", /--soda \(na2co3_g_per_l\)/],
  ["bath dose --temp 60 --dose soda --amount 5", "dose", /na2co3/],
  ["bath probe --temp 60 --reading 4 --unknown naoh", "ph", /--reading \(ph\)/],
  ["bath same-ph --temp 60 --soda 5 --mixed-soda 6", "soda_mixed_g_per_l", /less than the 5 g\/L/],
  ["bath neutralise --temp 25 --soda 20 --liquor 1 --acid acetic --target-ph 2", "target_ph", /a stronger one/],
  ["bath titrate --kind peroxide --sample 0 --titrant 1 --normality 1", "sample_ml", /--sample/],
  ["bath titrate --kind salt --sample 9 --titrant 1 --normality 1 --acid acetic", "acid", /./],
  ["bath hardness --calcium 1 --magnesium 1 --ratio 8 --product 1", "capacity_mg_per_g", /--capacity/],
  ["bath salt --from nacl --to nacl --amount 5", "to", /another salt/],
  [`bath vat ${VAT.replace("overflow", "boat")}`, "machine_kind", /winch/],
  [`rinse ${RINSE.replace("--retained 2.5", "--retained 9")}`, "retained_l_per_kg", /--retained/],
  [`rinse ${RINSE.replace("--from 60", "--from 1")}`, "target_g_per_l", /--to \(target_g_per_l\)/],
];
for (const [args, place, said] of failures) {
  test(`refused: madder ${args}`, () => {
    const text = madder(words(args));
    assert.equal(text.status, 1, text.out);
    assert.equal(text.out, "", "nothing half-written");
    assert.match(text.err, said);
    const json = madder([...words(args), "--json"]);
    assert.equal(json.status, 1);
    assert.equal(json.err, "");
    assert.equal(JSON.parse(json.out).error.place, place);
  });
}

test("help lists the questions and every option of its own", () => {
  const bath = madder(["help", "bath"]).out;
  for (const q of ["ph", "dose", "probe", "same-ph", "neutralise", "titrate", "hardness", "salt", "vat", "rinse"]) {
    assert.match(bath, new RegExp(`^  ${q} `, "m"));
  }
  const rinse = madder(["help", "rinse"]).out;
  assert.match(rinse, /--retained L\/KG/);
  assert.doesNotMatch(rinse, /--soda/);
  for (const line of bath.split("\n")) assert.ok(line.length <= 100, line);
});
