// Requests that no page of ours sends: from elsewhere, with odd paths, of odd sizes, half sent.
import assert from "node:assert/strict";
import { connect } from "node:net";
import { test } from "node:test";
import { raw, serve } from "./server.mjs";

const PLAN = "/api/lots/L26-0107/plan";
const status = (answer) => Number(/^HTTP\/1\.[01] (\d{3})/.exec(answer)?.[1] ?? 0);
const body_of = (answer) => JSON.parse(answer.slice(answer.indexOf("\r\n\r\n") + 4));

/** A request with exactly these header lines, and its answer's status. */
const ask = async (s, method, path, lines, body = "") =>
  status(await raw(s.port, `${method} ${path} HTTP/1.1\r\n${lines.map((l) => `${l}\r\n`).join("")}\r\n${body}`));

test("only requests that name this server as host are answered", async (t) => {
  const s = await serve(t);
  const { port } = s;
  for (const [host, want] of [[`127.0.0.1:${port}`, 200], [`localhost:${port}`, 200], [`LOCALHOST:${port}`, 200], [`[::1]:${port}`, 200],
    ["127.0.0.1", 421], [`127.0.0.1:${port + 1}`, 421], [`127.0.0.1:${port}.example`, 421], [`127.0.0.1.example:${port}`, 421],
    [`mill.example:${port}`, 421], [`0.0.0.0:${port}`, 421], [`user@127.0.0.1:${port}`, 421], ["", 421]]) {
    assert.equal(await ask(s, "GET", "/api/mill", [`Host: ${host}`]), want, host);
  }
  const page = await ask(s, "GET", "/", [`Host: mill.example:${port}`]);
  assert.equal(page, 421, "nor is the page");
});

test("a change needs our origin, whatever else is right", async (t) => {
  const s = await serve(t);
  const host = `Host: 127.0.0.1:${s.port}`;
  const ours = `Origin: ${s.base}`;
  const json = "Content-Type: application/json";
  const bytes = "Content-Length: 2";
  for (const [lines, want, why] of [
    [[ours], 200, "our origin"],
    [["Sec-Fetch-Site: same-origin"], 200, "the browser says so"],
    [[], 403, "no origin at all"],
    [["Origin: null"], 403, "a sandboxed page"],
    [[`Origin: https://127.0.0.1:${s.port}`], 403, "another scheme"],
    [[`Origin: http://127.0.0.1:${s.port + 1}`], 403, "another port"],
    [[`Origin: http://localhost:${s.port}`], 403, "another name than the one asked"],
    [[`Origin: ${s.base}.example`], 403, "a name that begins like ours"],
    [[ours, "Sec-Fetch-Site: cross-site"], 403, "the browser knows better than the header"],
    [[ours, "Sec-Fetch-Site: same-site"], 403, "another port of this machine"],
    [[ours, "Sec-Fetch-Site: none"], 403, "typed by hand"]]) {
    assert.equal(await ask(s, "POST", PLAN, [host, json, bytes, ...lines], "{}"), want, why);
    const put = await ask(s, "PUT", "/api/lots/L26-0107", [host, json, bytes, ...lines], "{}");
    assert.equal(put, want === 200 ? 422 : 403, `PUT: ${why}`);
    const csv = await ask(s, "POST", "/api/tables/roll", [host, "Content-Type: text/csv", bytes, ...lines], "a\n");
    assert.equal(csv, want === 200 ? 422 : 403, `import: ${why}`);
    const route = await ask(s, "PUT", "/api/routes/R-MED60", [host, json, bytes, ...lines], "{}");
    assert.equal(route, want === 200 ? 422 : 403, `route: ${why}`);
  }
});

test("bodies of another type are refused: what a plain form can send", async (t) => {
  const s = await serve(t);
  const of = (type, path = PLAN) => s.send("POST", path, "{}", { "content-type": type });
  for (const type of ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/jsonx", "json", "text/csv"]) {
    const r = await of(type);
    assert.equal(r.status, 415, type);
    assert.equal(r.json.error.place, "Content-Type");
    assert.match(r.json.error.remedy, /application\/json/);
  }
  for (const type of ["application/json", "Application/JSON", "application/json; charset=utf-8", "application/json;charset=utf-8"]) {
    assert.equal((await of(type)).status, 200, type);
  }
  assert.equal((await of("application/json", "/api/tables/roll")).status, 415);
});

