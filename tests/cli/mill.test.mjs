// The mill file from the command line: new, lists, plan, why, documents, tables, bad input.
import assert from "node:assert/strict";
import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { demo, madder, scratch } from "./madder.mjs";

const LOT = "L26-0107";
const json = (args, options) => JSON.parse(madder([...args, "--json"], options).out);
const digest = (file) => readFileSync(file).toString("base64");

test("new makes a file once; a second time is refused and changes nothing", (t) => {
  const dir = scratch(t);
  const mill = demo(dir);
  const before = digest(mill);
  const again = madder(["new", mill, "--demo"]);
  assert.equal(again.status, 1);
  assert.match(again.err, /demo\.mill/);
  assert.equal(digest(mill), before);
  assert.equal(json(["new", mill]).error.code, "conflict");
  assert.deepEqual(readdirSync(dir), ["demo.mill"]);
});

test("an empty mill can be listed and checked", (t) => {
  const mill = join(scratch(t), "empty.mill");
  assert.equal(madder(["new", mill]).status, 0);
  assert.match(madder(["lots", "--mill", mill]).out, /\(none\)/);
});

test("a mill file that is not there, and one that is none", (t) => {
  const dir = scratch(t);
  const gone = madder(["lots", "--mill", join(dir, "gone.mill")]);
  assert.equal(gone.status, 1);
  assert.match(gone.err, /gone\.mill/);
  assert.ok(!existsSync(join(dir, "gone.mill")), "reading must not create a file");
  writeFileSync(join(dir, "text.mill"), "this is no mill\n".repeat(100));
  const text = madder(["lots", "--mill", join(dir, "text.mill")]);
  assert.equal(text.status, 1);
  assert.match(text.err, /text\.mill/);
});

test("MADDER_MILL names the mill; --mill wins; options may stand anywhere", (t) => {
  const dir = scratch(t);
  const mill = demo(dir);
  const by_env = madder(["lots"], { env: { MADDER_MILL: mill } });
  assert.equal(by_env.status, 0, by_env.err);
  const wins = madder(["--mill", mill, "lots"], { env: { MADDER_MILL: join(dir, "gone.mill") } });
  assert.equal(wins.out, by_env.out);
  assert.deepEqual(json(["--mill", mill, "lots"]), json(["lots", `--mill=${mill}`]));
});

test("lists: as text and as JSON", (t) => {
  const mill = demo(scratch(t));
  for (const list of ["lots", "orders", "machines", "routes"]) {
    const text = madder([list, "--mill", mill]);
    assert.equal(text.status, 0, text.err);
    const data = json([list, "--mill", mill]);
    const items = Array.isArray(data) ? data : Object.values(data).find(Array.isArray);
    assert.ok(items.length >= 8, `${list}: ${items.length}`);
    assert.equal(text.out.trim().split("\n").length, items.length + 1);
    for (const line of text.out.split("\n")) assert.ok([...line].length <= 100, line);
    const id = Object.values(items[0])[0];
    assert.ok(text.out.includes(id), `${list}: ${id}`);
    assert.ok(!text.out.includes("\x1b"), "no colours when not on a terminal");
  }
});

test("plan: text fits, has every bath and the sum; JSON has figures; what-ifs are obeyed", (t) => {
  const mill = demo(scratch(t));
  const text = madder(["plan", LOT, "--mill", mill]);
  assert.equal(text.status, 0, text.err);
  const plan = json(["plan", LOT, "--mill", mill]);
  for (const line of text.out.split("\n")) assert.ok([...line].length <= 100, line);
  assert.match(text.out, /invented/);
  assert.equal(text.out.match(/^Bath \d+/gm).length, plan.baths.length);
  assert.ok(!text.out.includes("\x1b"));
  const ascii = madder(["plan", LOT, "--mill", mill], { env: { LC_ALL: "C" } });
  assert.ok(!/[\u2800-\u28ff]/.test(ascii.out), "no Braille in a plain locale");
  const light = json(["plan", LOT, "--mill", mill, "--load-kg", "500"]);
  assert.equal(light.headline.load_kg.value, 500);
  assert.ok(light.headline.chemicals_kg.value < plan.headline.chemicals_kg.value);
  const text2 = madder(["plan", LOT, "--mill", mill, "--load-kg", "500"]);
  assert.match(text2.out, /Load +500 kg/);
});

test("plan of a lot, machine or route that is not there: says so, with near ones", (t) => {
  const mill = demo(scratch(t));
  const cases = [["plan", "L26-9999"], ["plan", LOT, "--machine", "M-99"], ["plan", LOT, "--route", "NONE"], ["card", "L26-9999", "-o", "x.pdf"], ["advise", "O-none"]];
  for (const args of cases) {
    const r = madder([...args, "--mill", mill]);
    assert.equal(r.status, 1, args.join(" "));
    assert.equal(r.out, "");
    const { error } = json([...args, "--mill", mill]);
    assert.equal(error.code, "not_found", JSON.stringify(error));
    assert.ok(error.message.length > 0);
  }
});

