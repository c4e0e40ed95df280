// How large a millimetre is on this screen: keys for wet hands are 20 mm wherever they are. A bank card laid on
// the screen says it; until then a tablet of 10 inches is assumed.
import { computed, effect, signal } from "@preact/signals";
import { recall, remember } from "./kept";

export const CARD_MM = 85.6; // ISO/IEC 7810 ID-1, the width of a bank card
export const CARD_PX = { least: 240, most: 900 };
const KEY_MM = 20; // no gain beyond: standing keypad study, see docs/people.md
const DEFAULT_PX_PER_MM = 118 / KEY_MM; // 1920 x 1200 at a pixel ratio of 1.5

function stored(): number {
  const kept = Number(recall("madder.card_px"));
  return kept >= CARD_PX.least && kept <= CARD_PX.most ? kept : DEFAULT_PX_PER_MM * CARD_MM;
}
/** How many CSS pixels a bank card is wide on this screen. */
export const cardPx = signal(stored());
export const keyPx = computed(() => Math.ceil((KEY_MM * cardPx.value) / CARD_MM));

export function setCard(px: number): void {
  cardPx.value = Math.min(CARD_PX.most, Math.max(CARD_PX.least, Math.round(px)));
  remember("madder.card_px", String(cardPx.value));
}

/** Sizes of the floor's style sheets are in millimetres of this screen. */
effect(() => document.documentElement.style.setProperty("--mm", `${(cardPx.value / CARD_MM).toFixed(3)}px`));
