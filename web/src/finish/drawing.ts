// One stretch of the finishing line from above: the fabric through a machine and behind it.
// Along the fabric nothing is to scale but how close its courses lie; across it everything is.
// Worked out along (s) and across (c, from the middle), then laid down rightwards or downwards.

export interface Fabric {
  /** As it lies: open, or flat for a tube. */
  lies_cm: number;
  moisture_pct: number;
  courses_per_cm: number;
}
export interface Ask {
  kind: string | null; // null: no machine, only fabric
  before: Fabric;
  after: Fabric;
  /** Width behind the machine as planned, where a reading has changed it. */
  planned_cm: number | null;
  aim_cm: number;
  /** Allowed width, drawn behind the last machine. */
  allowed: { low_cm: number; high_cm: number } | null;
  tube: boolean;
  downwards: boolean;
  along: number;
  across: number;
  px_per_cm: number;
  seed: number;
  /** Paper cuts the stretch off where its row ends: what is written stands close behind the machine. */
  cut: boolean;
}
export interface Drawn {
  width: number;
  height: number;
  fabric: string;
  selvedges: string;
  outline: string;
  folds: string;
  courses: string;
  moisture: string;
  aim: string;
  planned: string;
  allowed: string;
  allowedEnds: string;
  frame: string;
  /** Solid parts of the machine: rollers, shoes, beams. */
  solid: string;
  /** Its lines: rails, belts, partitions. */
  lines: string;
  dimension: string;
  /** Where the width is written. */
  text: { x: number; y: number };
}

const MARGIN = 14; // px from the widest fabric to the frame of a machine
const MACHINE_MOST = 150;
const LEAD = 12; // fabric before the machine
const COURSES_PX = 130; // px between two lines x courses per cm: lines of 7 to 14 px
const WET_PCT = 240; // drawn as dense as it gets; a drained rope
const SELVEDGE = 5;

/** Px for one cm across, so that the widest fabric of the line has its room. */
export function scaleFor(widest_cm: number, across: number): number {
  return (across - 2 * MARGIN - 16) / widest_cm;
}

type Point = readonly [s: number, c: number];

class Pen {
  private out = "";
  constructor(private readonly ask: Ask) {}
  private at([s, c]: Point): string {
    const across = this.ask.across / 2 + c;
    const [x, y] = this.ask.downwards ? [across, s] : [s, across];
    return `${x.toFixed(1)} ${y.toFixed(1)}`;
  }
  line(points: readonly Point[], close = false): this {
    this.out += points.map((p, i) => (i ? "L" : "M") + this.at(p)).join("") + (close ? "Z" : "");
    return this;
  }
  box(s0: number, c0: number, s1: number, c1: number): this {
    return this.line([[s0, c0], [s1, c0], [s1, c1], [s0, c1]], true);
  }
  get path(): string {
    return this.out;
  }
}

interface Shape {
  /** Ends of the machine, and between which points of it the fabric changes. */
  m0: number;
  m1: number;
  from: number;
  to: number;
  half: (s: number) => number;
  wet: (s: number) => number;
  courses: (s: number) => number;
  /** Half of what stands across: the frame. */
  frame: number;
}

function smooth(t: number): number {
  const x = Math.min(1, Math.max(0, t));
  return x * x * (3 - 2 * x);
}
/** Where in the machine width and length change, as a part of its length. */
const CHANGES: Record<string, [number, number]> = {
  slit: [0.42, 1], squeeze: [0.5, 0.75], pad: [0.55, 0.75], stenter: [0.06, 0.3], "heat-set": [0.06, 0.3], "relax-dry": [0.1, 0.9],
  spread: [0.08, 0.55], compact: [0.42, 0.62], "tube-compact": [0.42, 0.62], brush: [0.3, 0.7],
};
/** Where it loses or takes water; else where it changes. */
const WETS: Record<string, [number, number]> = {
  slit: [0.26, 0.34], squeeze: [0.62, 0.7], pad: [0.2, 0.3], stenter: [0.12, 0.95], "heat-set": [0.12, 0.95], "relax-dry": [0.05, 0.95],
};

function shapeOf(a: Ask): Shape {
  const m0 = a.kind ? LEAD : 0;
  const m1 = a.kind ? m0 + Math.min(MACHINE_MOST, a.along * 0.5) : 0;
  const part = ([t0, t1]: [number, number]): [number, number] => [m0 + (m1 - m0) * t0, m0 + (m1 - m0) * t1];
  const [from, to] = part(CHANGES[a.kind ?? ""] ?? [0.3, 0.7]);
  const [w0, w1] = part(WETS[a.kind ?? ""] ?? CHANGES[a.kind ?? ""] ?? [0.3, 0.7]);
  const between = (x0: number, x1: number, s0: number, s1: number) => (s: number): number => (a.kind ? x0 + (x1 - x0) * smooth((s - s0) / (s1 - s0)) : x1);
  const px = a.px_per_cm / 2;
  return {
    m0, m1, from, to,
    half: between(a.before.lies_cm * px, a.after.lies_cm * px, from, to),
    wet: between(a.before.moisture_pct, a.after.moisture_pct, w0, w1),
    courses: between(a.before.courses_per_cm, a.after.courses_per_cm, from, to),
    frame: a.across / 2 - 4,
  };
}

