// people and tls: adding and changing from a shell, secrets that are never shown or taken from argv.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { demo, madder, program, scratch } from "./madder.mjs";

const WORDS = "four words for anna";
const people = (mill, args, input = "") => madder(["people", ...args, "--mill", mill], { input });

test("from nobody to a mill with people", (t) => {
  const mill = demo(scratch(t));
  assert.match(people(mill, ["list"]).out, /^\(nobody/);
  const lab = people(mill, ["add", "lena", "--name", "Lena", "--roles", "lab", "--password-stdin"], `${WORDS}\n`);
  assert.equal(lab.status, 1);
  assert.match(lab.err, /let others sign in/);
  const anna = people(mill, ["add", "anna", "--name", "Anna Berg", "--roles", "manager,quality", "--password-stdin"], `${WORDS}\n`);
  assert.equal(anna.status, 0, anna.err);
  assert.equal(people(mill, ["add", "omar", "--name", "Omar Said", "--roles", "operator", "--no-password"]).status, 0);
  assert.equal(people(mill, ["badge", "omar", "--badge-stdin"], "U-OMAR-01\n739154\n").status, 0);
  assert.equal(people(mill, ["add", "lena", "--name", "Lena", "--roles", "lab", "--no-password"]).status, 0);
  assert.equal(people(mill, ["roles", "lena", "--roles", "lab,weigh-room"]).status, 0);
  assert.equal(people(mill, ["remove", "lena"]).status, 0);
  const lines = people(mill, ["list"]).out.trimEnd().split("\n");
  assert.deepEqual(lines.map((l) => l.split(/\s{2,}/)), [
    ["anna", "Anna Berg", "password", "quality,manager"], ["lena", "Lena", "inactive", "lab,weigh-room"], ["omar", "Omar Said", "badge", "operator"]]);
  assert.ok(lines.every((l) => l.length <= 96));
  assert.equal(people(mill, ["back", "lena"]).status, 0);
  assert.equal(people(mill, ["badge", "omar", "--no-badge"]).status, 0);
  const { people: all } = JSON.parse(people(mill, ["list", "--json"]).out);
  assert.deepEqual(all.map((p) => [p.person_id, p.active, p.has_password, p.has_badge]), [["anna", true, true, false], ["lena", true, false, false], ["omar", true, false, false]]);
  assert.deepEqual(JSON.parse(people(mill, ["sign-out", "anna", "--json"]).out), { person_id: "anna", done: "sign-out" });
  const bytes = readFileSync(mill, "latin1");
  for (const secret of [WORDS, "U-OMAR-01", "739154"]) assert.ok(!bytes.includes(secret), "no secret is in the file as it is");
  assert.equal(madder(["check", "--mill", mill]).status, 1, "the demo's own findings, no new ones");
});

test("what is refused, and that it changes nothing", (t) => {
  const mill = demo(scratch(t));
  assert.equal(people(mill, ["add", "anna", "--name", "Anna", "--roles", "manager", "--password-stdin"], `${WORDS}\n`).status, 0);
  const before = people(mill, ["list", "--json"]).out;
  for (const [args, input, status, said] of [
    [["add", "anna", "--name", "A", "--roles", "lab", "--no-password"], "", 1, /already/],
    [["add", "Bo!", "--name", "A", "--roles", "lab", "--no-password"], "", 1, /a-z/],
    [["add", "bo", "--name", "Bo", "--roles", "boss", "--no-password"], "", 1, /no such role/],
    [["add", "bo", "--name", "Bo", "--roles", "lab", "--password-stdin"], "short\n", 1, /too short/],
    [["add", "bo", "--name", "Bo", "--roles", "lab", "--password-stdin"], "password2026!\n", 1, /tried first/],
    [["add", "bo", "--name", "Bo", "--roles", "lab", "--password-stdin"], "", 2, /no secret/],
    [["add", "bo", "--name", "Bo", "--roles", "lab", "--password-stdin"], `${"x".repeat(600)}\n`, 2, /too long/],
    [["add", "bo", "--name", "Bo", "--roles", "lab"], "", 2, /--password-stdin/],
    [["add", "bo"], "", 2, /--name and --roles/],
    [["add"], "", 2, /needs a PERSON/],
    [["list", "anna"], "", 2, /no use/],
    [["lst"], "", 2, /work/],
    [["roles", "anna"], "", 2, /--roles/],
    [["roles", "anna", "--roles", "lab"], "", 1, /let others sign in/],
    [["remove", "anna"], "", 1, /let others sign in/],
    [["remove", "nina"], "", 1, /no person/],
    [["badge", "anna", "--badge-stdin"], "U-ANNA-01\n482913\n", 1, /operator, weigh-room and lab/],
    [["badge", "anna", "--badge-stdin"], "U-ANNA-01\n", 2, /no secret/],
    [["password", "anna", "--name", "x"], "", 2, /no option --name/],
  ]) {
    const r = people(mill, args, input);
    assert.equal(r.status, status, `${args.join(" ")}: ${r.err}`);
    assert.match(r.err, said, args.join(" "));
    assert.ok(!r.err.includes("password2026"), "a secret is not repeated");
  }
  assert.equal(people(mill, ["list", "--json"]).out, before);
});

/** Runs it at a terminal and types the next line whenever it asks. */
function type(command, lines) {
  return new Promise((resolve) => {
    const child = spawn("script", ["-qec", `${program} ${command}`, "/dev/null"], { stdio: ["pipe", "pipe", "inherit"] });
    let out = "";
    let asked = 0;
    child.stdout.on("data", (d) => {
      out += d;
      while (asked < lines.length && out.split(/: $|: \r?\n/).length > asked + 1) child.stdin.write(`${lines[asked++]}\n`);
    });
    child.once("exit", () => resolve(out));
  });
}

test("a password typed at a terminal is not shown, and must be typed twice alike", async (t) => {
  const mill = demo(scratch(t));
  const good = await type(`people add anna --name Anna --roles manager --mill ${mill}`, [WORDS, WORDS]);
  assert.match(good, /once more/);
  assert.match(good, /anna may sign in/);
  assert.ok(!good.includes(WORDS), good);
  const apart = await type(`people password anna --mill ${mill}`, [WORDS, `${WORDS}!`]);
  assert.match(apart, /not the same/);
  assert.ok(!apart.includes(WORDS), apart);
});
