// The programme and what the dyes do in it, on one time axis: two pictures, the map of the rope
// between them, and one cursor through all three.
import type { ComponentChildren, JSX } from "preact";
import { useMemo } from "preact/hooks";
import { Labels, rect } from "../charts/Drawing";
import { Arrow } from "../charts/ProcessCurve";
import { clock, number, trimmed } from "../fmt";
import { words } from "../words";
import { stepAt } from "./changes";
import { runsOf, valueAt, type DyeScene, type MarkShape, type Picture } from "./scene";
import type { DyeStep, Simulated } from "./types";
import { w } from "./words";

const STRIDE_MIN = 5;
const SHAPES: Record<MarkShape, string> = {
  circle: "M-4.5 0a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0z", square: "M-4.2-4.2h8.4v8.4h-8.4z", triangle: "M0-5.4 5 3.8H-5z", diamond: "M0-5.8 5.8 0 0 5.8-5.8 0z",
  cross: "M-1.8-5h3.6v3.2H5v3.6H1.8V5h-3.6V1.8H-5v-3.6h3.2z",
};

export function Mark({ shape, x, y, colour }: { shape: MarkShape; x: number; y: number; colour: string }): JSX.Element {
  return <path class="dye-mark" d={SHAPES[shape]} transform={`translate(${x.toFixed(1)} ${y.toFixed(1)})`} fill={colour} />;
}

export function DyeKey({ a, scene }: { a: Simulated; scene: DyeScene }): JSX.Element {
  const fixes = scene.dyes.some((dye) => dye.fixed);
  return (
    <ul class="dye-key">
      {scene.dyes.map((dye, i) => (
        <li key={dye.dye_id}>
          <svg viewBox="0 0 44 16" width="44" height="16" aria-hidden="true"><path class="dye-case" d="M0 8h44" /><path class="dye-line" d="M0 8h44" stroke={dye.colour} /><Mark shape={dye.mark} x={22} y={8} colour={dye.colour} /></svg>
          <strong>{dye.dye_id}</strong> {a.dyes[i]?.name}
        </li>
      ))}
      {fixes ? <li><svg viewBox="0 0 44 16" width="44" height="16" aria-hidden="true"><path class="dye-sample" d="M0 8h44" /></svg>{w.chart.key.on}</li> : null}
      {fixes ? <li><svg viewBox="0 0 44 16" width="44" height="16" aria-hidden="true"><path class="dye-sample is-fixed" d="M0 8h44" /></svg>{w.chart.key.fixed}</li> : null}
      {scene.planned ? <li><svg viewBox="0 0 44 16" width="44" height="16" aria-hidden="true"><path class="line-planned" d="M0 8h44" /></svg>{w.chart.key.planned}</li> : null}
    </ul>
  );
}

interface Props {
  a: Simulated;
  scene: DyeScene;
  minute: number | null;
  pick: (t: number) => void;
  walk: (by: number) => void;
}

const KEYS: Record<string, number> = {
  ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 15, PageDown: -15, Home: -1e6, End: 1e6,
};

/** What is drawn can be tapped: the minute there is read, its step chosen. */
export function Tappable({ scene, pick, children }: { scene: DyeScene; pick: (t: number) => void; children: ComponentChildren }): JSX.Element {
  const point = (event: PointerEvent): void => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const px = ((event.clientX - box.left) / box.width) * scene.width;
    const { x } = scene;
    pick(x.from + ((px - scene.plot.x) / scene.plot.w) * (x.to - x.from));
  };
  return <div class="plot plot-scrub" onPointerDown={point} onPointerMove={(event) => { if (event.buttons === 1) point(event); }}>{children}</div>;
}

