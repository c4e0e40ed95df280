// Signing in and out, locking, people; and those who try without being let.
import assert from "node:assert/strict";
import { connect } from "node:net";
import { test } from "node:test";
import { BADGE, as, cookie_of, give_badge, mill_with_people, password_of, run, sign_in } from "./people.mjs";
import { raw, serve } from "./server.mjs";

const status = (answer) => Number(/^HTTP\/1\.[01] (\d{3})/.exec(answer)?.[1] ?? 0);
const JSON_TYPE = { "content-type": "application/json" };

test("a mill without people: one demo user who may everything, until the first person", async (t) => {
  const s = await serve(t);
  const who = (await s.get("/api/session")).json;
  assert.deepEqual([who.signed_in, who.demo, who.name], [true, true, "demo user"]);
  assert.equal((await s.post("/api/session", { person_id: "a", password: "b" })).status, 409);
  const lone = await s.post("/api/people", { person_id: "lena", name: "Lena", roles: "lab", password: password_of("lab") });
  assert.equal(lone.status, 409, "nobody could let anybody in");
  const first = await s.post("/api/people", { person_id: "anna", name: "Anna Berg", roles: "manager", password: password_of("manager") });
  assert.equal(first.status, 200, first.text);
  assert.equal((await s.get("/api/lots")).status, 401, "from now on");
  const added = run(["people", "list", "--mill", s.file]);
  assert.match(added.out, /^anna\s+Anna Berg\s+password\s+manager$/m);
});

test("a person who is added beside the running server: signing in begins at once", async (t) => {
  const s = await serve(t);
  assert.equal((await s.get("/api/lots")).status, 200);
  const r = run(["people", "add", "anna", "--name", "Anna", "--roles", "manager", "--password-stdin", "--mill", s.file], `${password_of("manager")}\n`);
  assert.equal(r.status, 0, r.err);
  assert.equal((await s.get("/api/lots")).status, 401);
});

test("the cookie, and what it carries", async (t) => {
  const mill = mill_with_people(t, ["lab", "operator"]);
  give_badge(mill);
  const s = await serve(t, mill);
  const lab = await sign_in(s, "lab");
  const set = lab.first.headers.get("set-cookie");
  assert.match(set, /^madder=[0-9a-f]{64}; Path=\/; HttpOnly; SameSite=Strict$/);
  assert.deepEqual(lab.first.json.roles, ["lab"]);
  assert.equal(lab.first.headers.get("cache-control"), "no-store");
  assert.equal((await lab.get("/api/session")).json.name, "A lab");
  assert.equal((await lab.get("/api/lots")).status, 200);

  const again = await sign_in({ ...s, post: lab.post }, "lab");
  assert.notEqual(again.cookie, lab.cookie);
  assert.equal((await lab.get("/api/lots")).status, 401, "the old token is none any more");
  const out = await again.del("/api/session");
  assert.equal(out.status, 200);
  assert.match(out.headers.get("set-cookie"), /^madder=; .*Max-Age=0$/);
  assert.equal((await again.get("/api/lots")).status, 401);

  const omar = await sign_in(s, BADGE);
  assert.equal(omar.first.json.by_pin, true);
  assert.deepEqual(omar.first.json.roles, ["operator"]);
  assert.ok(omar.first.json.lock_after_ms > 0);
});

test("a locked screen answers nothing but unlocking and signing out", async (t) => {
  const mill = mill_with_people(t, ["operator"]);
  give_badge(mill);
  const s = await serve(t, mill);
  const omar = await sign_in(s, BADGE);
  const locked = await omar.post("/api/session/lock");
  assert.deepEqual([locked.status, locked.json.locked, locked.json.actions], [200, true, []]);
  const refused = await omar.get("/api/lots");
  assert.equal(refused.status, 401);
  assert.equal(refused.json.error.place, "locked");
  assert.equal((await omar.post("/api/session/unlock", { pin: "739155" })).status, 401);
  assert.equal((await omar.post("/api/session/unlock", { pin: BADGE.pin })).status, 200);
  assert.equal((await omar.get("/api/lots")).status, 200);
});

