// A scanner types like a keyboard, only faster: a burst of keys with less than 50 ms between them,
// ended by Enter or Tab. It works wherever the focus is; what a person types goes on as keys.
import { useEffect, useRef } from "preact/hooks";

const GAP_MS = 50;
const LEAST = 4;

export interface Hears {
  scan: (text: string) => void;
  /** Typed by a person; not given: left to whatever has the focus. */
  key?: (key: string) => void;
}

/** FNC1 of GS1 comes as ASCII 29: control and the closing bracket. */
function charOf(event: KeyboardEvent): string | null {
  if (event.ctrlKey && event.key === "]") return "\u001d";
  if (event.ctrlKey || event.metaKey || event.altKey) return null;
  return event.key.length === 1 ? event.key : null;
}

export function useWedge(hears: Hears): void {
  const latest = useRef(hears);
  latest.current = hears;
  useEffect(() => {
    let text = "";
    let last = 0;
    let flush: ReturnType<typeof setTimeout> | undefined;
    const typing = (event: KeyboardEvent): boolean => event.target instanceof Element && event.target.closest("input, textarea, select") !== null;
    const give = (): void => {
      const typed = text;
      text = "";
      if (typed.length < LEAST) for (const char of typed) latest.current.key?.(char);
    };
    const onKey = (event: KeyboardEvent): void => {
      const now = event.timeStamp;
      const ends = event.key === "Enter" || event.key === "Tab";
      if (ends && text.length >= LEAST && now - last < GAP_MS * 2) {
        event.preventDefault();
        event.stopPropagation();
        clearTimeout(flush);
        const scanned = text;
        text = "";
        latest.current.scan(scanned);
        return;
      }
      const char = charOf(event);
      if (char === null) {
        // a key on the screen that has the focus is pressed by Enter itself
        if (!typing(event) && (event.key === "Backspace" || (event.key === "Enter" && !(event.target instanceof Element && event.target.closest("button, a"))))) latest.current.key?.(event.key);
        return;
      }
      if (now - last > GAP_MS && text) {
        clearTimeout(flush);
        give();
      }
      text += char;
      last = now;
      clearTimeout(flush);
      // in a text field nothing is taken away: a burst is told, single keys are the field's
      flush = setTimeout(() => (typing(event) ? (text = "") : give()), GAP_MS);
      if (!typing(event) && char !== " ") event.preventDefault();
    };
    document.addEventListener("keydown", onKey, true);
    return () => {
      document.removeEventListener("keydown", onKey, true);
      clearTimeout(flush);
    };
  }, []);
}
