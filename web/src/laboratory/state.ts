// The samples, the question and its answers. One question is under way at most; what was moved in
// the meantime is asked when it is back, and the last picture stays until then.
import { batch, computed, signal } from "@preact/signals";
import { ApiError, Unreachable, labDemo, recipe } from "../api";
import { parse, raw } from "../fmt";
import { conditions, conditionsWrong, freeDyes, light, narrowing, searchWrong } from "./compare";
import type { Baths, Calibrated, Corrected, Dose, FileKey, Found, From, LabFile, LabFiles, LightView, Predicted, Recipe, Sample } from "./types";

/** What the server takes as a body; the question and the quotation marks need some of it. */
export const FILE_MAX_BYTES = 900 * 1024;

export const files = signal<LabFiles | null>(null);
export const isDemo = signal(false);
/** The mill's samples, in place of files. */
export const from = signal<From | null>(null);
export const given = computed(() => from.value !== null || files.value !== null);
export const calibrated = signal<Calibrated | null>(null);
export const standard = signal("");
export const tolerance = signal("1");
export const dyesMax = signal("3");
/** Whose lots are asked what they taught from laboratory to bulk; "": nobody's. */
export const bulkMachine = signal("");
/** Factors that may as well be 1 too. */
export const bestGuess = signal(false);
export const found = signal<Found | null>(null);
/** Place of the recipe among those found; -1: the nearest. */
export const picked = signal(0);
export const doses = signal<Dose[]>([]);
const moved = signal<Predicted | null>(null);
export const error = signal<Error | null>(null);
export const busy = signal(false);
/** The question that `found` answers. */
const answered = signal("");

export const samples = computed<Sample[]>(() => calibrated.value?.laboratory.samples ?? []);
export const chosen = computed<Recipe | null>(() => {
  const f = found.value?.found;
  return f ? (f.recipes[picked.value] ?? f.nearest) : null;
});
export const isMoved = computed(() => chosen.value !== null && wordOf(doses.value) !== wordOf(chosen.value.dyes));
/** What is shown as the match: the recipe, or what the sliders made of it. */
export const match = computed(() => {
  const one = chosen.value;
  if (!one) return null;
  const live = isMoved.value ? moved.value : null;
  return live
    ? { curve: live.curves.predicted, seen: live.curves.seen, cost_per_kg: live.result.cost_per_kg, price_missing: live.result.price_missing === "yes", baths: live.doses ?? {} }
    : { curve: one.curve, seen: withDifference(one), cost_per_kg: one.cost_per_kg, price_missing: one.price_missing, baths: one as Baths };
});
function withDifference(one: Recipe): Recipe["seen"] {
  return Object.fromEntries(Object.entries(one.seen).map(([name, seen]) => [name, { ...seen, difference: one.difference[name] ?? NaN }]));
}
export const lightView = computed<LightView | null>(() => found.value?.found.lights.find((l) => l.light === light.value) ?? found.value?.found.lights[0] ?? null);
/** What is shown is not the answer to what stands in the fields. */
export const stale = computed(() => found.value !== null && answered.value !== JSON.stringify(findQuestion()) && !busy.value);

export function wordOf(list: Dose[]): string {
  return list.map((d) => `${d.dye_id}=${raw(d.depth_pct_owf, 6)}`).join();
}

/* -- questions -- */

/** Files as the server takes them: the standard and the sample are looked for where they stand. */
function filesFor(names: { standard?: string; sample?: string }): LabFiles {
  const { standard_file, ...rest } = files.peek() ?? {};
  const inStandards = (name: string | undefined): boolean => name !== undefined && samples.peek().find((s) => s.name === name)?.file === "standard_file";
  return { ...rest, ...(standard_file && inStandards(names.standard) ? { standard_file } : {}), ...(standard_file && inStandards(names.sample) ? { sample_file: standard_file } : {}) };
}
/** Where the samples of a question come from. */
function samplesFor(names: { standard?: string; sample?: string }): Record<string, unknown> {
  const mill = from.peek();
  return mill ? { from: { substrate: mill.substrate, shade: mill.shade } } : { files: filesFor(names) };
}
/** What an answer must still be about when it comes back. */
function basis(): unknown {
  return from.peek() ?? files.peek();
}
/** As people call the standard. */
export const standardName = computed(() => (from.value && standard.value === from.value.standard ? from.value.name : standard.value));
/** As it was fitted to the samples: it need not be fitted again for every question. */
function surface(): Record<string, unknown> {
  const s = calibrated.peek()?.result.surface;
  if (!s || s.kind === "none") return { surface: "none" };
  return s.kind === "limit" ? { surface: "limit", k1: s.k1 } : { surface: "saunderson", k1: s.k1, k2: s.k2 };
}
function common(): Record<string, unknown> {
  return { ...conditions(), ...surface() };
}
export function toleranceNumber(): number | null {
  const typed = parse(tolerance.value);
  return "value" in typed ? typed.value : null;
}
function findQuestion(): Record<string, unknown> {
  return { do: "find", standard: standard.value, tolerance: toleranceNumber(), dyes_max: Number(dyesMax.value), shown: 12, ...narrowing(), ...common() };
}

