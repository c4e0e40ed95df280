// Every talk with the server goes through here: errors become values, a lost connection becomes
// a signal that the frame shows.
import { signal } from "@preact/signals";
import { prose, sentence } from "./fmt";
import type { FinishAnswer, Reading } from "./finish/types";
import type {
  ApiErrorBody, BathTime, DeskAnswer, Finding, FootprintAnswer, LotsPart, Machine, Mill, OrderAdvice, OrderRow, Plan, RouteDoc, RouteRow, WhatIf,
} from "./types";
import type { Article, FabricAnswer } from "./fabric/types";
import type { DyeingAnswer, Limits, Question, ShortenAnswer } from "./dyeing/types";
import type { LearnAnswer } from "./learn/types";
import type { Bench, Dip, LabFiles } from "./laboratory/types";
import type { BatchDoc, EntryAnswer, HallDoc, RemedyAnswer, RunEvent, Unchanged } from "./floor/types";
import type { Material, Scanned, WeighDoc } from "./weigh/types";

export class ApiError extends Error {
  constructor(readonly status: number, readonly body: ApiErrorBody) {
    super(body.message);
  }
  get all(): Finding[] {
    // The first one may stand in the list of all again.
    const more = (this.body.more ?? []).filter((f) => f.place !== this.body.place || f.message !== this.body.message);
    return [this.body, ...more];
  }
}
/** The server could not be reached; nothing is known about what it would have said. */
export class Unreachable extends Error {}

export const offline = signal(false);
/** How often a request was refused because nobody is signed in, or the screen is locked. */
export const refusals = signal(0);
/** When an answer last arrived; shown while the server is away. */
export const lastAnswer = signal<Date | null>(null);

/** A proxy in front of the server says these when the server behind it is gone. */
const GATEWAY_STATUSES = new Set([502, 504]);
const PROBE_MS = 3000;
let probe: ReturnType<typeof setInterval> | undefined;

async function send<T>(method: string, path: string, body?: unknown, abort?: AbortSignal): Promise<T> {
  return JSON.parse(await textOf(method, path, body, abort)) as T;
}

/** The key of this device: a session begun here goes on here only. A browser that keeps nothing has none. */
const DEVICE_KEY = "madder.device-key";
function deviceHeader(): Record<string, string> {
  try {
    let key = localStorage.getItem(DEVICE_KEY);
    if (!key || !/^[0-9a-f]{64}$/.test(key)) {
      key = Array.from(crypto.getRandomValues(new Uint8Array(32)), (b) => b.toString(16).padStart(2, "0")).join("");
      localStorage.setItem(DEVICE_KEY, key);
    }
    return { "madder-device": key };
  } catch {
    return {};
  }
}

async function textOf(method: string, path: string, body?: unknown, abort?: AbortSignal): Promise<string> {
  const init: RequestInit = { method, headers: { accept: "application/json", ...deviceHeader() } };
  if (body !== undefined) {
    init.body = JSON.stringify(body);
    init.headers = { ...init.headers, "content-type": "application/json" } as Record<string, string>;
  }
  if (abort) init.signal = abort;
  let response: Response;
  let text: string;
  try {
    response = await fetch(path, init);
    text = await response.text();
  } catch (cause) {
    if (abort?.aborted) throw cause;
    lost();
    throw new Unreachable("no answer", { cause });
  }
  if (GATEWAY_STATUSES.has(response.status)) {
    lost();
    throw new Unreachable("no answer");
  }
  found();
  if (response.status === 401 && !path.startsWith("/api/session")) refusals.value++;
  if (!response.ok) throw new ApiError(response.status, errorBody(text, response.status));
  return text;
}

/** A screen that is watched must not wait for a line that swallows everything. */
const PATIENCE_MS = 8000;
async function soon<T>(method: string, path: string, body?: unknown): Promise<T> {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
  try {
    return await send<T>(method, path, body, patience.signal);
  } catch (cause) {
    if (!patience.signal.aborted) throw cause;
    lost();
    throw new Unreachable("no answer in time", { cause });
  } finally {
    clearTimeout(timer);
  }
}

