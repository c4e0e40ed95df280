// The chemistry of a lot as geometry: the bath's answer and a frame in, paths and labels out.
// No DOM here.
import { number, shown, trimmed } from "../fmt";
import type { BathCheck, BathTime } from "../types";
import { words } from "../words";
import { Placer, type Box, type Candidate, type Label, type Segment } from "./labels";
import { linear, ticks, type Scale } from "./scale";
import { SIZE, limits, timeAxis, type Band, type View } from "./scene";

export type LaneKey =
  | "salt_g_per_l" | "soda_g_per_l" | "caustic_g_per_l" | "acid_g_per_l" | "peroxide_g_per_l" | "dithionite_g_per_l" | "hardness_dh";
/** Every lane there can be; below `least` nothing is shown. */
const LANES: { key: LaneKey; least: number }[] = [
  { key: "salt_g_per_l", least: 0.05 }, { key: "soda_g_per_l", least: 0.01 }, { key: "caustic_g_per_l", least: 0.005 },
  { key: "acid_g_per_l", least: 0.005 }, { key: "peroxide_g_per_l", least: 0.001 }, { key: "dithionite_g_per_l", least: 0.005 },
  { key: "hardness_dh", least: 0.1 },
];
/** The scale of pH is the same for all lots, so that shapes compare; it grows only for what lies outside. */
const PH = { low: 4, high: 13 };
const BAND = 24;
const GAP = 10;
const LANE = 38;
const LEFT = 74;

export type Verdict = "within" | "edge" | "outside" | "unknown";
export const VERDICT_SHAPE = { within: "ok", edge: "note", outside: "warning", unknown: "note" } as const;
export interface CheckMark {
  key: string;
  check: BathCheck;
  verdict: Verdict;
  x: number;
  /** Where its mark stands in the lane of checks. */
  mark: number;
}
export interface LaneScene {
  key: LaneKey;
  box: Box;
  path: string;
}
export interface BathScene {
  width: number;
  height: number;
  plot: Box;
  ph: Box;
  x: Scale;
  y: Scale;
  axis: number;
  names: { key: string; word: string; unit: string; y: number }[];
  baths: Band[];
  bounds: number[];
  minor: number[];
  major: { x: number; text: string }[];
  phTicks: { y: number; text: string; neutral: boolean }[];
  line: string;
  spread: string;
  lanes: LaneScene[];
  doses: string;
  checks: CheckMark[];
  checkY: number;
  /** Allowed window of a check of pH: from y0 down to y1; an open end has no foot. */
  windows: { key: string; x: number; y0: number; y1: number; openTop: boolean; openBottom: boolean; ok: boolean }[];
  readings: { x: number; y: number }[];
  labels: Label[];
}

/** `off`: how far the value may be off; what lies outside by less is not called so. */
export function verdictOf(value: number | null, low: number | null, high: number | null, off: number): Verdict {
  if (value === null || (low === null && high === null)) return "unknown";
  const by = Math.max((low ?? value) - value, value - (high ?? value));
  return by <= 0 ? "within" : by <= off ? "edge" : "outside";
}

/** Shade, levelness and fastness are checks too, but not of what is in the bath. */
export function ofTheBath(unit: string): boolean {
  return /^(pH|m?g\/L|°?dH)$/.test(unit);
}
export function unitOf(key: string): string {
  return key.endsWith("_dh") ? "°dH" : key.endsWith("_g_per_l") ? "g/L" : "";
}
/** A content of the bath, in the unit a person would say it in. */
export function said(key: string, value: number): { value: string; unit: string } {
  if (key.startsWith("ph")) return { value: number(value, 1), unit: "" };
  if (key === "hardness_dh") return { value: number(value, 1), unit: "°dH" };
  if (key === "temp_c") return { value: number(value), unit: "°C" };
  if (Math.abs(value) < 0.1 && value !== 0) return { value: trimmed(value * 1000, Math.abs(value) < 0.01 ? 1 : 0), unit: "mg/L" };
  return { value: trimmed(value, Math.abs(value) < 10 ? 2 : 1), unit: "g/L" };
}