const STEP = 3;
function samples(along: number): number[] {
  const n = Math.max(2, Math.ceil(along / STEP));
  return Array.from({ length: n + 1 }, (_, i) => (along * i) / n);
}

export function drawn(a: Ask): Drawn {
  const sh = shapeOf(a);
  const pen = (): Pen => new Pen(a);
  const s = samples(a.along);
  const side = (sign: 1 | -1, inset = 0): Point[] => s.map((x) => [x, sign * (sh.half(x) - inset)]);
  const strip = (sign: 1 | -1): Point[] => [...side(sign), ...side(sign, SELVEDGE).reverse()];
  const mid = a.cut ? sh.m1 + CUT_PX : (sh.m1 + a.along) / 2;
  const gate = sh.m1 + 10;
  const after = sh.half(a.along);
  const machine = motif(a, sh);
  const planned = a.planned_cm === null ? null : (a.planned_cm * a.px_per_cm) / 2;
  const behind: Point[][] = planned === null ? [] : [[[sh.m1, planned], [a.along, planned]], [[sh.m1, -planned], [a.along, -planned]]];
  const aim = (a.aim_cm * a.px_per_cm) / 2;
  const zone = a.allowed ? [a.allowed.low_cm, a.allowed.high_cm].map((cm) => (cm * a.px_per_cm) / 2) : null;
  return {
    width: a.downwards ? a.across : a.along,
    height: a.downwards ? a.along : a.across,
    fabric: pen().line([...side(-1), ...side(1).reverse()], true).path,
    selvedges: pen().line(strip(1), true).line(strip(-1), true).path,
    outline: pen().line(side(1)).line(side(-1)).path,
    folds: a.tube ? pen().line(side(1, SELVEDGE + 3)).line(side(-1, SELVEDGE + 3)).path : "",
    courses: courseLines(a, sh, pen()),
    moisture: marsh(a, sh, pen()),
    aim: pen().line([[0, aim], [a.along, aim]]).line([[0, -aim], [a.along, -aim]]).path,
    planned: behind.reduce((p, line) => p.line(line), pen()).path,
    allowed: zone ? pen().box(gate, zone[0] ?? 0, a.along, zone[1] ?? 0).box(gate, -(zone[0] ?? 0), a.along, -(zone[1] ?? 0)).path : "",
    allowedEnds: zone ? zone.reduce((p, c) => p.line([[gate, c], [a.along, c]]).line([[gate, -c], [a.along, -c]]), pen()).path : "",
    frame: a.kind ? pen().box(sh.m0, -sh.frame, sh.m1, sh.frame).path : "",
    ...machine,
    dimension: arrow(pen(), mid, after),
    text: a.downwards ? { x: a.across / 2, y: mid } : { x: mid, y: a.across / 2 },
  };
}
const CUT_PX = 42;

/** A dimension line across the fabric, open in the middle for its number. */
function arrow(p: Pen, at: number, half: number): string {
  const gap = 22;
  const tip = half - 1;
  for (const sign of [1, -1]) p.line([[at, sign * gap], [at, sign * tip]]).line([[at - 4, sign * (tip - 8)], [at, sign * tip], [at + 4, sign * (tip - 8)]]);
  return p.path;
}

function courseLines(a: Ask, sh: Shape, p: Pen): string {
  for (let s = COURSES_PX / sh.courses(0) / 2; s < a.along; s += COURSES_PX / sh.courses(s)) {
    const c = sh.half(s) - SELVEDGE;
    p.line([[s, -c], [s, c]]);
  }
  return p.path;
}

/** Short strokes along the fabric, as maps draw wet ground: the wetter, the more of them. */
function marsh(a: Ask, sh: Shape, p: Pen): string {
  const row = 9;
  const cell = 17;
  const rows = Math.floor((sh.frame * 2) / row);
  for (let r = 0; r < rows; r++) {
    const c = (r - (rows - 1) / 2) * row;
    for (let k = 0; k * cell < a.along; k++) {
      const s = (k + 0.5 * (r % 2)) * cell + 3;
      if (s + 10 > a.along || Math.abs(c) > sh.half(s) - SELVEDGE - 6) continue;
      if (chance(r, k, a.seed) < sh.wet(s + 5) / WET_PCT) p.line([[s, c], [s + 10, c]]);
    }
  }
  return p.path;
}
/** 0 to 1, the same every time: the picture must not flicker when it is drawn again. */
function chance(r: number, k: number, seed: number): number {
  const x = Math.sin(r * 127.1 + k * 311.7 + seed * 74.7) * 43758.5453;
  return x - Math.floor(x);
}

