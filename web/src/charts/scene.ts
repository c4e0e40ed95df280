// The process curve as geometry: a plan and a frame in, rectangles, paths and labels out.
// No DOM here; tests and the drawing use the same scene.
import { clock, number, short, shown, trimmed } from "../fmt";
import type { Plan, PlanBath, PlanStep } from "../types";
import { words } from "../words";
import { Placer, type Box, type Candidate, type Label, type Measure, type Segment } from "./labels";
import { linear, ticks, timeStep, type Scale } from "./scale";

export interface View {
  width: number;
  /** Minutes shown. */
  from: number;
  to: number;
  measure: Measure;
}

export interface StepMark {
  index: number;
  bath: PlanBath;
  number: number; // within the bath, from 1
  step: PlanStep;
  from: number; // min
  to: number;
}
export interface Band {
  box: Box;
  odd: boolean;
  text: string;
  key: string;
  heavy: boolean;
}
export interface Wedge {
  path: string;
  dye: boolean;
  drop: Segment | null;
  key: string;
}
export interface Scene {
  width: number;
  height: number;
  plot: Box;
  temp: Box;
  dose: Box;
  x: Scale;
  y: Scale;
  lanes: { word: string; y: number }[];
  minor: number[];
  major: { x: number; text: string }[];
  degrees: { y: number; text: string }[];
  bounds: number[];
  stages: Band[];
  baths: Band[];
  steps: Band[];
  line: string;
  idle: string;
  wedges: Wedge[];
  levels: string;
  checks: { x: number; y: number; key: string }[];
  labels: Label[];
  marks: StepMark[];
}

export const SIZE = { label: 12, small: 11 };
const TOP = { stage: 20, bath: 24 };
const GAP = 10;
const BESIDE = 4;
/** Baselines of the dose labels, the one nearest to the wedges first. */
const DOSE_ROWS = [38, 24, 10];

export function marksOf(plan: Plan): StepMark[] {
  const marks: StepMark[] = [];
  for (const bath of plan.baths)
    bath.steps.forEach((step, k) =>
      marks.push({ index: marks.length, bath, number: k + 1, step, from: step.start_min.value, to: step.end_min.value }));
  return marks;
}

/** Not a working bath: the machine is loaded, emptied or drained. */
const IDLE = new Set(["drain", "load", "unload"]);

interface Lanes {
  stage: number; bath: number; temp: Box; step: Box; dose: Box; level: Box; check: Box; axis: number; height: number;
}

function lanesOf(plot: { x: number; w: number }, narrow: boolean): Lanes {
  let y = 0;
  const lane = (h: number, gap: number): Box => {
    const box = { x: plot.x, y, w: plot.w, h };
    y += h + gap;
    return box;
  };
  const stage = lane(TOP.stage, 0).y;
  const bath = lane(TOP.bath, 0).y;
  const temp = lane(narrow ? 200 : plot.w < 820 ? 230 : 300, GAP);
  const step = lane(26, GAP);
  const dose = lane(narrow ? 72 : 82, GAP);
  const level = lane(40, GAP);
  const check = lane(30, 2);
  return { stage, bath, temp, step, dose, level, check, axis: y, height: y + 24 };
}

