// Direct labels that never overlap each other or the line they speak of.

export interface Box {
  x: number;
  y: number;
  w: number;
  h: number;
}
export type Anchor = "start" | "middle" | "end";
export interface Label {
  box: Box;
  text: string;
  anchor: Anchor;
  kind: string;
}
export interface Candidate {
  text: string;
  x: number;
  /** Baseline. */
  y: number;
  anchor: Anchor;
}
export type Measure = (text: string, size: number) => number;
export type Segment = readonly [x0: number, y0: number, x1: number, y1: number];

const PAD = 2;

export class Placer {
  readonly labels: Label[] = [];
  private readonly taken: Box[] = [];
  constructor(
    private readonly area: Box,
    private readonly lines: readonly Segment[],
    /** Not to be crossed either, except by what is placed with `overWalls`. */
    private readonly walls: readonly Segment[],
    private readonly measure: Measure,
  ) {}

  /** Sets the first candidate that is free; false: there is no room for any. */
  place(kind: string, size: number, candidates: readonly Candidate[], overWalls = false): boolean {
    for (const c of candidates) {
      const w = this.measure(c.text, size);
      const x = c.anchor === "start" ? c.x : c.anchor === "end" ? c.x - w : c.x - w / 2;
      const box = { x, y: c.y - size * 0.8, w, h: size };
      if (!this.free(box, overWalls)) continue;
      this.taken.push(box);
      this.labels.push({ box, text: c.text, anchor: c.anchor, kind });
      return true;
    }
    return false;
  }

  private free(box: Box, overWalls: boolean): boolean {
    const { area } = this;
    if (box.x < area.x || box.y < area.y || box.x + box.w > area.x + area.w || box.y + box.h > area.y + area.h) return false;
    const grown = { x: box.x - PAD, y: box.y - PAD, w: box.w + 2 * PAD, h: box.h + 2 * PAD };
    return !this.taken.some((other) => overlap(grown, other)) && !this.lines.some((line) => crosses(line, grown))
      && (overWalls || !this.walls.some((wall) => crosses(wall, box)));
  }
}

export function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}

/** Whether the segment touches the box (Liang-Barsky clipping). */
export function crosses([x0, y0, x1, y1]: Segment, box: Box): boolean {
  const dx = x1 - x0;
  const dy = y1 - y0;
  let enter = 0;
  let leave = 1;
  const edges: [number, number][] = [
    [-dx, x0 - box.x], [dx, box.x + box.w - x0], [-dy, y0 - box.y], [dy, box.y + box.h - y0],
  ];
  for (const [p, q] of edges) {
    if (p === 0) {
      if (q < 0) return false;
      continue;
    }
    const t = q / p;
    if (p < 0) enter = Math.max(enter, t);
    else leave = Math.min(leave, t);
    if (enter > leave) return false;
  }
  return true;
}
