// The process curve on the page: drawing, cursor, zoom, and its twin as a table.
import type { Signal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { clock, number, trimmed } from "../fmt";
import type { Plan, Selected } from "../types";
import { words } from "../words";
import { CurveTable } from "./CurveTable";
import { Drawing } from "./Drawing";
import { Readout } from "./Readout";
import { makeMeasure } from "./measure";
import { marksOf, scene, type StepMark } from "./scene";
import "./curve.css";

const w = words.curve;
export const PRINT_WIDTH = 718; // A4 less its margins, in CSS px

interface Props {
  plan: Plan;
  selected: Signal<Selected>;
  select: (bath: number, step: number) => void;
  goTo: (bath: number, step: number) => void;
}

export function ProcessCurve({ plan, selected, select, goTo }: Props): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const width = useWidth(host);
  const fonts = useFonts();
  const printing = usePrinting();
  const [zoom, setZoom] = useState(0); // bath number; 0: the whole lot
  const [asTable, setAsTable] = useState(false);
  const measure = useMemo(makeMeasure, [fonts]);
  const marks = useMemo(() => marksOf(plan), [plan]);
  const bath = printing ? undefined : plan.baths.find((b) => b.number === zoom);
  const end = Math.max(1, marks[marks.length - 1]?.to ?? 1, plan.headline.total_min?.value ?? 0);
  const pad = bath ? Math.max(1, bath.minutes.value * 0.02) : 0;
  const from = bath ? bath.start_min.value - pad : 0;
  const to = bath ? bath.end_min.value + pad : end;
  const wide = printing ? PRINT_WIDTH : width;
  const drawn = useMemo(() => (wide > 0 ? scene(plan, { width: wide, from, to, measure }) : null), [plan, wide, from, to, measure]);
  const at = selected.value;
  const cursor = at ? marks.find((m) => m.bath.number === at.bath && m.number === at.step) : undefined;

  const choose = (mark: StepMark | undefined): void => {
    if (!mark) return;
    if (bath && mark.bath !== bath) setZoom(mark.bath.number);
    select(mark.bath.number, mark.number);
  };
  const walk = (by: number): void => {
    const [firstShown] = bath ? marks.filter((m) => m.bath === bath) : marks;
    choose(cursor ? marks[Math.min(marks.length - 1, Math.max(0, cursor.index + by))] : firstShown);
  };

  return (
    <section class="curve" aria-labelledby="curve-title">
      <div class="curve-head">
        <h2 id="curve-title">{w.title}</h2>
        <Zoom plan={plan} zoom={zoom} setZoom={setZoom} />
        <button type="button" class="button" aria-pressed={asTable} onClick={() => setAsTable(!asTable)}>{w.table}</button>
      </div>
      <div class={asTable ? "curve-figure is-hidden" : "curve-figure"} ref={host}>
        {drawn ? (
          <Plot drawn={drawn} cursor={cursor} choose={choose} walk={walk} goTo={goTo} marks={marks}
            label={w.alt(plan.lot.lot_id, plan.baths.length, clock(end))} swatch={plan.lot.shade.swatch} />
        ) : null}
      </div>
      {asTable ? <CurveTable plan={plan} /> : <Readout mark={cursor} walk={walk} last={marks.length - 1} goTo={goTo} />}
    </section>
  );
}

interface PlotProps {
  drawn: NonNullable<ReturnType<typeof scene>>;
  cursor: StepMark | undefined;
  marks: StepMark[];
  choose: (mark: StepMark | undefined) => void;
  walk: (by: number) => void;
  goTo: (bath: number, step: number) => void;
  label: string;
  swatch: string;
}

