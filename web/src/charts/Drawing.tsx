import type { JSX } from "preact";
import { words } from "../words";
import type { Scene, Band } from "./scene";

/** The still part of the picture. Ids are unique: there is one curve on a page. */
export function Drawing({ scene, swatch }: { scene: Scene; swatch: string }): JSX.Element {
  const { plot, temp } = scene;
  const bottom = plot.y + plot.h;
  return (
    <g>
      <clipPath id="curve-clip"><path d={`M${plot.x} 0h${plot.w}v${bottom}h${-plot.w}z`} /></clipPath>
      <path class="sheet" d={`M${plot.x} ${temp.y}h${plot.w}v${temp.h}h${-plot.w}z`} />
      {scene.baths.filter((b) => b.odd).map((b) => <path key={b.key} class="zebra" d={`M${b.box.x} ${temp.y}h${b.box.w}v${temp.h}h${-b.box.w}z`} />)}
      <path class="grid-minor" d={scene.minor.map((x) => `M${x.toFixed(1)} ${temp.y}v${temp.h}`).join("")} />
      <path class="grid" d={scene.major.map((t) => `M${t.x.toFixed(1)} ${temp.y}v${temp.h}`).join("") + scene.degrees.map((d) => `M${plot.x} ${d.y.toFixed(1)}h${plot.w}`).join("")} />
      {scene.degrees.map((d) => <text key={d.text} class="tick" x={plot.x - 8} y={d.y + 4} text-anchor="end">{d.text}</text>)}
      <text class="lane" x={plot.x - 8} y={temp.y - 8} text-anchor="end">{words.curve.lanes.temp}</text>
      {scene.lanes.map((l) => <text key={l.word} class="lane" x={plot.x - 8} y={l.y} text-anchor="end">{l.word}</text>)}
      {scene.stages.map((b) => <StageBand key={b.key} band={b} />)}
      {scene.baths.map((b) => <BandBox key={b.key} band={b} name="bath-band" />)}
      <g clip-path="url(#curve-clip)">
        <path class="level" d={scene.levels} />
        {scene.wedges.map((wedge) => wedge.drop
          ? <path key={`${wedge.key}l`} class="drop" d={`M${wedge.drop[0].toFixed(1)} ${wedge.drop[1].toFixed(1)}V${wedge.drop[3].toFixed(1)}`} /> : null)}
        {scene.wedges.map((wedge) => wedge.dye
          ? <path key={wedge.key} class="wedge" d={wedge.path} fill={swatch} /> : <path key={wedge.key} class="wedge wedge-plain" d={wedge.path} />)}
        <path class="bounds" d={scene.bounds.map((x) => `M${x.toFixed(1)} ${temp.y - 24}V${bottom}`).join("")} />
        <path class="line-idle" d={scene.idle} />
        <path class="line-plan" d={scene.line} />
      </g>
      {scene.steps.filter((b) => !b.heavy).map((b) => <BandBox key={b.key} band={b} name="step-band" />)}
      {scene.steps.filter((b) => b.heavy).map((b) => <path key={b.key} class="beside" d={`M${b.box.x.toFixed(1)} ${b.box.y}h${b.box.w.toFixed(1)}v${b.box.h}h${(-b.box.w).toFixed(1)}z`} />)}
      {scene.checks.map((c) => <path key={c.key} class="diamond" d={`M${c.x} ${c.y - 7}l7 7-7 7-7-7z`} />)}
      {scene.major.map((t) => <text key={t.text} class="tick" x={t.x} y={bottom + 16} text-anchor="middle">{t.text}</text>)}
      <g class="labels">
        {scene.labels.map((l) => (
          <text key={`${l.kind}${l.box.x}${l.box.y}`} class={`label label-${l.kind}`} x={l.box.x + (l.anchor === "start" ? 0 : l.anchor === "end" ? l.box.w : l.box.w / 2)}
            y={l.box.y + l.box.h * 0.8} text-anchor={l.anchor}>{l.text}</text>
        ))}
      </g>
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

function BandBox({ band, name }: { band: Band; name: string }): JSX.Element {
  const { x, y, w, h } = band.box;
  return (
    <g class={name}>
      <path class={band.odd ? "band-b" : "band-a"} d={`M${x.toFixed(1)} ${y}h${w.toFixed(1)}v${h}h${(-w).toFixed(1)}z`} />
      {band.text ? <text class="band-text" x={x + w / 2} y={y + h / 2 + 4} text-anchor="middle">{band.text}</text> : null}
    </g>
  );
}