/** The column's value at a minute, on the line that is drawn; null where it is not known. */
export function valueAt(bath: BathTime, key: string, t: number): number | null {
  const c = bath.columns.indexOf(key);
  if (c < 0) return null;
  const next = bath.points.findIndex((point) => (point[0] ?? 0) > t);
  const a = next === 0 ? undefined : bath.points.at(next < 0 ? -1 : next - 1);
  const b = bath.points[next];
  const from = a?.[c] ?? null;
  const to = b?.[c] ?? null;
  const start = a?.[0] ?? 0;
  if (from === null || t <= start) return from;
  return to === null ? null : from + ((to - from) * (t - start)) / ((b?.[0] ?? t) - start);
}

export function lanesIn(bath: BathTime): LaneKey[] {
  return LANES.filter(({ key, least }) => {
    const c = bath.columns.indexOf(key);
    return c >= 0 && bath.points.some((point) => (point[c] ?? 0) > least);
  }).map(({ key }) => key);
}

type Run = [number, number][];
/**
 * Stretches of a column, in minutes and values; a gap ends one, and so does a bath: where two
 * points share the minute a bath begins at, the second one is of the new bath.
 */
function runs(bath: BathTime, key: string): Run[] {
  const c = bath.columns.indexOf(key);
  const starts = new Set(bath.baths.map((b) => b.start_min));
  const out: Run[] = [];
  let run: Run | null = null;
  for (const point of bath.points) {
    const v = c < 0 ? null : (point[c] ?? null);
    const t = point[0] ?? 0;
    if (v === null || (run && t === run[run.length - 1]?.[0] && starts.has(t))) run = null;
    if (v === null) continue;
    if (!run) out.push((run = []));
    run.push([t, v]);
  }
  return out;
}
/** What of the runs belongs to a bath and is in view. */
function within(all: Run[], b: BathTime["baths"][number], view: View): Run {
  return all.filter((run) => (run[0]?.[0] ?? 0) >= b.start_min && (run[0]?.[0] ?? 0) < b.end_min).flat().filter(([t]) => t >= view.from && t <= view.to);
}

function path(run: Run, x: Scale, y: Scale): string {
  return run.map(([t, v], i) => `${i ? "L" : "M"}${x(t).toFixed(1)} ${y(v).toFixed(1)}`).join("");
}

function phScale(bath: BathTime, cold: Readings, box: Box): Scale {
  let { low, high } = PH;
  for (const key of ["ph", "ph_low", "ph_high"]) for (const run of runs(bath, key)) for (const [, v] of run) {
    low = Math.min(low, Math.floor(v));
    high = Math.max(high, Math.ceil(v));
  }
  for (const [, value] of cold) {
    low = Math.min(low, Math.floor(value));
    high = Math.max(high, Math.ceil(value));
  }
  return linear(low, high, box.y + box.h - 4, box.y + 10);
}

function phHeight(width: number): number {
  return width < 600 ? 220 : width < 900 ? 250 : 300;
}
/** Before the points are there: how high the picture will be. */
export function heightOf(width: number, lanes: number): number {
  return BAND + phHeight(width) + 44 + 30 + lanes * LANE + (lanes + 3) * GAP + 16;
}

/** Minute and reading of each sample that is cooled. */
export type Readings = readonly (readonly [t: number, ph: number])[];

