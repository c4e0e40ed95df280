// The map of the rope as pixels. No DOM here.
import type { RopeMap } from "./types";

export type MapView = "colour" | "off";

/** Off the mean, in classes: the eye reads classes, and paper keeps them. Less dye is warm, more is cold; both darken. */
export const CLASSES: { from: number; less: Rgb; more: Rgb; text: string }[] = [
  { from: 0, less: [251, 251, 252], more: [251, 251, 252], text: "< 1" },
  { from: 1, less: [246, 221, 186], more: [196, 219, 240], text: "1" },
  { from: 2, less: [240, 190, 122], more: [146, 189, 226], text: "2" },
  { from: 5, less: [219, 141, 52], more: [84, 146, 199], text: "5" },
  { from: 10, less: [168, 92, 12], more: [32, 94, 153], text: "10" },
  { from: 20, less: [104, 52, 0], more: [10, 46, 89], text: "20" },
];
export type Rgb = readonly [r: number, g: number, b: number];

export function classOf(pct: number): Rgb {
  const size = Math.abs(pct);
  let found = CLASSES[0];
  for (const one of CLASSES) if (size >= one.from) found = one;
  return found ? (pct < 0 ? found.less : found.more) : [255, 255, 255];
}

function bytesOf(text: string): Uint8Array {
  const raw = atob(text);
  const out = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i += 1) out[i] = raw.charCodeAt(i);
  return out;
}

export interface Pixels {
  /** One pixel for a time and a slice: across and down. */
  width: number;
  height: number;
  rgba: Uint8ClampedArray<ArrayBuffer>;
}

export function pixelsOf(map: RopeMap, view: MapView): Pixels {
  const rgba = new Uint8ClampedArray(map.times * map.slices * 4);
  const bytes = bytesOf(view === "colour" ? map.rgb : map.off);
  for (let t = 0; t < map.times; t += 1) {
    for (let s = 0; s < map.slices; s += 1) {
      const from = t * map.slices + s;
      const to = (s * map.times + t) * 4;
      if (view === "colour") {
        rgba[to] = bytes[from * 3] ?? 255;
        rgba[to + 1] = bytes[from * 3 + 1] ?? 255;
        rgba[to + 2] = bytes[from * 3 + 2] ?? 255;
      } else {
        const byte = bytes[from] ?? 0;
        const [r, g, b] = classOf((byte > 127 ? byte - 256 : byte) * map.off_pct_per_count);
        rgba[to] = r;
        rgba[to + 1] = g;
        rgba[to + 2] = b;
      }
      rgba[to + 3] = 255;
    }
  }
  return { width: map.times, height: map.slices, rgba };
}

/** Where each column of the map begins and ends, half way to its neighbours, in minutes. */
export function columnEdges(t: readonly number[]): number[] {
  const edges = t.slice(1).map((at, i) => (at + (t[i] ?? at)) / 2);
  return [t[0] ?? 0, ...edges, t.at(-1) ?? 0];
}
