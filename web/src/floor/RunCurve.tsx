// The curve of a running lot: plan, run so far, now, and the expected end. One large key: it turns
// between the whole lot and the bath the lot is in.
import type { JSX } from "preact";
import { useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { useFonts } from "../charts/ProcessCurve";
import { makeMeasure } from "../charts/measure";
import { linear, ticks, timeStep, type Scale } from "../charts/scale";
import { wallClock } from "../fmt";
import { may } from "./HoldKey";
import { trackOf, windowOf, type Point, type Track } from "./track";
import type { BatchDoc } from "./types";
import { w } from "./words";

const MIN_MS = 60_000;
const LEFT = 74;
const TEXT = 18;

interface Props {
  doc: BatchDoc;
  nowMs: number;
  bath: number;
}

export function RunCurve({ doc, nowMs, bath }: Props): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const { width, high } = useSize(host);
  const fonts = useFonts();
  const measure = useMemo(makeMeasure, [fonts]);
  const [near, setNear] = useState(false);
  // Drawn anew every ten seconds: the line moves less than a pixel meanwhile.
  const stamp = Math.floor(nowMs / 10_000) * 10_000;
  const track = useMemo(() => trackOf(doc, Math.max(stamp, doc.batch.begun_utc_ms)), [doc, stamp]);
  const zero = doc.batch.begun_utc_ms || nowMs;
  const clockAt = (t: number): string => wallClock(new Date(zero + t * MIN_MS));
  const label = `${w.curve.alt(doc.batch.lot_id, clockAt(track.now), clockAt(track.end))} ${near ? w.curve.showWhole : w.curve.showBath}.`;
  return (
    <section class="run-curve" aria-label={w.curve.title}>
      <button type="button" class="run-curve-key" onClick={() => { if (may()) setNear(!near); }}>
        <span class="visually-hidden">{label}</span>
        <div class="run-curve-key-head">
          <span class="legend legend-plan">{w.curve.planned}</span>
          <span class="legend legend-run">{w.curve.actual}</span>
          <span class="legend legend-forecast">{w.curve.forecast}</span>
          <span class="run-curve-view">{near ? w.curve.bath : w.curve.whole}</span>
        </div>
        <div class="run-curve-host" ref={host}>
          {width > 0 && high > 60 ? <Picture track={track} window={windowOf(track, near ? bath : null)} width={width} high={high} clockAt={clockAt} measure={measure} live={doc.batch.begun_utc_ms > 0} end={new Date(zero + track.end * MIN_MS)} /> : null}
        </div>
      </button>
    </section>
  );
}

/** As much as the words of the step leave. */
function useSize(host: { current: HTMLElement | null }): { width: number; high: number } {
  const [size, setSize] = useState({ width: 0, high: 0 });
  useLayoutEffect(() => {
    const element = host.current;
    if (!element) return undefined;
    const note = (): void => setSize({ width: element.clientWidth, high: element.clientHeight });
    note();
    const watcher = new ResizeObserver(note);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return size;
}

interface PictureProps {
  track: Track;
  window: [number, number];
  width: number;
  high: number;
  clockAt: (t: number) => string;
  measure: (text: string, size: number) => number;
  live: boolean;
  end: Date;
}

function Picture({ track, window: [from, to], width, high, clockAt, measure, live, end }: PictureProps): JSX.Element {
  const bottom = high - 28;
  const lane = 26;
  const plotLow = bottom - lane - 4;
  const x = linear(from, to, LEFT, width - 4);
  const hottest = [...track.plan, ...track.run, ...track.forecast].reduce((most, p) => Math.max(most, p.c), 0);
  const top = hottest > 108 ? 140 : 120;
  const y = linear(0, top, plotLow, 6);
  const step = timeStep(x, 92);
  const degrees = plotLow > 90 ? 40 : 60;
  return (
    <svg viewBox={`0 0 ${width} ${high}`} width={width} height={high} aria-hidden="true">
      <clipPath id="run-clip"><path d={`M${LEFT} 0H${width}V${high}H${LEFT}z`} /></clipPath>
      <path class="sheet" d={`M${LEFT} 6H${width - 4}V${plotLow}H${LEFT}z`} />
      <path class="grid" d={ticks(degrees, top, degrees).map((d) => `M${LEFT} ${y(d)}H${width - 4}`).join("")} />
      {ticks(degrees, top - 1, degrees).map((d) => <text key={d} class="tick" x={LEFT - 8} y={y(d) + 6} text-anchor="end">{d} °C</text>)}
      <Baths track={track} x={x} y={bottom - lane} lane={lane} measure={measure} width={width} />
      {ticks(from, to, step).map((t) => {
        const at = x(t);
        return at - LEFT < 30 || width - at < 34 ? null : <text key={t} class="tick" x={at} y={high - 6} text-anchor="middle">{clockAt(t)}</text>;
      })}
      <g clip-path="url(#run-clip)">
        <path class="run-plan" d={line(track.plan, x, y)} />
        <path class="run-forecast" d={line(track.forecast, x, y)} />
        <path class="run-done" d={line(track.run, x, y)} />
      </g>
      {live ? <NowLine x={x(track.now)} low={bottom} width={width} /> : null}
      <EndFlag at={x(track.end)} planned={x(track.planEnd)} low={plotLow} width={width} text={w.curve.end(end)} measure={measure} inside={track.end <= to} />
    </svg>
  );
}

function NowLine({ x, low, width }: { x: number; low: number; width: number }): JSX.Element {
  return (
    <g class="run-now">
      <path d={`M${x} 2V${low}`} />
      <path class="run-now-head" d={`M${x - 9} 0h18l-9 13z`} />
      <text x={x > width - 70 ? x - 14 : x + 14} y="20" text-anchor={x > width - 70 ? "end" : "start"}>{w.curve.now}</text>
    </g>
  );
}

function EndFlag({ at, planned, low, width, text, measure, inside }: { at: number; planned: number; low: number; width: number; text: string; measure: PictureProps["measure"]; inside: boolean }): JSX.Element | null {
  if (!inside) return null;
  const wide = measure(text, TEXT);
  const left = Math.min(width - 8 - wide, at - wide - 6 < LEFT ? at + 8 : at - wide - 6);
  return (
    <g class="run-end">
      {planned < width ? <path class="run-end-planned" d={`M${planned} 6V${low}`} /> : null}
      <path d={`M${Math.min(at, width - 5)} 6V${low}`} />
      <text x={left} y="44">{text}</text>
    </g>
  );
}

function Baths({ track, x, y, lane, measure, width }: { track: Track; x: Scale; y: number; lane: number; measure: PictureProps["measure"]; width: number }): JSX.Element {
  return (
    <g>
      {track.baths.map((b, i) => {
        const a = Math.max(LEFT, x(b.from));
        const z = Math.min(width - 4, x(b.to));
        if (z <= a) return null;
        const text = [`${b.number} ${b.name}`, String(b.number)].find((t) => measure(t, TEXT) + 10 < z - a);
        return (
          <g key={b.number}>
            <path class={i % 2 ? "band-b" : "band-a"} d={`M${a} ${y}H${z}v${lane}H${a}z`} />
            {text ? <text class="bath-name" x={(a + z) / 2} y={y + 19} text-anchor="middle">{text}</text> : null}
          </g>
        );
      })}
    </g>
  );
}

function line(points: readonly Point[], x: Scale, y: Scale): string {
  return points.map((p, i) => `${i ? "L" : "M"}${x(p.t).toFixed(1)} ${y(p.c).toFixed(1)}`).join("");
}
