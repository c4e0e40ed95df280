// A sample held against its standard.
import { signal } from "@preact/signals";
import { colour } from "../api";
import { parse } from "../fmt";
import { asking } from "./asking";
import { colourConditions, conditionsWrong, lights } from "./compare";
import { files, samples, standard } from "./state";
import type { Judged, LabFile } from "./types";

export const judgedSample = signal("");
/** One for all lights, or one each, with commas between. */
export const limits = signal("1");

export function limitNumbers(): number[] | null {
  const all = limits.value.split(/[,;]\s+|\s+|,(?=\d+\.)/).filter(Boolean).map((text) => parse(text));
  const values = all.flatMap((one) => ("value" in one ? [one.value] : []));
  return values.length === all.length && (values.length === 1 || values.length === lights.value.length) ? values : null;
}

function fileOf(name: string): LabFile | null {
  const all = files.peek() ?? {};
  const at = samples.peek().find((s) => s.name === name)?.file;
  return (at === "standard_file" ? all.standard_file : all.spectra) ?? null;
}

export const judging = asking<Record<string, unknown>, Judged>(
  () => {
    const [of, sample] = [standard.peek(), judgedSample.peek()];
    const [standardFile, own] = [fileOf(of), fileOf(sample)];
    const tolerance = limitNumbers();
    if (!of || !sample || !standardFile || !own || tolerance === null || conditionsWrong.peek()) return null;
    const where = standardFile === own ? { samples: own } : { samples: own, standard_file: standardFile };
    return { do: "difference", standard: of, sample, tolerance, repeats: true, ...colourConditions(), files: where };
  },
  (question) => colour<Judged>(question),
);
