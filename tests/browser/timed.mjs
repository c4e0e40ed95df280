// What a person waits for. Told in every run; held to only where nothing else has the processor, which is
// for whoever starts the tests to say: MADDER_TIMED=1 (script/bench).
import assert from "node:assert/strict";

export const median = (all) => [...all].sort((a, b) => a - b)[Math.floor(all.length / 2)];

export function in_time(t, words, ms, most_ms) {
  t.diagnostic(`${words}: ${ms.toFixed(1)} ms, at most ${most_ms}`);
  if (process.env.MADDER_TIMED) assert.ok(ms < most_ms, `${words}: ${ms} ms`);
}