function Plot({ drawn, cursor, marks, choose, walk, goTo, label, swatch }: PlotProps): JSX.Element {
  // The same vnode as long as the scene is the same: moving the cursor redraws only the cursor.
  const picture = useMemo(() => <Drawing scene={drawn} swatch={swatch} />, [drawn, swatch]);
  const at = (event: MouseEvent): StepMark | undefined => {
    const svg = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const { x } = drawn;
    const px = ((event.clientX - svg.left) / svg.width) * drawn.width;
    const t = x.from + ((px - drawn.plot.x) / drawn.plot.w) * (x.to - x.from);
    const there = marks.filter((m) => t >= m.from && t < m.to);
    // Where a dose runs beside another step, its wedge in the dose lane is its own target.
    const py = ((event.clientY - svg.top) / svg.height) * drawn.height;
    const onDose = py >= drawn.dose.y && py <= drawn.dose.y + drawn.dose.h;
    return there.find((m) => (m.step.kind === "dose") === onDose) ?? there[there.length - 1];
  };
  // The first tap reads a step here; a second one on the same step goes to it in the tables.
  const tap = (event: MouseEvent): void => {
    const mark = at(event);
    if (mark && mark === cursor) goTo(mark.bath.number, mark.number);
    else choose(mark);
  };
  const onKey = (event: KeyboardEvent): void => {
    const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, Home: -Infinity, End: Infinity }[event.key];
    if (by !== undefined) {
      event.preventDefault();
      walk(Number.isFinite(by) ? by : by < 0 ? -marks.length : marks.length);
    } else if (event.key === "Enter" && cursor) goTo(cursor.bath.number, cursor.number);
  };
  return (
    <div class="plot">
      <svg class="plot-svg" viewBox={`0 0 ${drawn.width} ${drawn.height}`} width={drawn.width} height={drawn.height} role="img" aria-label={label}>
        {picture}
        {cursor ? <Cursor drawn={drawn} mark={cursor} /> : null}
      </svg>
      <div class="plot-hit" role="slider" tabIndex={0} aria-label={w.slider} aria-valuemin={1} aria-valuemax={marks.length}
        aria-valuenow={(cursor?.index ?? 0) + 1} aria-valuetext={cursor ? sentence(cursor) : w.hint}
        onKeyDown={onKey} onClick={tap} />
    </div>
  );
}

function Cursor({ drawn, mark }: { drawn: PlotProps["drawn"]; mark: StepMark }): JSX.Element {
  const x0 = Math.max(drawn.plot.x, drawn.x(mark.from));
  const x1 = Math.min(drawn.plot.x + drawn.plot.w, drawn.x(mark.to));
  return (
    <g class="cursor" aria-hidden="true">
      <path d={`M${x0} 0H${Math.max(x0 + 2, x1)}V${drawn.plot.h}H${x0}Z`} />
      <circle cx={x1} cy={drawn.y(mark.step.temp_end_c.value)} r="5" />
    </g>
  );
}

export function sentence(mark: StepMark): string {
  const { step } = mark;
  const t0 = trimmed(step.temp_start_c.value, 0);
  const t1 = trimmed(step.temp_end_c.value, 0);
  const parts = [
    `${mark.bath.number}.${mark.number} ${step.words}`, `${clock(mark.from)}–${clock(mark.to)}`,
    t0 === t1 ? `${t1} °C` : `${t0} ${words.plan.to} ${t1} °C`, `${number(step.liquor_end_l)} L`,
  ];
  return parts.join(", ");
}

export function Zoom({ plan, zoom, setZoom }: { plan: Plan; zoom: number; setZoom: (bath: number) => void }): JSX.Element {
  const last = plan.baths.length;
  return (
    <div class="zoom">
      <Arrow left word={w.previousBath} disabled={zoom <= 1} onClick={() => setZoom(zoom - 1)} />
      <label>
        <span class="visually-hidden">{w.zoom}</span>
        <select class="select" value={String(zoom)} onChange={(event) => setZoom(Number(event.currentTarget.value))}>
          <option value="0">{w.whole}</option>
          {plan.baths.map((b) => <option key={b.number} value={String(b.number)}>{`${b.number} ${b.name}`}</option>)}
        </select>
      </label>
      <Arrow word={w.nextBath} disabled={zoom >= last} onClick={() => setZoom(zoom + 1)} />
      <button type="button" class="button" disabled={zoom === 0} onClick={() => setZoom(0)}>{w.whole}</button>
    </div>
  );
}

export function Arrow({ left, word, disabled, onClick }: { left?: boolean; word: string; disabled: boolean; onClick: () => void }): JSX.Element {
  return (
    <button type="button" class="button button-icon" aria-label={word} disabled={disabled} onClick={onClick}>
      <svg viewBox="0 0 12 12" width="14" height="14" aria-hidden="true"><path class="arrow" d={left ? "M8 1 3 6l5 5" : "m4 1 5 5-5 5"} /></svg>
    </button>
  );
}

export function useWidth(host: { current: HTMLElement | null }): number {
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = host.current;
    if (!element) return undefined;
    const note = (): void => {
      if (element.clientWidth > 0) setWidth(element.clientWidth);
    };
    note();
    const watcher = new ResizeObserver(note);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return width;
}

/** Labels are measured anew when the typeface has arrived. */
export function useFonts(): boolean {
  const [ready, setReady] = useState(false);
  useEffect(() => {
    document.fonts.ready.then(() => setReady(true), () => undefined);
  }, []);
  return ready;
}

export function usePrinting(): boolean {
  const [printing, setPrinting] = useState(false);
  useEffect(() => {
    const media = matchMedia("print");
    const note = (): void => setPrinting(media.matches);
    media.addEventListener("change", note);
    return () => media.removeEventListener("change", note);
  }, []);
  return printing;
}
