// Serving on the mill's network: only with people and TLS, under the names of the certificate.
// 127.0.0.2 stands for an address that others reach.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { X509Certificate } from "node:crypto";
import { chmodSync, mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { request } from "node:https";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { connect as tls_connect } from "node:tls";
import { mill_with_people, password_of, program, run } from "./people.mjs";

const NAMES = ["mill.lan", "127.0.0.2", "::1"];

function certificate(t) {
  const dir = join(mkdtempSync(join(tmpdir(), "madder-tls-")), "tls");
  t.after(() => rmSync(join(dir, ".."), { recursive: true, force: true }));
  const made = run(["tls", "init", dir, "--name", "mill.lan", "--address", "127.0.0.2,::1"]);
  assert.equal(made.status, 0, made.err);
  return dir;
}

/** Starts to serve and gives {line, err} or, when it ends, {status, err}. */
function start(t, args) {
  const child = spawn(program, ["serve", "--port", "0", ...args], { stdio: ["ignore", "pipe", "pipe"] });
  t.after(() => child.kill("SIGKILL"));
  let err = "";
  child.stderr.on("data", (d) => (err += d));
  return new Promise((resolve) => {
    child.stdout.on("data", (d) => resolve({ child, line: String(d).trim(), port: Number(/:(\d+)\s*$/.exec(String(d))?.[1]), get err() { return err; } }));
    child.once("exit", (status) => setTimeout(() => resolve({ status, err }), 50));
  });
}

/** One request to 127.0.0.2 under a name, trusting that authority alone. */
function ask({ port, ca, name = "mill.lan", method = "GET", path = "/api/session", headers = {}, body }) {
  return new Promise((resolve, reject) => {
    const r = request({ host: "127.0.0.2", port, ca, servername: name, method, path, headers: { host: `${name}:${port}`, ...headers } }, (answer) => {
      let text = "";
      answer.setEncoding("utf8");
      answer.on("data", (d) => (text += d));
      answer.on("end", () => resolve({ status: answer.statusCode, headers: answer.headers, text }));
    });
    r.on("error", reject);
    r.end(body);
  });
}

test("the certificate: names, days, who may read the keys; the authority stays", (t) => {
  const dir = certificate(t);
  const [ca, server] = ["ca.crt", "server.crt"].map((f) => new X509Certificate(readFileSync(join(dir, f))));
  assert.ok(ca.ca && !server.ca);
  assert.ok(ca.verify(ca.publicKey) && server.verify(ca.publicKey) && server.checkIssued(ca));
  assert.equal(server.publicKey.asymmetricKeyDetails.namedCurve, "prime256v1");
  for (const name of ["mill.lan"]) assert.ok(server.checkHost(name), name);
  for (const address of NAMES.slice(1)) assert.ok(server.checkIP(address), address);
  assert.equal(server.checkHost("other.lan"), undefined);
  const days = (new Date(server.validTo) - new Date(server.validFrom)) / 86400_000;
  assert.ok(days > 390 && days <= 398, `${days} days`);
  assert.ok(new Date(server.validFrom) < new Date(Date.now() - 3600_000), "clocks of tablets may be behind");
  for (const [file, mode] of [["ca.key", 0o600], ["server.key", 0o600]]) assert.equal(statSync(join(dir, file)).mode & 0o777, mode, file);
  const before = readFileSync(join(dir, "ca.crt"), "utf8");
  const key = readFileSync(join(dir, "server.key"), "utf8");
  assert.equal(run(["tls", "init", dir, "--name", "mill.local"]).status, 0);
  assert.equal(readFileSync(join(dir, "ca.crt"), "utf8"), before);
  assert.notEqual(readFileSync(join(dir, "server.key"), "utf8"), key);
  const second = new X509Certificate(readFileSync(join(dir, "server.crt")));
  assert.ok(second.checkHost("mill.local") && second.verify(ca.publicKey));
  assert.notEqual(second.serialNumber, server.serialNumber);
});

test("what is no certificate to be made", (t) => {
  const dir = certificate(t);
  for (const args of [["tls", "init", dir], ["tls", "init", dir, "--name", "mill lan"], ["tls", "init", dir, "--name", "-x"], ["tls", "init", "/proc/none", "--name", "mill.lan"]]) {
    const r = run(args);
    assert.equal(r.status, 1, args.join(" "));
    assert.match(r.err, /remedy/);
  }
  assert.equal(run(["tls", "make", dir]).status, 2);
  assert.equal(run(["tls", "init", dir, "--name", "a,,b"]).status, 2);
});

test("beyond this machine: not without people, not without TLS, not with a key that others read", async (t) => {
  const dir = certificate(t);
  const mill = mill_with_people(t, ["lab"]);
  const empty = join(dir, "..", "empty.mill");
  assert.equal(run(["new", empty, "--demo"]).status, 0);
  const nobody = await start(t, ["--mill", empty, "--host", "127.0.0.2", "--tls", dir]);
  assert.equal(nobody.status, 1);
  assert.match(nobody.err, /nobody signs in yet/);
  const plain = await start(t, ["--mill", mill, "--host", "127.0.0.2"]);
  assert.equal(plain.status, 1);
  assert.match(plain.err, /madder tls init/);
  const none = await start(t, ["--mill", mill, "--host", "127.0.0.2", "--tls", join(dir, "none")]);
  assert.equal(none.status, 1);
  assert.match(none.err, /no certificate/);
  const name = await start(t, ["--mill", mill, "--host", "mill.lan", "--tls", dir]);
  assert.equal(name.status, 1);
  assert.match(name.err, /in numbers/);
  chmodSync(join(dir, "server.key"), 0o640);
  const open = await start(t, ["--mill", mill, "--host", "127.0.0.2", "--tls", dir]);
  assert.equal(open.status, 1);
  assert.match(open.err, /chmod 600/);
});

test("over TLS: cookie, names, origin, the authority's certificate", async (t) => {
  const dir = certificate(t);
  const ca = readFileSync(join(dir, "ca.crt"));
  const s = await start(t, ["--mill", mill_with_people(t, ["lab"]), "--host", "127.0.0.2", "--tls", dir]);
  assert.match(s.line, /^listening on https:\/\/mill\.lan:\d+$/);
  const port = s.port;
  const base = `https://mill.lan:${port}`;
  const json = { "content-type": "application/json" };
  const body = JSON.stringify({ person_id: "p-lab", password: password_of("lab") });
  const sign_in = (headers) => ask({ port, ca, method: "POST", headers: { ...json, ...headers }, body });
  assert.equal((await sign_in({ origin: `http://mill.lan:${port}` })).status, 403, "the page of another scheme");
  assert.equal((await sign_in({ origin: "https://other.lan" })).status, 403);
  const inside = await sign_in({ origin: base });
  assert.equal(inside.status, 200, inside.text);
  const [set] = inside.headers["set-cookie"];
  assert.match(set, /^__Host-madder=[0-9a-f]{64}; Path=\/; HttpOnly; SameSite=Strict; Secure$/);
  const cookie = set.split(";")[0];
  assert.equal((await ask({ port, ca, path: "/api/lots", headers: { cookie } })).status, 200);
  assert.equal((await ask({ port, ca, path: "/api/lots", headers: { cookie: cookie.replace("__Host-", "") } })).status, 401);
  assert.equal((await ask({ port, ca, path: "/api/lots" })).status, 401);
  for (const [host, want] of [[`127.0.0.2:${port}`, 200], [`MILL.LAN:${port}`, 200], [`localhost:${port}`, 200], ["mill.lan", 421], [`other.lan:${port}`, 421], [`mill.lan.other:${port}`, 421], [`0.0.0.0:${port}`, 421]]) {
    assert.equal((await ask({ port, ca, headers: { host } })).status, want, host);
  }
  const offered = await ask({ port, ca, path: "/ca.crt" });
  assert.equal(offered.headers["content-type"], "application/x-x509-ca-cert");
  assert.equal(offered.text, String(ca));
  for (const file of ["/ca.key", "/server.key", "/tls/ca.key", "/server.crt"]) assert.equal((await ask({ port, ca, path: file })).status, 404, file);
  await assert.rejects(ask({ port, ca: undefined }), /certificate/i, "trusted by nobody else");
  await assert.rejects(new Promise((resolve, reject) => {
    const c = tls_connect({ host: "127.0.0.2", port, ca, servername: "mill.lan", maxVersion: "TLSv1.1", minVersion: "TLSv1", ciphers: "DEFAULT@SECLEVEL=0" }, resolve);
    c.on("error", reject);
  }), undefined, "no old TLS");
});

test("without TLS in so many words: a warning, and a cookie without Secure", async (t) => {
  const s = await start(t, ["--mill", mill_with_people(t, ["lab"]), "--host", "127.0.0.2", "--plain-anyway", "--name", "mill.lan"]);
  assert.match(s.line, /^listening on http:\/\/mill\.lan:\d+$/);
  assert.match(s.err, /without TLS/);
  const at = `http://127.0.0.2:${s.port}`;
  assert.equal((await fetch(`${at}/api/lots`)).status, 401);
  assert.equal((await fetch(`${at}/ca.crt`)).status, 404);
  const r = await fetch(`${at}/api/session`, { method: "POST", headers: { origin: at, "content-type": "application/json" }, body: JSON.stringify({ person_id: "p-lab", password: password_of("lab") }) });
  assert.match(r.headers.get("set-cookie"), /^madder=[0-9a-f]{64}; Path=\/; HttpOnly; SameSite=Strict$/);
});
