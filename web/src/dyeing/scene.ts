// A dyeing as geometry: the answer and a frame in, paths and labels out. No DOM here.
// Two pictures on one time axis, the map of the rope between them.
import { clock, number, short, trimmed } from "../fmt";
import { Placer, type Box, type Candidate, type Label, type Measure, type Segment } from "../charts/labels";
import { linear, ticks, timeStep, type Scale } from "../charts/scale";
import type { DyeStep, Simulated } from "./types";
import { w } from "./words";

const STEP = 26;
const GAP = 12;
const LANE = 34;
const SIZE = { label: 12, small: 11 };
/** Between which the colour difference is drawn; on a scale of ratios, for it falls a hundredfold. */
const DE = { low: 0.005, high: 20 };
/** Tops of the strike's scale: it jumps seldom, so that a moving slider moves the curve. */
const STRIKE_TOPS = [1.5, 2, 3, 5, 8, 12, 20, 30, 50, 100];
const PEAKS_TOLD_FROM = 0.05;

export interface View {
  width: number;
  from: number;
  to: number;
  measure: Measure;
}
export type MarkShape = "circle" | "square" | "triangle" | "diamond" | "cross";
const MARKS: MarkShape[] = ["circle", "square", "triangle", "diamond", "cross"];
export function markOf(index: number): MarkShape {
  return MARKS[index % MARKS.length] ?? "circle";
}

export interface DyeLines {
  dye_id: string;
  colour: string;
  mark: MarkShape;
  on: string;
  fixed: string;
  liquor: string;
  marks: [x: number, y: number][];
  fixedMarks: [x: number, y: number][];
  liquorMarks: [x: number, y: number][];
}
export interface EndLabel {
  dye_id: string;
  mark: MarkShape;
  x: number;
  y: number;
  /** Where its line ends, which may be a little off. */
  from: number;
  at: number;
  text: string;
  strong: boolean;
}
export interface StepBox {
  box: Box;
  step: DyeStep;
  odd: boolean;
  text: string;
}
export interface Picture {
  height: number;
  /** Of tall lanes within them, of low ones before them. */
  names: { key: string; word: string; unit: string; y: number; inside: boolean }[];
  axis: number;
}
export interface DyeScene {
  width: number;
  x: Scale;
  plot: Box;
  upper: Picture;
  lower: Picture;
  minor: number[];
  major: { x: number; text: string }[];
  bounds: number[];
  temp: Box;
  degrees: { y: number; text: string }[];
  line: string;
  planned: string;
  end: number | null;
  steps: StepBox[];
  beside: Box[];
  wedges: { path: string; dye: boolean; key: number }[];
  checks: { x: number; y: number; key: number }[];
  fibre: Box;
  percents: { y: number; text: string }[];
  dyes: DyeLines[];
  ends: EndLabel[];
  strike: { box: Box; area: string; limit: number; top: number; clip: Box; ticks: { y: number; text: string }[] };
  even: { box: Box; line: string; limit: number; ticks: { y: number; text: string }[] };
  liquor: Box;
  liquorTicks: { y: number; text: string }[];
  lanes: { key: string; box: Box; area: string; line: boolean }[];
  labels: Label[];
  lowerLabels: Label[];
}

type Run = [number, number][];
function line(run: Run, x: Scale, y: Scale): string {
  return run.map(([t, v], i) => `${i ? "L" : "M"}${x(t).toFixed(1)} ${y(v).toFixed(1)}`).join("");
}
function segmentsOf(run: Run, x: Scale, y: Scale): Segment[] {
  return run.slice(1).map(([t, v], i): Segment => {
    const [t0, v0] = run[i] ?? [t, v];
    return [x(t0), y(v0), x(t), y(v)];
  });
}
function area(run: Run, x: Scale, y: Scale, base: number): string {
  const [first] = run;
  const last = run[run.length - 1];
  return first && last ? `M${x(first[0]).toFixed(1)} ${base}${line(run, x, y).replace("M", "L")}L${x(last[0]).toFixed(1)} ${base}Z` : "";
}