test("a manager sees and ends sessions, changes people; a secret never comes back", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab", "manager"]));
  const lab = await sign_in(s, "lab");
  const manager = await sign_in(s, "manager");
  const list = await manager.get("/api/people");
  const entry = list.json.people.find((p) => p.person_id === "p-lab");
  assert.equal(entry.sessions.length, 1);
  assert.ok(!/argon2|[0-9a-f]{64}/.test(list.text), "neither hashes nor digests");
  assert.equal((await manager.del("/api/people/p-lab/sessions")).status, 200);
  assert.equal((await lab.get("/api/lots")).status, 401);
  const back = await sign_in(s, "lab");
  assert.equal((await manager.put("/api/people/p-lab", { roles: "planner" })).status, 200);
  assert.equal((await back.get("/api/lots")).status, 401, "other rights, another session");
  assert.equal((await manager.put("/api/people/p-manager", { roles: "lab" })).status, 409);
  assert.equal((await manager.put("/api/people/p-nobody", { roles: "lab" })).status, 404);
  const weak = await manager.put("/api/people/p-lab", { password: "password2026!" });
  assert.equal(weak.status, 422);
  assert.ok(!weak.text.includes("password2026"), "a refused password is not repeated");
  const own = await manager.put("/api/session/password", { was: password_of("manager"), password: "five other words in a row" });
  assert.equal(own.status, 200, own.text);
  assert.equal((await manager.get("/api/people")).status, 200, "this session stays");
});

test("wrong tries wait, for that account and from that address", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const wrong = () => s.post("/api/session", { person_id: "p-lab", password: "wrong" });
  for (let i = 0; i < 5; i++) assert.equal((await wrong()).status, 401);
  const waits = await wrong();
  assert.equal(waits.status, 429);
  assert.ok(Number(waits.headers.get("retry-after")) >= 1);
  assert.equal((await s.post("/api/session", { person_id: "p-lab", password: password_of("lab") })).status, 429, "the right one too");
  assert.equal((await s.post("/api/session", { person_id: "p-manager", password: password_of("manager") })).status, 200, "others do not");
});

test("an unknown name and a wrong password cannot be told apart", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  run(["people", "remove", "p-lab", "--mill", s.file]);
  const tries = [["p-manager", "wrong"], ["p-nobody", "wrong"], ["p-lab", password_of("lab")]];
  const answers = [];
  for (const [person_id, password] of tries) answers.push(await s.post("/api/session", { person_id, password }));
  for (const r of answers) {
    assert.equal(r.status, 401);
    assert.equal(r.text, answers[0].text);
    assert.deepEqual([...r.headers.keys()].sort(), [...answers[0].headers.keys()].sort());
  }
});

test("nobody signs anybody in or out from elsewhere", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const lab = await sign_in(s, "lab");
  const body = JSON.stringify({ person_id: "p-lab", password: password_of("lab") });
  const host = `Host: 127.0.0.1:${s.port}`;
  const ask = async (method, path, lines, text = "") =>
    status(await raw(s.port, `${method} ${path} HTTP/1.1\r\n${[host, ...lines].map((l) => `${l}\r\n`).join("")}Content-Length: ${text.length}\r\n\r\n${text}`));
  const json = "Content-Type: application/json";
  for (const lines of [[], ["Origin: null"], ["Origin: http://elsewhere.example"], [`Origin: ${s.base}`, "Sec-Fetch-Site: cross-site"], [`Origin: https://127.0.0.1:${s.port}`]]) {
    assert.equal(await ask("POST", "/api/session", [json, ...lines], body), 403, `${lines}`);
    assert.equal(await ask("DELETE", "/api/session", [`Cookie: ${lab.cookie}`, ...lines]), 403, `${lines}`);
    assert.equal(await ask("PUT", "/api/lots/L26-0107", [`Cookie: ${lab.cookie}`, json, ...lines], "{}"), 403, `${lines}`);
  }
  assert.equal(await ask("POST", "/api/session", [`Origin: ${s.base}`, "Content-Type: text/plain"], body), 415, "a plain form");
  assert.equal((await lab.get("/api/lots")).status, 200, "and is still signed in");
  const answer = await raw(s.port, `GET /api/lots HTTP/1.1\r\nHost: mill.example:${s.port}\r\nCookie: ${lab.cookie}\r\n\r\n`);
  assert.equal(status(answer), 421, "nor read it under a borrowed name");
});