export function Upper({ a, scene, minute, pick, walk, selected }: Props & { selected: number | null }): JSX.Element {
  const picture = useMemo(() => <UpperPicture scene={scene} selected={selected} swatch={a.lot.shade.swatch} />, [scene, selected]);
  const onKey = (event: KeyboardEvent): void => {
    const by = KEYS[event.key];
    if (by === undefined) return;
    event.preventDefault();
    walk(by);
  };
  const { upper, x } = scene;
  return (
    <Tappable scene={scene} pick={pick}>
      <svg class="plot-svg dye-upper" viewBox={`0 0 ${scene.width} ${upper.height}`} width={scene.width} height={upper.height} role="img" aria-label={w.chart.alt(a.lot.lot_id, clock(a.programme.minutes))}>
        {picture}
        {minute === null ? null : <CursorLine x={x(minute)} picture={upper} />}
      </svg>
      <div class="plot-hit dye-slider" role="slider" tabIndex={0} aria-label={w.chart.slider} aria-valuemin={0} aria-valuemax={Math.round(a.programme.minutes)}
        aria-valuenow={minute ?? 0} aria-valuetext={minute === null ? w.chart.hint : sentence(a, minute)} onKeyDown={onKey} />
    </Tappable>
  );
}

export function Lower({ scene, minute, pick }: { scene: DyeScene; minute: number | null; pick: (t: number) => void }): JSX.Element {
  const picture = useMemo(() => <LowerPicture scene={scene} />, [scene]);
  const { lower, x } = scene;
  return (
    <Tappable scene={scene} pick={pick}>
      <svg class="plot-svg dye-lower" viewBox={`0 0 ${scene.width} ${lower.height}`} width={scene.width} height={lower.height} aria-hidden="true">
        {picture}
        {minute === null ? null : <CursorLine x={x(minute)} picture={lower} />}
      </svg>
    </Tappable>
  );
}

function CursorLine({ x, picture }: { x: number; picture: Picture }): JSX.Element {
  return <g class="cursor" aria-hidden="true"><path class="cursor-line" d={`M${x.toFixed(1)} 0V${picture.axis}`} /></g>;
}

function Names({ scene, picture }: { scene: DyeScene; picture: Picture }): JSX.Element {
  const { x } = scene.plot;
  return (
    <>
      {picture.names.map(({ key, word, unit, y, inside }) => (inside
        ? <text key={key} class="lane lane-inside" x={x + 5} y={y}><tspan class="lane-word">{word}</tspan>, {unit}</text>
        : <text key={key} class="lane" x={x - 8} y={y} text-anchor="end">{word}{unit ? <tspan class="lane-unit" x={x - 8} dy="13">{unit}</tspan> : null}</text>))}
    </>
  );
}

function Axis({ scene, picture }: { scene: DyeScene; picture: Picture }): JSX.Element {
  return <>{scene.major.map((t) => <text key={t.text} class="tick" x={t.x} y={picture.axis + 16} text-anchor="middle">{t.text}</text>)}</>;
}

