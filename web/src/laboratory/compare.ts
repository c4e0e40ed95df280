// Under which lights, for which eye, by which formula colours are compared; and what the search may take.
import { computed, signal } from "@preact/signals";
import { parse } from "../fmt";

export const LIGHTS_MOST = 8;
/** The first decides; the others are looked at. */
export const lights = signal<string[]>(["D65", "A", "F11"]);
export const observer = signal("10");
export const formula = signal("cmc");
/** Empty: as usual for the formula. */
export const weightL = signal("");
export const weightC = signal("");
/** Under which light fields and plots are shown. */
export const light = signal("D65");

/** One of the formulas has no weights. */
export const hasWeights = computed(() => formula.value !== "cie76");

export function decides(name: string): void {
  const rest = lights.peek().filter((one) => one !== name);
  lights.value = [name, ...rest].slice(0, LIGHTS_MOST);
  light.value = name;
}
export function look(name: string, on: boolean): void {
  const all = lights.peek();
  if (on === all.includes(name) || (on && all.length === LIGHTS_MOST)) return;
  lights.value = on ? [...all, name] : all.filter((one) => one !== name);
  if (!lights.peek().includes(light.peek())) light.value = lights.peek()[0] ?? "D65";
}

function typed(text: string): number | null {
  const one = parse(text);
  return "value" in one ? one.value : null;
}
/** What is typed in a field that may be empty: wrong, or a number, or nothing. */
export function wrongIn(text: string): string | null {
  const one = parse(text);
  return text.trim() && "wrong" in one ? one.wrong : null;
}
export function numberIn(text: string): number | null {
  return text.trim() ? typed(text) : null;
}
export const conditionsWrong = computed(() => hasWeights.value && (wrongIn(weightL.value) !== null || wrongIn(weightC.value) !== null));

function weights(): Record<string, number> {
  const l = hasWeights.value ? numberIn(weightL.value) : null;
  const c = hasWeights.value ? numberIn(weightC.value) : null;
  return { ...(l === null ? {} : { l }), ...(c === null ? {} : { c }) };
}
export function conditions(): Record<string, unknown> {
  return { lights: lights.value.join(), observer: Number(observer.value), formula: formula.value, ...weights() };
}
/** The same as the questions about measured cloth call it. */
export function colourConditions(): Record<string, unknown> {
  return { illuminants: lights.value.join(), observer: Number(observer.value), formula: formula.value, ...weights() };
}

/* -- the dyes of a search -- */

export type Rule = "may" | "must" | "never";
export const rules = signal<Record<string, Rule>>({});
export const deepest = signal<Record<string, string>>({});
export interface Part {
  dye: string;
  part: string;
}
export const PARTS_MOST = 4;
const NO_PARTS: Part[] = Array.from({ length: PARTS_MOST }, () => ({ dye: "", part: "" }));
export const together = signal<Part[]>(NO_PARTS);

export function freeDyes(): void {
  rules.value = {};
  deepest.value = {};
  together.value = NO_PARTS;
}
export function setPart(i: number, change: Partial<Part>): void {
  together.value = together.peek().map((row, k) => (k === i ? { ...row, ...change } : row));
}
const partsTaken = computed(() => together.value.filter((row) => row.dye));
/** A ratio that is begun, and not yet one. */
export const ratioOpen = computed(() => partsTaken.value.length === 1 || partsTaken.value.some((row) => numberIn(row.part) === null));
export const searchWrong = computed(() => Object.values(deepest.value).some((text) => wrongIn(text) !== null) || partsTaken.value.some((row) => wrongIn(row.part) !== null));

export function narrowing(): Record<string, string> {
  const named = (rule: Rule): string => Object.keys(rules.value).filter((id) => rules.value[id] === rule).join();
  const limits = Object.entries(deepest.value).flatMap(([id, text]) => (numberIn(text) === null ? [] : [`${id}=${numberIn(text)}`])).join();
  const ratios = ratioOpen.value ? "" : partsTaken.value.map((row) => `${row.dye}=${numberIn(row.part)}`).join();
  const all = { must: named("must"), never: named("never"), limits, ratios };
  return Object.fromEntries(Object.entries(all).filter(([, text]) => text));
}
