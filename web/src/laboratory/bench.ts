// The laboratory as the mill keeps it: substrates with their ladders, shades with their dips; what is
// done to a dip. A change made by someone else in the meantime is told, and what stands now is loaded.
import { batch, computed, signal } from "@preact/signals";
import { ApiError, lab } from "../api";
import { takeFrom } from "./state";
import type { Bench, BenchShade, Dip, LabFile } from "./types";

export const bench = signal<Bench | null>(null);
export const benchError = signal<Error | null>(null);
export const substrate = signal("");
export const shadeId = signal("");
export const shade = computed<BenchShade | null>(() => bench.value?.shades.find((s) => s.shade_id === shadeId.value) ?? null);
export const measured = computed<BenchShade[]>(() => bench.value?.shades.filter((s) => s.standard || s.dips.length) ?? []);

export async function loadBench(): Promise<void> {
  try {
    bench.value = await lab.bench();
    benchError.value = null;
  } catch (cause) {
    benchError.value = cause as Error;
  }
}
/** The mill's samples, those of the shade that was looked at last or of the first with a standard. */
export function useMill(): void {
  const b = bench.peek();
  const first = b?.substrates.find((s) => s.cloth && s.rungs > 0);
  if (!b || !first) return;
  batch(() => {
    if (!b.substrates.some((s) => s.substrate === substrate.peek())) substrate.value = first.substrate;
    if (!b.shades.some((s) => s.shade_id === shadeId.peek())) shadeId.value = (b.shades.find((s) => s.standard) ?? b.shades[0])?.shade_id ?? "";
  });
  choose();
}
export function choose(): void {
  const one = shade.peek();
  takeFrom({ substrate: substrate.peek(), shade: shadeId.peek(), standard: one?.standard ?? "", name: one ? `${one.name}` : "", tolerance: one?.tolerance_de ?? 1 });
}

/* -- what is done -- */

export interface Told {
  at: string;
  error: Error | null;
  words: string;
}
export const told = signal<Told | null>(null);
export const acting = signal(false);

/** `at` says where the outcome is shown. */
async function act(at: string, work: () => Promise<string>): Promise<boolean> {
  if (acting.peek()) return false;
  acting.value = true;
  told.value = null;
  let fine = true;
  try {
    const words = await work();
    await loadBench();
    told.value = { at, error: null, words };
  } catch (cause) {
    fine = false;
    if (cause instanceof ApiError && cause.status === 409) await loadBench();
    told.value = { at, error: cause as Error, words: "" };
  }
  acting.value = false;
  return fine;
}

export const NEW_DIP = "new dip";
export const PICK = "pick";
export function newDip(recipe: string, words: (dip: string) => string): Promise<boolean> {
  return act(NEW_DIP, async () => words((await lab.newDip({ shade_id: shadeId.peek(), substrate: substrate.peek(), recipe })).dip.dip_id));
}
/** What was measured of a dip, out of a file: `sample` is its name there. */
export function measureDip(dip: Dip, file: LabFile, sample: string, words: string): Promise<boolean> {
  return act(dip.dip_id, async () => {
    await lab.addSamples({ file, as: [{ sample, kind: "dip", dip_id: dip.dip_id }] });
    return words;
  });
}
export function moveDip(dip: Dip, state: string, by: string, recipeOfShade: boolean, words: (lots: string[]) => string): Promise<boolean> {
  const one = shade.peek();
  return act(dip.dip_id, async () => {
    const { lots } = await lab.putDip(dip.dip_id, { revision: dip.revision, state, ...(by ? { by } : {}), ...(recipeOfShade ? { recipe_of_shade: true, was: one?.recipe ?? "" } : {}) });
    return words(recipeOfShade ? (lots ?? []) : []);
  });
}
/** `was`: what the page showed as the recipe of the shade; another one in the meantime is a conflict. */
export function pickRecipe(at: string, recipe: string, words: (lots: string[]) => string, bulk: Chosen | null = null): Promise<boolean> {
  const was = shade.peek()?.recipe ?? "";
  return act(at, async () => words((await lab.putRecipe(shadeId.peek(), { recipe, was, ...bulk })).lots));
}
/** Factors that are taken with a recipe; `factors` are those that were seen. */
export interface Chosen {
  machine_id: string;
  best_guess: boolean;
  factors: string;
}