test("numbers a lot cannot have are refused with the range", (t) => {
  const mill = demo(scratch(t));
  for (const [opt, v] of [["--load-kg", "-5"], ["--ratio", "-1"], ["--ratio", "1000"], ["--speed", "-3"]]) {
    const { error } = json(["plan", LOT, "--mill", mill, opt, v]);
    assert.equal(error.code, "out_of_range", `${opt} ${v}: ${JSON.stringify(error)}`);
    assert.ok(error.allowed.length > 0, `${opt} ${v}: ${JSON.stringify(error)}`);
  }
  for (const opt of ["--load-kg", "--ratio", "--speed"]) {
    const r = madder(["plan", LOT, "--mill", mill, opt, "0"]);
    assert.equal(r.status, 2);
    assert.match(r.err, new RegExp(`${opt} 0`));
  }
});

test("plan: warnings say where; no line ends in blanks", (t) => {
  const mill = demo(scratch(t));
  const { out } = madder(["plan", LOT, "--mill", mill]);
  assert.match(out, /^  note +Bath 5 Dyeing, step \d+ at \d+:\d\d: The dose lasts/m);
  for (const line of out.split("\n")) assert.ok(!line.endsWith(" "), JSON.stringify(line));
});

test("why: many inputs alike are counted, and JSON has each of them", (t) => {
  const mill = demo(scratch(t));
  const { out } = madder(["why", LOT, "load_kg", "--mill", mill]);
  const more = Number(out.match(/and (\d+) more like these/)?.[1]);
  const shown = out.match(/\.grey_kg = /g).length;
  const all = new Set(madder(["why", LOT, "load_kg", "--mill", mill, "--json"]).out.match(/roll\.[^".]+\.grey_kg/g));
  assert.equal(shown + more, all.size);
});

test("why: the chain ends in inputs and sources; every figure of the plan can be asked", (t) => {
  const mill = demo(scratch(t));
  const r = madder(["why", LOT, "total_min", "--mill", mill]);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /total_min = /);
  const liquor = madder(["why", LOT, "b1.liquor_l", "--mill", mill]);
  assert.equal(liquor.status, 0, liquor.err);
  assert.match(liquor.out, /ratio/i);
  assert.match(liquor.out, /docs\/methods\//);
  assert.match(liquor.out, /from lot|from machine|from route/);
  const near = madder(["why", LOT, "b1.liquor", "--mill", mill]);
  assert.equal(near.status, 1);
  assert.match(near.err, /b1\.liquor_l/);
});

test("every figure key in the plan's JSON is known to why", (t) => {
  const mill = demo(scratch(t));
  const keys = new Set();
  const walk = (x) => {
    if (x && typeof x === "object") {
      if (typeof x.figure === "string") keys.add(x.figure);
      Object.values(x).forEach(walk);
    }
  };
  walk(json(["plan", LOT, "--mill", mill]));
  assert.ok(keys.size > 100, `${keys.size} figures`);
  for (const key of [...keys].filter((_, i) => i % 40 === 0)) {
    const r = madder(["why", LOT, key, "--mill", mill]);
    assert.equal(r.status, 0, `${key}: ${r.err}`);
    assert.ok(r.out.includes(`${key} = `), `${key}: ${r.out.split("\n")[0]}`);
  }
});

test("card and slips: PDF on disk, never over another file without --force", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  for (const [args, name] of [[["card", LOT], `${LOT}-card.pdf`], [["slips", LOT], `${LOT}-slips.pdf`]]) {
    const r = madder([...args, "--mill", mill], { cwd });
    assert.equal(r.status, 0, r.err);
    assert.equal(readFileSync(join(cwd, name)).subarray(0, 5).toString(), "%PDF-");
    writeFileSync(join(cwd, name), "mine");
    const again = madder([...args, "--mill", mill], { cwd });
    assert.equal(again.status, 1);
    assert.match(again.err, /--force/);
    assert.equal(readFileSync(join(cwd, name), "utf8"), "mine");
    assert.equal(madder([...args, "--mill", mill, "--force"], { cwd }).status, 0);
    assert.ok(statSync(join(cwd, name)).size > 1000);
  }
  const piped = madder(["card", LOT, "--mill", mill, "-o", "-"], { cwd });
  assert.equal(piped.bytes.subarray(0, 5).toString(), "%PDF-");
  assert.equal(json(["slips", LOT, "--bath", "999", "--mill", mill, "-o", "none.pdf"], { cwd }).error.code, "not_found");
  assert.ok(!readdirSync(cwd).some((f) => f.endsWith(".part")), "nothing half-written is left");
});

test("a directory that may not be written, and one that is not there", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const missing = madder(["card", LOT, "--mill", mill, "-o", join(cwd, "no/such/x.pdf")]);
  assert.equal(missing.status, 1);
  assert.match(missing.err, /directory is there/);
  if (process.getuid?.() === 0) return; // root may write anywhere
  mkdirSync(join(cwd, "locked"));
  chmodSync(join(cwd, "locked"), 0o555);
  const locked = madder(["card", LOT, "--mill", mill, "-o", join(cwd, "locked/x.pdf")]);
  assert.equal(locked.status, 1);
  assert.match(locked.err, /permissions/);
});

test("advise: suitable machines first, with reasons", (t) => {
  const mill = demo(scratch(t));
  const orders = json(["orders", "--mill", mill]);
  const id = (Array.isArray(orders) ? orders : Object.values(orders).find(Array.isArray))[0].order_id;
  const r = madder(["advise", id, "--mill", mill]);
  assert.equal(r.status, 0, r.err);
  assert.match(r.out, /1\. /);
  const { advice, grey_kg } = json(["advise", id, "--mill", mill]);
  assert.ok(grey_kg > 0);
  assert.ok(advice.length >= 8);
  for (const a of advice.filter((x) => x.suits)) {
    assert.ok(Math.abs(a.lots * a.lot_kg - grey_kg) < 1e-6 * grey_kg, `${a.machine_id}: lots add up`);
  }
});

test("check: the demo mill is answered with a status that tells", (t) => {
  const mill = demo(scratch(t));
  const r = madder(["check", "--mill", mill]);
  const data = json(["check", "--mill", mill]);
  assert.equal(r.status, data.total === 0 ? 0 : 1, r.err);
  assert.equal(data.found.length, data.total);
});

test("every table survives export and import unchanged", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const tables = ["site", "machine", "article", "dose_table", "dose_band", "dye", "chemical", "shade", "recipe", "order", "lot", "roll"];
  for (const table of tables) {
    const csv = madder(["export", table, "--mill", mill]);
    assert.equal(csv.status, 0, csv.err);
    writeFileSync(join(cwd, `${table}.csv`), csv.bytes);
    const back = madder(["import", table, `${table}.csv`, "--mill", mill], { cwd });
    assert.equal(back.status, 0, `${table}: ${back.err}`);
    assert.equal(madder(["export", table, "--mill", mill]).out, csv.out, table);
    assert.equal(json(["export", table, "--mill", mill]).csv, csv.out);
  }
  const file = madder(["export", "dye", "out.csv", "--mill", mill], { cwd });
  assert.equal(file.status, 0, file.err);
  assert.equal(madder(["export", "dye", "out.csv", "--mill", mill], { cwd }).status, 1);
  const piped = madder(["import", "dye", "-", "--mill", mill], { input: readFileSync(join(cwd, "dye.csv")) });
  assert.equal(piped.status, 0, piped.err);
});

