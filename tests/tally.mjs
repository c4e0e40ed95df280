// What tests looked at, a line each, for script/proofs to count. Without MADDER_TALLY (a folder) nothing is written.
import { appendFileSync } from "node:fs";
import { join } from "node:path";

export function tally(what, row) {
  if (process.env.MADDER_TALLY) appendFileSync(join(process.env.MADDER_TALLY, `${what}.jsonl`), `${JSON.stringify(row)}\n`);
}
