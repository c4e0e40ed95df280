// What the shell gets of the table of commands: a manual page that formats, and completions that run.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { madder, scratch } from "./madder.mjs";

const commands = JSON.parse(madder(["help", "--json"]).out).commands;

function page() {
  const r = madder(["help", "--man"]);
  assert.equal(r.status, 0, r.err);
  const groff = spawnSync("groff", ["-man", "-ww", "-Tutf8", "-P-c", "-P-bou", "-rLL=110n"], { input: r.out });
  assert.equal(groff.error, undefined, "groff-base is needed");
  assert.equal(groff.stderr.toString(), "", "groff has nothing to warn of");
  return groff.stdout.toString().replaceAll("\u2010", "-");
}

test("the manual page formats without a warning and names every command and option", () => {
  const text = page();
  for (const c of commands) {
    assert.ok(text.includes(`\n   ${c.name}${c.arguments ? ` ${c.arguments}` : ""}\n`), `${c.name} ${c.arguments}`);
    for (const o of c.options) assert.ok(text.includes(`--${o}`), `${c.name} --${o}`);
  }
  assert.match(text, /madder bath ph --temp 60/, "notes stand as they are written");
  assert.match(text, /safety data sheets/);
});

/** What bash offers for the line, the cursor at its end. */
function offered(t, line) {
  const file = join(scratch(t), "madder.bash");
  const r = madder(["help", "--completion", "bash"]);
  assert.equal(r.status, 0, r.err);
  writeFileSync(file, r.out);
  const words = line.split(" ");
  const run = spawnSync("bash", ["--noprofile", "--norc", "-uc", `. "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _madder; printf '%s\\n' "\${COMPREPLY[@]}"`, "-", file, ...words]);
  assert.equal(run.status, 0, run.stderr.toString());
  return run.stdout.toString().split("\n").filter(Boolean);
}
const rows = [
  ["madder ", commands.map((c) => c.name)],
  ["madder pl", ["plan"]],
  ["madder plan L --load", ["--load-kg"]],
  ["madder plan ", []],
  ["madder bath sa", ["same-ph", "salt"]],
  ["madder help shor", ["shorten"]],
  ["madder import rou", ["route"]],
  ["madder weigh judge --target", ["--target-g"]],
  ["madder version --", ["--json", "--help"]],
];
for (const [line, want] of rows) {
  test(`bash completes: ${line}`, (t) => assert.deepEqual(offered(t, line).sort(), [...want].sort()));
}

test("every word that is offered first is one that the command takes", (t) => {
  for (const name of ["bath", "fabric", "line", "recipe", "lab", "weigh", "people", "colour"]) {
    const words = offered(t, `madder ${name} `);
    assert.ok(words.length > 2, name);
    for (const w of words) {
      const r = madder([name, w], { env: { MADDER_MILL: "/nowhere.mill" }, input: "" });
      assert.doesNotMatch(r.err, /unknown (question|work|command)/i, `${name} ${w}: ${r.err}`);
    }
  }
});

test("fish: one line a thing, with its words quoted", () => {
  const out = madder(["help", "--completion", "fish"]).out;
  for (const c of commands) {
    assert.ok(out.includes(`-n __fish_use_subcommand -f -a ${c.name} -d '`), c.name);
    for (const o of c.options) assert.ok(out.includes(`from ${c.name}' -l ${o} `), `${c.name} ${o}`);
  }
  for (const line of out.trim().split("\n").slice(1)) {
    assert.equal(line.replaceAll("\\'", "").split("'").length % 2, 1, `quotes in pairs: ${line}`);
  }
});

for (const [args, said] of [
  [["help", "--completion", "csh"], /no shell csh/],
  [["help", "plan", "--man"], /of the whole program/],
  [["help", "--man", "--json"], /of the whole program/],
  [["help", "--api", "--json"], /of the whole program/],
  [["help", "--man", "--completion", "bash"], /together/],
  [["help", "--man", "--api"], /together/],
]) {
  test(`refused: madder ${args.join(" ")}`, () => {
    const r = madder(args);
    assert.equal(r.status, 2);
    assert.match(r.err + r.out, said);
  });
}