export function columnOf(a: Simulated, key: string): Run {
  const c = a.course.columns.indexOf(key);
  return c < 0 ? [] : a.course.points.map((point): [number, number] => [point[0] ?? 0, point[c] ?? 0]);
}
/** Without the time before there is any. */
function begun(run: Run): Run {
  const first = run.findIndex(([, v]) => v > 0.3);
  return first < 0 ? [] : run.slice(Math.max(0, first - 1));
}
function seriesOf(a: Simulated, values: readonly (number | null)[]): Run {
  return a.curves.t_min.flatMap((t, i): Run => {
    const v = values[i];
    return v === null || v === undefined ? [] : [[t, v]];
  });
}
/** On the line that is drawn. */
export function valueAt(run: Run, t: number): number | null {
  const next = run.findIndex(([at]) => at > t);
  const a = next === 0 ? undefined : run.at(next < 0 ? -1 : next - 1);
  const b = next < 0 ? undefined : run[next];
  if (!a) return null;
  return b ? a[1] + ((b[1] - a[1]) * (t - a[0])) / (b[0] - a[0] || 1) : a[1];
}
export function runsOf(a: Simulated): {
  temp: Run; ph: Run; salt: Run; alkali: Run; strike: Run; spread: Run; de: Run; dyes: { on: Run; fixed: Run; liquor: Run }[];
} {
  return {
    temp: columnOf(a, "temp_c"), ph: columnOf(a, "ph"), salt: columnOf(a, "salt_g_per_l"), alkali: columnOf(a, "alkali_g_per_l"),
    strike: seriesOf(a, a.curves.strike_pct_per_contact), spread: seriesOf(a, a.curves.spread_pct), de: seriesOf(a, a.curves.de),
    dyes: a.curves.dyes.map((dye) => ({
      on: seriesOf(a, dye.on_fibre_pct), fixed: seriesOf(a, dye.fixed_pct),
      liquor: seriesOf(a, dye.bath_pct.map((v, i) => v + (dye.held_pct[i] ?? 0))),
    })),
  };
}

interface Lanes {
  step: number; temp: Box; dose: Box; fibre: Box; strike: Box; upper: number;
  even: Box; liquor: Box; rest: { key: "ph" | "salt" | "alkali"; box: Box }[]; lower: number;
}
function lanesOf(plot: { x: number; w: number }, narrow: boolean, rest: ("ph" | "salt" | "alkali")[]): Lanes {
  let y = 0;
  const lane = (h: number, gap = GAP): Box => {
    const box = { x: plot.x, y, w: plot.w, h };
    y += h + gap;
    return box;
  };
  const step = lane(STEP, 0).y;
  const temp = lane(narrow ? 96 : 112);
  const dose = lane(narrow ? 52 : 44, GAP + 2);
  const fibre = lane(narrow ? 190 : 214, GAP + 4);
  const strike = lane(76, 4);
  const upper = y;
  y = 6;
  const even = lane(84, GAP + 4);
  const liquor = lane(88, GAP + 4);
  return { step, temp, dose, fibre, strike, upper, even, liquor, rest: rest.map((key) => ({ key, box: lane(LANE) })), lower: y - GAP + 4 };
}

export function isNarrow(width: number): boolean {
  return width < 600;
}