type Motif = (p: { solid: Pen; lines: Pen; at: (t: number) => number; sh: Shape; c: number }) => void;

/** Two rollers with the fabric between them. */
const nip = (t: number): Motif => ({ solid, at, c }) => void solid.box(at(t) - 10, -c, at(t) - 1, c).box(at(t) + 1, -c, at(t) + 10, c);
const roller = (t0: number, t1: number): Motif => ({ solid, at, c }) => void solid.box(at(t0), -c, at(t1), c);
/** Bars across, half as long as the machine is wide: shafts. */
const shaft = (t: number): Motif => ({ lines, at, c }) => void lines.line([[at(t), -c], [at(t), c]]);

/** Chains with pins along both edges of the fabric, and the partitions of the chambers. */
const chamber: Motif = ({ lines, at, sh, c }) => {
  for (const sign of [1, -1]) {
    const rail: Point[] = [];
    for (let s = at(0.04); s <= at(0.97); s += STEP) {
      rail.push([s, sign * (sh.half(s) + 4)]);
    }
    lines.line(rail);
    for (let s = at(0.04); s <= at(0.97); s += 6) lines.line([[s, sign * sh.half(s)], [s, sign * (sh.half(s) + 4)]]);
  }
  for (const t of [0.3, 0.53, 0.76]) lines.line([[at(t), -c], [at(t), -sh.half(at(t)) - 8]]).line([[at(t), sh.half(at(t)) + 8], [at(t), c]]);
};
/** Fabric that lies loose on belts: it waves. */
const waves: Motif = ({ lines, at, sh }) => {
  for (const part of [-0.72, -0.36, 0, 0.36, 0.72]) {
    const wave: Point[] = [];
    for (let s = at(0.06); s <= at(0.94); s += 2) wave.push([s, sh.half(s) * part + 3.2 * Math.sin((s - at(0)) / 4.6)]);
    lines.line(wave);
  }
};
/** A frame inside the tube that pushes its edges out. */
const spreader: Motif = ({ lines, solid, at, sh }) => {
  for (const sign of [1, -1]) {
    lines.line([[at(0.12), sign * sh.half(at(0.12)) * 0.55], [at(0.55), sign * (sh.half(at(0.55)) - 4)], [at(0.92), sign * (sh.half(at(0.92)) - 4)]]);
    solid.box(at(0.66), sign * (sh.half(at(0.66)) - 1), at(0.84), sign * (sh.half(at(0.84)) + 9));
  }
  lines.line([[at(0.55), -sh.half(at(0.55)) + 4], [at(0.55), sh.half(at(0.55)) - 4]]);
};
/** Arms that lay the slit fabric flat. */
const arms: Motif = ({ lines, at, sh }) => {
  for (const sign of [1, -1]) lines.line([[at(0.5), 0], [at(0.96), sign * (sh.half(at(0.96)) - 8)]]);
  lines.line([[at(0.42), 0], [at(0.5), 0]]);
};
/** The trough the fabric dips into. */
const trough: Motif = ({ lines, at, c }) => {
  lines.box(at(0.08), -c, at(0.4), c);
  for (let s = at(0.08) + 6; s < at(0.4); s += 6) lines.line([[s, -c], [s, c]]);
};
/** Card wire: a roller with teeth. */
const wire: Motif = ({ lines, solid, at, c }) => {
  solid.box(at(0.34), -c, at(0.44), c).box(at(0.56), -c, at(0.66), c);
  for (const t of [0.44, 0.66]) for (let k = -c + 4; k < c - 4; k += 8) lines.line([[at(t), k], [at(t) + 7, k + 5]]);
};
const belts: Motif = ({ lines, at, c }) => void lines.line([[at(0.1), -c], [at(0.9), -c]]).line([[at(0.1), c], [at(0.9), c]]);

const MOTIFS: Record<string, Motif[]> = {
  slit: [nip(0.3), arms],
  squeeze: [nip(0.66)],
  pad: [trough, nip(0.65)],
  stenter: [chamber],
  "heat-set": [chamber],
  "relax-dry": [belts, waves, shaft(0.1), shaft(0.9)],
  spread: [spreader],
  compact: [belts, roller(0.36, 0.68), shaft(0.1), shaft(0.9)],
  "tube-compact": [roller(0.28, 0.46), roller(0.56, 0.64), shaft(0.51)],
  brush: [wire],
};

function motif(a: Ask, sh: Shape): { solid: string; lines: string } {
  const solid = new Pen(a);
  const lines = new Pen(a);
  const at = (t: number): number => sh.m0 + (sh.m1 - sh.m0) * t;
  for (const draw of MOTIFS[a.kind ?? ""] ?? []) draw({ solid, lines, at, sh, c: sh.frame - 7 });
  return { solid: solid.path, lines: lines.path };
}
