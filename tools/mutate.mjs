// Small faults, one at a time, into src/core: do the tests notice? A mutant is one sign, number, condition or
// statement of one line that the tests run (tools/coverage.mjs says which). It is compiled alone and linked
// before the library into the tests of its module, then into those of its folder, until one fails: first
// those that noticed something of this file before, then the quick ones; none that does not link the file.
// A mutant whose machine code is that of the original is none, and another is drawn.
// usage: mutate.mjs BUILD_DIR COVERED.json OUT_DIR [--again] [--count N] [--seed N] FOLDER...
//   --again   only what survived when OUT_DIR was written
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";

const argv = process.argv.slice(2);
const option = (name, otherwise) => {
  const at = argv.indexOf(name);
  return at < 0 ? otherwise : Number(argv.splice(at, 2)[1]);
};
const COUNT = option("--count", 30), SEED = option("--seed", 1), AGAIN = argv.includes("--again");
const [built, coveredFile, outDir, ...folders] = argv.filter((a) => a !== "--again"), build = resolve(built);
const root = new URL("..", import.meta.url).pathname;
const covered = JSON.parse(readFileSync(coveredFile, "utf8"));
const explained = JSON.parse(readFileSync(join(root, "tests/mutation/explained.json"), "utf8"));
const tmp = mkdtempSync(join(tmpdir(), "madder-mutate-"));
process.on("exit", () => rmSync(tmp, { recursive: true, force: true }));
for (const signal of ["SIGINT", "SIGTERM"]) process.on(signal, () => process.exit(1));
const signals = () => new Promise((go) => setImmediate(go)); // everything else waits for its command: no signal is heard

