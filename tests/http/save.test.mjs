// What is stored, and what is not: lots, routes and tables, two people at once, a restart.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { serve } from "./server.mjs";

const LOT = "L26-0107";
const plan_of = async (s, lot = LOT) => (await s.get(`/api/lots/${lot}/plan`)).json;
const bytes_of = (s) => readFileSync(s.file).toString("base64");

test("every member of a lot can be saved, alone and together, and taken back", async (t) => {
  const s = await serve(t);
  let { lot } = await plan_of(s);
  const first = lot;
  for (const [change, headline, want] of [[{ load_kg: 950 }, "load_kg", 950], [{ ratio_l_per_kg: 9.5 }, "ratio_l_per_kg", 9.5],
    [{ speed_m_per_min: 60 }, "speed_m_per_min", 60], [{ load_kg: 900, ratio_l_per_kg: 10 }, "liquor_l", 9000]]) {
    const r = await s.put(`/api/lots/${LOT}`, { revision: lot.revision, ...change });
    assert.equal(r.status, 200, r.text.slice(0, 300));
    assert.equal(r.json.headline[headline].value, want, JSON.stringify(change));
    assert.equal(r.json.lot.revision, lot.revision + 1);
    assert.deepEqual(await plan_of(s), r.json, "the answer is the plan as stored");
    lot = r.json.lot;
  }
  const back = await s.put(`/api/lots/${LOT}`, { revision: lot.revision, load_kg: 0, speed_m_per_min: 0, tubes_used: 0, ratio_l_per_kg: first.ratio_l_per_kg });
  assert.equal(back.status, 200);
  assert.equal(back.json.headline.load_kg.value, 1000, "0: what the rolls weigh (docs/demo.md: 1000 kg)");
  const row = (await s.get("/api/tables/lot.csv")).text.split("\n").find((l) => l.startsWith(`${LOT},`));
  assert.match(row, /,,/, "what is left to rolls and machine is empty in the table");
});

test("saving does what trying said it would", async (t) => {
  const s = await serve(t);
  const { lot } = await plan_of(s);
  const change = { machine_id: "O4", route_id: "R-ENZ60", ratio_l_per_kg: 7, revision: lot.revision };
  const tried = await s.post(`/api/lots/${LOT}/plan`, change);
  assert.equal(tried.status, 200, tried.text.slice(0, 200));
  const saved = await s.put(`/api/lots/${LOT}`, change);
  assert.equal(saved.status, 200);
  for (const part of ["machine", "route", "headline", "baths", "totals", "warnings", "curve"]) assert.deepEqual(saved.json[part], tried.json[part], part);
});

test("two people save: one wins, the other is told, nothing is mixed", async (t) => {
  const s = await serve(t);
  const { lot } = await plan_of(s);
  const tries = await Promise.all([7.5, 8.5, 9.5, 10.5].map((ratio_l_per_kg) => s.put(`/api/lots/${LOT}`, { revision: lot.revision, ratio_l_per_kg })));
  assert.deepEqual(tries.map((r) => r.status).sort(), [200, 409, 409, 409]);
  const won = tries.find((r) => r.status === 200);
  const now = await plan_of(s);
  assert.equal(now.headline.ratio_l_per_kg.value, won.json.headline.ratio_l_per_kg.value);
  assert.equal(now.lot.revision, lot.revision + 1);
  const { error } = tries.find((r) => r.status === 409).json;
  assert.equal(error.code, "conflict");
  assert.equal(error.place, "revision");
  assert.equal(error.value, String(lot.revision));
  assert.equal(error.allowed, String(lot.revision + 1));
  assert.ok(error.remedy);
});

test("what is refused leaves the file as it was, to the byte", async (t) => {
  const s = await serve(t);
  const { lot, route } = await plan_of(s);
  const before = bytes_of(s);
  const { revision } = lot;
  for (const [body, want] of [[{ revision, ratio_l_per_kg: 100 }, 422], [{ revision, machine_id: "W9" }, 404], [{ revision, route_id: "R-NO" }, 404], [{ revision, route }, 422],
    [{ ratio_l_per_kg: 9 }, 422], [{}, 422], [{ revision: revision + 1, ratio_l_per_kg: 9 }, 409], [{ revision, ratio_l_per_kg: 9, x: 1 }, 422]]) {
    const r = await s.put(`/api/lots/${LOT}`, body);
    assert.equal(r.status, want, `${JSON.stringify(body).slice(0, 80)}: ${r.text.slice(0, 200)}`);
  }
  await s.post(`/api/lots/${LOT}/plan`, { load_kg: 700 });
  await s.get(`/api/lots/${LOT}/card.pdf`);
  await s.get("/api/check");
  await s.csv("/api/tables/roll", "roll_id,article_id,lot_id,grey_kg\nA,NO,,1\n");
  await s.put("/api/routes/R-MED60", { ...route, version: 9 });
  await s.put("/api/routes/R-MED60", { ...route, stages: [] });
  assert.equal(bytes_of(s), before);
});