/** `planned`: the lot as it is planned, to be seen behind what was changed. */
export function dyeScene(a: Simulated, planned: Simulated | null, view: View): DyeScene {
  const narrow = isNarrow(view.width);
  const left = narrow ? 50 : 58;
  const right = narrow ? 40 : 92;
  const plot = { x: left, w: Math.max(80, view.width - left - right) };
  const runs = runsOf(a);
  const rest = (["ph", "salt", "alkali"] as const).filter((key) => runs[key].some(([, v]) => v > 0.01));
  const lanes = lanesOf(plot, narrow, rest);
  const x = linear(view.from, view.to, plot.x, plot.x + plot.w);
  const fibreY = linear(0, 100, lanes.fibre.y + lanes.fibre.h, lanes.fibre.y + 4);
  const liquorY = linear(0, 100, lanes.liquor.y + lanes.liquor.h, lanes.liquor.y + 3);
  const dyes = a.dyes.map((dye, i): DyeLines => {
    const run = runs.dyes[i] ?? { on: [], fixed: [], liquor: [] };
    const fixes = run.fixed.some(([, v]) => v > 0.05);
    const spots = (of: Run, y: Scale, n: number): [number, number][] => spotsOf(a.programme.minutes, i, a.dyes.length, n).flatMap((t): [number, number][] => {
      const v = valueAt(of, t);
      return v === null || v < 1 ? [] : [[x(t), y(v)]];
    });
    return {
      dye_id: dye.dye_id, colour: dye.swatch, mark: markOf(i),
      on: line(begun(run.on), x, fibreY), fixed: fixes ? line(begun(run.fixed), x, fibreY) : "", liquor: line(begun(run.liquor), x, liquorY),
      marks: spots(run.on, fibreY, 5), fixedMarks: fixes ? spots(run.fixed, fibreY, 4) : [], liquorMarks: spots(run.liquor, liquorY, 4),
    };
  });
  const temps = tempOf(a, planned, lanes.temp, x);
  const placer = new Placer({ ...lanes.temp, x: plot.x, w: plot.w }, temps.segments, [], view.measure);
  tempLabels(a, placer, x, temps.y);
  return {
    width: view.width, x, plot: { x: plot.x, y: 0, w: plot.w, h: lanes.upper },
    ...timeAxis(view, x),
    bounds: a.programme.steps.filter((s) => !s.beside).slice(1).map((s) => x(s.start_min)),
    temp: lanes.temp, degrees: ticks(40, temps.y.to, 40).map((d) => ({ y: temps.y(d), text: String(d) })), line: temps.line, planned: temps.planned,
    end: planned && Math.abs(planned.programme.minutes - a.programme.minutes) > 0.5 ? x(planned.programme.minutes) : null,
    ...stepBoxes(a, lanes.step, view, x),
    wedges: wedgesOf(a, lanes.dose, x), checks: checksOf(a, lanes.temp, x),
    fibre: lanes.fibre, percents: ticks(0, 100, 25).map((v) => ({ y: fibreY(v), text: String(v) })),
    dyes, ends: endLabels(a, lanes.fibre, fibreY, { from: x(a.programme.minutes), x: plot.x + plot.w + 8 }, narrow),
    strike: strikeOf(a, runs.strike, lanes.strike, x), even: evenOf(a, runs.de, lanes.even, x),
    liquor: lanes.liquor, liquorTicks: [0, 50, 100].map((v) => ({ y: liquorY(v), text: String(v) })),
    lanes: lanes.rest.map(({ key, box }) => ({ key, box, ...laneOf(key, runs[key], box, x) })),
    labels: [...placer.labels, ...doseLabels(a, lanes.dose, view, x)],
    lowerLabels: lanes.rest.flatMap(({ key, box }) => laneLabels(key, runs[key], box, view, x)),
    upper: { height: lanes.upper + 22, axis: lanes.upper, names: [
      { key: "temp", word: w.chart.lanes.temp, unit: "", y: lanes.temp.y + lanes.temp.h - 4, inside: false },
      { key: "dose", word: w.chart.lanes.dose, unit: "", y: lanes.dose.y + lanes.dose.h - 4, inside: false },
      { key: "fibre", word: w.chart.lanes.fibre, unit: w.chart.lanes.fibreUnit, y: lanes.fibre.y + 16, inside: true },
      { key: "strike", word: w.chart.lanes.strike, unit: w.chart.lanes.strikeUnit, y: lanes.strike.y + 13, inside: true },
    ] },
    lower: { height: lanes.lower + 22, axis: lanes.lower, names: [
      { key: "even", word: w.chart.lanes.even, unit: w.chart.lanes.evenUnit, y: lanes.even.y + 13, inside: true },
      { key: "liquor", word: w.chart.lanes.liquor, unit: w.chart.lanes.liquorUnit, y: lanes.liquor.y + 14, inside: true },
      ...lanes.rest.map(({ key, box }) => ({ key, word: w.chart.lanes[key], unit: key === "ph" ? "" : w.chart.lanes.saltUnit, y: box.y + LANE - 14, inside: false })),
    ] },
  };
}

