// Draws into docs/architecture.md who may see whom, from the rules of tools/check_layers.sh, and who does, from the
// sources. usage: layers.mjs [--check]      --check: writes nothing, fails where the page is not as it would be written
import { readFileSync, readdirSync, writeFileSync } from "node:fs";

const root = new URL("..", import.meta.url).pathname;
const page = `${root}docs/architecture.md`;
const read = (name) => readFileSync(`${root}${name}`, "utf8");

/** Map folder -> folders it may include, itself left out. */
export function rules_of(script) {
  return new Map([...script.matchAll(/^rule (\w+) +'([\w|]+)'$/gm)].map(([, folder, may]) => [folder, may.split("|").filter((f) => f !== folder)]));
}

/** Folders by height: each stands above all that it may include. */
export function levels_of(may) {
  const height = new Map();
  const of = (folder) => {
    if (!height.has(folder)) height.set(folder, 1 + Math.max(-1, ...may.get(folder).map(of)));
    return height.get(folder);
  };
  const rows = [];
  for (const folder of may.keys()) (rows[of(folder)] ??= []).push(folder);
  return rows.reverse();
}

/** What the files of a folder include: folders of ours, headers from outside. */
function included(folder) {
  const files = readdirSync(`${root}src/${folder}`, { recursive: true }).filter((f) => /\.(c|h|def)$/.test(f));
  const all = files.flatMap((f) => [...read(`src/${folder}/${f}`).matchAll(/^\s*#\s*include\s+(["<])([\w.\/-]+)/gm)]);
  const of = (kind) => [...new Set(all.filter((m) => m[1] === kind).map((m) => m[2]))].sort();
  return { ours: new Set(of('"').map((f) => f.split("/")[0])), outside: of("<") };
}

const WORDS = {
  cli: "the command line; starts the server", http: "the server", app: "use cases: one call, one transaction", wire: "JSON and files of spectra",
  mill: "the mill file", card: "paper", core: "PURE: what is computed", lock: "digests, secrets", num: "interpolation, solvers", base: "errors, arena, CSV, decimals, language",
};

export function drawn() {
  const script = read("tools/check_layers.sh");
  const may = rules_of(script);
  const rows = levels_of(may);
  const wide = Math.max(...rows.map((r) => r.join("   ").length));
  const centre = (text) => " ".repeat(Math.floor((wide - text.length) / 2)) + text;
  const picture = ["main", ...rows.map((r) => r.join("   "))].map((text, i) => {
    const words = i === 0 ? "" : rows[i - 1].map((f) => WORDS[f] ?? "").join(" | ");
    return `    ${centre(text).padEnd(wide)}   ${words}`.trimEnd();
  });
  const only = new Map([...script.matchAll(/^only (\w+) +'([^']+)'$/gm)].map(([, folder, list]) => [folder, new RegExp(`^${list}`)]));
  const table = rows.flat().map((folder) => {
    const { ours, outside } = included(folder);
    const cell = may.get(folder).map((f) => (ours.has(f) ? f : `(${f})`)).join(", ");
    const own = outside.filter((f) => only.get(folder)?.test(f)).map((f) => `\`${f}\``);
    return `| \`${folder}\` | ${cell || "nothing"} | ${own.join(", ")} |`;
  });
  return ["```", ...picture, "```", "", "| folder | may include; in brackets what it does not | headers from outside, nowhere else |", "| --- | --- | --- |", ...table];
}

export function written(text) {
  const mark = /(<!-- layers -->\n)[^]*?(<!-- end -->)/;
  if (!mark.test(text)) throw new Error("docs/architecture.md has no place <!-- layers --> ... <!-- end -->");
  return text.replace(mark, (_, a, b) => `${a}${drawn().join("\n")}\n${b}`);
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const was = readFileSync(page, "utf8");
  const is = written(was);
  if (process.argv[2] === "--check") {
    if (is !== was) {
      console.error("docs/architecture.md is not as tools/check_layers.sh and the sources have it: run script/docs");
      process.exit(1);
    }
  } else writeFileSync(page, is);
}
