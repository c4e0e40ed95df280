// Where the user is: the hash of the address, so that every view can be sent to someone.
// "#/lots/L26-0107?why=b3.liquor_l"
import { signal } from "@preact/signals";

export interface Place {
  path: string[];
  query: URLSearchParams;
}

function read(): Place {
  const [path = "", query = ""] = location.hash.replace(/^#\/?/, "").split("?");
  return { path: path.split("/").filter(Boolean).map(decode), query: new URLSearchParams(query) };
}
function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part; // a half-typed address is a place that does not exist, not a crash
  }
}

export const place = signal<Place>(read());
addEventListener("hashchange", () => {
  place.value = read();
});

export function href(path: string[], query: Record<string, string> = {}): string {
  const text = new URLSearchParams(query).toString().replace(/%2C/g, ",");
  return `#/${path.map(encodeURIComponent).join("/")}${text ? `?${text}` : ""}`;
}

/** Changes the address without a new entry in the history. */
export function swap(to: string): void {
  history.replaceState(null, "", to);
  place.value = read();
}

/** The element of a step in the tables: the curve and the warnings lead to it. */
export function stepId(bath: number, step: number): string {
  return `step-${bath}-${step}`;
}
