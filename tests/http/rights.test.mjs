// Every role at every endpoint: answered or refused as the table says, and nothing without signing in.
import assert from "node:assert/strict";
import { test } from "node:test";
import { tally } from "../tally.mjs";
import { ROLES, mill_with_people, sign_in } from "./people.mjs";
import { serve } from "./server.mjs";

// What changes something, written down a second time; all else only reads.
const CHANGES = {
  "POST /api/laboratory/samples": "lab-enter",
  "POST /api/laboratory/dips": "lab-enter",
  "PUT /api/laboratory/dips/{id}": "lab-enter",
  "PUT /api/shades/{id}/recipe": "lab-approve",
  "POST /api/tables/{id}": "table-import",
  "PUT /api/lots/{id}": "plan-change",
  "PUT /api/routes/{id}": "route-change",
  "POST /api/stock": "weigh",
  "POST /api/lots/{id}/batches": "run-start",
  "POST /api/batches/{id}/events": "record",
  "GET /api/record.jsonl": "record-export",
  "GET /api/record.csv": "record-export",
  "GET /api/people": "people-change",
  "POST /api/people": "people-change",
  "PUT /api/people/{id}": "people-change",
  "DELETE /api/people/{id}/sessions": "people-change",
};
const NOTHING_READ_YET = ["GET /api/batches/{id}/remedies"];
const NOWHERE = { lots: "NONE-1", orders: "NONE-1", routes: "NONE-1", dyes: "NONE-1", tables: "none", people: "none", batches: "NONE.1" };
const OPEN = ["GET /api/session", "POST /api/session", "DELETE /api/session"];
const SELF = ["POST /api/session/lock", "POST /api/session/unlock"];

const path_of = (pattern, ids) => pattern.replace("{id}", () => ids[pattern.split("/")[2]] ?? "none") + (pattern.endsWith("/why") ? "?figure=total_min" : pattern.endsWith("/remedies") ? `?step=${ids.check}` : "");
const body_of = (method, pattern) => {
  if (method === "GET" || method === "DELETE") return [undefined, {}];
  return pattern.startsWith("/api/tables/") ? ["x\n", { "content-type": "text/csv" }] : ["[", { "content-type": "application/json" }];
};

async function a_batch(person, lot) {
  const { revision } = (await person.get(`/api/lots/${lot}/plan`)).json.lot;
  const r = await person.post(`/api/lots/${lot}/batches`, { revision });
  assert.equal(r.status, 200, r.text.slice(0, 300));
  return r.json.batch.batch_id;
}

test("the full matrix of roles and endpoints", async (t) => {
  const s = await serve(t, mill_with_people(t));
  const people = {};
  for (const role of ROLES) people[role] = await sign_in(s, role);
  const { rights, endpoints } = (await people.lab.get("/api/rights")).json;
  assert.deepEqual(rights.roles.map((r) => r.role), ROLES);
  const may = Object.fromEntries(rights.actions.map((a) => [a.action, a.roles]));
  const { lots } = (await people.lab.get("/api/lots")).json;
  const { orders } = (await people.lab.get("/api/orders")).json;
  const { routes } = (await people.lab.get("/api/routes")).json;
  const ids = { lots: "L26-0107", orders: orders[0].order_id, routes: routes[0].route_id, dyes: "RR-1", tables: "dye", people: "none" };
  assert.ok(lots.some((l) => l.lot_id === ids.lots));
  const dye = (await people.lab.get("/api/tables/dye")).text.split("\n").find((l) => l && !l.startsWith("#") && !l.startsWith("dye_id"));
  ids.dyes = dye.split(",")[0];
  ids.batches = await a_batch(people.technologist, ids.lots);
  ids.check = (await people.lab.get(`/api/batches/${ids.batches}`)).json.steps.find((step) => step.kind === "check").key;
  assert.ok(endpoints.length >= 50);
  for (const { method, pattern, action } of endpoints) {
    const row = `${method} ${pattern}`;
    const [body, headers] = body_of(method, pattern);
    const out = await s.send(method, path_of(pattern, ids), body, headers);
    tally("roles", { of: "endpoints", role: "nobody signed in", row, may: OPEN.includes(row), refused: out.status === 401, status: out.status });
    if (OPEN.includes(row)) {
      assert.equal(action, "open", row);
      assert.notEqual(out.status, 401, row);
      continue;
    }
    assert.equal(out.status, 401, `${row} without signing in`);
    assert.equal(out.json.error.code, "sign_in");
    assert.equal(out.headers.get("set-cookie"), null);
    if (SELF.includes(row)) {
      assert.equal(action, "self", row);
      continue;
    }
    assert.equal(action, CHANGES[row] ?? "read", row);
    // The first who may gets the answer; that the others may too shows on a record that is not there,
    // without everything being calculated for each of them.
    const first = ROLES.find((role) => may[action].includes(role));
    for (const role of ROLES) {
      const allowed = may[action].includes(role);
      const spared = allowed && role !== first && method === "GET" && pattern.includes("{id}");
      const r = await people[role].send(method, path_of(pattern, spared ? { ...NOWHERE, check: ids.check } : ids), body, headers);
      tally("roles", { of: "endpoints", role, row, may: allowed, refused: r.status === 403, status: r.status });
      if (!allowed) {
        assert.equal(r.status, 403, `${role}: ${row}`);
        assert.equal(r.json.error.code, "denied");
      } else if (spared) {
        assert.equal(r.status, 404, `${role}: ${row}: ${r.text.slice(0, 200)}`);
      } else if (NOTHING_READ_YET.includes(row)) {
        assert.equal(r.status, 409, `${role}: ${row}: ${r.text.slice(0, 200)}`);
      } else if (method === "GET") {
        assert.equal(r.status, 200, `${role}: ${row}: ${r.text.slice(0, 200)}`);
      } else {
        assert.ok([404, 422].includes(r.status), `${role}: ${row}: ${r.status}`); // heard, and found wrong
      }
    }
  }
});