test("a lot that cannot be planned as asked is not stored like that", async (t) => {
  const s = await serve(t);
  const none = await s.put("/api/lots/L26-0120", { revision: 1, ratio_l_per_kg: 9 });
  assert.equal(none.status, 422, "it has no rolls");
  assert.match(none.json.error.remedy, /rolls/);
});

const hold_of = (route) => route.stages.find((st) => st.kind === "dyeing").baths[0].steps.find((step) => step.do === "hold");

test("a route: version 2 after a change, kept over a restart, other routes keep their stages", async (t) => {
  const s = await serve(t);
  const { route } = await plan_of(s);
  const others = await Promise.all(["R-MED60-EL", "R-ENZ60", "R-DARK60"].map(async (id) => [id, (await s.get(`/api/routes/${id}`)).text]));
  const lots = (await s.get("/api/lots")).json.lots.filter((l) => l.route_id === "R-MED60");
  const others_plan = (await plan_of(s, "L26-0103")).headline;
  assert.equal(route.version, 1);
  hold_of(route).minutes += 11;
  const saved = await s.put("/api/routes/R-MED60", route);
  assert.equal(saved.status, 200, saved.text);
  assert.deepEqual(saved.json, { route_id: "R-MED60", version: 2, lots: lots.length });
  const listed = (await s.get("/api/routes")).json.routes.find((r) => r.route_id === "R-MED60");
  assert.equal(listed.version, 2);
  for (const [id, text] of others) assert.equal((await s.get(`/api/routes/${id}`)).text, text, `${id} itself has not changed`);
  assert.deepEqual((await plan_of(s, "L26-0103")).headline, others_plan);
  const stale = await s.put("/api/routes/R-MED60", { ...route, version: 1 });
  assert.equal(stale.status, 409);
  assert.equal(stale.json.error.place, "version");
  assert.match(stale.json.error.allowed, /2/);
  await s.stop();
  const again = await serve(t, s.file);
  const kept = await plan_of(again);
  assert.equal(kept.route.version, 2);
  assert.equal(hold_of(kept.route).minutes, hold_of(route).minutes);
});

test("a stage that was changed becomes the route's own; the route it came from stays", async (t) => {
  const s = await serve(t);
  const { route } = await plan_of(s);
  const taken = route.stages.find((st) => st.from_route === "R-PREP-STD" && st.baths.length > 1);
  const source = (await s.get("/api/routes/R-PREP-STD")).text;
  taken.baths[0].steps.find((step) => step.do === "hold").minutes += 5;
  assert.equal((await s.put("/api/routes/R-MED60", route)).status, 200);
  const kept = (await s.get("/api/routes/R-MED60")).json;
  const own = kept.stages.find((st) => st.name === taken.name);
  assert.ok(!own.from_route && own.baths.length === taken.baths.length);
  assert.equal((await s.get("/api/routes/R-PREP-STD")).text, source);
});

test("a change of a shared stage reaches the routes that take it; taking it away is refused", async (t) => {
  const s = await serve(t);
  const prep = (await s.get("/api/routes/R-PREP-STD")).json;
  const before = (await plan_of(s)).headline.total_min.value;
  const scour = prep.stages.find((st) => st.kind === "preparation");
  scour.baths[0].steps.find((step) => step.do === "hold" && step.minutes >= 30).minutes += 13;
  const saved = await s.put("/api/routes/R-PREP-STD", prep);
  assert.equal(saved.status, 200, saved.text);
  assert.ok(Math.abs((await plan_of(s)).headline.total_min.value - before - 13) < 0.01, "13 minutes more, and a little less peroxide for the acid to meet");
  const renamed = { ...prep, version: 2, stages: prep.stages.map((st) => (st === scour ? { ...st, name: "Something else" } : st)) };
  const broken = await s.put("/api/routes/R-PREP-STD", renamed);
  assert.equal(broken.status, 409, broken.text);
  assert.match(broken.json.error.place, /^route R-/);
  assert.match(broken.json.error.message, /no such stage/);
  assert.match(broken.json.error.remedy, /takes a stage from here/);
  assert.equal((await plan_of(s)).lot.lot_id, LOT, "the lot can still be planned");
});

test("a new route under its own name; a document of another name is refused", async (t) => {
  const s = await serve(t);
  const route = { ...(await s.get("/api/routes/R-MED60")).json, route_id: "R-TRIAL", name: "Trial" };
  const other = await s.put("/api/routes/R-OTHER", route);
  assert.equal(other.status, 409);
  assert.deepEqual([other.json.error.place, other.json.error.value, other.json.error.allowed], ["route_id", "R-TRIAL", "R-OTHER"]);
  assert.equal((await s.get("/api/routes/R-OTHER")).status, 404);
  const made = await s.put("/api/routes/R-TRIAL", route);
  assert.equal(made.status, 200, made.text);
  assert.deepEqual(made.json, { route_id: "R-TRIAL", version: 1, lots: 0 });
  const { lot } = await plan_of(s);
  const moved = await s.put(`/api/lots/${LOT}`, { revision: lot.revision, route_id: "R-TRIAL" });
  assert.equal(moved.json.route.route_id, "R-TRIAL");
  assert.equal((await s.get("/api/routes")).json.routes.find((r) => r.route_id === "R-TRIAL").lots, 1);
});

