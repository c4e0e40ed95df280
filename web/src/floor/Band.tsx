// A value within its limits: the band that is allowed, what can be read at all, and where it lies.
import type { JSX } from "preact";
import { trimmed } from "../fmt";
import type { RunCheck } from "./types";
import { w } from "./words";

const WIDE = 1000;
const EDGE = 36;

export interface Limits {
  low: number | null;
  high: number | null;
  expected: number | null;
  least: number;
  most: number;
  unit: string;
}
export function limitsOf(check: RunCheck): Limits {
  const { low, high, expected, least, most, unit } = check;
  return { low, high, expected, least, most, unit };
}

export type Side = "inside" | "below" | "above";
export function sideOf({ low, high }: Pick<Limits, "low" | "high">, value: number): Side {
  if (low !== null && value < low) return "below";
  return high !== null && value > high ? "above" : "inside";
}

/** What is shown of all that can be read: the limits with as much again around them, and the value. */
function rangeOf({ low, high, least, most, expected }: Limits, value: number | null): [number, number] {
  const marks = [low, high, expected].filter((v): v is number => v !== null);
  if (!marks.length) return [least, most];
  const from = low ?? Math.max(least, Math.min(0, ...marks));
  const to = high ?? Math.max(...marks, from);
  const room = Math.max((to - from) * 0.75, Math.abs(to) * 0.25, 0.5);
  let a = Math.max(least, low === null ? Math.min(from, least) : from - room);
  let b = Math.min(most, high === null ? Math.max(to + room, from + 2 * room) : to + room);
  if (value !== null) {
    a = Math.min(a, Math.max(least, value));
    b = Math.max(b, Math.min(most, value));
  }
  return b > a ? [a, b] : [a, a + 1];
}

export function Band({ limits, value }: { limits: Limits; value: number | null }): JSX.Element {
  const { low, high, expected } = limits;
  const [from, to] = rangeOf(limits, value);
  const x = (v: number): number => EDGE + ((Math.min(to, Math.max(from, v)) - from) / (to - from)) * (WIDE - 2 * EDGE);
  const a = low === null ? EDGE : x(low);
  const b = high === null ? WIDE - EDGE : x(high);
  const bounded = low !== null || high !== null;
  const side = value === null ? null : sideOf(limits, value);
  const said = value === null ? w.pad.nothing : w.pad[side === "above" ? "above" : side === "below" ? "below" : "inside"];
  const anchor = (at: number): "start" | "middle" | "end" => (at < 90 ? "start" : at > WIDE - 90 ? "end" : "middle");
  return (
    <svg class={`band${side ? ` band-${side}` : ""}`} viewBox={`0 0 ${WIDE} 156`} role="img" aria-label={w.pad.band(value === null ? w.pad.title : w.read(value, limits.unit), w.limits(limits), said)}>
      <path class="band-all" d={`M${EDGE} 52h${WIDE - 2 * EDGE}v44H${EDGE}z`} />
      {bounded ? <path class="band-allowed" d={`M${a} 52H${b}v44H${a}z`} /> : null}
      {low === null ? null : <><path class="band-edge" d={`M${a} 44v60`} /><text x={a} y="148" text-anchor={anchor(a)}>{trimmed(low, 2)}</text></>}
      {high === null ? null : <><path class="band-edge" d={`M${b} 44v60`} /><text x={b} y="148" text-anchor={anchor(b)}>{trimmed(high, 2)}</text></>}
      {expected === null ? null : <path class="band-expected" d={`M${x(expected)} 44v60`} />}
      {value === null ? null : side === "inside"
        ? <path class="band-value" d={`M${x(value)} 100l-20-34h40z M${x(value) - 4} 10h8v60h-8z`} />
        : <path class="band-value" d={`M${x(value) - 20} 34h40v40h-40z M${x(value) - 4} 10h8v90h-8z`} />}
    </svg>
  );
}
