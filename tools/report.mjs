// Fills the places of docs/reliability.md that scripts write: between "<!-- NAME -->" and "<!-- end -->".
import { readFileSync, writeFileSync } from "node:fs";
import { cpus, loadavg } from "node:os";

const path = new URL("../docs/reliability.md", import.meta.url).pathname;
const row = (...cells) => `| ${cells.join(" | ")} |`;

export const whole = (n) => n.toLocaleString("en").replaceAll(",", " ");
export const table = (head, rows) => [row(...head), row(...head.map(() => "---")), ...rows.map((r) => row(...r))];
/** When, where, by what. */
export function measured(command) {
  const when = new Date().toISOString().slice(0, 16).replace("T", " ");
  const model = (cpus()[0]?.model ?? "unknown").replace(/\s+(\d+-Core )?Processor.*/, "");
  return `Measured ${when} UTC, ${cpus().length} cores, ${model}; load of the machine at the end ${loadavg()[0].toFixed(2)}: \`${command}\`.`;
}

export function fill(name, lines) {
  const text = readFileSync(path, "utf8");
  const mark = new RegExp(`(<!-- ${name} -->\\n)[^]*?(<!-- end -->)`);
  if (!mark.test(text)) throw new Error(`docs/reliability.md has no place for ${name}`);
  writeFileSync(path, text.replace(mark, (_, a, b) => `${a}${lines.join("\n")}\n${b}`));
}
