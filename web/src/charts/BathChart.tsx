// pH over the lot's time, and below it what makes it: contents, doses and checks on one time axis.
import type { JSX } from "preact";
import { useMemo, useRef, useState } from "preact/hooks";
import { clock, number } from "../fmt";
import type { BathTime, Plan } from "../types";
import { Shape } from "../ui/parts";
import { words } from "../words";
import { Arrow, PRINT_WIDTH, Zoom, useFonts, usePrinting, useWidth } from "./ProcessCurve";
import { Bands, Labels, rect } from "./Drawing";
import { bathScene, lanesIn, said, valueAt, VERDICT_SHAPE, type BathScene } from "./bathScene";
import { makeMeasure } from "./measure";
import "./bath-chart.css";

const w = words.bath;
const STRIDE_MIN = 5;

export function BathChart({ bath, plan }: { bath: BathTime; plan: Plan }): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const width = useWidth(host);
  const fonts = useFonts();
  const printing = usePrinting();
  const [zoom, setZoom] = useState(0);
  const [minute, setMinute] = useState<number | null>(null);
  const measure = useMemo(makeMeasure, [fonts]);
  const one = printing ? undefined : bath.baths.find((b) => b.number === zoom);
  const end = bath.baths.reduce((last, b) => Math.max(last, b.end_min), 1);
  const pad = one ? Math.max(1, (one.end_min - one.start_min) * 0.02) : 0;
  const from = one ? one.start_min - pad : 0;
  const to = one ? one.end_min + pad : end;
  const wide = printing ? PRINT_WIDTH : width;
  const cold = useMemo(() => plan.baths.flatMap((b) => b.steps.flatMap((step): [number, number][] => (step.check?.cooled && step.ph_cold ? [[step.start_min.value, step.ph_cold.value]] : []))), [plan]);
  const drawn = useMemo(() => (wide > 0 ? bathScene(bath, cold, { width: wide, from, to, measure }) : null), [bath, cold, wide, from, to, measure]);
  const lanes = useMemo(() => lanesIn(bath), [bath]);
  const keep = (t: number): number => Math.round(Math.min(Math.max(t, Math.max(0, from)), Math.min(end, to)));
  const walk = (by: number): void => setMinute((now) => keep(now === null && by < 1e5 ? from : (now ?? 0) + by));
  return (
    <section class="bath-chart" aria-labelledby="bath-chart-title">
      <div class="curve-head">
        <h2 id="bath-chart-title">{w.title}</h2>
        <Zoom plan={plan} zoom={zoom} setZoom={(n) => { setZoom(n); setMinute(null); }} />
      </div>
      <Key cold={number(bath.cold_c)} />
      <div class="bath-figure" ref={host}>
        {drawn ? (
          <Plot drawn={drawn} minute={minute} pick={(t) => setMinute(keep(t))} walk={walk} bath={bath} lanes={lanes}
            label={w.alt(bath.lot_id, clock(end), lanes.map((key) => w.lanes[key] ?? key).join(", "))} />
        ) : null}
      </div>
      <Readout bath={bath} lanes={lanes} minute={minute} walk={walk} />
    </section>
  );
}

/** What is drawn, shown as it is drawn. */
function Key({ cold }: { cold: string }): JSX.Element {
  return (
    <ul class="bath-key">
      <li><svg viewBox="0 0 28 14" width="28" height="14" aria-hidden="true"><path class="ph-spread" d="M0 2h28v10H0z" /><path class="line-plan" d="M0 7h28" /></svg>{w.key.line}</li>
      <li><svg viewBox="0 0 14 14" width="14" height="14" aria-hidden="true"><circle class="ph-reading" cx="7" cy="7" r="4.5" /></svg>{w.key.cold(cold)}</li>
      <li><svg viewBox="0 0 14 18" width="14" height="18" aria-hidden="true"><path class="ph-window" d="M3 2h8M7 2v14M3 16h8" /></svg>{w.key.window}</li>
      <li><Shape kind="ok" />{words.verdict.within.toLowerCase()}</li>
      <li><Shape kind="warning" />{words.verdict.outside.toLowerCase()}</li>
    </ul>
  );
}