export function bathScene(bath: BathTime, cold: Readings, view: View): BathScene {
  const plot = { x: LEFT, w: Math.max(80, view.width - LEFT - 10) };
  let top = BAND;
  const lane = (h: number): Box => {
    const box = { x: plot.x, y: top, w: plot.w, h };
    top += h + GAP;
    return box;
  };
  const ph = lane(phHeight(view.width));
  const dose = lane(44);
  const keys = lanesIn(bath);
  const boxes = keys.map(() => lane(LANE));
  const check = lane(30);
  const axis = top - GAP + 2;
  const x = linear(view.from, view.to, plot.x, plot.x + plot.w);
  const y = phScale(bath, cold, ph);
  const lines = runs(bath, "ph");
  const segments = lines.flatMap((run) => run.slice(1).map(([t, v], i): Segment => {
    const [t0, v0] = run[i] ?? [t, v];
    return [x(t0), y(v0), x(t), y(v)];
  }));
  const bounds = bath.baths.slice(1).map((b) => b.start_min).filter((t) => t > view.from && t < view.to).map(x);
  const checks = checkMarks(bath, view, x);
  const windows = windowsOf(checks, y, ph);
  const walls = [...bounds, ...windows.map((w) => w.x)].map((at): Segment => [at, ph.y, at, ph.y + ph.h]);
  const placer = new Placer(ph, segments, walls, view.measure);
  phLabels(bath, placer, view, x, y);
  const lanes = keys.map((key, i) => laneOf(bath, key, boxes[i] ?? check, x));
  const labels = [
    ...placer.labels, ...keys.flatMap((key, i) => laneLabels(bath, key, boxes[i] ?? check, view, x)),
    ...doseLabels(bath, dose, view, x), ...checkLabels(checks, check, view),
  ];
  return {
    width: view.width, height: axis + 24, x, y, ph, axis,
    plot: { x: plot.x, y: 0, w: plot.w, h: axis },
    names: [
      { key: "ph", word: words.bath.lanes["ph"] ?? "", unit: "", y: BAND / 2 + 4 },
      { key: "dose", word: words.bath.lanes["doses"] ?? "", unit: "", y: dose.y + dose.h - 3 },
      ...keys.map((key, i) => ({ key, word: words.bath.lanes[key] ?? key, unit: unitOf(key), y: (boxes[i]?.y ?? 0) + LANE - 14 })),
      { key: "check", word: words.bath.lanes["checks"] ?? "", unit: "", y: check.y + 19 },
    ],
    baths: bathBands(bath, view, x),
    bounds,
    ...timeAxis(view, x),
    phTicks: ticks(y.from, y.to, 1).map((v) => ({ y: y(v), text: String(v), neutral: v === 7 })),
    line: lines.map((run) => path(run, x, y)).join(""),
    spread: spreadOf(bath, x, y),
    lanes,
    doses: bath.doses.map((d) => bar(x(d.start_min), Math.max(3, x(d.end_min) - x(d.start_min)), dose.y + dose.h - 12)).join(""),
    checks, checkY: check.y + 15, windows,
    readings: cold.filter(([t]) => t >= view.from && t <= view.to).map(([t, v]) => ({ x: x(t), y: y(v) })),
    labels,
  };
}

function bar(x: number, w: number, y: number): string {
  return `M${x.toFixed(1)} ${y}h${w.toFixed(1)}v10h${(-w).toFixed(1)}z`;
}

function spreadOf(bath: BathTime, x: Scale, y: Scale): string {
  const upper = runs(bath, "ph_high");
  const lower = runs(bath, "ph_low");
  return upper.map((run, i) => {
    const under = lower[i] ?? [];
    return under.length ? `${path(run, x, y)}${path([...under].reverse(), x, y).replace("M", "L")}Z` : "";
  }).join("");
}

function bathBands(bath: BathTime, view: View, x: Scale): Band[] {
  return bath.baths.flatMap((b, i): Band[] => {
    const from = Math.max(b.start_min, view.from);
    const to = Math.min(b.end_min, view.to);
    if (to <= from) return [];
    const box = { x: x(from), y: 0, w: x(to) - x(from), h: BAND };
    const text = [`${b.number}  ${b.name}`, String(b.number)].find((t) => view.measure(t, SIZE.label) + 8 <= box.w) ?? "";
    return [{ box, odd: i % 2 === 1, heavy: true, key: `b${b.number}`, text }];
  });
}

