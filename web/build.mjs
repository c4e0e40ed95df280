// Type-checks and bundles the app into DIST: node build.mjs DIST
// DIST is served as it is; the binary embeds exactly these files (cmake/Tools.cmake).
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { build } from "esbuild";

const BUDGET_GZ = 60 * 1024; // first load without fonts

const here = dirname(fileURLToPath(import.meta.url));
const dist = process.argv[2];
if (!dist) {
  console.error("usage: node build.mjs DIST");
  process.exit(2);
}
mkdirSync(dist, { recursive: true });

try {
  execFileSync(process.execPath, [join(here, "node_modules/typescript/bin/tsc"), "--noEmit"], {
    cwd: here,
    stdio: "inherit",
  });
} catch {
  process.exit(1); // tsc has said what is wrong
}

await build({
  absWorkingDir: here,
  entryPoints: { app: "src/main.tsx" },
  outdir: dist,
  bundle: true,
  minify: true,
  format: "esm",
  target: ["es2022", "chrome100", "firefox100", "safari15.4"],
  jsx: "automatic",
  jsxImportSource: "preact",
  external: ["*.woff2"], // fetched at run time, not bundled
  legalComments: "none",
  logLevel: "warning",
});

const copies = [
  ["src/index.html", "index.html"],
  ["src/icon.svg", "icon.svg"],
  ["node_modules/@fontsource-variable/inter/files/inter-latin-opsz-normal.woff2", "inter-latin.woff2"],
  ["node_modules/@fontsource-variable/inter/files/inter-latin-ext-opsz-normal.woff2", "inter-latin-ext.woff2"],
];
for (const [from, to] of copies) copyFileSync(join(here, from), join(dist, to));

let total = 0;
for (const name of ["app.js", "app.css"]) {
  const bytes = readFileSync(join(dist, name));
  const gz = gzipSync(bytes, { level: 9 }).length;
  total += gz;
  console.log(`${name.padEnd(10)} ${kb(bytes.length)}  gz ${kb(gz)}`);
}
console.log(`first load gz ${kb(total)} of ${kb(BUDGET_GZ)}`);
if (total > BUDGET_GZ) {
  console.error("The first load is over its budget: remove something, or load it later.");
  process.exit(1);
}

function kb(n) {
  return `${(n / 1024).toFixed(1)} kB`;
}
