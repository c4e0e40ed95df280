// Type-checks and bundles the app into DIST: node build.mjs DIST
// DIST is served as it is; the binary embeds the files that DIST/products.txt lists (cmake/Tools.cmake).
//
// The frame and its first place are app.js and app.css; every other place is a module of src/pages
// that comes when it is asked for, as PLACE-HASH.js with PLACE-HASH.css. The hash keeps an app that
// stands open from mixing with the files of a newer server: they are not found, and it says so.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { build } from "esbuild";

const BUDGET_GZ = 60 * 1024; // first load without fonts
const MAIN = "src/main.tsx";

const here = dirname(fileURLToPath(import.meta.url));
const dist = process.argv[2];
if (!dist) {
  console.error("usage: node build.mjs DIST");
  process.exit(2);
}
mkdirSync(dist, { recursive: true });
const LIST = join(dist, "products.txt");
if (existsSync(LIST)) for (const old of readFileSync(LIST, "utf8").split("\n").filter(Boolean)) rmSync(join(dist, old), { force: true });

try {
  execFileSync(process.execPath, [join(here, "node_modules/typescript/bin/tsc"), "--noEmit"], {
    cwd: here,
    stdio: "inherit",
  });
} catch {
  process.exit(1); // tsc has said what is wrong
}

const target = ["es2022", "chrome100", "firefox100", "safari15.4"];
/** The bundler would put a sheet that two places share into both; so sheets are gathered by hand. */
const withoutSheets = {
  name: "without-sheets",
  setup: (b) => b.onLoad({ filter: /\.css$/ }, () => ({ contents: "", loader: "js" })),
};
function bundle(pageCss, write) {
  return build({
    absWorkingDir: here,
    entryPoints: { app: MAIN },
    chunkNames: "[name]-[hash]",
    outdir: dist,
    bundle: true,
    splitting: true,
    minify: true,
    format: "esm",
    target,
    jsx: "automatic",
    jsxImportSource: "preact",
    define: { PAGE_CSS: JSON.stringify(pageCss) },
    plugins: [withoutSheets],
    legalComments: "none",
    logLevel: "warning",
    metafile: true,
    write,
  });
}

// Which sheets are whose: one that a single place needs comes with it, all others with the app.
const { inputs } = (await bundle({}, false)).metafile;
const places = pagesOf(MAIN);
const sheets = new Map([MAIN, ...places].map((entry) => [entry, sheetsOf(entry)]));
const users = (sheet) => [...sheets.values()].filter((all) => all.includes(sheet)).length;
const alone = (place) => sheets.get(place).filter((sheet) => users(sheet) === 1);
const everywhere = [...new Set([...sheets.get(MAIN), ...[...sheets.values()].flat().filter((sheet) => users(sheet) > 1)])];

const pageCss = {};
await writeCss("app.css", everywhere);
for (const place of places) {
  const own = alone(place);
  if (own.length) pageCss[nameOf(place)] = await writeCss(`${nameOf(place)}-HASH.css`, own);
}
const { outputs } = (await bundle(pageCss, true)).metafile;
const scripts = Object.entries(outputs).map(([path, out]) => ({ ...out, name: basename(path), imports: out.imports.map((i) => ({ ...i, name: basename(i.path) })) }));

const first = withStatic("app.js");
const html = readFileSync(join(here, "src/index.html"), "utf8");
const preloads = first.filter((name) => name !== "app.js").map((name) => `<link rel="modulepreload" href="${name}">\n`).join("");
writeFileSync(join(dist, "index.html"), html.replace("</head>", `${preloads}</head>`));
const copies = [
  ["src/icon.svg", "icon.svg"],
  ["node_modules/@fontsource-variable/inter/files/inter-latin-opsz-normal.woff2", "inter-latin.woff2"],
  ["node_modules/@fontsource-variable/inter/files/inter-latin-ext-opsz-normal.woff2", "inter-latin-ext.woff2"],
];
for (const [from, to] of copies) copyFileSync(join(here, from), join(dist, to));
const products = ["index.html", "app.css", ...scripts.map((s) => s.name), ...Object.values(pageCss), ...copies.map(([, to]) => to)];

const total = report("first load", [...first, "app.css"], BUDGET_GZ);
for (const place of places) {
  const script = scripts.find((s) => s.entryPoint === place).name;
  const css = pageCss[nameOf(place)];
  report(nameOf(place), [...withStatic(script).filter((name) => !first.includes(name)), ...(css ? [css] : [])]);
}
if (total > BUDGET_GZ) {
  console.error("The first load is over its budget: remove something, or load it later.");
  process.exit(1);
}
writeFileSync(LIST, products.map((name) => `${name}\n`).join(""));

function nameOf(path) {
  return basename(path).replace(/\.tsx?$/, "");
}
/** The modules that come later, as the app asks for them. */
function pagesOf(entry) {
  return [...new Set(closure(entry).flatMap((path) => imported(path, "dynamic-import")))];
}
function imported(path, kind) {
  return inputs[path].imports.filter((i) => i.kind === kind && !i.external).map((i) => i.path);
}
/** A module and all that it needs at once, in the order of their running. */
function closure(path, seen = new Set()) {
  if (seen.has(path)) return [];
  seen.add(path);
  return [...imported(path, "import-statement").flatMap((next) => closure(next, seen)), path];
}
function sheetsOf(entry) {
  return closure(entry).filter((path) => path.endsWith(".css"));
}
async function writeCss(name, paths) {
  const { outputFiles } = await build({
    absWorkingDir: here,
    stdin: { contents: paths.map((path) => `@import "./${path}";\n`).join(""), resolveDir: here, loader: "css" },
    bundle: true,
    minify: true,
    target,
    external: ["*.woff2"], // fetched at run time, not bundled
    logLevel: "warning",
    write: false,
  });
  const [{ contents }] = outputFiles;
  const hash = createHash("sha256").update(contents).digest("hex").slice(0, 8).toUpperCase();
  const out = name.replace("HASH", hash);
  writeFileSync(join(dist, out), contents);
  return out;
}
/** A script and the scripts it cannot start without. */
function withStatic(name, seen = new Set()) {
  if (seen.has(name)) return [];
  seen.add(name);
  const next = scripts.find((s) => s.name === name).imports.filter((i) => i.kind === "import-statement");
  return [name, ...next.flatMap((i) => withStatic(i.name, seen))];
}
function report(what, names, budget) {
  let bytes = 0;
  let gz = 0;
  for (const name of names) {
    const content = readFileSync(join(dist, name));
    bytes += content.length;
    gz += gzipSync(content, { level: 9 }).length;
  }
  console.log(`${what.padEnd(10)} ${kb(bytes)}  gz ${kb(gz)}${budget ? ` of ${kb(budget)}` : ""}`);
  return gz;
}
function kb(n) {
  return `${(n / 1024).toFixed(1)} kB`;
}