function UpperPicture({ scene, selected, swatch }: { scene: DyeScene; selected: number | null; swatch: string }): JSX.Element {
  const { plot, temp, fibre, strike, upper } = scene;
  const across = (y: number): string => `M${plot.x} ${y.toFixed(1)}h${plot.w}`;
  const inBox = (box: { y: number; h: number }) => (x: number): string => `M${x.toFixed(1)} ${box.y}v${box.h}`;
  const chosen = scene.steps.find((one) => one.step.step === selected);
  return (
    <g>
      <clipPath id="dye-clip"><path d={rect({ ...plot, h: upper.axis })} /></clipPath>
      <clipPath id="dye-over"><path d={rect(strike.clip)} /></clipPath>
      <pattern id="dye-hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch-ground" d="M0 0h6v6H0z" /><path class="hatch-line" d="M0 0v6" /></pattern>
      <path class="sheet" d={rect(temp) + rect(fibre) + rect(strike.box)} />
      <path class="grid-minor" d={[temp, fibre, strike.box].map((box) => scene.minor.map(inBox(box)).join("")).join("")} />
      <path class="grid" d={[temp, fibre, strike.box].map((box) => scene.major.map((t) => inBox(box)(t.x)).join("")).join("") + scene.degrees.map((d) => across(d.y)).join("") + scene.percents.map((p) => across(p.y)).join("")} />
      {chosen ? <path class="step-chosen" d={rect({ ...chosen.box, y: temp.y, h: upper.axis - temp.y })} /> : null}
      {[...scene.degrees, ...scene.percents.filter((p) => p.text !== "25" && p.text !== "75"), ...strike.ticks].map((t) => <text key={`${t.text}${t.y}`} class="tick" x={plot.x - 8} y={t.y + 4} text-anchor="end">{t.text}</text>)}
      <g class="step-band">
        <path class="band-a" d={scene.steps.filter((one) => !one.odd).map((one) => rect(one.box)).join("")} />
        <path class="band-b" d={scene.steps.filter((one) => one.odd).map((one) => rect(one.box)).join("")} />
        {chosen ? <path class="step-mark" d={rect(chosen.box)} /> : null}
        {scene.steps.map(({ box, step, text }) => (text ? <text key={step.step} class={step === chosen?.step ? "band-text is-chosen" : "band-text"} x={box.x + box.w / 2} y={box.y + box.h / 2 + 4} text-anchor="middle">{text}</text> : null))}
        <path class="beside" d={scene.beside.map(rect).join("")} />
      </g>
      <g clip-path="url(#dye-clip)">
        <path class="bounds" d={scene.bounds.map((x) => `M${x.toFixed(1)} 0V${upper.axis}`).join("")} />
        {scene.end === null ? null : <path class="line-planned" d={`M${scene.end.toFixed(1)} ${temp.y}V${upper.axis}`} />}
        <path class="wedge wedge-plain" d={scene.wedges.filter((one) => !one.dye).map((one) => one.path).join("")} />
        <path class="wedge" fill={swatch} d={scene.wedges.filter((one) => one.dye).map((one) => one.path).join("")} />
        <path class="line-planned" d={scene.planned} />
        <path class="line-plan" d={scene.line} />
        {scene.dyes.map((dye) => <path key={dye.dye_id} class="dye-case" d={dye.on} />)}
        {scene.dyes.map((dye) => <path key={dye.dye_id} class="dye-case is-fixed" d={dye.fixed} />)}
        {scene.dyes.map((dye) => <path key={dye.dye_id} class="dye-line" d={dye.on} stroke={dye.colour} />)}
        {scene.dyes.map((dye) => <path key={dye.dye_id} class="dye-line is-fixed" d={dye.fixed} stroke={dye.colour} />)}
        <path class="strike-area" d={strike.area} />
        <g clip-path="url(#dye-over)"><path class="strike-over" d={strike.area} /></g>
      </g>
      {scene.dyes.flatMap((dye) => [...dye.marks, ...dye.fixedMarks].map(([x, y]) => <Mark key={`${dye.dye_id}${x}${y}`} shape={dye.mark} x={x} y={y} colour={dye.colour} />))}
      {scene.ends.map((end) => (
        <g key={`${end.dye_id}${end.at}`}>
          <path class="end-lead" d={`M${(end.from + 2).toFixed(1)} ${end.at.toFixed(1)}L${end.x - 1} ${end.y.toFixed(1)}`} />
          <Mark shape={end.mark} x={end.x + 5} y={end.y} colour={scene.dyes.find((dye) => dye.dye_id === end.dye_id)?.colour ?? "none"} />
          <text class={end.strong ? "end-label is-strong" : "end-label"} x={end.x + 13} y={end.y + 4}>{end.text}</text>
        </g>
      ))}
      <path class="limit-line" d={across(strike.limit)} />
      <text class="limit-word" x={plot.x + plot.w + 8} y={strike.limit + 4}>{w.chart.limit}</text>
      <path class="diamond" d={scene.checks.map((c) => `M${c.x.toFixed(1)} ${c.y - 7}l7 7-7 7-7-7z`).join("")} />
      <Labels labels={scene.labels} />
      <Names scene={scene} picture={upper} />
      <Axis scene={scene} picture={upper} />
    </g>
  );
}