test("a bad import reports every bad cell with line and column, and changes nothing", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const csv = madder(["export", "machine", "--mill", mill]).out;
  const lines = csv.trim().split("\n");
  const at = lines.findIndex((line, i) => i > 0 && !line.includes('"')); // no quoted comma to count
  const cells = lines[at].split(",");
  const head = lines[0].split(",");
  const bad = [...cells];
  bad[head.indexOf("load_max_kg")] = "many";
  bad[head.indexOf("temp_max_c")] = "-40";
  bad[head.indexOf("tank_l")] = "";
  writeFileSync(join(cwd, "bad.csv"), [...lines.filter((_, i) => i !== at), bad.join(",")].join("\n") + "\n");
  const r = madder(["import", "machine", "bad.csv", "--mill", mill], { cwd });
  assert.equal(r.status, 1);
  for (const column of ["load_max_kg", "temp_max_c", "tank_l"]) {
    assert.match(r.err, new RegExp(`bad\\.csv:${lines.length}:${column}`));
  }
  const { error } = json(["import", "machine", "bad.csv", "--mill", mill], { cwd });
  assert.equal(error.total, 3);
  assert.equal(error.more.length, 3);
  assert.equal(madder(["export", "machine", "--mill", mill]).out, csv);
});

test("files that are no CSV at all: one message each, nothing changed", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const before = madder(["export", "machine", "--mill", mill]).out;
  const files = { "empty.csv": "", "binary.csv": Buffer.from([0, 1, 2, 255, 254]), "other.csv": "a,b\n1,2\n", "semicolon.csv": before.replaceAll(",", ";") };
  for (const [name, content] of Object.entries(files)) {
    writeFileSync(join(cwd, name), content);
    const r = madder(["import", "machine", name, "--mill", mill], { cwd });
    assert.equal(r.status, 1, name);
    assert.match(r.err, new RegExp(name.replace(".", "\\.")));
  }
  assert.equal(madder(["export", "machine", "--mill", mill]).out, before);
  const gone = madder(["import", "machine", "gone.csv", "--mill", mill], { cwd });
  assert.equal(gone.status, 1);
  assert.match(gone.err, /gone\.csv/);
});

