// The map: full open width against weight. Everything on it comes from the server; here it is only
// put in its place.
import type { JSX } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { linear, ticks, type Scale } from "../charts/scale";
import { number, trimmed } from "../fmt";
import type { Clash, FabricMap as MapData, Frame, Point, Window } from "./types";
import { w } from "./words";
import "./map.css";

const ROOM = { left: 58, right: 64, top: 46, bottom: 50 };
const LABEL_ROOM_PX = 40;
/** Of "199.9 g/m²" and its distance. */
const LABEL_PX = 95;

interface Scales {
  x: Scale;
  y: Scale;
  width: number;
  height: number;
}

export function FabricMap({ map, frame, view, alt }: { map: MapData; frame: Frame; view: Window; alt: string }): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const box = host.current;
    if (!box) return;
    const look = new ResizeObserver(() => setWidth(Math.round(box.clientWidth)));
    look.observe(box);
    setWidth(Math.round(box.clientWidth));
    return () => look.disconnect();
  }, []);
  const height = heightOf(width);
  return (
    <div class="map" ref={host}>
      {width > 0 ? <Drawing map={map} frame={frame} alt={alt} s={{
        width, height,
        x: linear(view.width_cm.low, view.width_cm.high, ROOM.left, width - ROOM.right),
        y: linear(view.gsm.low, view.gsm.high, height - ROOM.bottom, ROOM.top),
      }} /> : <div class="map-room" />}
    </div>
  );
}

/** High enough to read, low enough that the sliders stay in sight. */
function heightOf(width: number): number {
  return Math.round(Math.max(320, Math.min(0.52 * width, 440)));
}

function Drawing({ map, frame, s, alt }: { map: MapData; frame: Frame; s: Scales; alt: string }): JSX.Element {
  const { x, y, width, height } = s;
  const ring = (points: Point[]): string => points.map(([cm, gsm]) => `${x(cm).toFixed(1)},${y(gsm).toFixed(1)}`).join(" ");
  const { box } = map;
  const [left, right] = [x(box.width_cm.low), x(box.width_cm.high)];
  const [top, bottom] = [y(box.gsm.high), y(box.gsm.low)];
  const inner = { x: ROOM.left, y: ROOM.top, width: width - ROOM.left - ROOM.right, height: height - ROOM.top - ROOM.bottom };
  return (
    <svg class="map-svg" width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={alt}>
      <defs>
        <clipPath id="map-clip"><rect {...inner} /></clipPath>
        <pattern id="map-hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0v7" class="map-hatch" /></pattern>
      </defs>
      <rect class="map-ground" {...inner} />
      <g clip-path="url(#map-clip)">
        <polygon class="map-allowed" points={ring(frame.allowed)} />
        {frame.width_lines.map(([pct, cm]) => <path key={pct} class={pct === 0 ? "map-line is-zero" : "map-line"} d={`M${x(cm).toFixed(1)} ${ROOM.top}V${height - ROOM.bottom}`} />)}
        {map.length_lines.map((line) => <polyline key={line.length_shrink_pct} class={line.length_shrink_pct === 0 ? "map-line is-zero" : "map-line"} points={ring(line.points)} />)}
        <polygon class="map-allowed-edge" points={ring(frame.allowed)} />
        {frame.feasible.length ? <polygon class="map-feasible" points={ring(frame.feasible)} /> : null}
        <rect class="map-box" x={left} y={top} width={Math.max(0, right - left)} height={Math.max(0, bottom - top)} />
      </g>
      {frame.clashes.map((clash) => <Gap key={clash.of} clash={clash} box={box} best={frame.best.width_cm} s={s} />)}
      <g clip-path="url(#map-clip)"><Best frame={frame} s={s} /></g>
      <Axes map={map} frame={frame} s={s} />
    </svg>
  );
}

function Best({ frame, s }: { frame: Frame; s: Scales }): JSX.Element {
  const [cx, cy] = [s.x(frame.best.width_cm), s.y(frame.best.gsm)];
  return frame.verdict === "met"
    ? <g><circle class="map-best-ring" cx={cx} cy={cy} r="8" /><circle class="map-best" cx={cx} cy={cy} r="5" /></g>
    : <g><circle class="map-near" cx={cx} cy={cy} r="8" /><path class="map-near" d={`M${cx - 4} ${cy - 4}l8 8M${cx + 4} ${cy - 4}l-8 8`} /></g>;
}