export function scene(plan: Plan, view: View): Scene {
  const narrow = view.width < 600;
  const left = narrow ? 40 : 56;
  const plot = { x: left, w: Math.max(80, view.width - left - 6) };
  const lanes = lanesOf(plot, narrow);
  const x = linear(view.from, view.to, plot.x, plot.x + plot.w);
  const hottest = plan.curve.reduce((most, point) => Math.max(most, point[1]), 0);
  // Always the same scale, so that shapes compare between lots; the second one is for pressure.
  const top = hottest > 108 ? 140 : 120;
  const y = linear(0, top, lanes.temp.y + lanes.temp.h, lanes.temp.y + 4);
  const marks = marksOf(plan);
  const inside = marks.filter((m) => m.to > view.from && m.from < view.to);
  const bounds = plan.baths.slice(1).map((b) => b.start_min.value).filter((t) => t > view.from && t < view.to).map(x);
  const walls = bounds.map((at): Segment => [at, lanes.temp.y, at, lanes.temp.y + lanes.temp.h]);
  const segments = curveSegments(plan, marks, x, y);
  const placer = new Placer(lanes.temp, segments.all, walls, view.measure);
  curveLabels(placer, inside, view, x, y);
  const wedges = wedgesOf(inside, lanes.dose, x, y);
  const labels = [...placer.labels, ...doseLabels(inside, lanes.dose, view, x), ...levelLabels(plan, lanes.level, view, x)];
  const checks = inside.filter((m) => m.step.check && (m.from + m.to) / 2 >= view.from && (m.from + m.to) / 2 <= view.to).map((m) => ({ x: x((m.from + m.to) / 2), y: lanes.check.y + 11, key: `c${m.index}`, mark: m }));
  labels.push(...checkLabels(checks, lanes.check, view));
  return {
    width: view.width, height: lanes.height, x, y, marks, labels, wedges, checks,
    plot: { x: plot.x, y: 0, w: plot.w, h: lanes.axis }, temp: lanes.temp, dose: lanes.dose,
    lanes: [
      { word: words.curve.lanes.step, y: middle(lanes.step) }, { word: words.curve.lanes.dose, y: lanes.dose.y + lanes.dose.h - 4 },
      { word: words.curve.lanes.level, y: lanes.level.y + lanes.level.h - 4 }, { word: words.curve.lanes.check, y: lanes.check.y + 15 },
    ],
    ...timeAxis(view, x),
    degrees: ticks(20, top, 20).map((t) => ({ y: y(t), text: String(t) })),
    bounds,
    ...bands(plan, inside, lanes, view, x),
    line: segments.line, idle: segments.idle,
    levels: levelPath(plan, lanes.level, x),
  };
}

export function timeAxis(view: View, x: Scale): Pick<Scene, "minor" | "major"> {
  const step = timeStep(x, view.width < 600 ? 44 : 56);
  return {
    minor: ticks(view.from, view.to, step > 30 ? 30 : step).filter((t) => t % step !== 0).map(x),
    major: ticks(view.from, view.to, step).map((t) => ({ x: x(t), text: clock(t) })),
  };
}

function middle(box: Box): number {
  return box.y + box.h / 2 + 4;
}

function curveSegments(plan: Plan, marks: StepMark[], x: Scale, y: Scale): { line: string; idle: string; all: Segment[] } {
  const rests = marks.filter((m) => IDLE.has(m.step.kind));
  const resting = (t: number): boolean => rests.some((m) => t > m.from && t < m.to);
  const all: Segment[] = [];
  const parts = { line: "", idle: "" };
  let last: "line" | "idle" | null = null;
  for (let i = 1; i < plan.curve.length; i += 1) {
    const a = plan.curve[i - 1];
    const b = plan.curve[i];
    if (!a || !b) continue;
    const segment: Segment = [x(a[0]), y(a[1]), x(b[0]), y(b[1])];
    all.push(segment);
    const kind = resting((a[0] + b[0]) / 2) ? "idle" : "line";
    const [x0, y0, x1, y1] = segment.map((v) => v.toFixed(1));
    parts[kind] += `${last === kind ? "" : `M${x0} ${y0}`}L${x1} ${y1}`;
    last = kind;
  }
  return { ...parts, all };
}

/** Runs of steps at one temperature within a bath: what an operator calls "60 at 98". */
interface Plateau {
  from: number;
  to: number;
  temp: number;
}
function plateaus(marks: StepMark[]): Plateau[] {
  const out: Plateau[] = [];
  let bath: PlanBath | null = null;
  for (const m of marks) {
    const t0 = m.step.temp_start_c.value;
    const t1 = m.step.temp_end_c.value;
    if (m.step.beside) continue;
    const flat = Math.abs(t1 - t0) < 0.5 && !IDLE.has(m.step.kind) && m.step.kind !== "fill";
    const last = out[out.length - 1];
    if (flat && last && bath === m.bath && Math.abs(last.temp - t1) < 0.5 && Math.abs(last.to - m.from) < 0.01) last.to = m.to;
    else if (flat && m.to > m.from) out.push({ from: m.from, to: m.to, temp: t1 });
    ({ bath } = m);
  }
  return out;
}

