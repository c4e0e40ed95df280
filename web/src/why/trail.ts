// How the reader came to the figure shown: outermost first. Kept beside the address, so that a
// shared link opens the figure itself.
import { signal } from "@preact/signals";
import { place } from "../place";

export const trail = signal<string[]>([]);

let opener: Element | null = null;
let within = false;

/** A number outside the panel was followed: a new trail begins. */
export function openedBy(event: Event): void {
  opener = event.currentTarget as Element;
  within = false;
}
/** An input inside the panel was followed. */
export function followed(): void {
  within = true;
}
/** Where the focus goes when the panel closes. */
export function returnTarget(): HTMLElement | null {
  return opener instanceof HTMLElement && opener.isConnected ? opener : null;
}

place.subscribe(({ query }) => {
  const key = query.get("why");
  const old = trail.peek();
  if (key === null) {
    if (old.length) trail.value = [];
    return;
  }
  const seen = old.indexOf(key);
  if (seen >= 0 && old.length > 0 && (within || seen < old.length - 1)) trail.value = old.slice(0, seen + 1);
  else if (within) trail.value = [...old, key];
  else if (old.length !== 1 || old[0] !== key) trail.value = [key];
  within = false;
});
