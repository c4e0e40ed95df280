// Axes: where a value lies in pixels, and which ticks are worth drawing.

export interface Scale {
  (value: number): number;
  from: number;
  to: number;
}

export function linear(from: number, to: number, low: number, high: number): Scale {
  const span = to - from || 1;
  const scale = (value: number): number => low + ((value - from) / span) * (high - low);
  return Object.assign(scale, { from, to });
}

const TIME_STEPS_MIN = [1, 2, 5, 10, 15, 30, 60, 120, 240, 480];

/** The finest step whose labels stay at least `room` px apart. */
export function timeStep(scale: Scale, room: number): number {
  const perMin = Math.abs(scale(scale.from + 1) - scale(scale.from));
  return TIME_STEPS_MIN.find((step) => step * perMin >= room) ?? 960;
}

export function ticks(from: number, to: number, step: number): number[] {
  const out: number[] = [];
  for (let t = Math.ceil(from / step - 1e-9) * step; t <= to + 1e-9; t += step) out.push(t);
  return out;
}