test("no path leads out, and none is read as another", async (t) => {
  const s = await serve(t);
  const host = [`Host: 127.0.0.1:${s.port}`];
  for (const path of ["/../etc/passwd", "/../../../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2fetc%2fpasswd", "/%2e%2e%2fdemo.mill",
    "//etc/passwd", "/./api/mill", "/api/../api/mill", "/api//mill", "//api/mill", "/api/mill/", "/API/MILL", "/api/mill%00", "/api/mill%00.html", "/%00", "/%00/api/mill",
    "/api/lots/%00/plan", "/api/lots/L26-0107%00/plan", "/api/lots/L26-0107/plan%00", "/api/lots//plan", "/api/lots/../mill", "/api/lots/%2e%2e/plan",
    "/api/tables/..", "/api/tables/..%2f..%2fsite", "/api/tables/.csv", "/api/tables/site.csv.csv", "/api/tables/sqlite_master", "/api/tables/lot;drop", "/demo.mill", "\\..\\etc",
    `/api/lots/${"x".repeat(79)}/plan`, `/api/lots/${"x".repeat(5000)}/plan`, "http://elsewhere.example/api/mill", "*", "/api/lots/%ff%fe/plan", "/api/lots/%22%3Cscript%3E/plan", "/?/../x/api"]) {
    const got = await ask(s, "GET", path, host);
    assert.ok(path.startsWith("/?") ? [200, 404].includes(got) : got === 404, `${path.slice(0, 60)}: ${got}`);
  }
  assert.equal(await ask(s, "GET", "/api/m%69ll", host), 200, "an escaped letter is that letter");
  const why = await raw(s.port, `GET /api/lots/L26-0107/why?figure=total_min%00x HTTP/1.1\r\n${host[0]}\r\n\r\n`);
  assert.equal(status(why), 404, "an argument does not end at a NUL");
});

test("what is refused is named as text, never as markup", async (t) => {
  const s = await serve(t);
  const r = await s.get(`/api/lots/${encodeURIComponent("<script>alert(1)</script>\"")}/plan`);
  assert.equal(r.status, 404);
  assert.equal(r.headers.get("content-type"), "application/json; charset=utf-8");
  assert.equal(r.headers.get("x-content-type-options"), "nosniff");
  const broken = await raw(s.port, `GET /api/lots/%ff%c3%28/plan HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\n\r\n`);
  assert.equal(status(broken), 404);
  assert.doesNotThrow(() => body_of(broken));
});

test("a method that a path does not know: 405 and what it does know", async (t) => {
  const s = await serve(t);
  for (const [path, allow] of [["/api/mill", "GET, HEAD"], ["/api/lots", "GET, HEAD"], [PLAN, "GET, HEAD, POST"], ["/api/lots/L26-0107", "PUT"],
    ["/api/routes/R-MED60", "GET, HEAD, PUT"], ["/api/tables/machine", "GET, HEAD, POST"], ["/", "GET, HEAD"]]) {
    for (const method of ["DELETE", "PATCH", "OPTIONS"]) {
      const r = await s.send(method, path);
      assert.equal(r.status, 405, `${method} ${path}`);
      assert.equal(r.headers.get("allow"), allow, path);
      assert.match(r.headers.get("content-security-policy"), /default-src 'none'/);
    }
  }
  assert.equal((await s.send("POST", "/api/lots", "{}", { "content-type": "application/json" })).status, 405);
  assert.equal((await s.get("/api/lots/L26-0107")).status, 405, "a lot is read with its plan");
  const { port } = s;
  for (const odd of ["TRACE", "CONNECT", "get", "PROPFIND"]) {
    const got = await ask(s, odd, "/api/mill", [`Host: 127.0.0.1:${port}`]);
    assert.ok([400, 404, 405, 501].includes(got), `${odd}: ${got}`);
  }
});

