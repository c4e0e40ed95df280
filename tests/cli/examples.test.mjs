// Every command that help and the documents show is one that runs, in a demo mill.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { copyFileSync, readFileSync, readdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { demo, madder, program, scratch } from "./madder.mjs";

const root = new URL("../..", import.meta.url).pathname;
const read = (name) => readFileSync(join(root, name), "utf8");
const commands = JSON.parse(madder(["help", "--json"]).out).commands.map((c) => c.name);

/** A folder with a demo mill and the files that examples name. */
function bench(t) {
  const cwd = scratch(t);
  symlinkSync(program, join(cwd, "madder"));
  const rows = read("data/demo/lab/dips.csv").split("\n").filter((l) => !l.startsWith("#"));
  writeFileSync(join(cwd, "dip.csv"), `${rows[0]}\n${rows[1].replace(/^[^,]*/, "7")}\n`);
  copyFileSync(join(root, "data/demo/lab/samples.csv"), join(cwd, "samples.csv"));
  for (const name of ["standard.csv", "dyed.csv"]) writeFileSync(join(cwd, name), `${rows[0]}\n${rows[1]}\n`);
  writeFileSync(join(cwd, "rolls.csv"), rows.slice(0, 4).join("\n"));
  copyFileSync(join(root, "tests/samples/cxf_144_patches.cxf"), join(cwd, "curves.cxf"));
  writeFileSync(join(cwd, "lots.csv"), read("docs/formats.md").match(/```\n(lot_id,ended[^`]*)```/)[1]);
  writeFileSync(join(cwd, "machines.csv"), read("data/demo/machine.csv"));
  const env = { ...process.env, PATH: `${cwd}:${process.env.PATH}`, MADDER_MILL: demo(cwd), LC_ALL: "C.UTF-8" };
  return (line, input = "") => spawnSync("bash", ["-euc", line], { cwd, env, input, encoding: "utf8", timeout: 600_000 }); // a search takes its time under sanitizers
}
/** In the order of the text; passwords come from the standard input in place of the terminal. */
const typed = (line) => (line.startsWith("madder people add") ? `${line} --password-stdin` : line);
const input_of = (line) => (line.startsWith("madder people add") ? "five quite different words\n" : "");
const runs = (run, line) => {
  const r = run(typed(line), input_of(line));
  assert.equal(r.status, 0, `${line}: ${r.status}\n${r.stdout.slice(-400)}${r.stderr}`);
};

test("the example in the help of a command runs", (t) => {
  const run = bench(t);
  const with_one = commands.filter((name) => {
    const lines = [...madder(["help", name]).out.replaceAll(/ \\\n +/g, " ").matchAll(/^Example: +(madder .+)$/gm)].map((m) => m[1]);
    for (const line of lines) {
      assert.ok(line.startsWith(`madder ${name} `), `${name}: ${line}`);
      runs(run, line);
    }
    return lines.length > 0;
  });
  assert.deepEqual(with_one, ["bath", "hold", "colour", "fabric", "line", "recipe", "lab", "weigh", "people"]);
  const begin = /^Begin with: +(.+)$/m.exec(madder(["help"]).out)[1];
  assert.equal(run(begin.replaceAll("demo.mill", "begun.mill")).status, 0, begin);
});

// Named, not shown whole; or not to be run in a test.
const NOT_WHOLE = [/ \.\.\.$/, / (QUESTION|STD)$/, /^madder (backup|recipe find|learn --file)$/, /^madder (serve|report L26-0107\.1)$/];

function shown(page) {
  const text = read(page);
  const blocks = [...text.matchAll(/^```\n([^]*?)^```$/gm)].flatMap((m) => m[1].split("\n")).flatMap((l) => l.split(/ {2,}(?=madder )/)).filter((l) => l.startsWith("madder "))
    .map((l) => l.replace(/ {3,}.*$/, "").replace(/\[[^\]]*\]/g, "").trim());
  const inline = [...text.replace(/^```\n[^]*?^```$/gm, "").matchAll(/`(madder [^`]+)`/g)].map((m) => m[1].replace(/\s+/g, " "));
  return [...new Set([...blocks, ...inline])];
}
for (const page of ["README.md", "docs/tour.md"]) {
  test(`the commands of ${page} are commands, and run where they are whole`, (t) => {
    const run = bench(t);
    let n = 0;
    for (const line of shown(page)) {
      const name = line.split(" ")[1];
      assert.ok(commands.includes(name), `${page}: ${line}`);
      if (NOT_WHOLE.some((re) => re.test(line))) continue;
      const r = run(/^madder (card|slips|settings) /.test(line) ? `${line} --force` : line);
      const bad = line === "madder check" || r.status === 0 ? "" : `${line}: ${r.status}\n${r.stdout.slice(-400)}${r.stderr}`; // the demo mill has faults to be found
      assert.equal(bad, "");
      n++;
    }
    assert.ok(n >= 15, `${n} were run`);
  });
}

test("what docs/tour.md calls a page or a key is called so on the screen", () => {
  const words = readdirSync(join(root, "web/src"), { recursive: true }).filter((f) => /\.tsx?$/.test(f)).map((f) => read(`web/src/${f}`)).join("\n");
  const names = [...new Set([...read("docs/tour.md").matchAll(/(?<![\w*])\*([A-Z][^*\n]+)\*/g)].map((m) => m[1]))];
  assert.ok(names.length >= 6, names.join());
  for (const name of names) assert.ok(words.includes(`"${name}"`), name);
});

test("each picture of README and docs/tour.md is one that script/pictures takes", () => {
  const taken = new Set([...read("tests/browser/pictures.mjs").matchAll(/(?:shot|leaf)\("(\w+)"/g)].map((m) => m[1]));
  const seen = new Set(["README.md", "docs/tour.md"].flatMap((page) => [...read(page).matchAll(/!\[[^\]]+\]\((?:docs\/)?img\/(\w+)\.png\)/g)].map((m) => m[1])));
  assert.deepEqual([...seen].sort(), [...taken].sort());
});
