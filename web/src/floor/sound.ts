// A tone and a shake beside what the screen says; never instead of it. Browsers let a page sound
// only after it was touched once.
import { sound } from "./device";

export type Call = "over" | "hold" | "key";
const TONES: Record<Call, { hz: number; s: number; times: number }> = {
  over: { hz: 660, s: 0.25, times: 2 },
  hold: { hz: 880, s: 0.18, times: 3 },
  key: { hz: 520, s: 0.06, times: 1 },
};
const SHAKES: Record<Call, number[]> = { over: [200, 120, 200], hold: [150, 80, 150, 80, 150], key: [20] };
let context: AudioContext | undefined;

export function wake(): void {
  context ??= "AudioContext" in window ? new AudioContext() : undefined;
  if (context?.state === "suspended") void context.resume().catch(() => undefined);
}
// Not within the touch itself: it can take a while, and a key is being pressed.
addEventListener("pointerdown", () => setTimeout(wake), { once: true });

/** `tried`: the person asked to hear it, whatever the switch says. */
export function call(what: Call, tried = false): void {
  if (!sound.peek() && !tried) return;
  navigator.vibrate?.(SHAKES[what]);
  if (!context || context.state !== "running") return;
  const { hz, s, times } = TONES[what];
  for (let i = 0; i < times; i += 1) {
    const at = context.currentTime + i * s * 1.7;
    const tone = context.createOscillator();
    const loud = context.createGain();
    tone.frequency.value = hz;
    loud.gain.setValueAtTime(0.0001, at);
    loud.gain.exponentialRampToValueAtTime(0.4, at + 0.02);
    loud.gain.exponentialRampToValueAtTime(0.0001, at + s);
    tone.connect(loud).connect(context.destination);
    tone.start(at);
    tone.stop(at + s);
  }
}
