// The drawing of one stretch of the line, as large as its place.
import type { JSX } from "preact";
import { useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { usePrinting } from "../charts/ProcessCurve";
import { number, trimmed } from "../fmt";
import { drawn, scaleFor, type Ask } from "./drawing";
import { w } from "./words";

/** On paper the drawing is as wide as finish.css says, and longer than any row. */
const PRINT = { width: 190, height: 480 };

/** In less the number alone has room. */
const UNIT_FROM = 130;

type Size = typeof PRINT;
function useSize(): [{ current: HTMLDivElement | null }, Size] {
  const host = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const element = host.current;
    if (!element) return undefined;
    const note = (): void => {
      const { clientWidth: width, clientHeight: height } = element;
      setSize((now) => (now.width === width && now.height === height ? now : { width, height }));
    };
    note();
    const watcher = new ResizeObserver(note);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return [host, size];
}

export interface StretchProps extends Omit<Ask, "downwards" | "along" | "across" | "px_per_cm" | "cut"> {
  name: string;
  widest_cm: number;
  swatch: string;
  across: boolean;
  /** Told how large a centimetre is drawn. */
  scaled?: (px_per_cm: number) => void;
}

export function Stretch({ name, widest_cm, swatch, across, scaled, ...ask }: StretchProps): JSX.Element {
  const [host, size] = useSize();
  const printing = usePrinting();
  const { width, height } = printing ? PRINT : size;
  const downwards = printing || !across;
  const [along, broad] = downwards ? [height, width] : [width, height];
  const key = JSON.stringify(ask);
  const scene = useMemo(
    () => (along > 40 && broad > 40 ? drawn({ ...ask, cut: printing, downwards, along, across: broad, px_per_cm: scaleFor(widest_cm, broad) }) : null),
    [key, downwards, along, broad, widest_cm],
  );
  const px_per_cm = scaleFor(widest_cm, broad);
  useLayoutEffect(() => scaled?.(px_per_cm), [px_per_cm]);
  const { before, after } = ask;
  const cm = (v: number): string => `${trimmed(v, 1)} cm`;
  const label = ask.kind
    ? w.drawn({ name, before: cm(before.lies_cm), after: cm(after.lies_cm), wetBefore: `${number(before.moisture_pct)} %`, wetAfter: `${number(after.moisture_pct)} %` })
    : w.drawnStart(cm(after.lies_cm), `${number(after.moisture_pct)} %`);
  return (
    <div class="stretch" ref={host}>
      {scene ? (
        <svg class="stretch-svg" viewBox={`0 0 ${scene.width} ${scene.height}`} width={scene.width} height={scene.height} preserveAspectRatio="none" role="img" aria-label={label}>
          <path class="st-fabric" d={scene.fabric} />
          <path class="st-courses" d={scene.courses} />
          <path class="st-moisture" d={scene.moisture} />
          <path class="st-frame" d={scene.frame} />
          <path class="st-allowed" d={scene.allowed} />
          <path class="st-selvedge" fill={/^#[0-9a-fA-F]{6}$/.test(swatch) ? swatch : "none"} d={scene.selvedges} />
          <path class="st-edge" d={scene.outline} />
          <path class="st-fold" d={scene.folds} />
          <path class="st-lines" d={scene.lines} />
          <path class="st-solid" d={scene.solid} />
          <path class="st-aim" d={scene.aim} />
          <path class="st-planned" d={scene.planned} />
          <path class="st-gate" d={scene.allowedEnds} />
          <path class="st-dimension" d={scene.dimension} />
          <text class="st-width" x={scene.text.x} y={scene.text.y} text-anchor="middle" dominant-baseline="central">{trimmed(after.lies_cm, 1)}{broad < UNIT_FROM ? null : <tspan class="st-unit" dx="4">cm</tspan>}</text>
        </svg>
      ) : null}
    </div>
  );
}

/** What the lines of the drawing mean, and its scale. */
export function Key({ px_per_cm, tube, planned }: { px_per_cm: number; tube: boolean; planned: boolean }): JSX.Element {
  const bar_cm = 20;
  const bar = Math.round(bar_cm * px_per_cm);
  const k = w.key;
  return (
    <ul class="line-key">
      <li><svg viewBox="0 0 34 14" width="34" height="14" aria-hidden="true"><path class="st-moisture" d="M2 3h10M17 3h10M9 8h10M24 8h8M2 12h10" /></svg>{k.moisture}</li>
      <li><svg viewBox="0 0 34 14" width="34" height="14" aria-hidden="true"><path class="st-courses" d="M3 0v14M12 0v14M19 0v14M25 0v14M30 0v14" /></svg>{k.courses}</li>
      <li><svg viewBox="0 0 34 14" width="34" height="14" aria-hidden="true"><path class="st-aim" d="M0 7h34" /></svg>{k.aim}</li>
      {planned ? <li><svg viewBox="0 0 34 14" width="34" height="14" aria-hidden="true"><path class="st-planned" d="M0 7h34" /></svg>{k.planned}</li> : null}
      <li><svg viewBox="0 0 34 14" width="34" height="14" aria-hidden="true"><path class="st-allowed" d="M0 3h34v8H0z" /><path class="st-gate" d="M0 3h34M0 11h34" /></svg>{k.allowed}</li>
      {tube ? <li><svg viewBox="0 0 34 14" width="34" height="14" aria-hidden="true"><path class="st-edge" d="M0 4h34" /><path class="st-fold" d="M0 9h34" /></svg>{k.fold}</li> : null}
      <li>{k.weight}</li>
      {bar > 4 ? <li><svg viewBox={`0 0 ${bar + 2} 14`} width={bar + 2} height="14" aria-hidden="true"><path class="st-dimension" d={`M1 3v8M1 7h${bar}M${bar + 1} 3v8`} /></svg>{k.scale(String(bar_cm))}</li> : null}
    </ul>
  );
}
