// Sentences for people stand in the catalogue (data/lang), not in C: every key that the sources name is there,
// is given as many parameters as it has places, and nothing stands there that nobody says.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

const root = new URL("../..", import.meta.url).pathname;
const read = (path) => readFileSync(join(root, path), "utf8");

/** Keys and texts of a catalogue, with how many places each has. */
function catalogue(path) {
  const rows = [...read(path).replace(/^#.*\n/gm, "").matchAll(/^([a-z0-9._-]+),(?:"((?:[^"]|"")*)"|([^"\n]*))$/gm)];
  return new Map(rows.slice(1).map(([, key, quoted, bare]) => [key, (quoted ?? bare).replaceAll('""', '"')]));
}
const places = (text) => {
  const named = new Set([...text.replaceAll("{{", "").matchAll(/\{(\d)\}/g)].map((m) => Number(m[1])));
  const n = Math.max(-1, ...named) + 1;
  return named.size === n ? n : NaN; // one is left out
};

/* Groups of en.csv whose keys are written out in the sources, as all of hold.csv are. */
const WRITTEN_OUT = /^(?:weigh|part|dyeing)\./;
const CALL = /\b(mdr_hold_say|mdr_lang_say)\(/g, KEY = /"((?:hold|weigh|part)\.[a-z0-9.-]+)"/g;

/** The arguments of a call, from the character behind its bracket. */
function argumentsOf(code, from) {
  const found = [];
  for (let at = from, depth = 0; ; at++) {
    const c = code[at];
    if (c === '"') at = code.slice(at + 1).search(/(?<!\\)"/) + at + 1;
    else if ("([{".includes(c)) depth++;
    else if (depth === 0 && ",)".includes(c)) {
      found.push({ text: code.slice(from, at), end: at });
      from = at + 1;
      if (c === ")") return found;
    } else if (")]}".includes(c)) depth--;
  }
}
/** What is said where: { key, n: parameters given }. A key that no call names directly is said without any. */
function saidIn(source) {
  const code = source.replace(/\/\*[^]*?\*\//g, " ").replace(/^[ \t]*#.*(?:\\\n.*)*/gm, ""), said = [], direct = new Set();
  for (const call of code.matchAll(CALL)) {
    const from = call.index + call[0].length, [, key, ...given] = argumentsOf(code, from), at = key.end - key.text.length;
    const keys = [...key.text.matchAll(KEY)];
    for (const k of keys) {
      direct.add(at + k.index);
      said.push({ key: k[1], n: given.length });
    }
    if (keys.length === 0) assert.equal(given.length, 0, `a key in a variable takes no parameters: ${call[0]}${key.text}`);
  }
  for (const k of code.matchAll(KEY)) if (!direct.has(k.index)) said.push({ key: k[1], n: 0 });
  return said;
}
function faults(texts, said) {
  const wrong = [];
  for (const [key, text] of texts) {
    if (Number.isNaN(places(text))) wrong.push(`${key}: a place between {0} and the last one is missing`);
    if (!said.some((s) => s.key === key)) wrong.push(`${key}: nobody says it`);
  }
  for (const { key, n, path } of said) {
    if (!texts.has(key)) wrong.push(`${path}: ${key} is not in the catalogue`);
    else if (places(texts.get(key)) !== n) wrong.push(`${path}: ${key} has ${places(texts.get(key))} places and is given ${n}`);
  }
  return wrong;
}

const sources = readdirSync(join(root, "src"), { recursive: true }).map((name) => join("src", String(name))).filter((path) => path.endsWith(".c"));
/** Keys made of the ids of a list, X(MDR_HOLD_PASS, "pass"). */
const listed = (path, pattern, group) => [...read(path).matchAll(pattern)].map((m) => ({ key: group + m[1], n: 0, path }));
const lists = [...listed("src/core/run/mdr_hold.h", /X\(MDR_HOLD_\w+, "([\w-]+)"\)/g, "hold.verdict."),
  ...listed("src/core/plan/mdr_plan_dyeing.h", /X\(MDR_DYEING_\w+, "([\w-]+)"\)/g, "dyeing.")];

test("every sentence that is said is in the catalogue with as many places, and every one of it is said", () => {
  const texts = new Map([...catalogue("data/lang/hold.csv"), ...[...catalogue("data/lang/en.csv")].filter(([key]) => WRITTEN_OUT.test(key))]);
  const said = sources.flatMap((path) => saidIn(read(path)).map((s) => ({ ...s, path })));
  assert.ok(texts.size > 230 && said.length > 230 && lists.length === 9, `${texts.size} texts, ${said.length} said, ${lists.length} listed`);
  assert.deepEqual(faults(texts, [...said.filter((s) => !s.key.endsWith(".")), ...lists]), []);
});

test("no sentence of a hold point is put together in C", () => {
  const wrong = sources.filter((path) => /\/mdr_hold(_\w+)?\.c$/.test(path) && path.startsWith("src/core")).flatMap((path) =>
    [...read(path).replace(/\/\*[^]*?\*\//g, " ").replace(/\b(?:MDR_FAIL|mdr_err_\w+)\([^;]*;/g, "").matchAll(/"((?:[^"\\\n]|\\.)*)"/g)]
      .map((m) => m[1]).filter((text) => /[a-z]+ [a-z(%]/i.test(text) && text !== "bleaching auxiliary").map((text) => `${path}: "${text}"`));
  assert.deepEqual(wrong, []);
});

test("what is wrong would be found", () => {
  const texts = new Map([["hold.a", "{0} kg of {1}"], ["hold.b", "Stop"], ["hold.c", "{1} only"], ["hold.d", "Go on"]]);
  const code = 'f(w, mdr_hold_say(w, n > 1 ? "hold.a" : "hold.b", mdr_lang_num(g(x, "),"), 1)), "hold.x"); k = "hold.c"; /* "hold.d" */';
  assert.deepEqual(faults(texts, saidIn(code).map((s) => ({ ...s, path: "p" }))), [
    "hold.c: a place between {0} and the last one is missing", "hold.d: nobody says it",
    "p: hold.a has 2 places and is given 1", "p: hold.b has 0 places and is given 1",
    "p: hold.x is not in the catalogue", "p: hold.c has NaN places and is given 0"]);
  assert.throws(() => saidIn("mdr_hold_say(w, key, mdr_lang_num(1, 0))"), /takes no parameters/);
});