/** Where the marks of a dye stand: those of another one stand elsewhere. */
function spotsOf(minutes: number, index: number, of: number, n: number): number[] {
  return Array.from({ length: n }, (_, k) => minutes * ((k + (index + 0.5) / Math.max(1, of)) / n));
}

function timeAxis(view: View, x: Scale): Pick<DyeScene, "minor" | "major"> {
  const step = timeStep(x, isNarrow(view.width) ? 40 : 52);
  const fine = step > 30 ? 30 : step > 10 ? 10 : 5;
  return {
    minor: ticks(view.from, view.to, fine).filter((t) => t % step !== 0).map(x),
    major: ticks(view.from, view.to, step).map((t) => ({ x: x(t), text: clock(t) })),
  };
}

function tempOf(a: Simulated, planned: Simulated | null, box: Box, x: Scale): { y: Scale; line: string; planned: string; segments: Segment[] } {
  const run = columnOf(a, "temp_c");
  const hottest = run.reduce((most, [, v]) => Math.max(most, v), 0);
  const y = linear(0, hottest > 108 ? 140 : 120, box.y + box.h, box.y + 2);
  const before = planned && planned !== a ? columnOf(planned, "temp_c") : [];
  return { y, line: line(run, x, y), planned: line(before, x, y), segments: [...segmentsOf(run, x, y), ...segmentsOf(before, x, y)] };
}

/** Longest stays first: where there is no room for all, those that matter are told. */
function tempLabels(a: Simulated, placer: Placer, x: Scale, y: Scale): void {
  const flats: { from: number; to: number; temp: number }[] = [];
  for (const step of a.programme.steps) {
    if (step.beside) continue;
    const run = columnOf(a, "temp_c");
    const t0 = valueAt(run, step.start_min + 0.01) ?? 0;
    const t1 = valueAt(run, step.end_min - 0.01) ?? 0;
    const last = flats[flats.length - 1];
    if (Math.abs(t1 - t0) > 0.5) continue;
    if (last && Math.abs(last.temp - t1) < 0.5 && Math.abs(last.to - step.start_min) < 0.01) last.to = step.end_min;
    else flats.push({ from: step.start_min, to: step.end_min, temp: t1 });
  }
  for (const { from, to, temp } of flats.sort((p, q) => q.to - q.from - (p.to - p.from))) {
    const mid = x((from + to) / 2);
    const texts = [`${trimmed(temp, 0)}° ${number(to - from)}′`, `${trimmed(temp, 0)}°`];
    placer.place("flat", SIZE.label, texts.flatMap((text): Candidate[] => [{ text, x: mid, y: y(temp) - 7, anchor: "middle" }, { text, x: mid, y: y(temp) + 17, anchor: "middle" }]));
  }
  for (const step of a.programme.steps) {
    if (step.kind !== "ramp" || !step.rate_c_per_min) continue;
    const mid = x((step.start_min + step.end_min) / 2);
    const level = y(((step.from_c ?? 0) + (step.to_c ?? 0)) / 2);
    const text = `${number(step.rate_c_per_min, 1)} °C/min`;
    placer.place("rate", SIZE.small, [{ text, x: mid + 8, y: level + 12, anchor: "start" }, { text, x: mid - 8, y: level - 4, anchor: "end" }]);
  }
}

