// Minutes against what comes nearest to its limit, the strike or the unevenness at the end: the programme
// as it is and shorter ones, each up to its worst case.
import type { JSX } from "preact";
import { useMemo, useRef } from "preact/hooks";
import { makeMeasure } from "../charts/measure";
import { Placer, type Candidate, type Segment } from "../charts/labels";
import { PRINT_WIDTH, useFonts, usePrinting, useWidth } from "../charts/ProcessCurve";
import { linear, ticks, type Scale } from "../charts/scale";
import { number, trimmed } from "../fmt";
import type { Effect, Shortened } from "./types";
import { w } from "./words";

const t = w.shorten;
const HIGH = 260;
const BOX = { left: 56, top: 12, right: 20, bottom: 44 };
/** Unevenness falls a hundredfold while the minutes double: on a scale of ratios all of it is seen. */
const LEAST = 0.001;

/** What is drawn over the minutes. */
export interface Measure {
  of: (e: Effect) => number;
  limit: number;
  words: { title: string; alt: (points: number) => string; axis: string };
}

/** Of the two that tell how level it will be, the one that comes nearest to its limit: the other says little. */
export function measureOf(a: Shortened): Measure {
  const strike: Measure = { of: (e) => e.strike_pct_per_contact, limit: a.limits.strike_pct_per_contact, words: t.trade.strike };
  const end: Measure = { of: (e) => e.de_end, limit: a.limits.de, words: t.trade.end };
  const near = (m: Measure): number => Math.max(...[a.base, ...a.points.map((p) => p.effect)].map((e) => m.of(e) / m.limit));
  return near(strike) >= near(end) ? strike : end;
}

interface Spot {
  index: number;
  x: number;
  y: number;
  worst: number;
  kept: boolean;
  minutes: number;
}
interface Scene {
  x: Scale;
  y: Scale;
  wide: number;
  spots: Spot[];
  base: Spot;
  xTicks: number[];
  yTicks: number[];
  limit: number;
}

function stepFor(span: number, most: number): number {
  return [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60].find((s) => span / s <= most) ?? 120;
}

function sceneOf(a: Shortened, by: Measure, width: number): Scene {
  const wide = Math.max(200, Math.min(width, 900));
  const minutes = [a.base, ...a.points].map((p) => p.minutes);
  const pad = Math.max(4, (Math.max(...minutes) - Math.min(...minutes)) * 0.08);
  const x = linear(Math.min(...minutes) - pad, Math.max(...minutes) + pad, BOX.left, wide - BOX.right);
  const effects = [a.base, a.base_worst, ...a.points.flatMap((p) => [p.effect, p.worst])].map((e) => Math.max(LEAST, by.of(e)));
  const low = 10 ** Math.floor(Math.log10(Math.min(by.limit / 4, ...effects)));
  const high = Math.max(by.limit, ...effects) * 1.5;
  const decades = linear(Math.log10(low), Math.log10(high), HIGH - BOX.bottom, BOX.top);
  const y = Object.assign((v: number): number => decades(Math.log10(Math.max(low, v))), { from: low, to: high });
  const spot = (index: number, effect: Effect, worst: Effect, kept: boolean): Spot => ({ index, x: x(effect.minutes), y: y(by.of(effect)), worst: y(by.of(worst)), kept, minutes: effect.minutes });
  const marks = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50].filter((v) => v >= low * 0.999 && v <= high && (high / low < 30 || /^0*\.?0*1/.test(String(v))));
  return {
    x, y, wide, limit: y(by.limit), base: spot(-1, a.base, a.base_worst, a.base_kept),
    spots: a.points.map((p, i) => spot(i, p.effect, p.worst, p.kept)),
    xTicks: ticks(x.from, x.to, stepFor(x.to - x.from, wide / 70)), yTicks: marks,
  };
}

