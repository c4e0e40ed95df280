// A sample held against its standard.
import { signal } from "@preact/signals";
import { api, colour } from "../api";
import { parse } from "../fmt";
import { asking } from "./asking";
import { bench } from "./bench";
import { colourConditions, conditionsWrong, lights } from "./compare";
import { files, from, samples, standard } from "./state";
import type { Bench, Judged, LabFile } from "./types";

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

/* -- samples that the mill keeps -- */

/** All readings of the laboratory, as they were when the samples were listed. */
let readings: { of: Bench | null; table: Promise<string> } | null = null;

/** A file of these samples, one value a row. */
async function millFile(names: string[]): Promise<LabFile> {
  const of = bench.peek();
  if (readings?.of !== of) readings = { of, table: api.table("lab_reading") };
  let table: string;
  try {
    table = await readings.table;
  } catch (cause) {
    readings = null;
    throw cause;
  }
  const gloss = new Map(of?.samples.map((one) => [one.sample_id, one.specular]));
  const rows = table.split(/\r?\n/).map((row) => row.split(",")).filter(([id]) => id !== undefined && names.includes(id));
  const text = rows.map(([id = "", nm, pct]) => [id, gloss.get(id) ?? "", nm, pct].join()).join("\n");
  return { name: "laboratory.csv", text: `sample,specular,wavelength_nm,reflectance\n${text}\n` };
}

interface Asked {
  question: Record<string, unknown>;
  /** Null: of the mill. */
  where: Record<string, LabFile> | null;
  names: string[];
}

export const judging = asking<Asked, Judged>(
  () => {
    const [of, sample] = [standard.peek(), judgedSample.peek()];
    const tolerance = limitNumbers();
    if (!of || !sample || tolerance === null || conditionsWrong.peek()) return null;
    const question = { do: "difference", standard: of, sample, tolerance, repeats: true, ...colourConditions() };
    if (from.peek()) return { question, where: null, names: [of, sample] };
    const [standardFile, own] = [fileOf(of), fileOf(sample)];
    if (!standardFile || !own) return null;
    return { question, where: standardFile === own ? { samples: own } : { samples: own, standard_file: standardFile }, names: [] };
  },
  async ({ question, where, names }) => colour<Judged>({ ...question, files: where ?? { samples: await millFile(names) } }),
);