function curveLabels(placer: Placer, marks: StepMark[], view: View, x: Scale, y: Scale): void {
  // Longest first: where there is no room for all, the plateaus that matter keep theirs.
  const flats = plateaus(marks).sort((a, b) => b.to - b.from - (a.to - a.from) + (b.temp - a.temp) / 10);
  for (const p of flats) {
    const from = Math.max(p.from, view.from);
    const to = Math.min(p.to, view.to);
    const mid = x((from + to) / 2);
    const level = y(p.temp);
    const degrees = `${trimmed(p.temp, 0)}°`;
    const long = `${degrees} ${number(p.to - p.from)}′`;
    const at = (text: string): Candidate[] => [
      { text, x: mid, y: level - 7, anchor: "middle" },
      { text, x: mid, y: level + 16, anchor: "middle" },
    ];
    // Within its own bath if it can be; a long stay may lean over the boundary, a short one keeps quiet.
    if (!placer.place("flat", SIZE.label, [...at(long), ...at(degrees)]) && p.to - p.from >= 10)
      placer.place("flat", SIZE.label, [...at(long), ...at(degrees)], true);
  }
  for (const m of marks) {
    if (m.step.kind !== "heat" && m.step.kind !== "cool") continue;
    const rise = m.step.temp_end_c.value - m.step.temp_start_c.value;
    const mid = x((m.from + m.to) / 2);
    const level = y((m.step.temp_start_c.value + m.step.temp_end_c.value) / 2);
    if (Math.abs(rise) < 8 || m.to <= m.from || mid < x(view.from) || mid > x(view.to)) continue;
    const text = words.curve.rate(number(Math.abs(rise) / (m.to - m.from), 1));
    const bare = number(Math.abs(rise) / (m.to - m.from), 1);
    const outer: Candidate = rise > 0 ? { text, x: mid - 8, y: level, anchor: "end" } : { text, x: mid + 8, y: level, anchor: "start" };
    const inner: Candidate = rise > 0 ? { text, x: mid + 8, y: level + 10, anchor: "start" } : { text, x: mid - 8, y: level + 10, anchor: "end" };
    placer.place("rate", SIZE.small, view.to - view.from > 300 && view.width < 600 ? [] : [inner, outer, { ...inner, text: bare }, { ...outer, text: bare }]);
  }
}

/** Share of the dose that is in after share t of its time. */
export function dosed(curve: PlanStep["curve"], t: number): number {
  if (!curve) return t;
  if (curve.kind === "progressive" || curve.kind === "degressive") return t ** (curve.exponent > 0 ? curve.exponent : 1);
  if (curve.kind === "portions" && curve.portions > 0) return Math.min(1, (Math.floor(t * curve.portions) + (t < 1 ? 1 : 0)) / curve.portions);
  return t;
}

function wedgesOf(marks: StepMark[], lane: Box, x: Scale, y: Scale): Wedge[] {
  const base = lane.y + lane.h;
  const high = lane.h - 4 - DOSE_ROWS.length * 14; // above: rows of labels
  return marks.filter((m) => m.step.kind === "dose" && m.step.items.length).map((m) => {
    const x0 = x(m.from);
    const w = Math.max(2, x(m.to) - x0);
    const straight = m.step.curve === null || m.step.curve.kind === "linear";
    const stair = m.step.curve?.kind === "portions";
    const n = straight ? 1 : stair ? Math.max(2, m.step.curve?.portions ?? 2) : 16;
    let path = `M${x0.toFixed(1)} ${base}`;
    for (let i = straight ? 1 : 0; i <= n; i += 1) {
      const px = (x0 + (w * i) / n).toFixed(1);
      if (stair && i > 0) path += `H${px}`;
      path += `L${px} ${(base - high * dosed(m.step.curve, i / n)).toFixed(1)}`;
    }
    path += `V${base}Z`;
    const meets = y(m.step.temp_start_c.value);
    return {
      path, key: `d${m.index}`, dye: hasDye(m.step),
      drop: [x0, meets + 4, x0, base - (straight ? 0 : high * dosed(m.step.curve, 0))] as const,
    };
  });
}