test("a route with faults: all of them, each with its place; unknown materials too", async (t) => {
  const s = await serve(t);
  const route = (await s.get("/api/routes/R-MED60")).json;
  const own = route.stages.findIndex((st) => st.baths?.length > 0);
  route.stages[own].baths[0].steps = [{ do: "fill", temp_c: 400 }, { do: "dose", minutes: 5, items: [{ material_id: "NO SUCH", basis: "g_per_l", amount: -1 }] },
    { do: "check", minutes: 2, check: { kind: "ph", low: 7, high: 6, on_fail: "stop" } }, { do: "drain" }, { do: "hold", minutes: 1 }];
  const r = await s.put("/api/routes/R-MED60", route);
  assert.equal(r.status, 422);
  const at = (i, field) => `stages[${own}].baths[0].steps[${i}].${field}`;
  const places = r.json.error.more.map((e) => e.place);
  for (const want of [at(0, "temp_c"), at(1, "items[0].material_id"), at(1, "items[0].amount"), at(2, "check.low"), at(4, "do")]) assert.ok(places.includes(want), `${want} in ${places}`);
  route.stages[own].baths[0].steps = [{ do: "fill", temp_c: 40 }, { do: "dose", minutes: 5, items: [{ material_id: "NONE-1", basis: "g_per_l", amount: 1 }, { material_id: "SODA", basis: "table", table_id: "NONE-2", amount: 1 }] }, { do: "drain" }];
  const unknown = await s.put("/api/routes/R-MED60", route);
  assert.ok([404, 422].includes(unknown.status), unknown.text);
  assert.deepEqual(unknown.json.error.more.map((e) => e.value).filter((v) => v.startsWith("NONE")).sort(), ["NONE-1", "NONE-2"]);
  for (const e of unknown.json.error.more) assert.ok(e.place.startsWith(`stages[${own}].`) && e.remedy, JSON.stringify(e));
});

test("stages in a circle over two routes are refused with the circle named", async (t) => {
  const s = await serve(t);
  const prep = (await s.get("/api/routes/R-PREP-STD")).json;
  const i = prep.stages.findIndex((st) => st.kind === "preparation");
  const name = prep.stages[i].name;
  prep.stages[i] = { kind: "preparation", name, from_route: "R-MED60", from_stage: name };
  const r = await s.put("/api/routes/R-PREP-STD", prep);
  assert.equal(r.status, 409, r.text);
  assert.match(r.json.error.message, /circle: R-PREP-STD \/ .* -> R-MED60 \/ .* -> R-PREP-STD/);
});

test("an import lists every bad cell with line and column, and changes nothing", async (t) => {
  const s = await serve(t);
  const before = (await s.get("/api/tables/machine.csv")).text;
  const [header, ...rows] = before.trimEnd().split("\n");
  const columns = header.split(",");
  const spoil = (row, column, value) => {
    const cells = rows[row].match(/(?<=^|,)("(?:[^"]|"")*"|[^",]*)(?=,|$)/g);
    assert.equal(cells.length, columns.length);
    cells[columns.indexOf(column)] = value;
    rows[row] = cells.join(",");
  };
  const bad = [[0, "load_max_kg", "lots"], [0, "kind", "boat"], [2, "tubes", "1.5"], [2, "temp_max_c", "400"], [4, "machine_id", "W 1"], [5, "name", ""]];
  for (const [row, column, value] of bad) spoil(row, column, value);
  const r = await s.csv("/api/tables/machine", [header, ...rows, ""].join("\n"));
  assert.equal(r.status, 422);
  assert.equal(r.json.error.total, bad.length, r.text);
  const places = r.json.error.more.map((e) => e.place);
  for (const [row, column] of bad) assert.ok(places.includes(`machine.csv:${row + 2}:${column}`), `${row + 2}:${column} in ${places}`);
  for (const e of r.json.error.more) assert.ok(e.message && (e.allowed || e.remedy), JSON.stringify(e));
  assert.equal((await s.get("/api/tables/machine.csv")).text, before);
  assert.deepEqual((await s.get("/api/tables/machine")).text, before, "with and without .csv");
});

test("an import is in the next plan", async (t) => {
  const s = await serve(t);
  const csv = (await s.get("/api/tables/site.csv")).text.trimEnd().split("\n");
  const columns = csv[0].split(",");
  const cells = csv[1].split(",");
  cells[columns.indexOf("water_minor_per_m3")] = "100000";
  const before = (await plan_of(s)).headline.utilities_minor.value;
  const r = await s.csv("/api/tables/site", `${csv[0]}\n${cells.join(",")}\n`);
  assert.deepEqual(r.json, { rows: 1 });
  const after = await plan_of(s);
  assert.equal(after.site.water_minor_per_m3, 100000);
  assert.ok(after.headline.utilities_minor.value > before + 1000);
});