type Job = "calibrate" | "find" | "predict";
const wanted = new Set<Job>();
let running = false;

function want(job: Job): void {
  wanted.add(job);
  if (!running) void run();
}
/** In this order: what comes later rests on what comes earlier. */
const ORDER: Job[] = ["calibrate", "find", "predict"];
async function run(): Promise<void> {
  running = true;
  busy.value = true;
  for (let job = next(); job; job = next()) {
    wanted.delete(job);
    try {
      await jobs[job]();
      error.value = null;
    } catch (cause) {
      error.value = cause as Error;
      lost = cause instanceof Unreachable ? job : null;
      wanted.clear();
    }
  }
  running = false;
  busy.value = false;
}
function next(): Job | undefined {
  return ORDER.find((job) => wanted.has(job));
}
let lost: Job | null = null;
/** The server is back: what was not answered is asked again. */
export function again(): void {
  if (lost) want(lost);
  lost = null;
}

const jobs: Record<Job, () => Promise<void>> = {
  async calibrate() {
    const mine = basis();
    if (!mine) return;
    const { lights, observer } = conditions();
    const answer = await recipe<Calibrated>({ do: "calibrate", lights, observer, ...samplesFor({}), ...(from.peek() ? {} : { files: files.peek() }) });
    if (basis() !== mine) return; // others have come in the meantime
    const others = answer.laboratory.samples.filter((s) => s.kind === "other" && s.swatch);
    batch(() => {
      calibrated.value = answer;
      if (!answer.laboratory.samples.some((s) => s.name === standard.peek())) standard.value = from.peek()?.standard ?? others[0]?.name ?? "";
    });
    if (standard.peek()) wanted.add("find");
  },
  async find() {
    const question = findQuestion();
    const mine = basis();
    if (!question["standard"] || question["tolerance"] === null || conditionsWrong.peek() || searchWrong.peek()) return;
    const mill = from.peek();
    const machine = bulkMachine.peek();
    const offered = mill && machine ? { from: { substrate: mill.substrate, shade: mill.shade, machine, best_guess: bestGuess.peek() } } : {};
    const answer = await recipe<Found>({ ...question, ...samplesFor({ standard: standard.peek() }), ...offered });
    if (basis() !== mine) return;
    if (found.peek() && answered.peek() === JSON.stringify(question)) {
      found.value = answer; // the same recipes: what was picked and moved stays
      return;
    }
    batch(() => {
      found.value = answer;
      answered.value = JSON.stringify(question);
      wanted.delete("predict");
      pick(answer.found.recipes.length ? 0 : -1);
    });
  },
  async predict() {
    const of = wordOf(doses.peek());
    const name = standard.peek();
    const from = chosen.peek();
    if (!isMoved.peek() || conditionsWrong.peek()) return;
    const answer = await recipe<Predicted>({ do: "predict", recipe: of, sample: name, ...common(), ...samplesFor({ sample: name }) });
    if (isMoved.peek() && chosen.peek() === from) moved.value = answer;
  },
};

/* -- what people do -- */

