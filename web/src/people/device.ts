// How people sign in on this device, and whether somebody was.
import { signal } from "@preact/signals";
import { recall, remember } from "../ui/kept";

export type Way = "password" | "badge";
export const way = signal<Way>(recall("madder.sign-in") === "badge" ? "badge" : "password");
export const keepWay = (value: Way): void => {
  way.value = value;
  remember("madder.sign-in", value);
};

/** Whether somebody was signed in here with the screen open when the server was last heard: a tablet at a
 * machine that starts again without a line goes on from what it keeps. Who enters is asked by the server
 * when the entries arrive. */
export const wasOpen = (): boolean => recall("madder.open") === "yes";
export const keepOpen = (open: boolean): void => remember("madder.open", open ? "yes" : "no");
