// A round of laboratory dips: what is typed, what is answered, the sheet.
import { signal } from "@preact/signals";
import { recipe, recipeSheet } from "../api";
import { parse, raw } from "../fmt";
import { asking } from "./asking";
import { numberIn, wrongIn } from "./compare";
import { doses, files, from, standard } from "./state";
import type { Dispensed, LabFiles } from "./types";

export const DIPS_MOST = 12;
export interface DipRow {
  id: string;
  recipe: string;
}
export const dips = signal<DipRow[]>([]);

/** Numbers with what they usually are; "" stands for what the server takes by itself. */
export const NUMBERS = ["sample_g", "ratio_l_per_kg", "stock_g_per_l", "pipette_least_ml", "pipette_step_ml", "vessel_ml", "salt_g_per_l", "alkali_g_per_l", "round"] as const;
export type NumberKey = (typeof NUMBERS)[number];
const USUAL: Record<NumberKey, string> = { sample_g: "5", ratio_l_per_kg: "10", stock_g_per_l: "10", pipette_least_ml: "0.5", pipette_step_ml: "0.05", vessel_ml: "", salt_g_per_l: "", alkali_g_per_l: "", round: "1" };
export const numbers = signal<Record<NumberKey, string>>(USUAL);
export const texts = signal({ shade: "", cloth: "", programme: "" });

export function setNumber(key: NumberKey, text: string): void {
  numbers.value = { ...numbers.peek(), [key]: text };
  void dispensing.ask();
}
export function setText(key: keyof typeof texts.value, text: string): void {
  texts.value = { ...texts.peek(), [key]: text };
}
export function setDip(i: number, change: Partial<DipRow>): void {
  dips.value = dips.peek().map((row, k) => (k === i ? { ...row, ...change } : row));
  void dispensing.ask();
}
export function addDip(text: string): void {
  if (dips.peek().length >= DIPS_MOST) return;
  dips.value = [...dips.peek(), { id: "", recipe: text.replaceAll(",", ", ") }];
  if (!texts.peek().shade && standard.peek()) setText("shade", from.peek()?.shade || standard.peek());
  void dispensing.ask();
}
export function addShown(): void {
  addDip(doses.peek().map((d) => `${d.dye_id}=${raw(d.depth_pct_owf, d.depth_pct_owf < 0.1 ? 4 : 3)}`).join());
}
/** A round of the mill, to be printed. */
export function takeRound(of: { shade_id: string; name: string }, round: { dip_id: string; recipe: string; round: number; substrate: string }[]): void {
  dips.value = round.slice(0, DIPS_MOST).map((d) => ({ id: d.dip_id, recipe: d.recipe.replaceAll(",", ", ") }));
  texts.value = { ...texts.peek(), shade: of.shade_id, cloth: round[0]?.substrate ?? "" };
  setNumber("round", String(round[0]?.round ?? 1));
}
export function removeDip(i: number): void {
  dips.value = dips.peek().filter((_, k) => k !== i);
  dispensing.clear();
  void dispensing.ask();
}

/** "RY-1=1.2, RB-1 = 0,04" as it is asked with; null: it is no recipe. */
export function recipeIn(text: string): string | null {
  const parts = text.split(/[;\n]|,(?!\d)/).map((one) => one.trim()).filter(Boolean);
  const read = parts.map((one) => {
    const [dye = "", depth = ""] = one.split("=").map((side) => side.trim());
    const typed = parse(depth);
    return dye && "value" in typed ? `${dye}=${typed.value}` : null;
  });
  return read.length && !read.includes(null) ? read.join() : null;
}

function known(): LabFiles {
  const { dyes, dose_table, dose_band } = files.peek() ?? {};
  return { ...(dyes ? { dyes } : {}), ...(dose_table ? { dose_table } : {}), ...(dose_band ? { dose_band } : {}) };
}

export function question(): Record<string, unknown> | null {
  const recipes = dips.value.map((row) => recipeIn(row.recipe));
  const all = numbers.value;
  if (!recipes.length || recipes.includes(null) || NUMBERS.some((key) => wrongIn(all[key]) !== null)) return null;
  if (numberIn(all.sample_g) === null || numberIn(all.ratio_l_per_kg) === null) return null;
  const named = dips.value.some((row) => row.id.trim());
  return {
    do: "dispense",
    recipe: recipes.join(";"),
    ...Object.fromEntries(NUMBERS.flatMap((key) => (numberIn(all[key]) === null ? [] : [[key, numberIn(all[key])]]))),
    ...(named ? { dips: dips.value.map((row) => row.id.trim().replaceAll(",", " ")).join() } : {}),
    files: known(),
  };
}

export const dispensing = asking<Record<string, unknown>, Dispensed>(question, (q) => recipe<Dispensed>(q));

export const printing = signal(false);
export const printError = signal<Error | null>(null);
export async function saveSheet(): Promise<void> {
  const asked = question();
  if (!asked || printing.peek()) return;
  const { shade, cloth, programme } = texts.peek();
  printing.value = true;
  try {
    const pdf = await recipeSheet({ ...asked, ...(shade ? { shade } : {}), ...(cloth ? { cloth } : {}), ...(programme ? { programme } : {}) });
    const url = URL.createObjectURL(pdf);
    const link = document.createElement("a");
    link.href = url;
    link.download = `${shade.replace(/[^\w.-]+/g, "-") || "laboratory"}-round-${numbers.peek().round || "1"}.pdf`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(url), 60_000);
    printError.value = null;
  } catch (cause) {
    printError.value = cause as Error;
  }
  printing.value = false;
}