test("cookies that are none: tampered, put there, two of them, odd ones", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const { cookie } = await sign_in(s, "lab");
  const token = cookie.split("=")[1];
  const flipped = `madder=${token.slice(0, 63)}${token.endsWith("0") ? "1" : "0"}`;
  const planted = `madder=${"ab".repeat(32)}`;
  for (const [sent, want] of [[cookie, 200], [`a=b; ${cookie}; c=d`, 200], [`a=b;${cookie}`, 200], [flipped, 401], [planted, 401], ["madder=", 401], ["madder", 401],
    [`madder=${token.toUpperCase()}`, 401], [`madder=${token}00`, 401], [`madder=${token.slice(0, 62)}`, 401], [`xmadder=${token}`, 401],
    [`__Host-madder=${token}`, 401], [`MADDER=${token}`, 401], [`${cookie}; ${planted}`, 401], [`${planted}; ${cookie}`, 401], [`madder="${token}"`, 401], [`madder=${"0".repeat(7000)}`, 401],
    ["madder=' OR '1'='1", 401], [";;;;;", 401], ["=", 401]]) {
    const r = await as(s, sent).get("/api/lots");
    assert.equal(r.status, want, sent.slice(0, 80));
  }
  const fixed = await as(s, planted).post("/api/session", { person_id: "p-lab", password: password_of("lab") });
  assert.notEqual(cookie_of(fixed), planted);
  assert.equal((await as(s, planted).get("/api/lots")).status, 401, "what was put there does not become a session");
});

test("a session that ends while its request is on the way", async (t) => {
  const s = await serve(t, mill_with_people(t, ["planner"]));
  const planner = await sign_in(s, "planner");
  const manager = await sign_in(s, "manager");
  const csv = (await planner.get("/api/tables/site.csv")).text;
  const answer = new Promise((resolve, reject) => {
    let text = "";
    const socket = connect(s.port, "127.0.0.1", async () => {
      socket.write(`POST /api/tables/site HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\nOrigin: ${s.base}\r\nCookie: ${planner.cookie}\r\nContent-Type: text/csv\r\nContent-Length: ${Buffer.byteLength(csv)}\r\n\r\n${csv.slice(0, 20)}`);
      await new Promise((r) => setTimeout(r, 100));
      assert.equal((await manager.del("/api/people/p-planner/sessions")).status, 200);
      socket.write(csv.slice(20));
    });
    socket.on("data", (d) => {
      text += d.toString("latin1");
      if (/\r\n\r\n/.test(text)) {
        socket.destroy();
        resolve(text);
      }
    });
    socket.on("error", reject);
  });
  assert.equal(status(await answer), 401);
});

test("who is not signed in sends no large bodies, and odd ones are refused as such", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const head = `Host: 127.0.0.1:${s.port}\r\nOrigin: ${s.base}\r\n`;
  const early = await raw(s.port, `POST /api/tables/lot HTTP/1.1\r\n${head}Content-Type: text/csv\r\nExpect: 100-continue\r\nContent-Length: 20000000\r\n\r\n`, 1000);
  assert.equal(status(early), 401, "before a byte of it");
  for (const [body, want] of [["", 422], ["{", 422], ["[]", 422], ["{}", 422], ["null", 422], ['{"person_id":"p-lab"}', 422], ['{"person_id":{},"password":"x"}', 422], ['{"person_id":"p-lab","password":7}', 422],
    ['{"person_id":"p-lab","person_id":"p-manager","password":"x"}', 422], [`{"person_id":"p-lab","password":"${"x".repeat(300)}"}`, 422], [`{"person_id":"p-lab","password":"${"x".repeat(20000)}"}`, 422],
    ['{"person_id":"p-lab","password":"x\\u0000y"}', 422], [`{"person_id":"p-lab","password":"${"x".repeat(1 << 20)}"}`, 413], ['{"person_id":"p-lab","password":"\\ud800"}', 422]]) {
    const r = await s.send("POST", "/api/session", body, JSON_TYPE);
    assert.equal(r.status, want, body.slice(0, 60));
    assert.match(r.headers.get("content-security-policy") ?? "", /^default-src 'none'/, "also on refusals");
  }
  assert.ok((await sign_in(s, "lab")).cookie, "and it goes on");
});

test("half-sent sign-ins keep nobody waiting", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const sockets = Array.from({ length: 60 }, () => {
    const socket = connect(s.port, "127.0.0.1", () => socket.write(`POST /api/session HTTP/1.1\r\nHost: 127.0.0.1:${s.port}\r\nOrigin: ${s.base}\r\nContent-Type: application/json\r\nContent-Length: 60\r\n\r\n{"person`));
    socket.on("error", () => {});
    return socket;
  });
  await new Promise((r) => setTimeout(r, 100));
  const lab = await sign_in(s, "lab");
  assert.equal((await lab.get("/api/lots")).status, 200);
  for (const socket of sockets) socket.destroy();
});
