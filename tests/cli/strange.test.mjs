// What somebody types or hands in by mistake or malice: said with place, value and remedy, a status of its own,
// and the mill as it was. Everything invented (I).
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { spawn, spawnSync } from "node:child_process";
import { closeSync, existsSync, lstatSync, openSync, readFileSync, readlinkSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { demo, madder, program, scratch } from "./madder.mjs";

const digest = (file) => createHash("sha256").update(readFileSync(file)).digest("hex");

test("strange words are told where they stand, and change nothing", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const before = digest(mill);
  writeFileSync(join(cwd, "cut.txt"), "LGOROWLENGTH 3\nBEGIN_DATA\n");
  writeFileSync(join(cwd, "cut.cxf"), "<xml");
  const rows = [
    [["plan", "../../etc/passwd"], 1, /no such lot/],
    [["plan", ""], 1, /no such lot/],
    [["plan", "x".repeat(3000)], 1, /no such lot/],
    [["card", "a/b"], 2, /a\/b is no lot number/],
    [["plan", "L26-0107", "--load-kg", "1e308"], 1, /load_kg[\s\S]*1e\+308[\s\S]*0\.1 to 5000 kg/],
    [["plan", "L26-0107", "--load-kg", "-5"], 1, /-5[\s\S]*0\.1 to 5000 kg/],
    [["plan", "L26-0107", "--ratio", "NaN"], 2, /NaN is not a number/],
    [["slips", "L26-0107", "--bath", "1e308"], 2, /whole number from 1/],
    [["finish", "L26-0107", "--behind", "1", "--width", "1e308", "--courses", "18", "--moisture", "6"], 1, /1 to 1000/],
    [["record", "--batch", "nope"], 1, /no such batch[\s\S]*nope/],
    [["record", "--batch", "nope", "--csv", "x.csv"], 1, /no such batch/],
    [["report", "nope"], 1, /no such batch/],
    [["weigh", "judge", "RY-1", "--target-g", "5", "--net-g", "5", "--scale", "nope"], 1, /no such scale[\s\S]*choose one of table scale/],
    [["footprint", "L26-0107", "--of", "silver"], 2, /silver[\s\S]*water/],
    [["recipe", "dispense", "--recipe", "A=1e308", "--sample-g", "5", "--ratio", "10"], 1, /where/],
    [["recipe", "dispense", "--recipe", "A=1", "--sample-g", "-5", "--ratio", "10"], 1, /where[\s\S]*allowed/],
    [["bath", "ph", "--temp", "1e308", "--soda", "20"], 1, /where[\s\S]*allowed/],
    [["colour", "read", "cut.txt"], 1, /cut\.txt:2:1[\s\S]*remedy .*formats of spectra/],
    [["colour", "read", "cut.cxf"], 1, /cut\.cxf:1[\s\S]*remedy .*formats of spectra/],
    [["tls", "init", "certificate", "--address", "999.1.1.1"], 1, /neither a name nor an address[\s\S]*999\.1\.1\.1[\s\S]*192\.168\.1\.5/],
    [["rinse", "--ratio", "8"], 1, /--flow is missing\n.*--flow.*\n.*give --flow L\/MIN/],
    [["colour", "difference", "--standard-lab", "1,2", "--sample-lab", "1,2,3"], 1, /where/],
    [["export", "lot", "/nonexistent/x.csv"], 1, /directory is there/],
    [["backup", "/nonexistent/x.mill"], 1, /make its folder first/],
  ];
  for (const [args, status, said] of rows) {
    const r = madder([...args, ...(/^(recipe|bath|colour|rinse|tls)$/.test(args[0]) ? [] : ["--mill", mill])], { cwd });
    const called = args.join(" ").slice(0, 80);
    assert.equal(r.status, status, `${called}: ${r.out}${r.err}`);
    assert.match(r.err, said, called);
    assert.equal(r.out, "", called);
  }
  assert.equal(digest(mill), before);
  assert.ok(!existsSync(join(cwd, "x.csv")), "no half of a record");
});

test("a number that people type is listed whole", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const id = "L26-0101-the-first-one-of-the-second-half";
  writeFileSync(join(cwd, "lot.csv"), madder(["export", "lot", "--mill", mill]).out.replace("L26-0101", id.slice(0, 40)));
  assert.equal(madder(["import", "lot", "lot.csv", "--mill", mill], { cwd }).status, 0);
  const lines = madder(["lots", "--mill", mill]).out.trimEnd().split("\n");
  assert.ok(lines.some((l) => l.startsWith(`${id.slice(0, 40)} `)), lines[1]);
  assert.equal(new Set(lines.slice(1).map((l) => l.search(/ 202\d-/))).size, 1, "the days below each other");
});

test("nothing that was typed or read steers the terminal", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  writeFileSync(join(cwd, "lot.csv"), madder(["export", "lot", "--mill", mill]).out.replace("L26-0101", "\u001b[2JL\u009b1m"));
  for (const args of [["plan", "\u001b[2J\u0007\nx"], ["\u001b]0;title\u0007"], ["card", "a/\u001b[2J"], ["import", "lot", "lot.csv"], ["slips", "x", "--bath", "\u001b[2J"]]) {
    const r = madder([...args, "--mill", mill], { cwd });
    assert.notEqual(r.status, 0, r.out);
    assert.doesNotMatch(r.err + r.out, /[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/, args.join(" "));
  }
});

test("what is no file is written to, and stays what it is", { skip: process.platform !== "linux" }, async (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  const pipe = join(cwd, "pipe");
  assert.equal(spawnSync("mkfifo", [pipe]).status, 0);
  for (const args of [["card", "L26-0107", "-o", pipe, "--force"], ["record", pipe, "--force"], ["export", "lot", pipe]]) {
    const reader = spawn("cat", [pipe], { stdio: ["ignore", "pipe", "ignore"] });
    const read = [];
    reader.stdout.on("data", (d) => read.push(d));
    const ended = new Promise((resolve) => reader.once("close", resolve));
    const writer = spawn(program, [...args, "--mill", mill], { cwd, stdio: "ignore" });
    const status = await new Promise((resolve) => writer.once("exit", resolve));
    if (!lstatSync(pipe).isFIFO()) reader.kill();
    await ended;
    assert.equal(status, 0, args.join(" "));
    assert.ok(lstatSync(pipe).isFIFO(), `${args[0]} put a file in place of the pipe`);
    if (args[0] === "card") assert.match(Buffer.concat(read).subarray(0, 5).toString(), /^%PDF-/);
    if (args[0] === "export") assert.match(Buffer.concat(read).toString(), /^lot_id,/);
  }
});

test("a name of the standard output is written to, wherever it was sent", (t) => {
  const cwd = scratch(t);
  const mill = demo(cwd);
  symlinkSync("/proc/self/fd/1", join(cwd, "out")); // as /dev/stdout is one
  const to = join(cwd, "card.pdf");
  for (const name of ["out", "card.pdf"]) for (const force of [[], ["--force"]]) {
    const fd = openSync(to, "w");
    const r = spawnSync(program, ["card", "L26-0107", "--mill", mill, "-o", name, ...force], { cwd, stdio: ["ignore", fd, "pipe"], encoding: "utf8" });
    closeSync(fd);
    assert.equal(r.status, 0, r.stderr);
    assert.match(readFileSync(to, "latin1"), /^%PDF-[^]*%%EOF\s*$/);
    assert.equal(readlinkSync(join(cwd, "out")), "/proc/self/fd/1", "still what it was");
  }
});
