// Whether this device sounds. How large its screen is: ui/screen.ts.
import { signal } from "@preact/signals";
import { recall, remember } from "../ui/kept";
import "../ui/screen";

export const sound = signal(recall("madder.sound") !== "off");

export function setSound(on: boolean): void {
  sound.value = on;
  remember("madder.sound", on ? "on" : "off");
}
