// A demo mill with one person of each role, and requests as a browser signed in would send them.
import { spawnSync } from "node:child_process";
import { copyFileSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const program = process.env.MADDER ?? new URL("../../build/release/madder", import.meta.url).pathname;
export const ROLES = ["technologist", "lab", "weigh-room", "operator", "finisher", "planner", "quality", "manager"];
export const password_of = (role) => `four words for ${role}`;
export const BADGE = { badge: "U-OPERATOR-1", pin: "739154" };

export function run(args, input = "") {
  const r = spawnSync(program, args, { input, encoding: "utf8", timeout: 120_000 });
  return { status: r.status, out: r.stdout, err: r.stderr };
}

function must(args, input) {
  const r = run(args, input);
  if (r.status !== 0) throw new Error(`${args.join(" ")}: ${r.err}`);
}

/** Adds people "p-ROLE" to a mill; the manager first. */
export function add_people(mill, roles = ROLES) {
  for (const role of ["manager", ...roles.filter((r) => r !== "manager")]) {
    must(["people", "add", `p-${role}`, "--name", `A ${role}`, "--roles", role, "--password-stdin", "--mill", mill], `${password_of(role)}\n`);
  }
}

// Passwords are slow to store on purpose: each set of people is made once a file of tests.
const made = new Map();
function template(roles) {
  const key = (roles ?? ROLES).join();
  if (!made.has(key)) {
    const dir = mkdtempSync(join(tmpdir(), "madder-people-"));
    process.on("exit", () => rmSync(dir, { recursive: true, force: true }));
    const mill = join(dir, "people.mill");
    must(["new", mill, "--demo"]);
    add_people(mill, roles);
    made.set(key, mill);
  }
  return made.get(key);
}

/** The path of a demo mill with people; gone after the test. */
export function mill_with_people(t, roles) {
  const dir = mkdtempSync(join(tmpdir(), "madder-people-"));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const mill = join(dir, "people.mill");
  copyFileSync(template(roles), mill);
  return mill;
}

export function give_badge(mill, person = "p-operator", { badge, pin } = BADGE) {
  must(["people", "badge", person, "--badge-stdin", "--mill", mill], `${badge}\n${pin}\n`);
}

/** The cookie "name=value" that an answer sets, or null. */
export const cookie_of = (r) => r.headers.get("set-cookie")?.split(";")[0] ?? null;

/** Signs in and gives requests that carry the session. */
export async function sign_in(s, who) {
  const body = typeof who === "string" ? { person_id: `p-${who}`, password: password_of(who) } : who;
  const r = await s.post("/api/session", body);
  if (r.status !== 200) throw new Error(`sign-in: ${r.status} ${r.text}`);
  const cookie = cookie_of(r);
  return { cookie, first: r, ...as(s, cookie) };
}

export function as(s, cookie) {
  const send = (method, path, body, headers = {}) => s.send(method, path, body, { cookie, ...headers });
  const json = (method) => (path, value) =>
    send(method, path, typeof value === "string" ? value : JSON.stringify(value ?? {}), { "content-type": "application/json" });
  return { send, get: (path) => send("GET", path), post: json("POST"), put: json("PUT"), del: (path) => send("DELETE", path) };
}
