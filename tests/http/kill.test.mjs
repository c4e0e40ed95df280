// The power goes in the middle of it: nothing that was acknowledged is lost, nothing is there twice.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { test } from "node:test";
import { killRounds } from "./kill_kit.mjs";
import { program } from "./server.mjs";

const ROUNDS = Number(process.env.MADDER_KILL_ROUNDS ?? 12);

test(`the server is killed ${ROUNDS} times while four tablets write`, async (t) => {
  const told = await killRounds(t, ROUNDS);
  assert.ok(told.acknowledged >= ROUNDS, `only ${told.acknowledged} entries were acknowledged`);
  assert.equal(told.lost, 0, "acknowledged entries that are not in the record");
  assert.equal(told.doubled, 0, "entries that are there twice");
  const verify = spawnSync(program, ["verify", "--mill", told.file], { encoding: "utf8" });
  assert.equal(verify.status, 0, verify.stdout + verify.stderr);
  assert.match(verify.stdout, /as it was written/);
});
