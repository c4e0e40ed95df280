import type { Measure } from "./labels";

/** Text widths as the browser sets them; each text is measured once. */
export function makeMeasure(): Measure {
  const context = document.createElement("canvas").getContext("2d");
  const known = new Map<string, number>();
  return (text, size) => {
    const key = `${size}|${text}`;
    let width = known.get(key);
    if (width === undefined) {
      if (context) {
        context.font = `560 ${size}px Inter, system-ui, "Noto Sans", sans-serif`;
        width = context.measureText(text).width * 1.06; // the page sets tabular figures, a little wider
      } else width = text.length * size * 0.62;
      known.set(key, width);
    }
    return width;
  };
}