test("who may enter a dip need not be one who decides", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab", "quality"]));
  const lab = await sign_in(s, "lab");
  const quality = await sign_in(s, "quality");
  const dips = (await lab.get("/api/laboratory")).json.shades.flatMap((x) => x.dips);
  const dip = dips.find((d) => d.state === "made" || d.state === "submitted");
  assert.ok(dip, "a dip that is not decided");
  const path = `/api/laboratory/dips/${dip.dip_id}`;
  const decide = { revision: dip.revision, state: "rejected", by: "the customer" };
  const refused = await lab.put(path, decide);
  assert.equal(refused.status, 403);
  assert.equal(refused.json.error.place, "state");
  const entered = await lab.put(path, { revision: dip.revision, remark: "measured twice" });
  assert.equal(entered.status, 200, entered.text);
  assert.equal((await quality.put(path, { ...decide, revision: entered.json.dip.revision })).status, 200);
});

// The right of each entry, written down a second time.
const KINDS = {
  "batch-begun": "run-start", "step-begun": "run-enter", "step-ended": "run-enter", "step-skipped": "remedy-approve", weighed: "weigh",
  "weighing-checked": "run-enter", dosed: "run-enter", reading: "run-enter", "remedy-approved": "remedy-approve", interrupted: "run-enter",
  resumed: "run-enter", "taken-over": "run-enter", remark: "record", corrected: "run-enter", "batch-stopped": "run-start",
  "batch-released": "release", "batch-rejected": "release",
};
const DECISIONS = { pass: "run-enter", repeat: "run-enter", correct: "run-enter", accept: "remedy-approve", stop: "remedy-approve" };

test("every kind of entry by every role", async (t) => {
  const s = await serve(t, mill_with_people(t));
  const people = {};
  for (const role of ROLES) people[role] = await sign_in(s, role);
  const may = Object.fromEntries((await people.lab.get("/api/rights")).json.rights.actions.map((a) => [a.action, a.roles]));
  const batch = await a_batch(people.technologist, "L26-0107");
  const rows = [...Object.entries(KINDS).map(([kind, action]) => [{ kind }, action]), ...Object.entries(DECISIONS).map(([decision, action]) => [{ kind: "decision", decision }, action])];
  let n = 0;
  for (const [entry, action] of rows) {
    for (const role of ROLES) {
      // a batch that nobody may begin by its name, so that nothing but the right is asked
      const r = await people[role].post("/api/batches/NONE.1/events", { entry_id: `matrix-${++n}-entry`, interrupt: "steam", value: 1, remedy_id: "x", ...entry });
      tally("roles", { of: "entries", role, row: entry.decision ?? entry.kind, may: may[action].includes(role), refused: r.status === 403, status: r.status });
      assert.equal(r.status, may[action].includes(role) ? 404 : 403, `${role}: ${JSON.stringify(entry)}: ${r.text.slice(0, 200)}`);
    }
  }
  assert.equal((await people.lab.get(`/api/batches/${batch}/events`)).json.events.length, 1);
});