/** "Glauber's salt, anhydrous" -> "Glauber's salt": what is said when there is little room. */
function head(name: string): string {
  return name.split(/[,(]/)[0]?.trim() ?? name;
}

export function doseText(step: PlanStep): { full: string; brief: string; short: string } {
  const kg = step.items.reduce((sum, item) => sum + item.mass_kg.value, 0);
  const [first] = step.items;
  const dyes = step.items.filter((item) => item.basis === "recipe").length;
  const name = step.items.length === 1 && first ? first.name
    : dyes === step.items.length ? words.curve.dyes(dyes) : words.curve.products(step.items.length);
  return { full: `${name} ${short(kg)}`, brief: `${head(name)} ${short(kg)}`, short: short(kg) };
}

function doseLabels(marks: StepMark[], lane: Box, view: View, x: Scale): Label[] {
  const placer = new Placer({ ...lane, y: lane.y - 2, w: lane.w + 6 }, [], [], view.measure);
  const doses = marks.filter((m) => m.step.kind === "dose" && m.step.items.length);
  // Dyes first, then what weighs most: where there is no room for all, these keep their label.
  const order = [...doses].sort((a, b) => Number(hasDye(b.step)) - Number(hasDye(a.step)) || mass(b) - mass(a));
  for (const m of order) {
    const text = doseText(m.step);
    const at = Math.max(x(m.from), lane.x) + 2;
    const end = Math.min(x(m.to), lane.x + lane.w) - 1;
    const rows = DOSE_ROWS.map((row) => lane.y + row);
    const along = (t: string): Candidate[] => rows.map((y) => ({ text: t, x: at, y, anchor: "start" }));
    const before = (t: string): Candidate[] => rows.map((y) => ({ text: t, x: end, y, anchor: "end" }));
    // On a phone a bare mass says nothing: the name or no label.
    if (view.width < 600) placer.place("dose", SIZE.small, [...along(text.brief), ...before(text.brief)]);
    else placer.place("dose", SIZE.small, [...along(text.full), ...along(text.brief), ...before(text.brief), ...along(text.short), ...before(text.short)]);
  }
  return placer.labels;
}
function hasDye(step: PlanStep): boolean {
  return step.items.some((item) => item.basis === "recipe");
}
function mass(m: StepMark): number {
  return m.step.items.reduce((sum, item) => sum + item.mass_kg.value, 0);
}

function levelTop(plan: Plan): number {
  return plan.curve.reduce((most, point) => Math.max(most, point[2]), 1) * 1.08;
}
function levelPath(plan: Plan, lane: Box, x: Scale): string {
  const scale = linear(0, levelTop(plan), lane.y + lane.h, lane.y);
  const [first] = plan.curve;
  const last = plan.curve[plan.curve.length - 1];
  if (!first || !last) return "";
  const base = lane.y + lane.h;
  return `M${x(first[0]).toFixed(1)} ${base}${plan.curve.map((p) => `L${x(p[0]).toFixed(1)} ${scale(p[2]).toFixed(1)}`).join("")}L${x(last[0]).toFixed(1)} ${base}Z`;
}
function levelLabels(plan: Plan, lane: Box, view: View, x: Scale): Label[] {
  const placer = new Placer(lane, [], [], view.measure);
  for (const bath of plan.baths) {
    const q = bath.final_l ?? bath.liquor_l;
    if (!q || q.value <= 0) continue;
    const wet = bath.steps.find((step) => step.kind !== "load" && step.kind !== "fill") ?? bath.steps[0];
    const dry = bath.steps.find((step) => step.kind === "drain");
    const from = Math.max(wet?.start_min.value ?? bath.start_min.value, view.from);
    const to = Math.min(dry?.start_min.value ?? bath.end_min.value, view.to);
    if (to <= from) continue;
    const text = `${number(q.value)}\u00a0L`;
    if (view.measure(text, SIZE.small) + 16 < x(to) - x(from))
      placer.place("level", SIZE.small, [{ text, x: x((from + to) / 2), y: lane.y + lane.h - 8, anchor: "middle" }]);
  }
  return placer.labels;
}

export function limits(low: number | null, high: number | null): string {
  if (low !== null && high !== null) return `${trimmed(low, 2)}–${trimmed(high, 2)}`;
  if (low !== null) return `${words.curve.least} ${trimmed(low, 2)}`;
  if (high !== null) return `${words.curve.most} ${trimmed(high, 2)}`;
  return "";
}

function checkLabels(checks: { x: number; mark: StepMark }[], lane: Box, view: View): Label[] {
  const holes = checks.map((c): Segment => [c.x - 8, lane.y + 11, c.x + 8, lane.y + 11]);
  const placer = new Placer({ ...lane, w: lane.w + 6 }, holes, [], view.measure);
  for (const { x, mark } of checks) {
    const { check } = mark.step;
    if (!check) continue;
    const limit = limits(check.low, check.high);
    const whole = [limit, shown(0, check.unit, "").unit].filter(Boolean).join("\u00a0");
    const brief = check.unit === "pH" ? "pH" : head(check.words);
    const texts = [`${check.words} ${limit ? whole : ""}`, `${brief} ${limit ? whole : ""}`, `${brief} ${limit}`, limit ? whole : "", limit].map((t) => t.trim()).filter(Boolean);
    placer.place("check", SIZE.small, texts.flatMap((text): Candidate[] => [
      { text, x: x + 12, y: lane.y + 15, anchor: "start" }, { text, x: x - 12, y: lane.y + 15, anchor: "end" },
    ]));
  }
  return placer.labels;
}

function bands(plan: Plan, marks: StepMark[], lanes: Lanes, view: View, x: Scale): Pick<Scene, "stages" | "baths" | "steps"> {
  const clip = (from: number, to: number): { x: number; w: number } | null => {
    const a = Math.max(from, view.from);
    const b = Math.min(to, view.to);
    return b > a ? { x: x(a), w: x(b) - x(a) } : null;
  };
  const fit = (texts: string[], w: number, size: number): string => texts.find((t) => view.measure(t, size) + 8 <= w) ?? "";
  const stages: Band[] = [];
  let run: { name: string; kind: string; from: number; to: number } | null = null;
  const close = (): void => {
    const box = run && clip(run.from, run.to);
    if (run && box) stages.push({ box: { ...box, y: lanes.stage, h: TOP.stage }, odd: false, heavy: false, text: fit([run.name], box.w, SIZE.label), key: `g${run.from}` });
  };
  for (const bath of plan.baths) {
    if (run && run.name === bath.stage.name) run.to = bath.end_min.value;
    else {
      close();
      run = { name: bath.stage.name, kind: bath.stage.kind, from: bath.start_min.value, to: bath.end_min.value };
    }
  }
  close();
  const baths = plan.baths.flatMap((bath, i): Band[] => {
    const box = clip(bath.start_min.value, bath.end_min.value);
    const n = String(bath.number);
    return box ? [{ box: { ...box, y: lanes.bath, h: TOP.bath }, odd: i % 2 === 1, heavy: true, key: `b${n}`, text: fit([`${n}  ${bath.name}`, n], box.w, SIZE.label) }] : [];
  });
  const steps = marks.flatMap((m): Band[] => {
    const box = clip(m.from, m.to);
    const n = String(m.number);
    // A dose that runs beside other steps is a thin bar under them: the band belongs to what the bath waits for.
    if (m.step.beside) return box ? [{ box: { ...box, y: lanes.step.y + lanes.step.h - BESIDE, h: BESIDE }, odd: true, heavy: true, key: `s${m.index}`, text: "" }] : [];
    return box && box.w > 0.4
      ? [{ box: { ...box, y: lanes.step.y, h: lanes.step.h }, odd: m.number % 2 === 0, heavy: false, key: `s${m.index}`, text: fit([`${n} ${m.step.words} ${number(m.to - m.from)}′`, `${n} ${m.step.words}`, n], box.w, SIZE.small) }]
      : [];
  });
  return { stages, baths, steps };
}
