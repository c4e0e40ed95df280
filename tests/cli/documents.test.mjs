// What the documents say of the program, held against the program.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { test } from "node:test";
import { anchor, line_of, written } from "../../tools/api.mjs";
import { madder, program } from "./madder.mjs";

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