/** What the server says in words that the program's own messages share: as sentences. */
export function legible<T extends Finding>(finding: T): T {
  return { ...finding, message: sentence(finding.message), allowed: prose(finding.allowed), remedy: sentence(finding.remedy) };
}

function errorBody(text: string, status: number): ApiErrorBody {
  try {
    const parsed = JSON.parse(text) as { error?: ApiErrorBody };
    if (parsed.error) return { ...legible(parsed.error), ...(parsed.error.more ? { more: parsed.error.more.map(legible) } : {}) };
  } catch {
    // not JSON: said below
  }
  return { code: String(status), message: `The server answered with status ${status}.`, place: "", value: "", allowed: "", remedy: "" };
}

function lost(): void {
  offline.value = true;
  probe ??= setInterval(retry, PROBE_MS);
}
function found(): void {
  lastAnswer.value = new Date();
  if (!offline.peek()) return;
  clearInterval(probe);
  probe = undefined;
  offline.value = false;
}
export function retry(): void {
  send("GET", "/api/session").catch(() => undefined); // its only use is what lost() and found() note
}

/** For places that bring their own calls. */
export const ask = <T = unknown>(method: string, path: string, body?: unknown): Promise<T> => send<T>(method, path, body);

const q = encodeURIComponent;
export const api = {
  mill: () => send<Mill>("GET", "/api/mill"),
  lots: (find = "", before = "") => send<LotsPart>("GET", `/api/lots?${new URLSearchParams({ ...(find ? { find } : {}), ...(before ? { before } : {}) })}`),
  machines: () => send<{ machines: Machine[] }>("GET", "/api/machines").then((r) => r.machines),
  routes: () => send<{ routes: RouteRow[] }>("GET", "/api/routes").then((r) => r.routes),
  orders: () => send<{ orders: OrderRow[] }>("GET", "/api/orders").then((r) => r.orders),
  advice: (id: string) => send<OrderAdvice>("GET", `/api/orders/${q(id)}/advice`),
  check: () => send<{ findings: Finding[]; total: number }>("GET", "/api/check"),
  plan: (lot: string, abort?: AbortSignal) => send<Plan>("GET", `/api/lots/${q(lot)}/plan`, undefined, abort),
  replan: (lot: string, what: WhatIf, abort?: AbortSignal) => send<Plan>("POST", `/api/lots/${q(lot)}/plan`, what, abort),
  saveLot: (lot: string, what: WhatIf & { revision: number }) => send<Plan>("PUT", `/api/lots/${q(lot)}`, what),
  saveRoute: (route: RouteDoc) =>
    send<{ route_id: string; version: number; lots: number }>("PUT", `/api/routes/${q(route.route_id)}`, route),
  finish: (lot: string, readings: Reading[], abort?: AbortSignal) =>
    send<FinishAnswer>(readings.length ? "POST" : "GET", `/api/lots/${q(lot)}/finish`, readings.length ? { readings } : undefined, abort),
  line: (question: Record<string, unknown>, abort?: AbortSignal) => send<DeskAnswer>("POST", "/api/line", question, abort),
  table: (id: string) => textOf("GET", `/api/tables/${q(id)}`),
  settingsHref: (lot: string) => `/api/lots/${q(lot)}/settings.pdf`,
  bath: (lot: string) => send<BathTime>("GET", `/api/lots/${q(lot)}/bath`),
  footprint: (lot: string, against: string) =>
    send<FootprintAnswer>("GET", `/api/lots/${q(lot)}/footprint${against ? `?against=${q(against)}` : ""}`),
  desk: (question: Record<string, unknown>, abort?: AbortSignal) => send<DeskAnswer>("POST", "/api/bath", question, abort),
  articles: () => send<{ articles: Article[] }>("GET", "/api/articles").then((r) => r.articles),
  weighing: () => send<WeighDoc>("GET", "/api/weighing"),
  stock: () => send<{ materials: Material[] }>("GET", "/api/stock").then((r) => r.materials),
  receive: (delivery: Record<string, unknown>) => soon<{ again: boolean; stock_lot_id: string; label: string }>("POST", "/api/stock", delivery),
  scan: (text: string) => send<Scanned>("POST", "/api/scan", { text }),
  cardHref: (lot: string) => `/api/lots/${q(lot)}/card.pdf`,
  slipsHref: (lot: string) => `/api/lots/${q(lot)}/slips.pdf`,
  hall: () => soon<HallDoc>("GET", "/api/batches"),
  batch: (id: string, after: number) => soon<BatchDoc | Unchanged>("GET", `/api/batches/${q(id)}?after=${after}`),
  events: (id: string) => send<{ events: RunEvent[] }>("GET", `/api/batches/${q(id)}/events`).then((r) => r.events),
  remedies: (id: string, step: string) => send<RemedyAnswer>("GET", `/api/batches/${q(id)}/remedies?step=${q(step)}`),
  runLot: (lot: string, revision: number) => send<BatchDoc>("POST", `/api/lots/${q(lot)}/batches`, { revision }),
  enter: (id: string, entry: Record<string, unknown>) => soon<EntryAnswer>("POST", `/api/batches/${q(id)}/events`, entry),
};