interface PlotProps {
  drawn: BathScene;
  bath: BathTime;
  lanes: string[];
  minute: number | null;
  pick: (t: number) => void;
  walk: (by: number) => void;
  label: string;
}

const KEYS: Record<string, number> = {
  ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 15, PageDown: -15, Home: -1e6, End: 1e6,
};

function Plot({ drawn, bath, lanes, minute, pick, walk, label }: PlotProps): JSX.Element {
  const picture = useMemo(() => <Picture scene={drawn} />, [drawn]);
  const point = (event: PointerEvent): void => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const px = ((event.clientX - box.left) / box.width) * drawn.width;
    const { x } = drawn;
    pick(x.from + ((px - drawn.plot.x) / drawn.plot.w) * (x.to - x.from));
  };
  const onKey = (event: KeyboardEvent): void => {
    const by = KEYS[event.key];
    if (by === undefined) return;
    event.preventDefault();
    walk(by);
  };
  return (
    <div class="plot">
      <svg class="plot-svg" viewBox={`0 0 ${drawn.width} ${drawn.height}`} width={drawn.width} height={drawn.height} role="img" aria-label={label}>
        {picture}
        {minute === null ? null : <Cursor drawn={drawn} bath={bath} minute={minute} />}
      </svg>
      <div class="plot-hit plot-scrub" role="slider" tabIndex={0} aria-label={w.slider} aria-valuemin={Math.round(drawn.x.from)} aria-valuemax={Math.round(drawn.x.to)}
        aria-valuenow={minute ?? Math.round(drawn.x.from)} aria-valuetext={minute === null ? w.hint : sentence(bath, lanes, minute)}
        onKeyDown={onKey} onPointerDown={point} onPointerMove={(event) => { if (event.buttons === 1) point(event); }} />
    </div>
  );
}

function Cursor({ drawn, bath, minute }: { drawn: BathScene; bath: BathTime; minute: number }): JSX.Element {
  const at = drawn.x(minute);
  const ph = valueAt(bath, "ph", minute);
  return (
    <g class="cursor" aria-hidden="true">
      <path class="cursor-line" d={`M${at} 0V${drawn.plot.h}`} />
      {ph === null ? null : <circle cx={at} cy={drawn.y(ph)} r="5" />}
    </g>
  );
}

function bathAt(bath: BathTime, t: number): BathTime["baths"][number] | undefined {
  return bath.baths.find((b) => t >= b.start_min && t < b.end_min) ?? bath.baths[bath.baths.length - 1];
}

interface Reading {
  key: string;
  name: string;
  value: string;
  unit: string;
}
function readings(bath: BathTime, lanes: string[], t: number | null): Reading[] {
  return ["temp_c", "ph", ...lanes].map((key) => {
    const v = t === null ? null : valueAt(bath, key, t);
    return { key, name: w.lanes[key] ?? key, ...(v === null ? { value: words.none, unit: "" } : said(key, v)) };
  });
}

function sentence(bath: BathTime, lanes: string[], t: number): string {
  const b = bathAt(bath, t);
  return [clock(t), b ? `${b.number} ${b.name}` : "", ...readings(bath, lanes, t).map((r) => `${r.name} ${r.value} ${r.unit}`.trim())].filter(Boolean).join(", ");
}

interface ReadoutProps {
  bath: BathTime;
  lanes: string[];
  minute: number | null;
  walk: (by: number) => void;
}

