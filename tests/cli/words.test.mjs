// One word for one thing: no text that people read has a word that docs/words.md turns away.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { join } from "node:path";

const program = process.env.MADDER ?? new URL("../../build/release/madder", import.meta.url).pathname;
const root = new URL("../..", import.meta.url).pathname;
const read = (path) => readFileSync(join(root, path), "utf8");
const below = (folder) => readdirSync(join(root, folder), { recursive: true }).map((name) => join(folder, String(name)));

const [glossary, ours = ""] = read("docs/words.md").split("Nobody at a machine");
const cells = (line) => line.split("|").slice(1, -1).map((cell) => cell.trim());
const rows = glossary.split("\n").filter((line) => line.startsWith("|")).slice(2).map(cells);
const turned_away = rows.flatMap(([word, , not]) => not.split(", ").filter(Boolean).map((other) => [other, word]));
const of_programs = ours.split("\n").filter((line) => line.startsWith("|")).slice(2).flatMap((line) => cells(line)[0].split(", "));

/** Words in quotation marks: what a file may show. */
const quoted = (text) => [...text.replace(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$|^#include.*$/gm, "").matchAll(/"((?:[^"\\\n]|\\.)*)"|`([^`]*)`/g)]
  .map((m) => (m[1] ?? m[2]).replace(/\$\{[^}]*\}/g, " ")).filter((words) => /\s|^[A-Z]/.test(words)).join("\n");
function help() {
  const run = (...args) => spawnSync(program, args, { encoding: "utf8" }).stdout;
  const commands = [...run("help").matchAll(/^ {2}([a-z]+) /gm)].map((m) => m[1]);
  assert.ok(commands.length > 20, "the commands are found");
  return commands.map((one) => run("help", one)).join("\n");
}
const screens = below("web/src").filter((path) => /words\.ts$|Words\.ts$/.test(path));
const texts = new Map([
  ...below("data/lang").map((path) => [path, read(path).replace(/^#.*$/gm, "")]),
  ...screens.map((path) => [path, quoted(read(path))]),
  ...below("src/card").filter((path) => path.endsWith(".c")).map((path) => [path, quoted(read(path))]),
  ...below("src/core/run").filter((path) => /mdr_hold.*\.(c|def)$/.test(path)).map((path) => [path, quoted(read(path))]),
]);
const holds = (text, word) => new RegExp(`(?<![\\w-])${word.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}(?![\\w-])`, "i").exec(text);
function look(all, words, why) {
  const wrong = [];
  for (const [path, text] of all)
    for (const [word, instead] of words) {
      const found = holds(text, word);
      if (found) wrong.push(`${path}: "${text.slice(Math.max(0, found.index - 30), found.index + 40)}": ${why(word, instead)}`);
    }
  assert.deepEqual(wrong, []);
}

test("a word that is turned away stands on no screen, card or label, in no help and in no demo data", () => {
  assert.ok(turned_away.length > 40 && screens.length > 7, "the list and the screens are found");
  const all = new Map([...texts, ["madder help", help()],
    ...below("data/demo").filter((path) => /(article|chemical|dye|machine|shade|finisher)\.csv$|\.json$/.test(path)).map((path) => [path, read(path)])]);
  look(all, turned_away, (word, instead) => `write "${instead}", not "${word}" (docs/words.md)`);
});

test("the words of programs stand on no screen, card or label", () => {
  assert.ok(of_programs.length > 8);
  look(texts, of_programs.map((word) => [word, ""]), (word) => `"${word}" is no word of a dyehouse (docs/words.md)`);
});

test("a word that is turned away would be found", () => {
  const [[word]] = turned_away;
  assert.throws(() => look(new Map([["a card", `the ${word} of today`]]), turned_away, () => "found"), /found/);
  assert.equal(holds("rejoined", "join"), null);
});