test("routes: export, import as the next version, and a bad one refused whole", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const list = json(["routes", "--mill", mill]);
  const first = list.routes.find((r) => r.route_id === "R-PREP-STD"); // its stages are its own
  const doc = madder(["export", "route", first.route_id, "--mill", mill]);
  assert.equal(doc.status, 0, doc.err);
  assert.match(doc.out, /"basis": "neutralise", "to_ph": 6\.5/); // what a need is reckoned to is stored too
  writeFileSync(join(cwd, "r.json"), doc.out);
  const saved = json(["import", "route", "r.json", "--mill", mill], { cwd });
  assert.equal(saved.version, first.version + 1, JSON.stringify(saved));
  assert.equal(madder(["import", "route", "r.json", "--mill", mill], { cwd }).status, 1);
  writeFileSync(join(cwd, "next.json"), JSON.stringify({ ...JSON.parse(doc.out), version: saved.version }));
  const next = madder(["import", "route", "next.json", "--mill", mill], { cwd });
  assert.match(next.out, /^next\.json: saved as version 3 of R-PREP-STD; \d+ lots? go(es)? by it\n$/, next.err);
  saved.version++;
  const stale = madder(["import", "route", "r.json", "--mill", mill], { cwd });
  assert.equal(stale.status, 1, "an old version may not overwrite a newer one");
  const broken = JSON.parse(doc.out);
  broken.stages[0].baths[0].steps[0].do = "dance";
  broken.surprise = 1;
  const parted = JSON.parse(doc.out);
  const need = (step) => step.items?.some((item) => item.basis === "sequester");
  const b = parted.stages[1].baths[0];
  b.steps.find(need).share_pct = 50;
  writeFileSync(join(cwd, "parted.json"), JSON.stringify({ ...parted, version: saved.version }));
  const half = json(["import", "route", "parted.json", "--mill", mill], { cwd }).error;
  assert.match(half.place, /share_pct$/, JSON.stringify(half));
  writeFileSync(join(cwd, "bad.json"), JSON.stringify(broken));
  const { error } = json(["import", "route", "bad.json", "--mill", mill], { cwd });
  assert.ok(error.total >= 2, JSON.stringify(error));
  writeFileSync(join(cwd, "cut.json"), doc.out.slice(0, doc.out.length / 2));
  const { code, place } = json(["import", "route", "cut.json", "--mill", mill], { cwd }).error;
  assert.equal(code, "parse");
  assert.match(place, /^cut\.json:\d+:\d+$/);
  writeFileSync(join(cwd, "hot.json"), doc.out.replace(/"version": 1/, `"version": ${saved.version}`).replace(/"minutes": \d+/, '"minutes": 1e308'));
  assert.match(madder(["import", "route", "hot.json", "--mill", mill], { cwd }).err, /minutes is out of range\n  where    hot\.json:stages.*minutes\n  value    1e\+308\n  allowed  above 0 to 1440 min\n  remedy   give a value in this range/);
  writeFileSync(join(cwd, "none.json"), "");
  assert.match(madder(["import", "route", "none.json", "--mill", mill], { cwd }).err, /empty\n  where    none\.json\n/);
});

test("a full disk while writing a document: said, and nothing half-written", { skip: process.getuid?.() !== 0 }, async (t) => {
  const { spawnSync } = await import("node:child_process");
  const cwd = scratch(t);
  const mill = demo(cwd);
  const disk = join(cwd, "disk");
  mkdirSync(disk);
  if (spawnSync("mount", ["-t", "tmpfs", "-o", "size=8k", "tmpfs", disk]).status !== 0) {
    t.skip("no right to mount");
    return;
  }
  try {
    const r = madder(["card", LOT, "--mill", mill, "-o", join(disk, "x.pdf")]);
    assert.equal(r.status, 1);
    assert.match(r.err, /disk is full/);
    assert.deepEqual(readdirSync(disk), []);
    const made = madder(["new", join(disk, "x.mill"), "--demo"]);
    assert.equal(made.status, 1);
    assert.deepEqual(readdirSync(disk), []);
  } finally {
    spawnSync("umount", [disk]);
  }
});
