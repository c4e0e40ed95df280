// What the documents say of the program, held against the program.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, readdirSync, symlinkSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { test } from "node:test";
import { anchor, line_of, written } from "../../tools/api.mjs";
import { demo, madder, program, scratch } from "./madder.mjs";

const root = new URL("../..", import.meta.url).pathname;
const read = (name) => readFileSync(join(root, name), "utf8");
const pages = ["README.md", ...readdirSync(join(root, "docs"), { recursive: true }).filter((f) => f.endsWith(".md")).map((f) => `docs/${f}`)];

test("docs/api.md is as the table of endpoints has it", () => {
  const run = spawnSync("node", [join(root, "tools/api.mjs"), program, "--check"], { encoding: "utf8" });
  assert.equal(run.status, 0, run.stderr);
});

const rows = JSON.parse(madder(["help", "--api"]).out).endpoints;
const without = (text, part) => {
  assert.ok(text.includes(part), part);
  return text.replace(part, "");
};
for (const [what, change, said] of [
  ["other words", (text) => text.replace("> All orders.", "> Every order."), null],
  ["another right", (text) => text.replace("Right: `table-import`", "Right: `read`"), null],
  ["a section that is no endpoint", (text) => `${text}### GET /api/nothing\n\n> x\n`, /no row.*GET \/api\/nothing/],
  ["a section twice", (text) => `${text}### GET /api/orders\n`, /twice/],
  ["no section for an endpoint", (text) => without(text, "### GET /api/orders\n"), /no section for GET \/api\/orders; add/],
]) {
  test(`docs/api.md with ${what} is noticed`, () => {
    const wrong = change(read("docs/api.md"));
    assert.notEqual(wrong, read("docs/api.md"));
    if (said) assert.throws(() => written(wrong, rows), said);
    else assert.equal(written(wrong, rows), read("docs/api.md"));
  });
}