function generator(seed) { // mulberry32: the same mutants from the same seed
  return () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/* -- what can be broken in a line -- */

const SWAPS = [
  [/ < /g, [" <= ", " >= "]], [/ <= /g, [" < ", " > "]], [/ > /g, [" >= ", " <= "]], [/ >= /g, [" > ", " < "]],
  [/ == /g, [" != "]], [/ != /g, [" == "]], [/ && /g, [" || "]], [/ \|\| /g, [" && "]],
  [/ \+ /g, [" - "]], [/ - /g, [" + "]], [/ \* /g, [" / "]], [/ \/ /g, [" * "]],
  [/ \+= /g, [" -= "]], [/ -= /g, [" += "]], [/ \*= /g, [" /= "]], [/ \/= /g, [" *= "]],
  [/\+\+/g, ["--"]], [/\breturn true;/g, ["return false;"]], [/\breturn false;/g, ["return true;"]],
  [/\breturn (?!true|false|NULL|MDR_)([^;]*(?: [<>=!]=? | && | \|\| )[^;?]*);/g, ["return !($1);"]],
  [/(?<![\w.])(\d+)(?![\w.])/g, [(n) => String(Number(n) + 1)]],
  [/(?<![\w.])(\d+\.\d+)(?![\w.])/g, [(n) => (Number(n) === 0 ? "0.1" : String(Number(n) * 1.1))]],
];
const STATEMENT = /^\s+(?!return|break|continue|goto|else|case|const|static|double|int|bool|char|size_t|int64_t|unsigned|struct|mdr_\w+ \*?\w+ =|mdr_\w+ \w+;)(\w[\w.\[\]>-]*(?:\(.*\)| [-+*/|&]?= .*|\+\+|--));$/;

/** Blanks for what is no code, so that columns stay. */
function codeOf(text) {
  const blank = (s) => s.replace(/[^\n]/g, " ");
  return text.replace(/\/\*[^]*?\*\/|\/\/.*|"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'|^[ \t]*#.*(?:\\\n.*)*/gm, blank);
}
function mutantsOf(file) {
  const text = readFileSync(join(root, file), "utf8"), code = codeOf(text).split("\n"), lines = text.split("\n"), all = [];
  for (const n of covered[file] ?? []) {
    const line = lines[n - 1], bare = code[n - 1];
    const put = (from, to, with_) => all.push({ file, n, was: line.trim(), line: line.slice(0, from) + with_ + line.slice(to) });
    for (const [pattern, others] of SWAPS) {
      for (const m of bare.matchAll(pattern)) {
        for (const o of others) {
          const whole = line.slice(m.index, m.index + m[0].length);
          put(m.index, m.index + whole.length, typeof o === "function" ? o(m[1]) : o.includes("$1") ? whole.replace(/return ([^]*);/, "return !($1);") : o);
        }
      }
    }
    if (STATEMENT.test(bare) && bare.split("(").length === bare.split(")").length) put(line.search(/\S/), line.length, ";");
  }
  return all.filter((m) => m.line.trim() !== m.was).map((m) => ({ ...m, becomes: m.line.trim() }));
}

/* -- building one -- */

function textOf(m) {
  const lines = readFileSync(join(root, m.file), "utf8").split("\n");
  lines[m.n - 1] = m.line;
  return lines.join("\n");
}

const commands = JSON.parse(readFileSync(join(build, "compile_commands.json"), "utf8"));
/** Every way the file is compiled; some are twice. */
function compile(file, text, to) {
  const from = join(tmp, "mutant.c");
  writeFileSync(from, `#line 1 "${join(root, file)}"\n${text}`);
  return commands.filter((c) => c.file === join(root, file)).map((c, i) => {
    const object = join(tmp, `${to}${i}.o`);
    const how = c.command.replace(/ -o \S+ -c \S+$/, "").replace(/ -g\b/, "").replace(/ -Werror\b/, "");
    const r = spawnSync("sh", ["-c", `${how} -O1 -w -o ${object} -c ${from}`], { cwd: c.directory });
    return r.status === 0 ? object : null;
  });
}
const bytes = (objects) => objects.map((o) => readFileSync(o, "latin1")).join();

/* -- the tests of a module -- */

const tests = ["unit", "property", "oracle"].flatMap((d) => readdirSync(join(root, "tests", d)).filter((f) => /^test_\w+\.c$/.test(f)).map((f) => join(root, "tests", d, f)));
function headers(file, seen = new Set()) {
  for (const [, h] of readFileSync(file, "utf8").matchAll(/^#include "([^"]+)"/gm)) {
    const kit = join(root, "tests/unit", h);
    if (!seen.has(h)) {
      seen.add(h);
      if (existsSync(kit)) headers(kit, seen);
    }
  }
  return seen;
}
const known = tests.map((t) => ({ name: basename(t, ".c"), headers: headers(t) }));
/* Seconds are those of the processor: how busy the machine is makes no test slow, and no mutant hang. */
const usual = new Map(); // of a test that passes
function seconds(test) {
  if (!usual.has(test)) {
    const r = spawnSync("sh", ["-c", '"$0" >/dev/null 2>&1; passed=$?; times; exit $passed', join(build, "tests", test)], { cwd: join(build, "tests"), encoding: "utf8", timeout: 300000 });
    const [, ...spent] = r.stdout.match(/(\d+)m([\d.]+)s (\d+)m([\d.]+)s\s*$/) ?? [];
    usual.set(test, r.status === 0 ? 60 * spent[0] + Number(spent[1]) + 60 * spent[2] + Number(spent[3]) : Infinity);
    if (r.status !== 0) console.log(`${test} is left out: ${r.error ?? `it fails by itself (${r.status})`}`);
  }
  return usual.get(test);
}
/** What binaries or objects define for others. */
function namesOf(files) {
  const r = spawnSync("nm", ["--defined-only", "--extern-only", "--format=posix", ...files], { encoding: "utf8", maxBuffer: 1 << 26 });
  return new Set(r.stdout.split("\n").map((l) => l.split(" ")[0]).filter((n) => n !== "" && !n.endsWith(":")));
}
const inTest = new Map();
/** A member of a library is linked as a whole: without one of its names the test does not have it. */
function has(test, file) {
  if (!inTest.has(test)) inTest.set(test, namesOf([join(build, "tests", test)]));
  return [...originals.get(file).names].some((n) => inTest.get(test).has(n));
}
const kills = new Map(); // "file test" -> mutants
function testsOf(file) {
  const stem = basename(file, ".c").replace(/^mdr_/, ""), folder = file.split("/").slice(1, 3).join("/");
  const near = (t) => (t.name === `test_${stem}` ? 0 : stem.startsWith(t.name.slice(5)) || t.name.slice(5).startsWith(stem) ? 1 : t.headers.has(`${folder}/mdr_${stem}.h`) ? 2 : 3);
  return known.filter((t) => [...t.headers].some((h) => h.startsWith(`${folder}/`)) || near(t) < 3)
    .map((t) => ({ name: t.name, near: near(t), kills: kills.get(`${file} ${t.name}`) ?? 0 }))
    .sort((a, b) => a.near - b.near || b.kills - a.kills || (usual.get(a.name) ?? 1) - (usual.get(b.name) ?? 1));
}
const links = new Map();
function link(test, objects) {
  if (!links.has(test)) links.set(test, execFileSync("ninja", ["-C", build, "-t", "commands", `tests/${test}`], { encoding: "utf8" }).trim().split("\n").at(-1));
  const to = join(tmp, "test");
  const r = spawnSync("sh", ["-c", links.get(test).replace(/ -o \S+/, ` ${objects.join(" ")} -s -o ${to}`)], { cwd: build });
  if (r.status !== 0) throw new Error(`${test} cannot be linked: ${r.stderr}`);
  return to;
}
function killer(m, objects) {
  for (const t of testsOf(m.file)) {
    if (!has(t.name, m.file)) continue;
    const s = seconds(t.name);
    if (s > 30) continue; // nobody waits for it thirty times over
    const most_s = Math.ceil(Math.max(5, 6 * s));
    const r = spawnSync("sh", ["-c", `ulimit -t ${most_s}; exec "$0"`, link(t.name, objects)], { cwd: join(build, "tests"), stdio: "ignore", timeout: 10000 * most_s, killSignal: "SIGKILL" });
    if (r.status === 0) continue;
    kills.set(`${m.file} ${t.name}`, t.kills + 1);
    return r.status === null ? `${t.name} (${r.signal})` : t.name;
  }
  return null;
}

/* -- a round -- */

const is_explained = (m) => explained.some((e) => e.file === m.file && e.was === m.was && e.becomes === m.becomes);
const originals = new Map(); // file -> machine code, and names for others
/** What became of it; null: it is none. */
function judge(m) {
  const objects = compile(m.file, textOf(m), "mutant");
  if (!originals.has(m.file)) {
    const whole = compile(m.file, readFileSync(join(root, m.file), "utf8"), "whole");
    originals.set(m.file, { bytes: bytes(whole), names: namesOf(whole) });
  }
  if (objects.includes(null) || bytes(objects) === originals.get(m.file).bytes) return null;
  const by = killer(m, objects), reason = is_explained(m);
  console.log(`${by ? `killed by ${by}` : reason ? "explained" : "SURVIVED"}: ${m.file}:${m.n}: ${m.was}  ->  ${m.becomes}`);
  return by ? "killed" : reason ? "explained" : "survived";
}
function take(result, m, verdict) {
  if (verdict === "survived") result.survived.push({ file: m.file, line: m.n, was: m.was, becomes: m.becomes });
  else result[verdict]++;
}
const save = (result) => writeFileSync(join(outDir, `${basename(result.folder)}.json`), JSON.stringify(result, null, 1));

async function round(folder) {
  const next = generator(SEED), pool = Object.keys(covered).filter((f) => f.startsWith(`src/${folder}/`) && f.endsWith(".c")).flatMap(mutantsOf);
  const result = { folder, seed: SEED, mutants: 0, killed: 0, explained: 0, survived: [], redrawn: 0, pool: pool.length };
  while (result.mutants < COUNT && pool.length > 0) {
    await signals();
    const m = pool.splice(Math.floor(next() * pool.length), 1)[0], verdict = judge(m);
    if (verdict === null) result.redrawn++;
    else {
      result.mutants++;
      take(result, m, verdict);
      save(result);
    }
  }
  return result;
}
async function again(folder) {
  const result = JSON.parse(readFileSync(join(outDir, `${basename(folder)}.json`), "utf8")), left = result.survived;
  result.survived = [];
  for (const s of left) {
    await signals();
    const m = { file: s.file, n: s.line, was: s.was, becomes: s.becomes, line: s.becomes };
    const there = readFileSync(join(root, s.file), "utf8").split("\n")[s.line - 1].trim() === s.was;
    take(result, m, is_explained(m) ? "explained" : there ? (judge(m) ?? "explained") : "survived");
  }
  save(result);
  return result;
}
mkdirSync(outDir, { recursive: true });
let left = 0;
for (const folder of folders) left += (await (AGAIN ? again(folder) : round(folder))).survived.length;
process.exitCode = left > 0 ? 1 : 0;
