// A mill that has run for years.
import assert from "node:assert/strict";

/** n lots that are done, OLD-001 on, copied from one of the demo mill that is. */
export async function long_ago(server, n) {
  const [head, ...rows] = (await server.get("/api/tables/lot.csv")).text.trim().split(/\r?\n/);
  const [, ...rest] = rows.find((row) => row.split(",").includes("done")).split(",");
  const added = Array.from({ length: n }, (_, i) => [`OLD-${String(i + 1).padStart(3, "0")}`, ...rest].join(","));
  const r = await server.csv("/api/tables/lot", `${[head, ...added].join("\n")}\n`);
  assert.equal(r.status, 200, r.text.slice(0, 500));
}