test("each endpoint has words, a right, and a limit where it takes a body", () => {
  assert.ok(rows.length >= 70);
  for (const row of rows) {
    assert.match(line_of(row), /^> [^`]{8,}\. Right: .*`[a-z-]+`/);
    assert.equal(row.body_type !== "", row.body_most_bytes > 0, row.pattern);
    assert.equal(row.body_type !== "", ["POST", "PUT"].includes(row.method), row.pattern);
  }
});

const text_of = (heading) => heading.replace(/^#+ /, "").replace(/\[([^\]]*)\]\([^)]*\)/g, "$1");
const bare = (text) => text.replace(/^```[^]*?^```/gm, "").replace(/`[^`\n]*`/g, "");
test("every link in the documents leads somewhere", () => {
  let n = 0;
  for (const page of pages) {
    for (const [, to] of bare(read(page)).matchAll(/\]\(([^)\s]+)\)/g)) {
      if (/^https?:/.test(to)) continue;
      const [file, part] = to.split("#");
      const target = file === "" ? page : normalize(join(dirname(page), file));
      assert.ok(existsSync(join(root, target)), `${page}: ${to}`);
      if (part === undefined) continue;
      const headings = read(target).replace(/^```[^]*?^```/gm, "").split("\n").filter((l) => l.startsWith("#")).map((l) => anchor(text_of(l)));
      assert.ok(headings.includes(part), `${page}: ${to}; there are ${headings.join(" ")}`);
      n++;
    }
  }
  assert.ok(n > 100, `${n} links with a place`);
});

test("docs/reliability.md names tests that exist", () => {
  const part = read("docs/reliability.md").split("\n## What else is tried\n")[1].split("\n## ")[0];
  const rows = part.split("\n").filter((l) => l.startsWith("| ")).slice(2);
  assert.ok(rows.length > 20);
  for (const row of rows) {
    const named = row.split(" | ").at(-1).replace(/ \|$/, "").split(/; (?=`tests)/);
    for (const one of named) {
      const [, file, names] = /^`(tests\/[\w./]+)`: (.+)$/.exec(one) ?? assert.fail(row);
      const text = read(file);
      if (file.endsWith(".mjs")) assert.ok(new RegExp(`test\\(["\`]${names.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}["\`]`).test(text), `${file}: ${names}`);
      else for (const name of names.split(", ")) assert.ok(text.includes(`cmocka_unit_test(${name})`), `${file}: ${name}`);
    }
  }
});

const methods = pages.filter((p) => p.startsWith("docs/methods/"));
const PARTS = { Source: /\bSources?\b[^\n]/, Code: /\bCode\b/, Check: /\bChecks?:/, Limits: /\bLimits\b[^.\n]*:|\bValid between\b/ };
/** A part that the head of a page has goes for all of its sections. */
const sections = methods.flatMap((page) => {
  const [head, ...list] = read(page).split(/^## /m);
  return list.map((text) => ({ page, head, text, name: text.split("\n")[0] }));
});

test("each section of docs/methods says where it is from, where it is reckoned, what checks it and how far it holds", () => {
  assert.ok(sections.length > 280);
  const missing = sections.flatMap((s) => Object.entries(PARTS).filter(([, re]) => !re.test(s.text) && !re.test(s.head)).map(([part]) => `${s.page}, ${s.name}: ${part}`));
  assert.deepEqual(missing, []);
});

test("what the methods name is there: tests, functions, sources", () => {
  const files = (dir, end) => readdirSync(join(root, dir), { recursive: true }).filter((f) => end.test(f)).map((f) => join(dir, f));
  const tests = new Set(files("tests", /\.(c|sh)$/).map((f) => f.split("/").at(-1).replace(/\.\w+$/, "")));
  const code = new Set(files("src", /\.(c|h|def)$/).flatMap((f) => read(f).match(/\b(mdr|MDR)_\w+/g) ?? []));
  const keys = new Set([...read("docs/sources.md").matchAll(/^- `([\w-]+)`/gm)].map((m) => m[1]));
  const files_of = new Set(files("src", /\.(c|h)$/).map((f) => f.split("/").at(-1).replace(/\.\w$/, "")));
  let n = 0;
  for (const page of methods) {
    for (const [, name] of read(page).matchAll(/`([\w*-]+)`/g)) {
      if (/^(test|fuzz)_/.test(name)) assert.ok(tests.has(name), `${page}: ${name}`);
      else if (/^(mdr|MDR)_/.test(name)) assert.ok(name.endsWith("*") ? [...code].some((c) => c.startsWith(name.slice(0, -1))) : code.has(name) || files_of.has(name), `${page}: ${name}`);
      else continue;
      n++;
    }
    for (const [, list] of read(page).matchAll(/\bSources?:((?: `[\w-]+`,?)+)/g))
      for (const [, key] of list.matchAll(/`([\w-]+)`/g)) assert.ok(keys.has(key), `${page}: ${key} is not in docs/sources.md`);
    for (const [, path] of read(page).matchAll(/`((?:tests|src|data|tools)\/[\w./-]+)`/g)) assert.ok(existsSync(join(root, path)), `${page}: ${path}`);
  }
  assert.ok(n > 600, `${n} names`);
});

test("every place in the methods that the program leads to is there", () => {
  const there = new Set(sections.map((s) => `${s.page.slice("docs/methods/".length)}#${anchor(text_of(s.name))}`));
  const sources = readdirSync(join(root, "src"), { recursive: true }).filter((f) => /\.(c|h|def)$/.test(f));
  const asked = new Set(sources.flatMap((f) => [...read(`src/${f}`).matchAll(/"([a-z-]+\.md#[a-z0-9-]+)"/g)].map((m) => m[1])));
  assert.ok(asked.size > 200, `${asked.size}`);
  assert.deepEqual([...asked].filter((a) => !there.has(a)), []);
});

test("what docs/contributing.md does in a mill goes as it stands", (t) => {
  const cwd = scratch(t);
  const block = read("docs/contributing.md").split("## A chemical and a route, in a mill\n")[1].split("```\n")[1];
  assert.ok(block.split("\n").filter((l) => l.startsWith("madder ")).length >= 8);
  symlinkSync(program, join(cwd, "madder"));
  const run = spawnSync("bash", ["-euo", "pipefail", "-c", block], { cwd, encoding: "utf8", env: { ...process.env, PATH: `${cwd}:${process.env.PATH}`, MADDER_MILL: demo(cwd) } });
  assert.equal(run.status, 0, run.stdout + run.stderr);
  assert.match(run.stdout, /imported into chemical/);
  assert.equal(run.stdout.match(/^ +Defoamer .*8\.000 kg$/gm).length, 2, "as asked and as stored");
  assert.match(run.stdout, /b5\.s2\.i3\.mass_kg = 8 kg/);
  const card = spawnSync("pdftotext", ["-layout", join(cwd, "L26-0107-card.pdf"), "-"], { encoding: "utf8" });
  assert.match(card.stdout, /Defoamer/);
});

test("docs/architecture.md: picture, folders and names are those of the tree", () => {
  const run = spawnSync("node", [join(root, "tools/layers.mjs"), "--check"], { encoding: "utf8" });
  assert.equal(run.status, 0, run.stderr);
  const text = read("docs/architecture.md");
  const told = new Set([...text.matchAll(/^\| `([\w/]+)` \| /gm)].map((m) => m[1]));
  const folders = (dir) => readdirSync(join(root, dir), { withFileTypes: true }).filter((d) => d.isDirectory() && !d.name.startsWith(".")).map((d) => (dir ? `${dir}/${d.name}` : d.name));
  const want = [...folders("").filter((f) => f !== "src"), ...folders("src").filter((f) => f !== "src/core"), ...folders("src/core")].filter((f) => !/^(build|demo)/.test(f));
  for (const folder of want) assert.ok(told.has(folder), `docs/architecture.md does not tell ${folder}`);
  for (const folder of told) assert.ok(want.includes(folder) || want.includes(`src/${folder}`) || folder === "core", `${folder} is not there`);
  const sources = readdirSync(join(root, "src"), { recursive: true }).map(String);
  const code = sources.filter((f) => /\.[ch]$/.test(f)).map((f) => read(`src/${f}`)).join("\n");
  for (const [, name] of text.matchAll(/`(?:src\/)?((?:[a-z]+\/)*mdr_[\w/]+(?:\.\w)?)[^`]*`/g)) {
    const there = sources.some((f) => f.endsWith(name) || f.endsWith(`${name}.c`) || f.endsWith(`${name}.h`)) || new RegExp(`\\b${name}\\b`).test(code);
    assert.ok(there, `docs/architecture.md: ${name}`);
  }
});
