// What tests/soak/years.mjs measured, as "NAME VALUE" lines. usage: node bench/events.mjs YEARS.json
import { readFileSync } from "node:fs";

const { rows, exponents } = JSON.parse(readFileSync(process.argv[2], "utf8"));
const NAMES = ["hall", "floor", "append", "lots", "verify"];
console.log(`events_sizes ${rows.map((r) => r.events).join("|")}`);
for (const name of NAMES) {
  console.log(`events_${name} ${rows.map((r) => r[`${name}_ms`].toFixed(2)).join("|")}`);
  console.log(`events_${name}_exponent ${exponents[`${name}_ms`]}`);
}
