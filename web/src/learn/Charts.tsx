// Control charts: points over time, centre and limits, and a shape of its own for every rule that
// a point completes.
import type { JSX } from "preact";
import { useMemo } from "preact/hooks";
import { linear, type Scale } from "../charts/scale";
import { number, trimmed } from "../fmt";
import { useWidth } from "../laboratory/useWidth";
import { Shape } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import type { Chart, ChartPoint, Rule, Taught } from "./types";
import { w } from "./words";

const HEIGHT = 190;
const PAD = { left: 52, right: 14, top: 12, bottom: 26 };
const LABEL_EVERY_PX = 110;
const LABEL_PX = 76;

/** A rule is told by its shape and by its words; the first rule of a point gives the shape. */
const MARKS: Record<string, string> = {
  beyond: "M0-6.5 6.5 0 0 6.5-6.5 0z",
  two_of_three: "M0-6.5 6 4.5H-6z",
  four_of_five: "M0 6.5 6-4.5H-6z",
  eight_one_side: "M-5-5H5V5H-5z",
  nine_one_side: "M-5-5H5V5H-5z",
  six_trend: "M-6 5 6-6V5z",
  fourteen_zigzag: "M-6-6 0 0 6-6V6L0 0-6 6z",
  fifteen_close: "M-6.5-2.5H6.5V2.5H-6.5z",
  eight_apart: "M-2.5-6.5H2.5V6.5H-2.5z",
};
const firstOf = (p: ChartPoint): string => p.rules.split(" ")[0] ?? "";

export function Charts({ taught }: { taught: Taught }): JSX.Element {
  return (
    <section class="learn-part" aria-labelledby="learn-charts">
      <h2 id="learn-charts">{w.charts}</h2>
      <p class="section-lead">{w.chartsLead}</p>
      {taught.charts.length ? taught.charts.map((c) => <One key={c.chart} chart={c} points={taught.points.filter((p) => p.chart === c.chart)} rules={taught.rules} />) : <p class="quiet-state">{w.noCharts}</p>}
    </section>
  );
}

function One({ chart, points, rules }: { chart: Chart; points: ChartPoint[]; rules: Rule[] }): JSX.Element {
  const [host, width] = useWidth();
  const out = points.filter((p) => p.rules);
  const percent = chart.kind === "fraction";
  const unit = percent ? "%" : chart.unit === "dE" ? "ΔE" : chart.unit;
  const title = `learn-${chart.chart}`;
  const text = (value: number): string => (percent ? `${number(100 * value, 0)} %` : `${trimmed(value, 2)}${unit === "ΔE" ? "" : ` ${unit}`}`);
  return (
    <figure class="learn-chart" aria-labelledby={title}>
      <figcaption>
        <h3 id={title}>{chart.words}<span class="muted">, {unit}</span></h3>
        <p class="learn-state">
          <Shape kind={chart.state === "out" ? "warning" : chart.state === "steady" ? "ok" : "note"} />
          {chart.state === "out" ? w.state.out(chart.out) : w.state[chart.state]}
          {chart.provisional ? <span class="muted"> {w.provisional(chart.base)}</span> : null}
        </p>
      </figcaption>
      <div ref={host}>{width > 0 ? <Picture chart={chart} points={points} width={width} percent={percent} /> : null}</div>
      <Key points={points} rules={rules} />
      {out.length ? (
        <details class="learn-out">
          <summary>{w.table}</summary>
          <Sheet by={title} head={w.at} late columns={[{ title: w.value }, { title: w.rules, left: true }]}
            rows={out.map((p) => ({ head: p.at, cells: [text(p.value ?? 0), p.rules.split(" ").map((id) => rules.find((r) => r.rule === id)?.words ?? id).join("; ")] }))} />
        </details>
      ) : null}
    </figure>
  );
}

/** Shapes that are in this picture, with their words. */
function Key({ points, rules }: { points: ChartPoint[]; rules: Rule[] }): JSX.Element | null {
  const hit = rules.filter((r) => points.some((p) => firstOf(p) === r.rule));
  const few = points.some((p) => p.few);
  if (!hit.length && !few) return null;
  return (
    <ul class="learn-key">
      {hit.map((r) => <li key={r.rule}><svg viewBox="-12 -8 24 16" width="24" height="16" aria-hidden="true"><path class="learn-mark" d={MARKS[r.rule] ?? ""} /></svg>{r.words}</li>)}
      {few ? <li><svg viewBox="-12 -8 24 16" width="24" height="16" aria-hidden="true"><circle class="learn-point is-few" r="3.4" /></svg>{w.fewKey}</li> : null}
    </ul>
  );
}