function stepBoxes(a: Simulated, y: number, view: View, x: Scale): Pick<DyeScene, "steps" | "beside"> {
  const inLine = a.programme.steps.filter((step) => !step.beside && step.end_min > step.start_min);
  const steps = inLine.map((step, i): StepBox => {
    const box = { x: x(step.start_min), y, w: x(step.end_min) - x(step.start_min), h: STEP };
    const name = shortWords(step);
    const text = [`${step.step}  ${name}`, String(step.step)].find((t) => view.measure(t, SIZE.small) + 8 <= box.w) ?? "";
    return { box, step, odd: i % 2 === 1, text };
  });
  const beside = a.programme.steps.filter((step) => step.beside).map((step) => ({ x: x(step.start_min), y: y + STEP - 4, w: x(step.end_min) - x(step.start_min), h: 4 }));
  return { steps, beside };
}
const MASSES = /\s[\d.,]+\s?k?g\b/g;
/** "Glauber's salt, anhydrous 308 kg" -> "Glauber's salt"; several products -> "3 dyes". */
function shortWords(step: DyeStep): string {
  const products = step.words.match(MASSES)?.length ?? 0;
  if (step.kind === "dose" && products > 1) return step.gives === "dye" ? w.chart.dyes(products) : w.chart.products(products);
  return step.words.replace(MASSES, "").split(/[,(]/)[0]?.trim() ?? step.words;
}

/** Share of a dose that is in after share u of its time. */
function dosed(step: DyeStep, u: number): number {
  if (step.curve === "portions") {
    const n = Math.max(2, step.portions ?? 2);
    return Math.min(1, (Math.floor(u * n) + (u < 1 ? 1 : 0)) / n);
  }
  return step.exponent ? u ** step.exponent : u;
}
function wedgesOf(a: Simulated, lane: Box, x: Scale): DyeScene["wedges"] {
  const base = lane.y + lane.h;
  const high = lane.h - 18;
  return a.programme.steps.filter((step) => step.kind === "dose").map((step) => {
    const x0 = x(step.start_min);
    const wide = Math.max(2, x(step.end_min) - x0);
    const stair = step.curve === "portions";
    const n = stair ? Math.max(2, step.portions ?? 2) : step.exponent ? 16 : 1;
    let path = `M${x0.toFixed(1)} ${base}`;
    for (let i = 0; i <= n; i += 1) {
      const px = (x0 + (wide * i) / n).toFixed(1);
      if (stair && i > 0) path += `H${px}`;
      path += `L${px} ${(base - high * dosed(step, i / n)).toFixed(1)}`;
    }
    return { path: `${path}V${base}Z`, dye: step.gives === "dye", key: step.step };
  });
}
function doseLabels(a: Simulated, lane: Box, view: View, x: Scale): Label[] {
  const placer = new Placer({ ...lane, y: lane.y - 4, w: lane.w + 6 }, [], [], view.measure);
  const doses = a.programme.steps.filter((step) => step.kind === "dose");
  for (const step of [...doses].sort((p, q) => Number(q.gives === "dye") - Number(p.gives === "dye") || (q.kg ?? 0) - (p.kg ?? 0))) {
    const at = Math.max(x(step.start_min), lane.x) + 1;
    const end = Math.min(x(step.end_min), lane.x + lane.w);
    const brief = shortWords(step);
    const named = step.kg ? `${brief} ${short(step.kg)}` : brief;
    const several = (step.words.match(MASSES)?.length ?? 0) > 1;
    const texts = several ? [named, brief] : [step.words, named, brief];
    const rows = isNarrow(view.width) ? [lane.y + 9, lane.y + 21] : [lane.y + 9];
    placer.place("dose", SIZE.small, texts.flatMap((text) => rows.flatMap((y): Candidate[] => [{ text, x: at, y, anchor: "start" }, { text, x: end, y, anchor: "end" }])));
  }
  return placer.labels;
}

function checksOf(a: Simulated, temp: Box, x: Scale): DyeScene["checks"] {
  return a.programme.steps.filter((step) => step.check).map((step) => ({ x: x((step.start_min + step.end_min) / 2), y: temp.y + temp.h - 9, key: step.step }));
}

/** Values at the right end of the curves, none over another. */
function endLabels(a: Simulated, box: Box, y: Scale, at: { from: number; x: number }, narrow: boolean): EndLabel[] {
  const all = a.curves.dyes.flatMap((dye, i): EndLabel[] => {
    const on = dye.on_fibre_pct.at(-1) ?? 0;
    const fixed = dye.fixed_pct.at(-1) ?? 0;
    const mark = markOf(i);
    const one = (v: number, strong: boolean): EndLabel => ({
      dye_id: dye.dye_id, mark, ...at, y: y(v), at: y(v), strong,
      text: `${strong && !narrow ? `${dye.dye_id}\u00a0` : ""}${number(v)}\u00a0%`,
    });
    return fixed > 0.05 && on - fixed > 1 ? [one(on, true), one(fixed, false)] : [one(on, true)];
  }).sort((p, q) => p.at - q.at);
  const room = 15;
  let lowest = -Infinity;
  for (const label of all) lowest = label.y = Math.max(label.y, lowest + room);
  let highest = box.y + box.h + 4;
  for (const label of [...all].reverse()) {
    label.y = Math.min(label.y, highest);
    highest = label.y - room;
  }
  return all;
}

function strikeOf(a: Simulated, run: Run, box: Box, x: Scale): DyeScene["strike"] {
  const limit = a.curves.contact_limit_pct;
  const most = run.reduce((top, [, v]) => Math.max(top, v), a.strike.most_pct_per_contact);
  const want = Math.max(limit * 1.4, most * 1.08);
  const top = STRIKE_TOPS.find((t) => t >= want) ?? want;
  const y = linear(0, top, box.y + box.h, box.y + 2);
  return {
    box, area: area(run, x, y, box.y + box.h), limit: y(limit), top,
    clip: { ...box, y: box.y - 4, h: y(limit) - box.y + 4 },
    ticks: [{ y: y(0), text: "0" }, { y: y(limit), text: trimmed(limit, 2) }],
  };
}

function evenOf(a: Simulated, run: Run, box: Box, x: Scale): DyeScene["even"] {
  const scale = linear(Math.log10(DE.low), Math.log10(DE.high), box.y + box.h, box.y + 2);
  const y = (v: number): number => scale(Math.log10(Math.min(DE.high, Math.max(DE.low, v))));
  const path = run.map(([t, v], i) => `${i ? "L" : "M"}${x(t).toFixed(1)} ${y(v).toFixed(1)}`).join("");
  const { limit_de } = a.level;
  const others = [0.01, 0.1, 1, 10].filter((v) => Math.abs(y(v) - y(limit_de)) > 11);
  return { box, line: path, limit: y(limit_de), ticks: [...others.map((v) => ({ y: y(v), text: String(v) })), { y: y(limit_de), text: trimmed(limit_de, 2) }] };
}

function laneScale(key: string, run: Run, box: Box): Scale {
  const most = run.reduce((top, [, v]) => Math.max(top, v), 0);
  return key === "ph" ? linear(4, 13, box.y + box.h, box.y + 2) : linear(0, most * 1.05 || 1, box.y + box.h, box.y + 2);
}
function laneOf(key: string, run: Run, box: Box, x: Scale): { area: string; line: boolean } {
  const y = laneScale(key, run, box);
  return key === "ph" ? { area: line(run, x, y), line: true } : { area: area(run, x, y, box.y + box.h), line: false };
}
function laneLabels(key: string, run: Run, box: Box, view: View, x: Scale): Label[] {
  const y = laneScale(key, run, box);
  const segments = key === "ph" ? segmentsOf(run, x, y) : [];
  const placer = new Placer({ ...box, y: box.y - 8, h: box.h + 8, w: box.w + 40 }, segments, [], view.measure);
  const most = run.reduce((top, [, v]) => Math.max(top, v), 0);
  const last = run.at(-1);
  const least = key === "ph" ? run[0] : undefined;
  const held = run.filter(([, v]) => v >= most * 0.99 && most > PEAKS_TOLD_FROM);
  const text = (v: number): string => (key === "ph" ? number(v, 1) : trimmed(v, v < 10 ? 1 : 0));
  const around = ([t, v]: [number, number]): Candidate[] => (key === "ph" ? [-6, 14] : [box.y + box.h - 6 - y(v)]).flatMap((dy): Candidate[] => [
    { text: text(v), x: x(t), y: y(v) + dy, anchor: "middle" }, { text: text(v), x: x(t) + 4, y: y(v) + dy, anchor: "start" }, { text: text(v), x: x(t) - 4, y: y(v) + dy, anchor: "end" },
  ]);
  const [first] = held;
  const middle = first && held.length ? held[Math.floor(held.length / 2)] : undefined;
  for (const point of [middle, last, least]) if (point) placer.place("lane", SIZE.small, around(point));
  return placer.labels.filter((label, i, all) => i === 0 || label.text !== all[0]?.text);
}