function laneOf(bath: BathTime, key: LaneKey, box: Box, x: Scale): LaneScene {
  const scale = laneScale(bath, key, box);
  const base = box.y + box.h;
  const area = runs(bath, key).map((run) => {
    const first = run[0]?.[0] ?? 0;
    const last = run[run.length - 1]?.[0] ?? first;
    return `M${x(first).toFixed(1)} ${base}${path(run, x, scale).replace("M", "L")}L${x(last).toFixed(1)} ${base}Z`;
  });
  return { key, box, path: area.join("") };
}
function laneScale(bath: BathTime, key: LaneKey, box: Box): Scale {
  const most = runs(bath, key).flat().reduce((max, [, v]) => Math.max(max, v), 0);
  return linear(0, most * 1.05 || 1, box.y + box.h, box.y + 2);
}

/** The most of each bath, said where it stands. */
function laneLabels(bath: BathTime, key: LaneKey, box: Box, view: View, x: Scale): Label[] {
  const walls = bath.baths.map((b): Segment => [x(b.start_min), box.y, x(b.start_min), box.y + box.h]);
  const placer = new Placer({ ...box, y: box.y - 6, h: box.h + 6, w: box.w + 8 }, [], walls, view.measure);
  const all = runs(bath, key);
  // A fiftieth of the lane is less than a pixel high: what water and the bath before leave behind.
  const least = all.flat().reduce((max, [, v]) => Math.max(max, v), 0) / 50;
  const peaks = bath.baths.flatMap((b) => {
    const inside = within(all, b, view);
    const most = inside.reduce((max, [, v]) => Math.max(max, v), 0);
    const held = inside.filter(([, v]) => v > most * 0.97);
    const [first] = held;
    const last = held[held.length - 1];
    return most > least && first && last ? [{ most, from: x(first[0]), to: x(last[0]) }] : [];
  });
  for (const { most, from, to } of peaks.sort((a, b) => b.most - a.most)) {
    const { value, unit } = said(key, most);
    const text = unit === unitOf(key) ? value : `${value}\u00a0${unit}`;
    const at = box.y + box.h - 6;
    placer.place("lane", SIZE.small, [
      { text, x: (from + to) / 2, y: at, anchor: "middle" }, { text, x: from + 2, y: at, anchor: "start" }, { text, x: to - 2, y: at, anchor: "end" },
    ]);
  }
  return placer.labels;
}

/** Where a bath ends, and what it reached on the way when that is something else. */
function phLabels(bath: BathTime, placer: Placer, view: View, x: Scale, y: Scale): void {
  const all = runs(bath, "ph");
  for (const b of bath.baths) {
    const inside = within(all, b, view);
    const last = inside[inside.length - 1];
    if (!last) {
      gapLabel(b, placer, view, x, y);
      continue;
    }
    const far = inside.reduce((most, point) => (Math.abs(point[1] - 7) > Math.abs(most[1] - 7) ? point : most), last);
    // A label stands in its own bath, or not at all: beside it, it would speak of another.
    const own = (c: Candidate): boolean => {
      const w = view.measure(c.text, SIZE.label);
      const left = c.anchor === "start" ? c.x : c.anchor === "end" ? c.x - w : c.x - w / 2;
      return left >= x(b.start_min) && left + w <= x(b.end_min);
    };
    for (const point of Math.abs(far[1] - last[1]) > 0.4 ? [far, last] : [last]) placer.place("ph", SIZE.label, around(point, x, y).filter(own));
  }
}
function around([t, v]: [number, number], x: Scale, y: Scale): Candidate[] {
  const text = number(v, 1);
  const at = x(t);
  return [-8, 17].flatMap((dy): Candidate[] => [
    { text, x: at - 4, y: y(v) + dy, anchor: "end" }, { text, x: at, y: y(v) + dy, anchor: "middle" },
    { text, x: at + 5, y: y(v) + dy, anchor: "start" }, ...[36, 64].map((back): Candidate => ({ text, x: at - back, y: y(v) + dy, anchor: "end" })),
  ]);
}
function gapLabel(b: BathTime["baths"][number], placer: Placer, view: View, x: Scale, y: Scale): void {
  const from = Math.max(b.start_min, view.from);
  const to = Math.min(b.end_min, view.to);
  const text = words.bath.notKnown;
  if (to > from && view.measure(text, SIZE.small) + 8 < x(to) - x(from))
    placer.place("gap", SIZE.small, [{ text, x: x((from + to) / 2), y: y(7) - 6, anchor: "middle" }]);
}