export function TradeOff({ a, chosen, choose }: { a: Shortened; chosen: number | null; choose: (index: number | null) => void }): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const width = useWidth(host);
  const printing = usePrinting();
  const fonts = useFonts();
  const measure = useMemo(makeMeasure, [fonts]);
  const wide = printing ? PRINT_WIDTH : width;
  const by = useMemo(() => measureOf(a), [a]);
  const scene = useMemo(() => (wide > 0 ? sceneOf(a, by, wide) : null), [a, by, wide]);
  const labels = useMemo(() => (scene ? labelsOf(scene, w.limitIs(trimmed(by.limit, 2)), measure) : []), [scene, measure]);
  const pick = (event: PointerEvent): void => {
    if (!scene) return;
    const box = (event.currentTarget as Element).getBoundingClientRect();
    const px = ((event.clientX - box.left) / box.width) * scene.wide;
    const py = ((event.clientY - box.top) / box.height) * HIGH;
    const [near] = [scene.base, ...scene.spots].map((s) => ({ s, far: Math.hypot(s.x - px, s.y - py) })).sort((p, q) => p.far - q.far);
    if (near && near.far < 44) choose(near.s.index < 0 ? null : near.s.index);
  };
  return (
    <div class="trade" ref={host}>
      {scene ? (
        <svg class="plot-svg trade-svg" viewBox={`0 0 ${scene.wide} ${HIGH}`} width={scene.wide} height={HIGH} role="img" aria-label={by.words.alt(a.points.length)} onPointerDown={pick}>
          <path class="sheet" d={`M${BOX.left} ${BOX.top}H${scene.wide - BOX.right}V${HIGH - BOX.bottom}H${BOX.left}z`} />
          <path class="grid" d={scene.yTicks.map((v) => `M${BOX.left} ${scene.y(v).toFixed(1)}H${scene.wide - BOX.right}`).join("") + scene.xTicks.map((v) => `M${scene.x(v).toFixed(1)} ${BOX.top}V${HIGH - BOX.bottom}`).join("")} />
          {scene.yTicks.map((v) => <text key={v} class="tick" x={BOX.left - 8} y={scene.y(v) + 4} text-anchor="end">{trimmed(v, 3)}</text>)}
          {scene.xTicks.map((v) => <text key={v} class="tick" x={scene.x(v)} y={HIGH - BOX.bottom + 17} text-anchor="middle">{number(v)}</text>)}
          <text class="lane" x={(BOX.left + scene.wide - BOX.right) / 2} y={HIGH - 6} text-anchor="middle">{t.axisX}</text>
          <text class="lane" transform={`translate(14 ${(BOX.top + HIGH - BOX.bottom) / 2}) rotate(-90)`} text-anchor="middle">{by.words.axis}</text>
          <path class="limit-line" d={`M${BOX.left} ${scene.limit.toFixed(1)}H${scene.wide - BOX.right}`} />
          {[scene.base, ...scene.spots].map((s) => <Whisker key={s.index} spot={s} />)}
          <path class="trade-line" d={[...scene.spots, scene.base].sort((p, q) => p.minutes - q.minutes).map((s, i) => `${i ? "L" : "M"}${s.x.toFixed(1)} ${s.y.toFixed(1)}`).join("")} />
          {scene.spots.map((s) => <PointMark key={s.index} spot={s} wanted={a.wanted === s.index} chosen={chosen === s.index} />)}
          <path class={chosen === null ? "trade-base is-chosen" : "trade-base"} d={`M${scene.base.x} ${scene.base.y - 9}l9 9-9 9-9-9z`} />
          {labels.map((l) => <text key={l.text} class={l.kind === "limit" ? "limit-word" : "trade-label"} x={l.box.x + l.box.w / 2} y={l.box.y + l.box.h * 0.8} text-anchor="middle">{l.text}</text>)}
        </svg>
      ) : null}
      <Key />
    </div>
  );
}

function labelsOf(scene: Scene, limit: string, measure: ReturnType<typeof makeMeasure>): Placer["labels"] {
  const all = [scene.base, ...scene.spots];
  const walls = all.map((s): Segment => [s.x, s.worst, s.x, s.y]);
  const dots = all.flatMap((s): Segment[] => [[s.x - 8, s.y, s.x + 8, s.y], [s.x, s.y - 8, s.x, s.y + 8]]);
  const area = { x: BOX.left, y: BOX.top, w: scene.wide - BOX.left - BOX.right + 16, h: HIGH - BOX.bottom - BOX.top };
  const placer = new Placer(area, [...walls, ...dots, [BOX.left, scene.limit, scene.wide, scene.limit]], [], measure);
  for (const s of all) {
    const text = number(s.minutes);
    placer.place("point", 12, [{ text, x: s.x, y: s.y + 24, anchor: "middle" }, { text, x: s.x + 14, y: s.y + 4, anchor: "start" }, { text, x: s.x - 14, y: s.y + 4, anchor: "end" }, { text, x: s.x + 12, y: s.y - 10, anchor: "start" }]);
  }
  const [left, right] = [BOX.left + 6, scene.wide - BOX.right - 4];
  const spots = [scene.limit - 5, scene.limit + 15].flatMap((y): Candidate[] => [{ text: limit, x: right, y, anchor: "end" }, { text: limit, x: left, y, anchor: "start" }, { text: limit, x: (left + right) / 2, y, anchor: "middle" }]);
  if (placer.place("limit", 12, spots)) return placer.labels;
  const over = new Placer(area, [], [], measure); // all is full: a limit without its number is none
  over.place("limit", 12, spots);
  return [...placer.labels, ...over.labels];
}

function Whisker({ spot }: { spot: Spot }): JSX.Element {
  const { x, y, worst } = spot;
  return <path class="trade-worst" d={`M${x} ${y}V${worst}m-5 0h10`} />;
}

function PointMark({ spot, wanted, chosen }: { spot: Spot; wanted: boolean; chosen: boolean }): JSX.Element {
  const { x, y, kept } = spot;
  return (
    <g class={chosen ? "trade-point is-chosen" : "trade-point"}>
      {wanted ? <circle class="trade-ring" cx={x} cy={y} r="13" /> : null}
      <circle class={kept ? "trade-kept" : "trade-beyond"} cx={x} cy={y} r="8" />
      {kept ? null : <path class="trade-cross" d={`M${x - 4} ${y - 4}l8 8m0-8-8 8`} />}
    </g>
  );
}

function Key(): JSX.Element {
  const { key } = t;
  const marks: [string, JSX.Element][] = [
    [key.base, <path class="trade-base" d="M15 3l8 8-8 8-8-8z" />],
    [key.kept, <circle class="trade-kept" cx="15" cy="11" r="7" />],
    [key.beyond, <><circle class="trade-beyond" cx="15" cy="11" r="7" /><path class="trade-cross" d="M11.500 7.500l7 7m0-7-7 7" /></>],
    [key.wanted, <><circle class="trade-ring" cx="15" cy="11" r="10" /><circle class="trade-kept" cx="15" cy="11" r="6" /></>],
    [key.worst, <path class="trade-worst" d="M15 20V3m-5 0h10" />],
  ];
  return <ul class="trade-key" aria-hidden="true">{marks.map(([text, mark]) => <li key={text}><svg viewBox="0 0 30 22" width="30" height="22">{mark}</svg>{text}</li>)}</ul>;
}
