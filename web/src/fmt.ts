// How a number looks. The only place that knows digits, separators and unit signs.

const NBSP = "\u00a0"; // between value and unit
const MINUS = "\u2212";

/** 1234567.891 with 1 decimal -> "1,234,567.9". Own code: no locale may change a machine figure. */
export function number(value: number, decimals = 0): string {
  if (!Number.isFinite(value)) return "–";
  const fixed = Math.abs(value).toFixed(decimals);
  const [whole = "0", part] = fixed.split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ",");
  const text = part === undefined ? grouped : `${grouped}.${part}`;
  return value < 0 && Number(fixed) !== 0 ? MINUS + text : text;
}

/** Up to `most` decimals, without trailing zeros. */
export function trimmed(value: number, most: number): string {
  const text = number(value, most);
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}

/** 165.4 min -> "2:45". */
export function clock(minutes: number): string {
  const total = Math.round(minutes);
  const h = Math.floor(Math.abs(total) / 60);
  const m = Math.abs(total) % 60;
  return `${total < 0 ? MINUS : ""}${h}:${String(m).padStart(2, "0")}`;
}

export interface Shown {
  value: string;
  unit: string;
}

/** Decimals that keep about three significant digits, but never more than makes sense. */
function digits(value: number, most: number): number {
  const size = Math.abs(value);
  if (size >= 100) return 0;
  if (size >= 10) return Math.min(1, most);
  return Math.min(2, most);
}

/** What is worth saying of something predicted: about three digits, two decimals at most. */
export function rounded(value: number): string {
  return trimmed(value, digits(value, 2));
}

type Rule = (value: number, currency: string) => Shown;
const plain = (unit: string, most: number): Rule => (v) => ({ value: trimmed(v, digits(v, most)), unit });
const fixed = (unit: string, decimals: number): Rule => (v) => ({ value: number(v, decimals), unit });

const RULES: Record<string, Rule> = {
  L: (v) => ({ value: number(v, Math.abs(v) < 100 ? 1 : 0), unit: "L" }),
  kg: (v) => ({ value: trimmed(v, Math.abs(v) < 100 ? 2 : Math.abs(v) < 1000 ? 1 : 0), unit: "kg" }),
  m: fixed("m", 0),
  min: (v) => ({ value: trimmed(v, Math.abs(v) < 100 ? 1 : 0), unit: "min" }),
  degC: (v) => ({ value: trimmed(v, 1), unit: "°C" }),
  "L/kg": (v) => ({ value: trimmed(v, Math.abs(v) < 10 ? 2 : 1), unit: "L/kg" }),
  "m/min": fixed("m/min", 0),
  kWh: fixed("kWh", 0),
  "% owf": (v) => ({ value: trimmed(v, 4), unit: "% owf" }),
  "g/L": (v) => ({ value: trimmed(v, 3), unit: "g/L" }),
  "mL/L": (v) => ({ value: trimmed(v, 3), unit: "mL/L" }),
  "%": (v) => ({ value: trimmed(v, 1), unit: "%" }),
  "g/m2": fixed("g/m²", 0),
  "g/m²": fixed("g/m²", 0),
  cm: (v) => ({ value: trimmed(v, 1), unit: "cm" }),
  minor: (v, currency) => ({ value: number(v / 100, 2), unit: currency }),
  "minor/kg": (v, currency) => ({ value: number(v / 100, 2), unit: `${currency}/kg` }),
  pH: fixed("", 1),
  "mg/L": (v) => ({ value: trimmed(v, digits(v, 1)), unit: "mg/L" }),
  "mg/kg": (v) => ({ value: trimmed(v, digits(v, 1)), unit: "mg/kg" }),
  dH: fixed("°dH", 1),
  "ΔE": fixed("ΔE", 2),
  "% per contact": fixed("% per contact", 2),
  "": (v) => ({ value: trimmed(v, 3), unit: "" }),
};

function sign(unit: string): string {
  return unit.replace(/degC/g, "°C").replace(/m2/g, "m²").replace(/m3/g, "m³").replace(/^dE\b/, "ΔE");
}

const FORMULAS: Record<string, string> = { Na2SO4: "Na₂SO₄", Na2CO3: "Na₂CO₃" };

/**
 * Words of the core are plain ASCII; on screen a degree, a product and a formula are their signs, thousands
 * are set as in every figure, and no line ends before a unit sign.
 */