function LowerPicture({ scene }: { scene: DyeScene }): JSX.Element {
  const { plot, even, liquor, lower } = scene;
  const across = (y: number): string => `M${plot.x} ${y.toFixed(1)}h${plot.w}`;
  const inBox = (box: { y: number; h: number }) => (x: number): string => `M${x.toFixed(1)} ${box.y}v${box.h}`;
  return (
    <g>
      <clipPath id="dye-clip-lower"><path d={rect({ ...plot, y: 0, h: lower.axis })} /></clipPath>
      <path class="sheet" d={rect(even.box) + rect(liquor)} />
      <path class="grid-minor" d={[even.box, liquor].map((box) => scene.minor.map(inBox(box)).join("")).join("")} />
      <path class="grid" d={[even.box, liquor].map((box) => scene.major.map((t) => inBox(box)(t.x)).join("")).join("") + [...even.ticks, ...scene.liquorTicks].map((t) => across(t.y)).join("")} />
      {[...even.ticks, ...scene.liquorTicks].map((t) => <text key={`${t.text}${t.y}`} class="tick" x={plot.x - 8} y={t.y + 4} text-anchor="end">{t.text}</text>)}
      <path class="lane-base" d={scene.lanes.map((lane) => `M${plot.x} ${lane.box.y + lane.box.h}h${plot.w}`).join("")} />
      <g clip-path="url(#dye-clip-lower)">
        <path class="bounds" d={scene.bounds.map((x) => `M${x.toFixed(1)} 0V${lower.axis}`).join("")} />
        <path class="even-line" d={even.line} />
        {scene.dyes.map((dye) => <path key={dye.dye_id} class="dye-case is-thin" d={dye.liquor} />)}
        {scene.dyes.map((dye) => <path key={dye.dye_id} class="dye-line is-thin" d={dye.liquor} stroke={dye.colour} />)}
        {scene.lanes.map((lane) => <path key={lane.key} class={lane.line ? "lane-line" : "content"} d={lane.area} />)}
      </g>
      {scene.dyes.flatMap((dye) => dye.liquorMarks.map(([x, y]) => <Mark key={`${dye.dye_id}${x}`} shape={dye.mark} x={x} y={y} colour={dye.colour} />))}
      <path class="limit-line" d={across(even.limit)} />
      <text class="limit-word" x={plot.x + plot.w + 8} y={even.limit + 4}>{w.chart.limit}</text>
      <Labels labels={scene.lowerLabels} />
      <Names scene={scene} picture={lower} />
      <Axis scene={scene} picture={lower} />
    </g>
  );
}

/* -- a minute read -- */

interface Reading {
  key: string;
  name: string;
  value: string;
  unit: string;
}
function readings(a: Simulated, t: number | null): Reading[] {
  const runs = runsOf(a);
  const { readout } = w.chart;
  const one = (key: string, name: string, run: [number, number][], decimals: number, unit: string): Reading => {
    const v = t === null ? null : valueAt(run, t);
    return { key, name, value: v === null ? words.none : trimmed(v, decimals), unit: v === null ? "" : unit };
  };
  return [
    one("temp", readout.temp, runs.temp, 0, "°C"),
    ...a.dyes.map((dye, i) => one(dye.dye_id, dye.dye_id, runs.dyes[i]?.on ?? [], 1, "%")),
    one("strike", readout.strike, runs.strike, 2, "%/contact"), one("spread", readout.spread, runs.spread, 1, "%"), one("de", readout.de, runs.de, 2, "ΔE"),
    one("ph", readout.ph, runs.ph, 1, ""), one("salt", readout.salt, runs.salt, 1, "g/L"), one("alkali", readout.alkali, runs.alkali, 1, "g/L"),
  ];
}
function sentence(a: Simulated, t: number): string {
  const step = stepAt(a.programme, t);
  return [clock(t), step ? `${step.step} ${step.words}` : "", ...readings(a, t).map((r) => `${r.name} ${r.value} ${r.unit}`.trim())].filter(Boolean).join(", ");
}

