// The rope as a map: position down, time to the right, under the curves and on their axis. In the
// colour it has then, or by how much it is off the mean of that time.
import type { JSX } from "preact";
import { useLayoutEffect, useMemo, useRef } from "preact/hooks";
import { Tappable } from "./Chart";
import { CLASSES, columnEdges, pixelsOf, type MapView } from "./mapPaint";
import { isNarrow, type DyeScene } from "./scene";
import type { RopeMap as MapData, Simulated } from "./types";
import { w } from "./words";

const GAP = 3;
const LEAST_ROPE = 9;
const ONE_ROPE = 132;

/** Height of each rope on screen. */
export function ropeHeight(tubes: number): number {
  return Math.max(LEAST_ROPE, Math.round((ONE_ROPE + tubes * 4) / tubes) - GAP);
}

interface Props {
  a: Simulated;
  map: MapData;
  scene: DyeScene;
  view: MapView;
  minute: number | null;
  pick: (t: number) => void;
}

export function RopeMap({ a, map, scene, view, minute, pick }: Props): JSX.Element {
  const canvas = useRef<HTMLCanvasElement>(null);
  const pixels = useMemo(() => pixelsOf(map, view), [map, view]);
  const each = ropeHeight(map.tubes);
  const high = map.tubes * (each + GAP) - GAP;
  const { plot, x, width } = scene;
  // With the picture, not a frame after it.
  useLayoutEffect(() => {
    const host = canvas.current;
    const context = host?.getContext("2d");
    if (!host || !context) return;
    const ratio = Math.max(1, devicePixelRatio || 1);
    const size = [Math.round(plot.w * ratio), Math.round(high * ratio)] as const;
    if (host.width !== size[0] || host.height !== size[1]) [host.width, host.height] = size;
    else context.clearRect(0, 0, host.width, host.height);
    const source = document.createElement("canvas");
    source.width = pixels.width;
    source.height = pixels.height;
    source.getContext("2d")?.putImageData(new ImageData(pixels.rgba, pixels.width, pixels.height), 0, 0);
    context.imageSmoothingEnabled = false;
    const edges = columnEdges(map.t_min).map((t) => Math.round((x(t) - plot.x) * ratio));
    const rows = pixels.height / map.tubes;
    for (let tube = 0; tube < map.tubes; tube += 1) {
      const top = Math.round(tube * (each + GAP) * ratio);
      const tall = Math.round(each * ratio);
      for (let c = 0; c < pixels.width; c += 1) {
        const from = edges[c] ?? 0;
        const wide = (edges[c + 1] ?? from) - from;
        if (wide > 0) context.drawImage(source, c, tube * rows, 1, rows, from, top, wide, tall);
      }
    }
  }, [pixels, plot.w, high, x, map]);
  const narrow = isNarrow(width);
  return (
    <Tappable scene={scene} pick={pick}>
      <div class="rope-map" style={{ "--left": `${(100 * plot.x) / width}%`, "--wide": `${(100 * plot.w) / width}%`, "--ratio": `${width} / ${high}` }}>
        <canvas ref={canvas} class={view === "colour" ? "rope-canvas is-colour" : "rope-canvas"} role="img" aria-label={w.map.alt(view === "colour" ? w.map.altColour : w.map.altOff)} />
        <svg class="plot-svg rope-names" viewBox={`0 0 ${width} ${high}`} aria-hidden="true">
          {each >= 60 ? <><text class="lane" x={plot.x - 8} y={11} text-anchor="end">{w.map.head}</text><text class="lane" x={plot.x - 8} y={each - 2} text-anchor="end">{w.map.tail}</text></> : null}
          {map.tubes > 1 ? Array.from({ length: map.tubes }, (_, i) => {
            const every = each >= 11 ? 1 : 4;
            const mid = i * (each + GAP) + each / 2 + 4;
            return i % every === 0 || i === map.tubes - 1 ? <text key={i} class="lane" x={each >= 60 || narrow ? plot.x - 8 : plot.x - 8} y={mid} text-anchor="end">{narrow ? i + 1 : w.map.rope(i + 1)}</text> : null;
          }) : null}
          {minute === null ? null : <g class="cursor"><path class="cursor-line" d={`M${x(minute).toFixed(1)} 0V${high}`} /></g>}
        </svg>
      </div>
      <p class="visually-hidden">{w.map.lead(a.rope.tubes, map.tubes, Math.round(map.slices / map.tubes))} {a.level.words}</p>
    </Tappable>
  );
}

export function MapHead({ ropes, map, view, choose }: { ropes: number; map: MapData; view: MapView; choose: (view: MapView) => void }): JSX.Element {
  return (
    <div class="rope-head">
      <h2 id="rope-title">{w.map.title}</h2>
      <p class="rope-lead">{w.map.lead(ropes, map.tubes, Math.round(map.slices / map.tubes))}</p>
      <fieldset class="segments no-print">
        <legend class="visually-hidden">{w.map.view}</legend>
        {(["colour", "off"] as const).map((one) => (
          <label key={one} class="segment"><input type="radio" name="rope-view" value={one} checked={view === one} onChange={() => choose(one)} /><span>{w.map.views[one]}</span></label>
        ))}
      </fieldset>
    </div>
  );
}

export function MapKey({ view }: { view: MapView }): JSX.Element {
  if (view === "colour") return <p class="rope-key">{w.map.screen}</p>;
  const less = CLASSES.slice(1).reverse();
  const more = CLASSES.slice(1);
  const box = (rgb: readonly number[]): JSX.Element => <svg viewBox="0 0 26 16" width="26" height="16" aria-hidden="true"><path d="M0 0h26v16H0z" fill={`rgb(${rgb.join(" ")})`} /></svg>;
  return (
    <div class="rope-key">
      <span>{w.map.offKey}</span>
      <ul>
        {less.map((one) => <li key={`l${one.from}`}>{box(one.less)}−{one.text}</li>)}
        <li>{box(CLASSES[0]?.less ?? [])}&lt; 1</li>
        {more.map((one) => <li key={`m${one.from}`}>{box(one.more)}+{one.text}</li>)}
      </ul>
    </div>
  );
}