export function take(next: LabFiles, demo: boolean): void {
  begin(null, next, demo);
  if (next.spectra) want("calibrate");
}
export function takeFrom(mill: From): void {
  const was = from.peek();
  if (was && JSON.stringify(was) === JSON.stringify(mill) && calibrated.peek()) return;
  begin(mill, null, false);
  tolerance.value = raw(mill.tolerance);
  want("calibrate");
}
/** Neither: files are to be chosen. */
export function takeNone(): void {
  begin(null, null, false);
}
function begin(mill: From | null, next: LabFiles | null, demo: boolean): void {
  batch(() => {
    from.value = mill;
    files.value = next;
    isDemo.value = demo;
    calibrated.value = null;
    found.value = null;
    moved.value = null;
    corrected.value = null;
    correctError.value = null;
    error.value = null;
    standard.value = "";
    sampleName.value = "";
    asDyed.value = EMPTY_ROWS;
    freeDyes();
  });
  wanted.clear();
}
export async function takeDemo(): Promise<void> {
  try {
    take((await labDemo()).files, true);
  } catch (cause) {
    error.value = cause as Error;
  }
}
/** What a file holds, by its first line that is no note. */
export function kindOf(text: string, taken: LabFiles): FileKey {
  const head = text.split(/\r?\n/).find((line) => line.trim() && !line.startsWith("#")) ?? "";
  if (/(^|,)"?depth_max_pct_owf"?(,|$)/.test(head)) return "dose_band";
  if (/(^|,)"?table_id"?(,|$)/.test(head)) return "dose_table";
  if (/(^|,)"?dye_id"?(,|$)/.test(head)) return /(^|,)"?sample"?(,|$)/.test(head) ? "ladder" : "dyes";
  return taken.spectra ? "standard_file" : "spectra";
}
export function withFile(all: LabFiles, file: LabFile): LabFiles {
  // Samples called DYE@DEPTH are what the ladders are made of, whichever file came first.
  const ladders = /@\d/.test(file.text);
  if (ladders && all.spectra && !/@\d/.test(all.spectra.text)) return { ...all, standard_file: all.spectra, spectra: file };
  return { ...all, [kindOf(file.text, all)]: file };
}
/** Another use for a file; the two change places when both are there. */
export function swapFile(from: FileKey, to: FileKey): void {
  const all = { ...files.peek() };
  const { [from]: mine, [to]: other } = all;
  delete all[from];
  delete all[to];
  take({ ...all, ...(mine ? { [to]: mine } : {}), ...(other ? { [from]: other } : {}) }, isDemo.peek());
}
export function ask(): void {
  want("find");
}
/** Another light or eye: the samples are judged under it too. */
export function askAnew(): void {
  if (basis()) want("calibrate");
}
export function pick(place: number): void {
  picked.value = place;
  moved.value = null;
  doses.value = chosen.peek()?.dyes ?? [];
}
export function slide(dye: string, depth: number): void {
  doses.value = doses.peek().map((d) => (d.dye_id === dye ? { ...d, depth_pct_owf: depth } : d));
  if (isMoved.peek()) want("predict");
  else moved.value = null;
}

/* -- correction -- */

export interface DyedRow {
  dye: string;
  depth: string;
}
const EMPTY_ROWS: DyedRow[] = [{ dye: "", depth: "" }, { dye: "", depth: "" }, { dye: "", depth: "" }, { dye: "", depth: "" }];
export const sampleName = signal("");
export const asDyed = signal<DyedRow[]>(EMPTY_ROWS);
export const corrected = signal<{ dyes: string[]; answer: Corrected } | null>(null);
export const correctError = signal<Error | null>(null);
let correcting = false;
let correctAgain = false;

export function setRow(i: number, change: Partial<DyedRow>): void {
  asDyed.value = asDyed.peek().map((row, k) => (k === i ? { ...row, ...change } : row));
}
export function takeShown(): void {
  const rows = doses.peek().map((d) => ({ dye: d.dye_id, depth: raw(d.depth_pct_owf) }));
  asDyed.value = EMPTY_ROWS.map((row, i) => rows[i] ?? row);
  void correct();
}
/** The recipe as it is asked with; null while something is missing or wrong. */
export function dyedRecipe(): string | null {
  const rows = asDyed.value.filter((row) => row.dye);
  const read = rows.map((row) => ({ dye: row.dye, typed: parse(row.depth) }));
  if (!rows.length || read.some(({ typed }) => !("value" in typed))) return null;
  return read.map(({ dye, typed }) => `${dye}=${"value" in typed ? raw(typed.value, 6) : ""}`).join();
}
export async function correct(): Promise<void> {
  const as = dyedRecipe();
  if (!as || !standard.peek() || !sampleName.peek() || toleranceNumber() === null || conditionsWrong.peek()) return;
  if (correcting) {
    correctAgain = true;
    return;
  }
  correcting = true;
  do {
    correctAgain = false;
    const dyed = dyedRecipe() ?? as;
    const mine = basis();
    try {
      const names = { standard: standard.peek(), sample: sampleName.peek() };
      const answer = await recipe<Corrected>({ do: "correct", ...names, recipe: dyed, tolerance: toleranceNumber(), ...common(), ...samplesFor(names) });
      if (basis() !== mine) break;
      corrected.value = { dyes: dyed.split(",").map((one) => one.split("=")[0] ?? ""), answer };
      correctError.value = null;
    } catch (cause) {
      correctError.value = cause as Error;
      if (!(cause instanceof ApiError)) break;
    }
  } while (correctAgain);
  correcting = false;
}