/** Every value at the minute; its places stand before a minute is chosen, so that nothing moves. */
function Readout({ bath, lanes, minute, walk }: ReadoutProps): JSX.Element {
  const b = minute === null ? undefined : bathAt(bath, minute);
  const low = minute === null ? null : valueAt(bath, "ph_low", minute);
  const high = minute === null ? null : valueAt(bath, "ph_high", minute);
  return (
    <div class="bath-readout no-print">
      <div class="bath-walk">
        <Arrow left word={w.previous} disabled={minute === null} onClick={() => walk(-STRIDE_MIN)} />
        <Arrow word={w.next} disabled={false} onClick={() => walk(STRIDE_MIN)} />
      </div>
      <p class="bath-minute"><strong>{minute === null ? "–" : clock(minute)}</strong><span>{b ? `${b.number} ${b.name}` : w.hint}</span></p>
      <dl class="bath-values">
        {readings(bath, lanes, minute).map((r) => (
          <div key={r.key}>
            <dt>{r.name}</dt>
            <dd>{r.value}{r.unit ? <small> {r.unit}</small> : null}{r.key === "ph" && low !== null && high !== null ? <small> ±{number((high - low) / 2, 2)}</small> : null}</dd>
          </div>
        ))}
      </dl>
    </div>
  );
}

function Picture({ scene }: { scene: BathScene }): JSX.Element {
  const { plot, ph } = scene;
  const inPh = (x: number): string => `M${x.toFixed(1)} ${ph.y}v${ph.h}`;
  return (
    <g>
      <clipPath id="bath-clip"><path d={rect(plot)} /></clipPath>
      <path class="sheet" d={rect(ph)} />
      <path class="zebra" d={scene.baths.filter((b) => b.odd).map((b) => rect({ ...b.box, y: ph.y, h: ph.h })).join("")} />
      <path class="grid-minor" d={scene.minor.map(inPh).join("")} />
      <path class="grid" d={scene.major.map((t) => inPh(t.x)).join("") + scene.phTicks.map((t) => `M${plot.x} ${t.y.toFixed(1)}h${plot.w}`).join("")} />
      <path class="neutral" d={scene.phTicks.filter((t) => t.neutral).map((t) => `M${plot.x} ${t.y.toFixed(1)}h${plot.w}`).join("")} />
      {scene.phTicks.map((t) => <text key={t.text} class="tick" x={plot.x - 8} y={t.y + 4} text-anchor="end">{t.text}</text>)}
      {scene.names.map((name) => (
        <text key={name.key} class="lane" x={plot.x - 8} y={name.y} text-anchor="end">{name.word}{name.unit ? <tspan class="lane-unit" x={plot.x - 8} dy="13">{name.unit}</tspan> : null}</text>
      ))}
      <Bands bands={scene.baths} name="bath-band" />
      <path class="lane-base" d={scene.lanes.map((lane) => `M${plot.x} ${lane.box.y + lane.box.h}h${plot.w}`).join("")} />
      <g clip-path="url(#bath-clip)">
        <path class="bounds" d={scene.bounds.map((x) => `M${x.toFixed(1)} 0V${scene.axis}`).join("")} />
        {scene.lanes.map((lane) => <path key={lane.key} class="content" d={lane.path} />)}
        <path class="dose-bar" d={scene.doses} />
        <path class="ph-spread" d={scene.spread} />
        {scene.windows.map((one) => (
          <path key={one.key} class={one.ok ? "ph-window" : "ph-window ph-window-out"}
            d={`M${one.x.toFixed(1)} ${one.y0.toFixed(1)}V${one.y1.toFixed(1)}${one.openTop ? "" : `M${(one.x - 5).toFixed(1)} ${one.y0.toFixed(1)}h10`}${one.openBottom ? "" : `M${(one.x - 5).toFixed(1)} ${one.y1.toFixed(1)}h10`}`} />
        ))}
        <path class="line-plan" d={scene.line} />
        {scene.readings.map((r) => <circle key={r.x} class="ph-reading" cx={r.x} cy={r.y} r="4.5" />)}
      </g>
      {scene.checks.map((c) => (
        <g key={c.key} transform={`translate(${(c.mark - 8).toFixed(1)} ${scene.checkY - 8}) scale(.8)`}>
          {c.verdict === "unknown" ? <path class="diamond" d="M10 2l8 8-8 8-8-8z" /> : <Shape kind={VERDICT_SHAPE[c.verdict]} />}
        </g>
      ))}
      {scene.major.map((t) => <text key={t.text} class="tick" x={t.x} y={scene.axis + 16} text-anchor="middle">{t.text}</text>)}
      <Labels labels={scene.labels} />
    </g>
  );
}
