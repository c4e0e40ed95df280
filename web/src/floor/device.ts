// What belongs to this device and not to the person: how large its screen is, whether it sounds.
import { effect, signal } from "@preact/signals";

const CARD_MM = 85.6; // ISO/IEC 7810 ID-1, the width of a bank card
const DEFAULT_PX_PER_MM = 118 / 20; // a 10 inch tablet of 1920 x 1200 at a pixel ratio of 1.5
export const CARD_PX = { least: 240, most: 900 };

function read(name: string): string | null {
  try {
    return localStorage.getItem(name);
  } catch {
    return null; // a browser that keeps nothing: the defaults hold
  }
}
function write(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // as above
  }
}

function stored(): number {
  const kept = Number(read("madder.card_px"));
  return kept >= CARD_PX.least && kept <= CARD_PX.most ? kept : DEFAULT_PX_PER_MM * CARD_MM;
}
/** How many CSS pixels a bank card is wide on this screen. */
export const cardPx = signal(stored());
export const calibrated = signal(read("madder.card_px") !== null);
export const sound = signal(read("madder.sound") !== "off");

export function setCard(px: number): void {
  cardPx.value = Math.min(CARD_PX.most, Math.max(CARD_PX.least, Math.round(px)));
  calibrated.value = true;
  write("madder.card_px", String(cardPx.value));
}
export function setSound(on: boolean): void {
  sound.value = on;
  write("madder.sound", on ? "on" : "off");
}

/** Sizes of the floor's style sheet are in millimetres of this screen. */
effect(() => document.documentElement.style.setProperty("--mm", `${(cardPx.value / CARD_MM).toFixed(3)}px`));
