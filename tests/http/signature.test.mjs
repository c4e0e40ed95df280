// Signatures: who approves, accepts outside the limits and releases gives the password once more.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor, entryId } from "./batch_kit.mjs";
import { BADGE, give_badge, mill_with_people, password_of, sign_in } from "./people.mjs";
import { serve } from "./server.mjs";

const LOT = "L26-0101";
const signed = (role) => ({ person_id: `p-${role}`, password: password_of(role) });

/** A lot of that person, at its first hold point with limits, read outside them. */
async function held(person, kind = undefined) {
  const floor = await Floor.start(person, LOT);
  await floor.enter({ kind: "batch-begun" });
  const check = await floor.run((step) => step.kind === "check" && (kind ? step.check.kind === kind : step.check.low !== null || step.check.high !== null));
  const { high, low, most } = check.check;
  const value = kind === "peroxide" ? 30 : high !== null ? high + 0.9 * (most - high) : low / 2;
  const { event } = await floor.enter({ kind: "reading", step: check.key, value });
  return { floor, check, accept: { kind: "decision", step: check.key, of_seq: event.seq, decision: "accept", text: "agreed" }, event };
}
const events = async (s, floor) => (await s.get(`/api/batches/${floor.batchId}/events`)).json.events;

test("accepting outside the limits is signed: with the own password, kept with name, role, meaning and time", async (t) => {
  const s = await serve(t, mill_with_people(t, ["technologist"]));
  const techno = await sign_in(s, "technologist");
  const { floor, check, accept } = await held(techno);
  const bare = await floor.send(accept);
  assert.equal(bare.status, 422, bare.text);
  assert.equal(bare.json.error.place, "signature");
  assert.match(bare.json.error.remedy, /password/);
  for (const signature of [{ password: "wrong" }, { password: password_of("manager") }, { password: "" }]) {
    const r = await floor.send({ ...accept, signature });
    assert.equal(r.status, 401, r.text);
    assert.ok(!r.text.includes(signature.password || "~"), "a secret is not repeated");
  }
  for (const [signature, place] of [[{ person_id: "p-manager" }, "signature"], [{ password: "x", pin: "739154" }, "signature"], [{ person_id: "a", badge: "b", password: "x" }, "signature"], [{ secret: "x" }, "signature.secret"], [{ password: 7 }, "signature.password"]]) {
    const r = await floor.send({ ...accept, signature });
    assert.equal(r.status, 422, r.text);
    assert.equal(r.json.error.place, place, r.text);
  }
  assert.equal((await events(techno, floor)).filter((e) => e.kind === "decision").length, (await events(techno, floor)).filter((e) => e.decision === "pass").length);
  const before = Date.now();
  const entry = { ...accept, entry_id: entryId(), signature: { password: password_of("technologist") } };
  const { event } = await floor.enter(entry);
  assert.deepEqual([event.meaning, event.signed_by, event.signed_name, event.signed_as, event.by], ["accepted outside limits", "p-technologist", "A technologist", "technologist", "p-technologist"]);
  assert.ok(event.signed_utc_ms >= before && event.signed_utc_ms <= Date.now());
  assert.equal(floor.step(check.key).state, "done");
  const again = await floor.send({ ...accept, entry_id: entry.entry_id });
  assert.equal(again.status, 200, again.text);
  assert.equal(again.json.again, true, "what was signed is not signed twice");
  assert.ok(!JSON.stringify(await events(techno, floor)).includes("four words"), "the record holds no secret");
  const remark = await floor.send({ kind: "remark", text: "x", signature: { password: password_of("technologist") } });
  assert.equal(remark.json.error.place, "signature");
  const forged = await floor.send({ kind: "remark", text: "x", meaning: "approved", signed_by: "p-manager", signed_name: "A manager" });
  assert.equal(forged.status, 422);
  assert.equal(forged.json.error.place, "meaning");
});

