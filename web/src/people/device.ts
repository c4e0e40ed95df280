// What this device is: how large a millimetre is on it, and how people sign in here.
import { signal } from "@preact/signals";

export const CARD_MM = 85.6; // length of a bank card, ISO/IEC 7810 ID-1
const KEY_MM = 20; // no gain beyond: standing keypad study, see docs/people.md
const CSS_PX_PER_MM = 96 / 25.4;
/** Tablets show a CSS pixel smaller than it is meant: common practice, until the device is measured. */
const TABLET_PX_PER_MM = 5.9;

const stored = (key: string): string | null => {
  try {
    return localStorage.getItem(key);
  } catch {
    return null; // a browser that keeps nothing: the defaults serve
  }
};
const store = (key: string, value: string): void => {
  try {
    localStorage.setItem(key, value);
  } catch {
    // as above
  }
};

const first = Number(stored("madder.px-per-mm"));
export const pxPerMm = signal(first > 2 && first < 20 ? first : matchMedia("(pointer: coarse)").matches ? TABLET_PX_PER_MM : CSS_PX_PER_MM);
export const keepPxPerMm = (value: number): void => {
  pxPerMm.value = value;
  store("madder.px-per-mm", String(value));
};
export const keyPx = (): number => Math.ceil(KEY_MM * pxPerMm.value);

export type Way = "password" | "badge";
export const way = signal<Way>(stored("madder.sign-in") === "badge" ? "badge" : "password");
export const keepWay = (value: Way): void => {
  way.value = value;
  store("madder.sign-in", value);
};

/** Whether somebody was signed in here with the screen open when the server was last heard: a tablet at a
 * machine that starts again without a line goes on from what it keeps. Who enters is asked by the server
 * when the entries arrive. */
export const wasOpen = (): boolean => stored("madder.open") === "yes";
export const keepOpen = (open: boolean): void => store("madder.open", open ? "yes" : "no");