function doseLabels(bath: BathTime, box: Box, view: View, x: Scale): Label[] {
  const placer = new Placer({ ...box, w: box.w + 6 }, [], [], view.measure);
  const order = [...bath.doses].sort((a, b) => b.end_min - b.start_min - (a.end_min - a.start_min));
  for (const d of order) {
    if (d.end_min < view.from || d.start_min > view.to) continue;
    const at = Math.max(x(d.start_min), box.x);
    const end = Math.min(x(d.end_min), box.x + box.w);
    const short = d.text.split(/[,(]/)[0]?.trim() ?? d.text;
    placer.place("dose", SIZE.small, [d.text, short].map((text) => (d.more > 0 ? `${text} +${d.more}` : text)).flatMap((text) => [box.y + box.h - 18, box.y + 12].flatMap((y): Candidate[] => [
      { text, x: at, y, anchor: "start" }, { text, x: end, y, anchor: "end" },
    ])));
  }
  return placer.labels;
}

function offAt(bath: BathTime, check: BathCheck): number {
  const high = check.unit === "pH" ? valueAt(bath, "ph_high", check.t_min) : null;
  return high === null ? 0 : high - (valueAt(bath, "ph", check.t_min) ?? high);
}
function checkMarks(bath: BathTime, view: View, x: Scale): CheckMark[] {
  let last = -Infinity;
  return bath.checks.filter((c) => ofTheBath(c.unit) && c.t_min >= view.from && c.t_min <= view.to).map((check, i) => {
    const at = x(check.t_min);
    last = Math.max(at, last + 18); // two checks a few minutes apart stand side by side
    return { key: `c${i}`, check, verdict: verdictOf(check.value, check.low, check.high, offAt(bath, check)), x: at, mark: last };
  });
}

function windowsOf(marks: CheckMark[], y: Scale, box: Box): BathScene["windows"] {
  return marks.filter(({ check }) => check.unit === "pH" && (check.low !== null || check.high !== null)).map(({ key, check, verdict, x }) => ({
    key, x, ok: verdict !== "outside",
    y0: check.high === null ? box.y + 2 : Math.max(box.y, y(check.high)), y1: check.low === null ? box.y + box.h - 2 : Math.min(box.y + box.h, y(check.low)),
    openTop: check.high === null, openBottom: check.low === null,
  }));
}

function checkLabels(marks: CheckMark[], box: Box, view: View): Label[] {
  const holes = marks.map(({ mark: x }): Segment => [x - 9, box.y + 15, x + 9, box.y + 15]);
  const placer = new Placer({ ...box, w: box.w + 8 }, holes, [], view.measure);
  // What is outside is said first: where there is no room for all, it keeps its words.
  for (const { check, verdict, mark: x } of [...marks].sort((a, b) => Number(b.verdict === "outside") - Number(a.verdict === "outside"))) {
    const window = limits(check.low, check.high);
    const long = check.unit === "pH" ? `pH ${window}` : `${window} ${shown(0, check.unit, "").unit}`;
    const word = verdict === "outside" || verdict === "edge" ? words.verdict[verdict].toLowerCase() : "";
    const texts = [word ? `${long} ${word}` : long, word || window].filter(Boolean);
    placer.place("check", SIZE.small, texts.flatMap((text): Candidate[] => [
      { text, x: x + 12, y: box.y + 19, anchor: "start" }, { text, x: x - 12, y: box.y + 19, anchor: "end" },
    ]));
  }
  return placer.labels;
}