test("somebody else signs at the screen of the operator; the right is that of who signs", async (t) => {
  const mill = mill_with_people(t, ["operator", "technologist", "quality", "weigh-room"]);
  give_badge(mill);
  const s = await serve(t, mill);
  const omar = await sign_in(s, BADGE);
  const techno = await sign_in(s, "technologist");
  const { floor, check, event } = await held(techno, "peroxide");
  const tablet = new Floor(omar, floor.batchId, floor.state);
  const best = (await omar.get(`/api/batches/${floor.batchId}/remedies?step=${check.key}`)).json.remedies[0];
  const approve = { kind: "remedy-approved", step: check.key, of_seq: event.seq, remedy_id: best.remedy_id };
  assert.equal((await tablet.send(approve)).status, 403, "not his to approve");
  const own = await tablet.send({ ...approve, signature: { pin: BADGE.pin } });
  assert.equal(own.status, 403, own.text);
  const other = await tablet.send({ ...approve, signature: signed("weigh-room") });
  assert.equal(other.status, 403, "a role without the right");
  assert.equal(other.json.error.place, "remedy-approve");
  const pin = await tablet.send({ ...approve, signature: { person_id: "p-technologist", pin: "123789" } });
  assert.equal(pin.json.error.place, "badge", pin.text);
  const unknown = await tablet.send({ ...approve, signature: { person_id: "p-nobody", password: "four words for nobody" } });
  const wrong = await tablet.send({ ...approve, signature: { person_id: "p-technologist", password: "four words for nobody" } });
  assert.deepEqual([unknown.status, unknown.text], [401, wrong.text], "who is known is not told");
  const r = await tablet.enter({ ...approve, signature: signed("technologist") });
  assert.deepEqual([r.event.by, r.event.signed_by, r.event.meaning], ["p-operator", "p-technologist", "approved"]);
  assert.equal(tablet.state.batch.remedies, 1);
});

test("wrong secrets wait as at signing in, and are counted with them", async (t) => {
  const s = await serve(t, mill_with_people(t, ["technologist"]));
  const techno = await sign_in(s, "technologist");
  const { floor, accept } = await held(techno);
  for (let i = 0; i < 5; i++) assert.equal((await floor.send({ ...accept, signature: { password: "wrong" } })).status, 401);
  const waits = await floor.send({ ...accept, signature: { password: password_of("technologist") } });
  assert.equal(waits.status, 429, waits.text);
  assert.ok(Number(waits.headers.get("retry-after")) >= 1);
  assert.equal((await s.post("/api/session", { person_id: "p-technologist", password: password_of("technologist") })).status, 429);
  assert.equal((await events(techno, floor)).at(-1).kind, "reading", "nothing was stored");
});

test("a release is signed, and where the mill says so not by who accepted", async (t) => {
  const s = await serve(t, mill_with_people(t, ["quality"]));
  const quality = await sign_in(s, "quality");
  const manager = await sign_in(s, "manager");
  const rows = (await manager.get("/api/tables/site")).text.split("\n");
  const head = rows.findIndex((line) => line.startsWith("name,"));
  assert.ok(rows[head].split(",").includes("release_by_other"), rows[head]);
  rows[head + 1] = rows[head + 1].replace(/,[^,]*$/, ",yes");
  const set = await manager.send("POST", "/api/tables/site", rows.join("\n"), { "content-type": "text/csv" });
  assert.equal(set.status, 200, set.text);
  const { floor, accept } = await held(manager);
  await floor.enter({ ...accept, signature: { person_id: "p-quality", password: password_of("quality") } });
  await floor.run();
  const release = { kind: "batch-released" };
  assert.equal((await floor.send(release)).json.error.place, "signature");
  const same = await floor.send({ ...release, signature: signed("quality") });
  assert.equal(same.status, 409, same.text);
  assert.equal(same.json.error.place, "signature");
  assert.match(same.json.error.message, /accepted/);
  await floor.enter({ ...release, signature: { password: password_of("manager") } });
  const report = (await quality.get(`/api/batches/${floor.batchId}/report`)).json;
  assert.deepEqual(report.signatures.map((x) => [x.meaning, x.person_id, x.name, x.roles]), [["accepted outside limits", "p-quality", "A quality", "quality"], ["released", "p-manager", "A manager", "manager"]]);
  assert.ok(report.signatures.every((x) => x.signed_utc_ms > 0 && x.seq > 0));
  assert.equal((await quality.get(`/api/batches/${floor.batchId}/report.pdf`)).status, 200);
});

test("a mill without people asks for no signature and keeps none", async (t) => {
  const s = await serve(t);
  const { floor, accept } = await held(s);
  const { event } = await floor.enter(accept);
  assert.ok(!("signed_by" in event) && !("meaning" in event));
  await floor.run();
  await floor.enter({ kind: "batch-released" });
  assert.deepEqual((await s.get(`/api/batches/${floor.batchId}/report`)).json.signatures, []);
});