export const fabric = (question: Record<string, unknown>): Promise<FabricAnswer> => send("POST", "/api/fabric", question);
export const dyeing = (lot: string, question: Question): Promise<DyeingAnswer> =>
  Object.keys(question).length ? send("POST", `/api/lots/${q(lot)}/dyeing`, question) : send("GET", `/api/lots/${q(lot)}/dyeing`);
export const shorten = (lot: string, question: Question & Partial<Limits> & { keep_speed?: boolean }): Promise<ShortenAnswer> =>
  send("POST", `/api/lots/${q(lot)}/shorten`, question);
export const recipe = <T>(question: Record<string, unknown>): Promise<T> => send<T>("POST", "/api/recipe", question);
export const labDemo = (): Promise<{ files: LabFiles }> => send("GET", "/api/laboratory/demo");
export const lab = {
  bench: () => send<Bench>("GET", "/api/laboratory"),
  addSamples: (samples: Record<string, unknown>) => send<unknown>("POST", "/api/laboratory/samples", samples),
  newDip: (dip: Record<string, unknown>) => send<{ dip: Dip }>("POST", "/api/laboratory/dips", dip),
  putDip: (id: string, change: Record<string, unknown>) => send<{ dip: Dip; lots?: string[] }>("PUT", `/api/laboratory/dips/${q(id)}`, change),
  putRecipe: (shade: string, change: { recipe: string; was: string; machine_id?: string; best_guess?: boolean; factors?: string }) => send<{ recipe: string; lots: string[] }>("PUT", `/api/shades/${q(shade)}/recipe`, change),
};
export const learned = (after = 0): Promise<LearnAnswer> => send("GET", `/api/learn${after ? `?after=${after}` : ""}`);
export const colour = <T>(question: Record<string, unknown>): Promise<T> => send<T>("POST", "/api/colour", question);

/** A document that is asked for with a question. */
export async function recipeSheet(question: Record<string, unknown>): Promise<Blob> {
  let response: Response;
  try {
    response = await fetch("/api/recipe/sheet.pdf", { method: "POST", headers: { "content-type": "application/json", ...deviceHeader() }, body: JSON.stringify(question) });
  } catch (cause) {
    lost();
    throw new Unreachable("no answer", { cause });
  }
  found();
  if (!response.ok) throw new ApiError(response.status, errorBody(await response.text(), response.status));
  return await response.blob();
}