test("too much: refused by what is told, by what comes, and before it comes when asked", async (t) => {
  const s = await serve(t);
  const lines = [`Host: 127.0.0.1:${s.port}`, `Origin: ${s.base}`, "Content-Type: application/json"];
  const most = 1 << 20;
  const room = (n) => `{}${" ".repeat(n - 2)}`;
  assert.equal((await s.post(PLAN, room(most))).status, 200, "as much as is taken");
  const over = await s.post(PLAN, room(most + 1));
  assert.equal(over.status, 413);
  assert.equal(over.json.error.place, "body");
  assert.match(over.json.error.remedy, /1 MiB/);
  const piece = `10000\r\n${" ".repeat(65536)}\r\n`;
  const chunked = [...lines, "Transfer-Encoding: chunked"];
  const rest = (n) => `${n.toString(16)}\r\n${" ".repeat(n)}\r\n`;
  assert.equal(await ask(s, "POST", PLAN, chunked, `2\r\n{}\r\n${piece.repeat(15)}${rest(65534)}0\r\n\r\n`), 200, "in pieces, as much as is taken");
  assert.equal(await ask(s, "POST", PLAN, chunked, `2\r\n{}\r\n${piece.repeat(15)}${rest(65535)}0\r\n\r\n`), 413, "and a byte more");
  for (const told of [most + 1, 1 << 30]) {
    const asked = await raw(s.port, `POST ${PLAN} HTTP/1.1\r\n${lines.join("\r\n")}\r\nExpect: 100-continue\r\nContent-Length: ${told}\r\n\r\n`, 1000);
    assert.equal(status(asked), 413, `${told} bytes, before one of them was sent`);
  }
  const welcome = await raw(s.port, `POST ${PLAN} HTTP/1.1\r\n${lines.join("\r\n")}\r\nExpect: 100-continue\r\nContent-Length: ${most}\r\n\r\n`, 1000);
  assert.equal(status(welcome), 100);
  const foreign = await raw(s.port, `POST ${PLAN} HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\nExpect: 100-continue\r\nContent-Length: 2\r\n\r\n`);
  assert.equal(status(foreign), 403);
  for (const odd of ["Content-Length: -1", "Content-Length: x", "Content-Length: 99999999999999999999999"]) {
    const got = await ask(s, "POST", PLAN, [...lines, odd], "{}");
    assert.ok(got >= 400 && got < 500, `${odd}: ${got}`);
  }
  assert.equal((await s.get("/api/mill")).status, 200, "and goes on");
});

test("a table of 2 MiB is no JSON: its own limit counts", async (t) => {
  const s = await serve(t);
  const csv = (await s.get("/api/tables/site.csv")).text;
  assert.equal((await s.csv("/api/tables/site", `${`# ${"x".repeat(1000)}\n`.repeat(2100)}${csv}`)).status, 200);
});

test("half-sent requests and silent callers do not keep others waiting", async (t) => {
  const s = await serve(t);
  const head = `POST ${PLAN} HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\nOrigin: ${s.base}\r\nContent-Type: application/json\r\n`;
  const halves = ["", "G", "GET /api/mill HTTP/1.1\r\nHos", `${head}Content-Length: 50\r\n\r\n{`, `${head}Transfer-Encoding: chunked\r\n\r\n5\r\n{`];
  const sockets = Array.from({ length: 60 }, (_, i) => {
    const socket = connect(s.port, "127.0.0.1", () => socket.write(halves[i % halves.length]));
    socket.on("error", () => {});
    return socket;
  });
  await new Promise((r) => setTimeout(r, 100));
  const answers = await Promise.all(Array.from({ length: 20 }, () => s.get(PLAN)));
  assert.ok(answers.every((r) => r.status === 200));
  for (const socket of sockets) socket.destroy();
  assert.equal((await s.get("/api/mill")).status, 200, "after they hung up");
  const saved = await s.put("/api/lots/L26-0107", { revision: answers[0].json.lot.revision, ratio_l_per_kg: 9 });
  assert.equal(saved.status, 200, "nothing is locked");
});

test("bytes that are no request at all", async (t) => {
  const s = await serve(t);
  for (const bytes of ["\0\x01\x02\r\n\r\n", "GET\r\n\r\n", "GET / HTTP/9.9\r\n\r\n", "\r\n\r\n\r\n", `GET / HTTP/1.1\r\n${"X: y\r\n".repeat(20000)}\r\n`, "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03"]) {
    const got = status(await raw(s.port, bytes, 400).catch(() => ""));
    assert.ok(got === 0 || got >= 400, `${JSON.stringify(bytes.slice(0, 20))}: ${got}`);
  }
  assert.equal((await s.get("/api/mill")).status, 200);
});