interface Drawn {
  x: Scale;
  y: Scale;
  ticks: number[];
}

function drawnOf(chart: Chart, points: ChartPoint[], width: number): Drawn {
  const all = points.flatMap((p) => [p.value, p.lower, p.upper]).filter((v): v is number => v !== null);
  const most = chart.kind === "fraction" ? Math.min(1, Math.max(chart.centre, ...all, 0.05)) : Math.max(chart.centre, ...all, 1e-9) * 1.05;
  const size = 10 ** Math.floor(Math.log10(most / 3));
  const step = size * ([1, 2, 5, 10].find((s) => most / (s * size) <= 5) ?? 10);
  const to = Math.ceil(most / step) * step;
  const ticks = Array.from({ length: Math.round(to / step) + 1 }, (_, i) => i * step);
  return {
    x: linear(0, Math.max(1, points.length - 1), PAD.left + 8, width - PAD.right - 8),
    y: linear(0, to, HEIGHT - PAD.bottom, PAD.top),
    ticks,
  };
}

/** Steps where the limit changes from point to point; gaps where there is none. */
function limitPath(points: ChartPoint[], of: (p: ChartPoint) => number | null, { x, y }: Drawn, right: number): string {
  const half = (x(1) - x(0)) / 2;
  return points.map((p, i) => {
    const value = of(p);
    return value === null ? "" : `M${Math.max(PAD.left, x(i) - half).toFixed(1)} ${y(value).toFixed(1)}H${Math.min(right, x(i) + half).toFixed(1)}`;
  }).join("");
}

function linePath(points: ChartPoint[], { x, y }: Drawn): string {
  let pen = "M";
  return points.map((p, i) => {
    if (p.value === null) {
      pen = "M";
      return "";
    }
    const at = `${pen}${x(i).toFixed(1)} ${y(p.value).toFixed(1)}`;
    pen = "L";
    return at;
  }).join("");
}

function Picture({ chart, points, width, percent }: { chart: Chart; points: ChartPoint[]; width: number; percent: boolean }): JSX.Element {
  const drawn = useMemo(() => drawnOf(chart, points, width), [chart, points, width]);
  const { x, y, ticks } = drawn;
  const every = Math.max(1, Math.ceil((LABEL_EVERY_PX / Math.max(1e-6, x(1) - x(0)))));
  const tick = (v: number): string => (percent ? number(100 * v, 0) : trimmed(v, 2));
  return (
    <svg class="learn-plot" viewBox={`0 0 ${width} ${HEIGHT}`} width={width} height={HEIGHT} role="img" aria-label={w.chartAlt(chart.words, points.length, chart.out)}>
      {ticks.map((v) => (
        <g key={v}>
          <path class="learn-grid" d={`M${PAD.left} ${y(v)}H${width - PAD.right}`} />
          <text class="learn-tick" x={PAD.left - 8} y={y(v) + 4} text-anchor="end">{tick(v)}</text>
        </g>
      ))}
      {points.map((p, i) => (i % every === 0 && x(i) < width - LABEL_PX ? <text key={i} class="learn-tick" x={x(i)} y={HEIGHT - 6}>{p.at}</text> : null))}
      <path class="learn-centre" d={`M${PAD.left} ${y(chart.centre)}H${width - PAD.right}`} />
      <path class="learn-limit" d={limitPath(points, (p) => p.upper, drawn, width - PAD.right) + limitPath(points, (p) => p.lower, drawn, width - PAD.right)} />
      <path class="learn-line" d={linePath(points, drawn)} />
      {points.map((p, i) => p.value === null ? null : p.rules
        ? <path key={i} class="learn-mark" d={MARKS[firstOf(p)] ?? ""} transform={`translate(${x(i).toFixed(1)} ${y(p.value).toFixed(1)})`} />
        : <circle key={i} class={p.few ? "learn-point is-few" : "learn-point"} cx={x(i)} cy={y(p.value)} r={points.length > 120 ? 2 : 3.2} />)}
    </svg>
  );
}
