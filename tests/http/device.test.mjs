// A session belongs to the device it was begun at; and signing in keeps nobody waiting.
import assert from "node:assert/strict";
import { test } from "node:test";
import { as, cookie_of, mill_with_people, password_of, sign_in } from "./people.mjs";
import { serve } from "./server.mjs";

const KEY = "a1".repeat(32), OTHER = "b2".repeat(32);
const JSON_TYPE = { "content-type": "application/json" };
const SECRET = { person_id: "p-lab", password: password_of("lab") };

/** Signs in as a page does that holds a key. */
async function at_device(s, key, secret = SECRET, agent = "tablet 7") {
  const r = await s.send("POST", "/api/session", JSON.stringify(secret), { ...JSON_TYPE, "madder-device": key, "user-agent": agent });
  assert.equal(r.status, 200, r.text);
  return cookie_of(r);
}

test("a stolen cookie is none elsewhere", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const cookie = await at_device(s, KEY);
  const ask = (method, path, headers, body) => s.send(method, path, body, { cookie, ...headers });
  assert.equal((await ask("GET", "/api/lots", { "madder-device": KEY })).status, 200);
  for (const headers of [{ "madder-device": OTHER }, { "madder-device": "" }, { "madder-device": KEY.slice(1) }, { "madder-device": KEY.toUpperCase() }, { "user-agent": "thief" }]) {
    assert.equal((await ask("GET", "/api/lots", headers)).status, 401, JSON.stringify(headers));
    assert.equal((await ask("GET", "/api/session", headers)).json.signed_in, false);
    assert.equal((await ask("POST", "/api/session/lock", { ...headers, ...JSON_TYPE }, "{}")).status, 401);
  }
  // a change needs the key, whatever the browser calls itself
  assert.equal((await ask("POST", "/api/session/lock", { ...JSON_TYPE, "user-agent": "tablet 7" }, "{}")).status, 401);
  // a link to a document carries no key: only from the same browser at the same place
  assert.equal((await ask("GET", "/api/lots/L26-0107/card.pdf", { "user-agent": "tablet 7" })).status, 200);
  assert.equal((await ask("GET", "/api/lots/L26-0107/card.pdf", { "user-agent": "thief" })).status, 401);
  assert.equal((await ask("GET", "/api/lots", { "madder-device": KEY })).status, 200, "the owner goes on");
  assert.equal((await ask("DELETE", "/api/session", {})).status, 200);
  assert.equal((await ask("GET", "/api/lots", { "madder-device": KEY })).status, 200, "nobody else signs out either");
  assert.equal((await ask("DELETE", "/api/session", { "madder-device": KEY })).status, 200);
  assert.equal((await ask("GET", "/api/lots", { "madder-device": KEY })).status, 401);
});

test("a program without a key is bound to nothing, as before", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const lab = await sign_in(s, "lab");
  assert.equal((await lab.get("/api/lots")).status, 200);
  assert.equal((await as(s, lab.cookie).send("GET", "/api/lots", undefined, { "madder-device": KEY })).status, 200);
});

test("while many sign in, everybody else is answered", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab", "quality"]));
  const lab = await sign_in(s, "lab");
  const many = 10;
  let done = 0;
  const tries = Array.from({ length: many }, (_, i) =>
    s.post("/api/session", i % 2 ? { person_id: "p-quality", password: password_of("quality") } : { person_id: `p-nobody${i}`, password: "wrong" }).then((r) => (done++, r)));
  const seen = [];
  while (done < many) {
    assert.equal((await lab.get("/api/lots")).status, 200);
    seen.push(done);
  }
  const answers = await Promise.all(tries);
  assert.deepEqual(answers.map((r) => r.status), answers.map((_, i) => (i % 2 ? 200 : 401)));
  // with one thread for all, one answer would come between two hashes at most: here several did within one
  const within = seen.filter((n, i) => seen[i - 1] === n).length;
  assert.ok(seen.length > 2 * many && within > many, `${seen.length} answers, ${within} of them within a hash`);
  assert.equal(seen[0] < many, true, "and the first while nearly all were waiting");
  assert.equal(new Set(answers.filter((r) => r.status === 200).map(cookie_of)).size, many / 2, "each a session of its own");
});

test("tries that come at once find the wait of each other", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab"]));
  const answers = await Promise.all(Array.from({ length: 12 }, () => s.post("/api/session", { ...SECRET, password: "wrong" })));
  const refused = answers.filter((r) => r.status === 401).length;
  assert.ok(refused <= 5, `${refused} were tried`);
  assert.ok(answers.every((r) => [401, 429].includes(r.status)));
});

test("whose session ends while the secret is looked at is not served", async (t) => {
  const s = await serve(t, mill_with_people(t, ["lab", "quality"]));
  const lab = await sign_in(s, "lab");
  const manager = await sign_in(s, "manager");
  const crowd = Array.from({ length: 4 }, (_, i) => s.post("/api/session", { person_id: `p-n${i}`, password: "wrong" }));
  const change = lab.put("/api/session/password", { was: password_of("lab"), password: "five other words in a row" });
  await crowd[0]; // the change stands behind the others
  assert.equal((await manager.del("/api/people/p-lab/sessions")).status, 200);
  assert.equal((await change).status, 401);
  await Promise.all(crowd);
  assert.ok((await sign_in(s, "lab")).cookie, "the password is the one of before");
});

test("a manager changes a password and a PIN at once, and both hold", async (t) => {
  const s = await serve(t, mill_with_people(t, ["operator"]));
  const manager = await sign_in(s, "manager");
  const r = await manager.put("/api/people/p-operator", { password: "seven new words of omar", badge: "U-OPERATOR-9", pin: "582914" });
  assert.equal(r.status, 200, r.text);
  assert.ok((await sign_in(s, { person_id: "p-operator", password: "seven new words of omar" })).cookie);
  assert.ok((await sign_in(s, { badge: "U-OPERATOR-9", pin: "582914" })).cookie);
});
