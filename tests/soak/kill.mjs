// The power goes at random moments while four tablets write: what was acknowledged, and what is left of it.
import { killRounds } from "../http/kill_kit.mjs";
import { load_average, must, quick, run, tell } from "./kit.mjs";

const before = load_average();
const rounds = Number(process.env.MADDER_KILL_ROUNDS ?? (quick ? 25 : 1000));
const after = [];
const told = await killRounds({ after: (f) => after.push(f) }, rounds, (words) => process.stderr.write(`${words}\n`));
const verify = run("verify", "--mill", told.file);
must(/as it was written/.test(verify), verify);
after.forEach((f) => f());
must(told.lost === 0 && told.doubled === 0, JSON.stringify(told));
tell({ rounds, acknowledged: told.acknowledged, lost: told.lost, doubled: told.doubled, chain: "whole" }, before);