export const prose = (words: string): string =>
  words.replace(/\bdegC\b/g, "°C").replace(/(\d)\u00a0(?=\d{3})/g, "$1,").replace(/(\S) x (?=\S)/g, `$1 × `)
    .replace(/(\d) (?=%|°C)/g, `$1${NBSP}`).replace(/\bNa2(?:SO4|CO3)\b/g, (name) => FORMULAS[name] ?? name);

/** A sentence of the core: begins large, ends with a stop. A name of a file, a field or our program keeps its letters. */
export function sentence(words: string): string {
  const text = prose(words.trim()).replace(/^(?!madder )[a-z]+(?=[\s,;]|$)/, (first) => first.charAt(0).toUpperCase() + first.slice(1));
  return text === "" || /[.!?:;…]$/.test(text) ? text : `${text}.`;
}

/** Grades and what needs no book are words; the key of a book or paper stays as docs/sources.md has it. */
const GRADES = new Set(["common-practice", "mass-balance", "from-memory", "textbook-arithmetic", "perfectly-mixed-tank"]);
export const sourceName = (key: string): string => (GRADES.has(key) ? key.replace(/-/g, " ") : key);

/** Every digit that is worth anything: six significant ones. Money stays in the minor unit. */
export function exact(value: number): string {
  const size = Math.abs(value);
  const before = size >= 1 ? Math.floor(Math.log10(size)) + 1 : 0;
  return trimmed(value, Math.max(0, Math.min(9, 6 - before)));
}

/** A figure of this unit, ready to be set. Money arrives in the minor unit of the currency. */
export function shown(value: number, unit: string, currency: string): Shown {
  const rule = RULES[unit];
  if (rule) return rule(value, currency);
  if (unit.startsWith("minor/")) return { value: number(value / 100, 2), unit: `${currency}/${sign(unit.slice(6))}` };
  return plain(sign(unit), 3)(value, currency);
}

/** A mass to be weighed: grams below 1 kg, as a scale would show it. */
export function weight(kg: number): Shown {
  if (Math.abs(kg) < 1) return { value: number(kg * 1000, Math.abs(kg) < 0.1 ? 1 : 0), unit: "g" };
  if (Math.abs(kg) < 100) return { value: number(kg, 3), unit: "kg" };
  return { value: number(kg, 1), unit: "kg" };
}

export function joined(s: Shown): string {
  return s.unit ? s.value + NBSP + s.unit : s.value;
}

/** Volume or mass for a label in the chart: short. */
export function short(kg: number): string {
  if (kg < 1) return `${number(kg * 1000)}${NBSP}g`;
  return `${number(kg, kg < 10 ? 1 : 0)}${NBSP}kg`;
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const DAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];

/** The last moment of a due day, in the time of this device: who delivers on the day is not late. */
export function moment(due: string | number): Date | null {
  const date = new Date(typeof due === "string" && /^\d{4}-\d{2}-\d{2}$/.test(due) ? `${due}T23:59:59` : due);
  return Number.isNaN(date.getTime()) ? null : date;
}
/** "Thu 12 Mar" in the time of this device. */
export function day(due: string | number): string {
  const date = moment(due);
  return date ? `${DAYS[date.getDay()]} ${date.getDate()} ${MONTHS[date.getMonth()]}` : "–";
}
export function wallClock(date: Date): string {
  return `${date.getHours()}:${String(date.getMinutes()).padStart(2, "0")}`;
}

export type Typed = { value: number } | { wrong: "empty" | "not-a-number" | "ambiguous" };

/**
 * What a person typed: '.' or ',' as the decimal mark, no grouping. "1,000" is refused, because
 * one reader means a thousand and the next means one.
 */
export function parse(text: string): Typed {
  const bare = text.trim().replace(MINUS, "-");
  if (bare === "") return { wrong: "empty" };
  if (/^[1-9]\d{0,2}[.,]\d{3}$/.test(bare)) return { wrong: "ambiguous" };
  const dotted = bare.replace(",", ".");
  return /^-?(\d+\.?\d*|\.\d+)$/.test(dotted) ? { value: Number(dotted) } : { wrong: "not-a-number" };
}
/** A number as it stands in a field: no grouping, '.' as the mark. */
export function raw(value: number, most = 4): string {
  return String(Number(value.toFixed(most)));
}
