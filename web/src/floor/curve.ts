// A reflectance curve as somebody types or pastes it: numbers alone, or the file of an instrument.
export const FROM_NM = 400;
const TO_NM = 700;
const STEPS_NM = [20, 10] as const;
const countOf = (step: number): number => (TO_NM - FROM_NM) / step + 1;
/** Every 20 nm, every 10 nm. */
export const COUNTS: readonly number[] = STEPS_NM.map(countOf);

export type Gloss = "included" | "excluded" | "none";
/** What a reading of the shade is sent with (docs/api.md). */
export interface SampleFields {
  sample_id?: string;
  file?: { name: string; text: string };
  specular?: Gloss;
  scale?: "percent" | "fraction";
}

export type Curve = { is: "empty" } | { is: "part"; n: number; nextNm: number } | { is: "wrong"; word: string } | { is: "whole"; values: number[] } | { is: "file"; text: string };

/** Numbers alone are per cent from 400 nm on; with letters or a header it is a file, which the server reads. */
export function curveOf(text: string): Curve {
  const bare = text.trim();
  if (bare === "") return { is: "empty" };
  if (/[A-Za-z<]{2}/.test(bare) || bare.split("\n").some((line) => (line.match(/[,;\t]/g)?.length ?? 0) > Math.max(...COUNTS) - 1)) return { is: "file", text };
  // A comma is a decimal mark where nothing but blanks can part the numbers.
  const parts = bare.split(/[\s;]+/).flatMap((one) => (/^\d{1,3},\d{1,6}$/.test(one) ? [one.replace(",", ".")] : one.split(","))).filter(Boolean);
  const values: number[] = [];
  for (const one of parts) {
    const value = Number(one);
    if (!Number.isFinite(value) || value < 0 || value > 150) return { is: "wrong", word: one };
    values.push(value);
  }
  if (COUNTS.includes(values.length)) return { is: "whole", values };
  const [wide, fine] = STEPS_NM;
  const step = values.length < countOf(wide) ? wide : fine;
  return { is: "part", n: values.length, nextNm: FROM_NM + values.length * step };
}

/** The curve as a file of spectra. */
export function fileOf(values: readonly number[]): { name: string; text: string } {
  const step = (TO_NM - FROM_NM) / (values.length - 1);
  const nm = values.map((_, i) => FROM_NM + i * step);
  return { name: "typed.csv", text: `name,${nm.join(",")}\nsample,${values.join(",")}\n` };
}