/** Places stand before a minute is chosen, so that nothing moves. */
export function Readout({ a, minute, walk }: Pick<Props, "a" | "minute" | "walk">): JSX.Element {
  const step = minute === null ? undefined : stepAt(a.programme, minute);
  return (
    <div class="bath-readout dye-readout no-print">
      <div class="bath-walk">
        <Arrow left word={w.chart.previous} disabled={minute === null} onClick={() => walk(-STRIDE_MIN)} />
        <Arrow word={w.chart.next} disabled={false} onClick={() => walk(STRIDE_MIN)} />
      </div>
      <p class="bath-minute"><strong>{minute === null ? "–" : clock(minute)}</strong><span>{step ? `${step.step} ${step.words}` : w.chart.hint}</span></p>
      <dl class="bath-values">
        {readings(a, minute).map((r) => <div key={r.key}><dt>{r.name}</dt><dd>{r.value}{r.unit ? <small> {r.unit}</small> : null}</dd></div>)}
      </dl>
    </div>
  );
}

/** The same as figures: at the end of each step. */
export function FiguresTable({ a }: { a: Simulated }): JSX.Element {
  const c = w.chart.columns;
  const runs = runsOf(a);
  const fixes = a.dyes.some((dye) => dye.fixation_pct !== null);
  const cell = (run: [number, number][], t: number, decimals: number): string => {
    const v = valueAt(run, t);
    return v === null ? words.none : number(v, decimals);
  };
  const rows = [...a.programme.steps].sort((p, q) => p.end_min - q.end_min);
  return (
    <div class="twin" tabIndex={0} role="region" aria-label={w.chart.table}>
      <table>
        <thead>
          <tr>
            <th scope="col">{c.step}</th><th scope="col" class="right">{c.at}</th><th scope="col" class="right">{c.temp}</th><th scope="col" class="right">{c.ph}</th>
            <th scope="col" class="right">{c.salt}, {c.gL}</th><th scope="col" class="right">{c.alkali}, {c.gL}</th>
            {a.dyes.map((dye) => <th key={dye.dye_id} scope="col" class="right">{dye.dye_id} {c.on}, {c.pct}</th>)}
            {fixes ? a.dyes.map((dye) => <th key={dye.dye_id} scope="col" class="right">{dye.dye_id} {c.fixed}, {c.pct}</th>) : null}
            <th scope="col" class="right">{c.strike}, {c.contact}</th><th scope="col" class="right">{c.spread}, {c.pct}</th><th scope="col" class="right">{c.de}, {c.deUnit}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((step: DyeStep) => (
            <tr key={step.step}>
              <th scope="row">{step.step} {step.words}</th><td class="right">{clock(step.end_min)}</td><td class="right">{cell(runs.temp, step.end_min, 0)}</td><td class="right">{cell(runs.ph, step.end_min, 1)}</td>
              <td class="right">{cell(runs.salt, step.end_min, 1)}</td><td class="right">{cell(runs.alkali, step.end_min, 1)}</td>
              {runs.dyes.map((dye, i) => <td key={i} class="right">{cell(dye.on, step.end_min, 1)}</td>)}
              {fixes ? runs.dyes.map((dye, i) => <td key={i} class="right">{cell(dye.fixed, step.end_min, 1)}</td>) : null}
              <td class="right">{cell(runs.strike, step.end_min, 2)}</td><td class="right">{cell(runs.spread, step.end_min, 1)}</td><td class="right">{cell(runs.de, step.end_min, 2)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