/** From what is asked for to the nearest that can be had. */
function Gap({ clash, box, best, s }: { clash: Clash; box: Window; best: number; s: Scales }): JSX.Element | null {
  const { x, y } = s;
  const [far, near] = [s.width - ROOM.right - 4, ROOM.left + 4];
  if (clash.by_cm !== undefined) {
    const from = clash.above ? box.width_cm.low : box.width_cm.high;
    const [x0, x1] = [x(from), Math.min(far, Math.max(near, x(clash.above ? from - clash.by_cm : from + clash.by_cm)))];
    return <Arrow x0={x0} y0={y((box.gsm.low + box.gsm.high) / 2)} x1={x1} y1={y((box.gsm.low + box.gsm.high) / 2)} text={`${number(clash.by_cm, 1)} cm`} />;
  }
  if (clash.by_gsm === undefined) return null;
  const from = clash.above ? box.gsm.low : box.gsm.high;
  const to = Math.min(s.height - ROOM.bottom - 4, Math.max(ROOM.top + 4, y(clash.above ? from - clash.by_gsm : from + clash.by_gsm)));
  // Where the line of the length shrinkage is nearest: at that side of the box.
  const at = clash.of === "gsm_against_width" ? x(clash.above ? box.width_cm.low : box.width_cm.high) : x((box.width_cm.low + box.width_cm.high) / 2);
  return <Arrow x0={at} y0={y(from)} x1={at} y1={to} left={x(best) > at ? at > near + LABEL_PX : at > far - LABEL_PX} text={`${trimmed(clash.by_gsm, 1)} g/m²`} />;
}

/** `left`: where its text stands when it is upright. */
function Arrow({ x0, y0, x1, y1, text, left = false }: { x0: number; y0: number; x1: number; y1: number; text: string; left?: boolean }): JSX.Element {
  const flat = y0 === y1;
  const away = flat ? Math.sign(x1 - x0) : Math.sign(y1 - y0);
  const head = flat ? `M${x1 - 7 * away} ${y1 - 5}L${x1} ${y1}l${-7 * away} 5` : `M${x1 - 5} ${y1 - 7 * away}L${x1} ${y1}l5 ${-7 * away}`;
  return (
    <g class="map-gap">
      <path d={`M${x0} ${y0}L${x1} ${y1}${head}`} />
      {flat
        ? <text x={(x0 + x1) / 2} y={y0 - 9} text-anchor="middle">{text}</text>
        : <text x={left ? x0 - 9 : x0 + 9} y={(y0 + y1) / 2 + 5} text-anchor={left ? "end" : "start"}>{text}</text>}
    </g>
  );
}

/** Ticks that have room for their numbers. */
function nice(scale: Scale, room: number): number[] {
  const per = Math.abs(scale(scale.from + 1) - scale(scale.from));
  return ticks(scale.from, scale.to, [1, 2, 5, 10, 20, 50, 100].find((step) => step * per >= room) ?? 200);
}

function Axes({ map, frame, s }: { map: MapData; frame: Frame; s: Scales }): JSX.Element {
  const { x, y, width, height } = s;
  const [edge, ground] = [width - ROOM.right, height - ROOM.bottom];
  let last = -Infinity;
  const above = frame.width_lines.filter(([, cm]) => {
    const at = x(cm);
    if (at < ROOM.left || at > edge || at - last < LABEL_ROOM_PX) return false;
    last = at;
    return true;
  });
  let low = Infinity;
  const beside = map.length_lines.filter(({ points }) => {
    const [cm = 0, gsm = 0] = points.at(-1) ?? [];
    if (x(cm) < edge - 1 || Math.abs(y(gsm) - low) < 18) return false;
    low = y(gsm);
    return true;
  });
  return (
    <g>
      {nice(x, 72).map((cm) => <text key={`x${cm}`} class="map-tick" x={x(cm)} y={ground + 20} text-anchor="middle">{number(cm)}</text>)}
      {nice(x, 72).map((cm) => <path key={`m${cm}`} class="map-mark" d={`M${x(cm)} ${ground}v5`} />)}
      {nice(y, 36).map((gsm) => <text key={`y${gsm}`} class="map-tick" x={ROOM.left - 9} y={y(gsm) + 5} text-anchor="end">{number(gsm)}</text>)}
      {nice(y, 36).map((gsm) => <path key={`n${gsm}`} class="map-mark" d={`M${ROOM.left} ${y(gsm)}h-5`} />)}
      <text class="map-title" x={ROOM.left} y={height - 7}>{w.axisWidth}</text>
      <text class="map-title" x={14} y={ground} transform={`rotate(-90 14 ${ground})`}>{w.axisWeight}</text>
      {above.map(([pct, cm]) => <text key={pct} class="map-shrink" x={x(cm)} y={ROOM.top - 8} text-anchor="middle">{trimmed(pct, 0)}</text>)}
      <text class="map-title" x={ROOM.left} y={15}>{w.widthLeft}, %</text>
      {beside.map((line) => <text key={line.length_shrink_pct} class="map-shrink" x={edge + 7} y={y(line.points.at(-1)?.[1] ?? 0) + 5}>{trimmed(line.length_shrink_pct, 0)}</text>)}
      <text class="map-title" x={width - 8} y={ROOM.top} text-anchor="end" transform={`rotate(-90 ${width - 8} ${ROOM.top})`}>{w.lengthLeft}, %</text>
      <rect class="map-frame" x={ROOM.left} y={ROOM.top} width={edge - ROOM.left} height={ground - ROOM.top} />
    </g>
  );
}
