import type { JSX } from "preact";
import { words } from "../words";
import type { Box, Label } from "./labels";
import type { Band, Scene } from "./scene";

export function rect({ x, y, w, h }: Box): string {
  return `M${x.toFixed(1)} ${y}h${w.toFixed(1)}v${h}h${(-w).toFixed(1)}z`;
}
export function rects(bands: Band[]): string {
  return bands.map((b) => rect(b.box)).join("");
}

/**
 * The still part of the picture. What looks alike is one path: a hundred steps are a few elements,
 * and a redraw takes a few milliseconds. Ids are unique: there is one curve on a page.
 */
export function Drawing({ scene, swatch }: { scene: Scene; swatch: string }): JSX.Element {
  const { plot, temp } = scene;
  const bottom = plot.y + plot.h;
  return (
    <g>
      <clipPath id="curve-clip"><path d={`M${plot.x} 0h${plot.w}v${bottom}h${-plot.w}z`} /></clipPath>
      <path class="sheet" d={`M${plot.x} ${temp.y}h${plot.w}v${temp.h}h${-plot.w}z`} />
      <path class="zebra" d={scene.baths.filter((b) => b.odd).map((b) => rect({ ...b.box, y: temp.y, h: temp.h })).join("")} />
      <path class="grid-minor" d={scene.minor.map((x) => `M${x.toFixed(1)} ${temp.y}v${temp.h}`).join("")} />
      <path class="grid" d={scene.major.map((t) => `M${t.x.toFixed(1)} ${temp.y}v${temp.h}`).join("") + scene.degrees.map((d) => `M${plot.x} ${d.y.toFixed(1)}h${plot.w}`).join("")} />
      {scene.degrees.map((d) => <text key={d.text} class="tick" x={plot.x - 8} y={d.y + 4} text-anchor="end">{d.text}</text>)}
      <text class="lane" x={plot.x - 8} y={temp.y - 8} text-anchor="end">{words.curve.lanes.temp}</text>
      {scene.lanes.map((l) => <text key={l.word} class="lane" x={plot.x - 8} y={l.y} text-anchor="end">{l.word}</text>)}
      {scene.stages.map((b) => <StageBand key={b.key} band={b} />)}
      <Bands bands={scene.baths} name="bath-band" />
      <g clip-path="url(#curve-clip)">
        <path class="level" d={scene.levels} />
        <path class="drop" d={scene.wedges.map(({ drop }) => (drop ? `M${drop[0].toFixed(1)} ${drop[1].toFixed(1)}V${drop[3].toFixed(1)}` : "")).join("")} />
        <path class="wedge wedge-plain" d={scene.wedges.filter((wedge) => !wedge.dye).map((wedge) => wedge.path).join("")} />
        <path class="wedge" fill={swatch} d={scene.wedges.filter((wedge) => wedge.dye).map((wedge) => wedge.path).join("")} />
        <path class="bounds" d={scene.bounds.map((x) => `M${x.toFixed(1)} ${temp.y - 24}V${bottom}`).join("")} />
        <path class="line-idle" d={scene.idle} />
        <path class="line-plan" d={scene.line} />
      </g>
      <Bands bands={scene.steps.filter((b) => !b.heavy)} name="step-band" />
      <path class="beside" d={rects(scene.steps.filter((b) => b.heavy))} />
      <path class="diamond" d={scene.checks.map((c) => `M${c.x.toFixed(1)} ${c.y - 7}l7 7-7 7-7-7z`).join("")} />
      {scene.major.map((t) => <text key={t.text} class="tick" x={t.x} y={bottom + 16} text-anchor="middle">{t.text}</text>)}
      <Labels labels={scene.labels} />
    </g>
  );
}

export function Labels({ labels }: { labels: Label[] }): JSX.Element {
  return (
    <g class="labels">
      {labels.map((l) => (
        <text key={`${l.kind}${l.box.x}${l.box.y}`} class={`label label-${l.kind}`} x={l.box.x + (l.anchor === "start" ? 0 : l.anchor === "end" ? l.box.w : l.box.w / 2)}
          y={l.box.y + l.box.h * 0.8} text-anchor={l.anchor}>{l.text}</text>
      ))}
    </g>
  );
}

function StageBand({ band }: { band: Band }): JSX.Element {
  const { x, y, w, h } = band.box;
  return (
    <g>
      <path class="stage-rule" d={`M${x + 0.5} ${y + h - 3}h${Math.max(0, w - 2)}`} />
      {band.text ? <text class="stage-name" x={x + 1} y={y + h - 8}>{band.text}</text> : null}
    </g>
  );
}

export function Bands({ bands, name }: { bands: Band[]; name: string }): JSX.Element {
  return (
    <g class={name}>
      <path class="band-a" d={rects(bands.filter((b) => !b.odd))} />
      <path class="band-b" d={rects(bands.filter((b) => b.odd))} />
      {bands.map(({ key, text, box }) => (text ? <text key={key} class="band-text" x={box.x + box.w / 2} y={box.y + box.h / 2 + 4} text-anchor="middle">{text}</text> : null))}
    </g>
  );
}
