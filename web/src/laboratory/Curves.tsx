// Reflectance of standard and match, and their difference in a strip beneath.
import type { JSX } from "preact";
import { linear, ticks } from "../charts/scale";
import { number, trimmed } from "../fmt";
import { useWidth } from "./useWidth";
import { found, isMoved, match, standard } from "./state";
import { w } from "./words";

const ROOM = { left: 52, right: 14, top: 26, bottom: 46 };
const STRIP = { gap: 34, height: 92 };
const HEIGHT = 250;
const PCT = 100;
/** Half heights of the strip, %: the smallest that holds the difference. */
const STRIP_ENDS = [1, 2, 5, 10, 20, 50, 100];

export function Curves(): JSX.Element | null {
  const [host, width] = useWidth();
  const f = found.value?.found;
  const now = match.value;
  if (!f || !now) return null;
  const nm = f.standard.map((_, i) => f.start_nm + i * f.step_nm);
  const off = now.curve.map((r, i) => PCT * (r - (f.standard[i] ?? r)));
  return (
    <section class="lab-curves">
      <h2>{w.curves}</h2>
      <ul class="lab-key" aria-hidden="true">
        <li><svg viewBox="0 0 30 20" width="30" height="20"><path class="lab-line-standard" d="M2 10h26" /></svg>{w.key.standard}</li>
        <li><svg viewBox="0 0 30 20" width="30" height="20"><path class="lab-line-match" d="M2 10h26" /><circle class="lab-dot" cx="15" cy="10" r="2.6" /></svg>{isMoved.value ? w.moved.toLowerCase() : w.key.match}</li>
      </ul>
      <div class="lab-plot" ref={host}>{width > 0 ? <Drawing width={width} nm={nm} standard={f.standard} curve={now.curve} off={off} /> : null}</div>
      <details class="lab-table">
        <summary>{w.table}</summary>
        <table>
          <thead><tr><th scope="col">{w.nm}</th><th scope="col">{w.standardField}, %</th><th scope="col">{w.matchField}, %</th><th scope="col">{w.strip}</th></tr></thead>
          <tbody>{nm.map((at, i) => <tr key={at}><th scope="row">{at}</th><td>{number(PCT * (f.standard[i] ?? 0), 2)}</td><td>{number(PCT * (now.curve[i] ?? 0), 2)}</td><td>{number(off[i] ?? 0, 2)}</td></tr>)}</tbody>
        </table>
      </details>
    </section>
  );
}

interface Props {
  width: number;
  nm: number[];
  standard: number[];
  curve: number[];
  off: number[];
}

function Drawing({ width, nm, standard: of, curve, off }: Props): JSX.Element {
  const floor = ROOM.top + HEIGHT;
  const total = floor + STRIP.gap + STRIP.height + ROOM.bottom;
  const x = linear(nm[0] ?? 400, nm.at(-1) ?? 700, ROOM.left, width - ROOM.right);
  // A fixed scale lets shades be compared; only what is dark throughout gets a finer one.
  const top = PCT * Math.max(...of, ...curve) > 48 ? 100 : PCT * Math.max(...of, ...curve) > 19 ? 50 : 20;
  const y = linear(0, top, floor, ROOM.top);
  const end = STRIP_ENDS.find((e) => off.every((d) => Math.abs(d) <= e)) ?? 100;
  const low = floor + STRIP.gap;
  const strip = linear(-end, end, low + STRIP.height, low);
  const line = (values: number[]): string => values.map((r, i) => `${i ? "L" : "M"}${x(nm[i] ?? 0).toFixed(1)} ${y(PCT * r).toFixed(1)}`).join("");
  const zero = strip(0);
  const fill = `M${x(nm[0] ?? 0)} ${zero}${off.map((d, i) => `L${x(nm[i] ?? 0).toFixed(1)} ${strip(d).toFixed(1)}`).join("")}L${x(nm.at(-1) ?? 0)} ${zero}z`;
  const right = width - ROOM.right;
  return (
    <svg class="lab-curve-svg" viewBox={`0 0 ${width} ${total}`} width={width} height={total} role="img" aria-label={w.curvesAlt(standard.value)}>
      <path class="lab-ground" d={`M${ROOM.left} ${ROOM.top}H${right}V${floor}H${ROOM.left}zM${ROOM.left} ${low}H${right}v${STRIP.height}H${ROOM.left}z`} />
      <path class="lab-grid" d={ticks(400, 700, 50).map((t) => `M${x(t)} ${ROOM.top}V${floor}M${x(t)} ${low}v${STRIP.height}`).join("") + ticks(0, top, top / 5).map((t) => `M${ROOM.left} ${y(t)}H${right}`).join("")} />
      {ticks(0, top, top / 5).map((t) => <text key={t} x={ROOM.left - 8} y={y(t) + 5} text-anchor="end">{trimmed(t, 0)}</text>)}
      {ticks(400, 700, width < 460 ? 100 : 50).map((t) => <text key={t} x={x(t)} y={low + STRIP.height + 20} text-anchor={t === 700 ? "end" : t === 400 ? "start" : "middle"}>{t}</text>)}
      {[end, 0, -end].map((t) => <text key={t} x={ROOM.left - 8} y={strip(t) + 5} text-anchor="end">{number(t)}</text>)}
      <text class="lab-axis" x={ROOM.left} y={16}>{w.axisR}</text>
      <text class="lab-axis" x={ROOM.left} y={low - 10}>{w.strip}</text>
      <text class="lab-axis" x={right} y={total - 6} text-anchor="end">{w.axisNm}</text>
      <path class="lab-off" d={fill} />
      <path class="lab-zero" d={`M${ROOM.left} ${zero}H${right}`} />
      <path class="lab-line-ground" d={line(of)} />
      <path class="lab-line-standard" d={line(of)} />
      <path class="lab-line-match" d={line(curve)} />
      {curve.map((r, i) => <circle key={i} class="lab-dot" cx={x(nm[i] ?? 0)} cy={y(PCT * r)} r="2.6" />)}
      <path class="lab-frame" d={`M${ROOM.left} ${ROOM.top}H${right}V${floor}H${ROOM.left}zM${ROOM.left} ${low}H${right}v${STRIP.height}H${ROOM.left}z`} />
    </svg>
  );
}
