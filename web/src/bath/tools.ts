// The questions of the bath desk: what each asks for, as the server takes it, and what of its
// answer is said large. Nothing is worked out here.
import { words } from "../words";

const w = words.desk;

export interface DeskNumber {
  type: "number";
  key: string;
  label: string;
  unit: string;
  start: string;
  /** May stay empty: then it is not sent. */
  optional?: boolean;
  /** Folded away until asked for. */
  more?: boolean;
  /** Only asked for when this choice stands at one of these. */
  when?: [choice: string, ...values: string[]];
}
export interface DeskChoice {
  type: "choice";
  key: string;
  label: string;
  options: [value: string, label: string][];
  when?: [choice: string, ...values: string[]];
}
export type DeskField = DeskNumber | DeskChoice;
export interface Tool {
  id: string;
  do: string;
  title: string;
  lead: string;
  fields: DeskField[];
  /** Keys of the result that are said large, in their order; those not in an answer are left out. */
  large: string[];
}

type Rest = Partial<Omit<DeskNumber, "type" | "key" | "label" | "unit" | "start">>;
function ask(key: string, unit: string, start = "", rest: Rest = {}): DeskNumber {
  return { type: "number", key, label: w.ask[key] ?? key, unit, start, ...(start === "" ? { optional: true } : {}), ...rest };
}
function choose(key: string, values: string[], rest: Pick<DeskChoice, "when"> = {}): DeskChoice {
  return { type: "choice", key, label: w.ask[key] ?? key, options: values.map((value) => [value, w.choices[value] ?? w.ask[`${value}_g_per_l`]?.split(",")[0] ?? value]), ...rest };
}

const SHOWN = ["na2co3", "naoh", "na2so4", "nacl"];
const MORE = ["nahco3", "acetic", "formic", "citric", "h2so4", "h2o2", "dithionite"];
const ALKALIS = ["na2co3", "naoh", "nahco3"];
const ACIDS = ["acetic", "formic", "citric", "h2so4"];

/** Everything a bath may hold, those of every day first. */
function mix(start: Record<string, string>): DeskNumber[] {
  return [
    ...SHOWN.map((name) => ask(`${name}_g_per_l`, "g/L", start[name], { optional: true })),
    ...MORE.map((name) => ask(`${name}_g_per_l`, "g/L", start[name], { optional: true, more: true })),
  ];
}

const ONE_TITRATION: [string, ...string[]] = ["kind", "peroxide", "alkali", "dithionite", "salt"];

export const TOOLS: Tool[] = [
  {
    id: "ph", do: "ph", title: w.tools.ph.title, lead: w.tools.ph.lead,
    fields: [ask("temp_c", "°C", "60"), ...mix({ na2co3: "20", na2so4: "50" }), ask("cold_c", "°C", "25", { more: true })],
    large: ["ph", "ph_cold"],
  },
  {
    id: "probe", do: "probe", title: w.tools.probe.title, lead: w.tools.probe.lead,
    fields: [
      choose("reading_is", ["cold", "bath"]), ask("ph", "pH", "11"), choose("unknown", [...ALKALIS, ...ACIDS]), ask("temp_c", "°C", "60"),
      ...mix({ na2so4: "50" }), ask("cold_c", "°C", "25", { more: true }),
    ],
    large: ["amount_g_per_l", "ph_bath"],
  },
  {
    id: "same-ph", do: "same_ph", title: w.tools.same_ph.title, lead: w.tools.same_ph.lead,
    fields: [ask("temp_c", "°C", "60"), ask("soda_only_g_per_l", "g/L", "20"), ask("soda_mixed_g_per_l", "g/L", "5"), ask("na2so4_g_per_l", "g/L", "60", { optional: true }), ask("nacl_g_per_l", "g/L", "", { optional: true })],
    large: ["naoh_g_per_l", "ph"],
  },
  {
    id: "neutralise", do: "neutralise", title: w.tools.neutralise.title, lead: w.tools.neutralise.lead,
    fields: [
      choose("acid", ACIDS), ask("strength_pct", "%", "100"), ask("liquor_l", "L", "8000"), ask("target_ph", "pH", "6.3"), ask("temp_c", "°C", "50"),
      ...mix({ na2co3: "1" }),
    ],
    large: ["product_kg", "ph"],
  },
  {
    id: "titrate", do: "titrate", title: w.tools.titrate.title, lead: w.tools.titrate.lead,
    fields: [
      choose("kind", ["peroxide", "alkali", "two_alkalis", "dithionite", "salt"]),
      choose("substance", ALKALIS, { when: ["kind", "alkali"] }),
      ask("sample_ml", "mL", "50"),
      ask("titrant_ml", "mL", "4.2", { when: ONE_TITRATION }),
      ask("phenolphthalein_ml", "mL", "12", { when: ["kind", "two_alkalis"] }), ask("methyl_orange_ml", "mL", "20", { when: ["kind", "two_alkalis"] }),
      ask("titrant_eq_per_l", "eq/L", "0.1"),
      ask("liquor_l", "L", "", { when: ["kind", "peroxide", "alkali", "two_alkalis"] }),
      choose("acid", ACIDS, { when: ["kind", "alkali", "two_alkalis"] }),
      ask("capacity_mg_per_g", "mg/g", "", { when: ["kind", "peroxide"] }),
    ],
    large: ["peroxide_mg_per_l", "alkali_g_per_l", "naoh_g_per_l", "na2co3_g_per_l", "nahco3_g_per_l", "dithionite_g_per_l", "salt_g_per_l", "catalase_kg"],
  },
  {
    id: "hardness", do: "hardness", title: w.tools.hardness.title, lead: w.tools.hardness.lead,
    fields: [
      ask("water_dh", "°dH", "1"), ask("calcium_mg_per_kg", "mg/kg", "800"), ask("magnesium_mg_per_kg", "mg/kg", "800"), ask("ratio_l_per_kg", "L/kg", "8"),
      ask("released_part", "", "0.3"), ask("product_g_per_l", "g/L", "1"), ask("capacity_mg_per_g", "mg/g", "120"), ask("allowed_dh", "°dH", "0"),
    ],
    large: ["free_dh", "need_g_per_l", "total_dh"],
  },
  {
    id: "rinse", do: "rinse", title: w.tools.rinse.title, lead: w.tools.rinse.lead,
    fields: [
      ask("load_kg", "kg", "1000"), ask("ratio_l_per_kg", "L/kg", "8"), ask("retained_l_per_kg", "L/kg", "2.5"), ask("start_g_per_l", "g/L", "60"),
      ask("target_g_per_l", "g/L", "2"), ask("flow_l_per_min", "L/min", "300"), ask("fill_l_per_min", "L/min", "800"), ask("drain_l_per_min", "L/min", "1000"), ask("run_min", "min", "5"),
    ],
    large: ["water_saved_l"],
  },
];

export function toolOf(id: string | undefined): Tool | undefined {
  return id === undefined ? TOOLS[0] : TOOLS.find((tool) => tool.id === id);
}
