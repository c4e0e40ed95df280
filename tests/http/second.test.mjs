// Two people at a weighing, and weighings that are corrected: what blocks the dose, what moves stock.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Floor, entryId } from "./batch_kit.mjs";
import { BADGE, give_badge, mill_with_people, password_of, sign_in } from "./people.mjs";
import { serve } from "./server.mjs";

const items = async (who) => (await who.get("/api/weighing")).json.items;

/** A lot at a dose that is due; everything of it weighed, its first material above the tolerance. */
async function weighed(who) {
  const floor = await Floor.start(who, "L26-0101");
  await floor.enter({ kind: "batch-begun" });
  const step = await floor.run((s) => s.kind === "dose");
  let seq = 0;
  for (const item of step.items) {
    const line = (await items(who)).find((i) => i.batch_id === floor.batchId && i.step === step.key && i.item === item.item);
    const first = item.item === 1;
    const { event } = await floor.enter({ kind: "weighed", step: step.key, item: item.item, material_id: item.material_id, manual: true, mass_mg: first ? line.tolerance_high_mg + 1 : item.mass_mg, ...(first ? { text: "lumps" } : {}) });
    if (first) seq = event.seq;
  }
  return { floor, step, seq };
}

test("a dose whose weighing another person has to check does not begin before", async (t) => {
  const mill = mill_with_people(t, ["technologist", "weigh-room", "operator"]);
  give_badge(mill);
  const s = await serve(t, mill);
  const techno = await sign_in(s, "technologist");
  const omar = await sign_in(s, BADGE);
  const { floor, step, seq } = await weighed(techno);
  const waits = floor.state.to_check.filter((x) => x.step === step.key);
  assert.ok(floor.state.check_blocks && waits.some((x) => x.item === 1 && x.weighed_by === "p-technologist"), JSON.stringify(floor.state.to_check));
  const begin = { kind: "step-begun", step: step.key };
  const refused = await floor.send(begin);
  assert.equal(refused.status, 409, refused.text);
  assert.equal(refused.json.error.place, "step");
  assert.match(refused.json.error.message, /not checked the weighing of/);
  assert.match(refused.json.error.remedy, /weigh room/);
  const check = { kind: "weighing-checked", step: step.key, item: 1, of_seq: seq };
  const self = await floor.send(check);
  assert.deepEqual([self.status, self.json.error.place], [409, "by"]);
  const own = await floor.send({ ...check, signature: { password: password_of("technologist") } });
  assert.deepEqual([own.status, own.json.error.place], [409, "by"], "nor by a signature");
  // the second person at the same screen, by badge and PIN
  const wrong = await floor.send({ ...check, signature: { badge: BADGE.badge, pin: "739155" } });
  assert.equal(wrong.status, 401);
  const { event } = await floor.enter({ ...check, signature: BADGE });
  assert.deepEqual([event.by, event.signed_by, event.meaning], ["p-technologist", "p-operator", "checked"]);
  assert.equal(floor.step(step.key).items[0].checked_by, "p-operator");
  // whatever else of the dose asks for two is checked by him on his own screen
  const his = new Floor(omar, floor.batchId, floor.state);
  for (const x of floor.state.to_check.filter((y) => y.step === step.key)) {
    const line = floor.step(step.key).items.find((i) => i.item === x.item);
    await his.enter({ kind: "weighing-checked", step: step.key, item: x.item, of_seq: line.weighed_seq });
  }
  await his.enter(begin);
  assert.equal(his.step(step.key).state, "running");
});

test("without people nothing blocks", async (t) => {
  const s = await serve(t);
  const { floor, step } = await weighed(s);
  assert.equal(floor.state.check_blocks, false);
  assert.ok(floor.state.to_check.some((x) => x.step === step.key), "and what should be checked is still told");
  await floor.enter({ kind: "step-begun", step: step.key });
});

test("a corrected weighing moves the difference of the stock, and asks for its check anew", async (t) => {
  const mill = mill_with_people(t, ["technologist", "operator", "weigh-room"]);
  give_badge(mill);
  const s = await serve(t, mill);
  const techno = await sign_in(s, "technologist");
  const { floor, step, seq } = await weighed(techno);
  await floor.enter({ kind: "weighing-checked", step: step.key, item: 1, of_seq: seq, signature: BADGE });
  const line = async () => (await items(techno)).find((i) => i.batch_id === floor.batchId && i.step === step.key && i.item === 1);
  const before = await line();
  const corrected = { kind: "corrected", of_seq: seq, field: "mass_mg", was: String(before.weighed_mg), is: String(before.mass_mg), text: "read the wrong line" };
  const his = await (await sign_in(s, BADGE)).post(`/api/batches/${floor.batchId}/events`, { entry_id: entryId(), ...corrected });
  assert.equal(his.status, 403, "it moves stock");
  for (const [change, status, place] of [[{ is: "0" }, 422, "is"], [{ is: "1,5" }, 422, "is"], [{ is: "-3" }, 422, "is"], [{ is: "99999999999999" }, 422, "is"], [{ is: "9999999999999" }, 422, "is"], [{ text: "" }, 422, "text"], [{ field: "stock_lot", is: "NONE" }, 404, "is"]]) {
    const r = await floor.send({ ...corrected, ...change });
    assert.deepEqual([r.status, r.json.error.place], [status, place], r.text);
  }
  assert.equal((await line()).stock.mg, before.stock.mg, "what is refused books nothing");
  const entry = { ...corrected, entry_id: entryId() };
  await floor.enter(entry);
  assert.equal((await floor.send(entry)).json.again, true);
  const after = await line();
  assert.equal(after.weighed_mg, before.mass_mg);
  assert.equal(after.stock.mg, before.stock.mg + (before.weighed_mg - before.mass_mg), "once, however often it is sent");
  const item = floor.step(step.key).items[0];
  assert.deepEqual([item.weighed_mg, item.checked_seq, item.checked_by], [before.mass_mg, 0, ""], "the check was of another mass");
  // out of another container: put back there, taken here
  const receive = (id) => techno.post("/api/stock", { entry_id: entryId(), stock_lot_id: id, material_id: before.material_id, mass_mg: 9_000_000 });
  assert.equal((await receive("C-1")).status, 200);
  const left = async (id) => (await line()).containers.find((c) => c.stock_lot_id === id).left_mg;
  await floor.enter({ kind: "corrected", of_seq: seq, field: "stock_lot", is: "C-1", text: "wrong label" });
  assert.equal(await left("C-1"), 9_000_000 - before.mass_mg);
  assert.equal((await line()).stock.mg, after.stock.mg + 9_000_000);
  // once weighed anew, the old weighing is history: correcting it moves nothing
  await floor.enter({ kind: "weighed", step: step.key, item: 1, material_id: before.material_id, mass_mg: before.mass_mg - 1, manual: true, stock_lot: "C-1" });
  const anew = await line();
  assert.equal(await left("C-1"), 9_000_000 - before.mass_mg + 1);
  await floor.enter({ ...corrected, is: "77" });
  assert.equal((await line()).stock.mg, anew.stock.mg);
  assert.equal((await line()).weighed_mg, before.mass_mg - 1);
});
