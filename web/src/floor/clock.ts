// The server's time on this device. Clocks of tablets are often wrong by minutes; what is shown and
// counted down follows the server, from the answer that came back fastest.
import { signal } from "@preact/signals";

/** Server minus device, ms. */
export const offsetMs = signal(0);
let bestTripMs = Infinity;
/** A device's clock drifts: an old measurement gives way to a slightly slower new one. */
const TRIP_AGES_BY = 1.02;

/** An answer that says the server's time, asked at `askedMs` and come at `cameMs` of this device. */
export function noteServerTime(serverMs: number, askedMs: number, cameMs: number): void {
  const trip = Math.max(1, cameMs - askedMs);
  bestTripMs *= TRIP_AGES_BY;
  // A device that was set anew meanwhile: every trip is better than none.
  const set = Math.abs(serverMs - (cameMs + offsetMs.peek())) > 5000 + trip;
  if (trip > bestTripMs && !set) return;
  bestTripMs = trip;
  offsetMs.value = Math.round(serverMs - (askedMs + cameMs) / 2);
}

/** Now, by the server, once a second. */
export const nowMs = signal(Date.now());
let ticking: ReturnType<typeof setInterval> | undefined;
let watchers = 0;
/** Ticks as long as somebody looks. */
export function tick(): () => void {
  watchers += 1;
  const beat = (): void => void (nowMs.value = Date.now() + offsetMs.peek());
  beat();
  ticking ??= setInterval(beat, 1000);
  return () => {
    watchers -= 1;
    if (watchers) return;
    clearInterval(ticking);
    ticking = undefined;
  };
}
