// What lies on the scale against what is asked for. The tolerance is a few thousandths of the mass:
// drawn to one scale nobody would see it, so the way up to it, the band itself and what is beyond
// have each a scale of their own.
import type { JSX } from "preact";
import { Shape } from "../ui/parts";
import type { WeighItem } from "./types";
import { mass, w } from "./words";

const WIDE = 1000;
const BAND = { from: 640, to: 820 };
const HIGH = 120;

export type Zone = "below" | "within" | "above";
export function zoneOf(i: WeighItem, net: number): Zone {
  return net < i.tolerance_low_mg ? "below" : net > i.tolerance_high_mg ? "above" : "within";
}

export function placeOf(i: WeighItem, net: number): number {
  const { tolerance_low_mg: low, tolerance_high_mg: high } = i;
  if (net <= 0) return 0;
  if (net < low) return (net / low) * BAND.from;
  if (net <= high) return BAND.from + (high > low ? (net - low) / (high - low) : 0.5) * (BAND.to - BAND.from);
  const beyond = (net - high) / Math.max(1, 2 * (high - low));
  return BAND.to + Math.min(1, beyond) * (WIDE - BAND.to);
}

const SHAPES = { below: "warning", within: "ok", above: "stop" } as const;

export function Bar({ item, net }: { item: WeighItem; net: number | null }): JSX.Element {
  const zone = net === null ? null : zoneOf(item, net);
  const at = net === null ? 0 : placeOf(item, net);
  return (
    <div class="weigh-bar" data-zone={zone ?? "empty"}>
      <p class="weigh-zone" role="status" aria-live="polite">
        {zone ? <><Shape kind={SHAPES[zone]} /> {w.zones[zone]}</> : w.empties}
      </p>
      <svg viewBox={`0 0 ${WIDE} ${HIGH}`} preserveAspectRatio="none" class="weigh-bar-svg" role="img" aria-label={`${net === null ? w.empties : `${w.net} ${mass(net)}`}; ${w.limits(mass(item.tolerance_low_mg), mass(item.tolerance_high_mg))}`}>
        <path class="weigh-bar-all" d={`M0 30H${WIDE}V90H0z`} />
        <path class="weigh-bar-band" d={`M${BAND.from} 12H${BAND.to}V108H${BAND.from}z`} />
        <path class="weigh-bar-net" d={`M0 38H${at.toFixed(1)}V82H0z`} />
        <path class="weigh-bar-mark" d={`M${at.toFixed(1)} 0V${HIGH}`} />
      </svg>
      <p class="weigh-limits">{w.limits(mass(item.tolerance_low_mg), mass(item.tolerance_high_mg))}</p>
    </div>
  );
}
