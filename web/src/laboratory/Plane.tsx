// Where the match lies from the standard: a*b* and C*L*, both axes in one scale, the tolerance drawn
// as the server found it.
import type { JSX } from "preact";
import { linear } from "../charts/scale";
import { trimmed } from "../fmt";
import { light } from "./compare";
import { chosen, isMoved, lightView, match } from "./state";
import type { Point } from "./types";
import { useWidth } from "./useWidth";
import { w } from "./words";

const ROOM = 34;
/** Half widths that are drawn: steps, so that the picture does not breathe while a slider moves. */
const HALVES = [0.5, 1, 2, 3, 5, 8, 12, 20, 30, 50, 80, 120];
/** Room around the tolerance and the match. */
const AIR = 1.15;

export function Planes(): JSX.Element | null {
  const view = lightView.value;
  const now = match.value?.seen[light.value];
  const was = chosen.value?.seen[light.value];
  if (!view || !now || !was) return null;
  const { standard: s } = view;
  const e = w.ends;
  return (
    <section class="lab-planes">
      <h2>{w.where}</h2>
      <div class="lab-planes-two">
        <Plane name={w.planeAb} axes={["a*", "b*"]} centre={[s.a, s.b]} now={[now.a, now.b]} was={[was.a, was.b]} ring={view.within_ab} ends={[e.redder, e.greener, e.yellower, e.bluer]} fill={now.swatch} />
        <Plane name={w.planeCl} axes={["C*", "L*"]} centre={[s.c, s.l]} now={[now.c, now.l]} was={[was.c, was.l]} ring={view.within_cl} ends={[e.brighter, e.duller, e.lighter, e.darker]} fill={now.swatch} />
      </div>
      <ul class="lab-key" aria-hidden="true">
        <li><svg viewBox="0 0 20 20" width="20" height="20"><circle class="lab-ring" cx="10" cy="10" r="8" /></svg>{w.key.tolerance}</li>
        <li><svg viewBox="0 0 20 20" width="20" height="20"><path class="lab-cross" d="M10 3v14M3 10h14" /></svg>{w.key.standard}</li>
        <li><svg viewBox="0 0 20 20" width="20" height="20"><circle class="lab-now" fill={now.swatch} cx="10" cy="10" r="6" /></svg>{w.key.match}</li>
        {isMoved.value ? <li><svg viewBox="0 0 20 20" width="20" height="20"><circle class="lab-was" cx="10" cy="10" r="5" /></svg>{w.key.asFound}</li> : null}
      </ul>
      <p class="lab-caption">{view.caption}</p>
    </section>
  );
}

interface Props {
  name: string;
  axes: [string, string];
  centre: Point;
  now: Point;
  was: Point;
  ring: Point[];
  /** right, left, up, down */
  ends: [string, string, string, string];
  fill: string;
}

function Plane({ name, axes, centre, now, was, ring, ends, fill }: Props): JSX.Element {
  const [host, width] = useWidth();
  const [cx, cy] = centre;
  const far = Math.max(...[...ring, now, was].map(([px, py]) => Math.max(Math.abs(px - cx), Math.abs(py - cy))));
  const half = HALVES.find((h) => h >= AIR * far) ?? AIR * far;
  const x = linear(-half, half, ROOM, width - ROOM);
  const y = linear(-half, half, width - ROOM, ROOM);
  const at = ([px, py]: Point): [number, number] => [x(px - cx), y(py - cy)];
  const [nx, ny] = at(now);
  const [wx, wy] = at(was);
  const way = (d: number, more: string, less: string): string => `${trimmed(Math.abs(d), 2)} ${d < 0 ? less : more}`;
  const tick = half / 2;
  return (
    <div class="lab-plane" ref={host}>
      {width > 0 ? (
        <svg viewBox={`0 0 ${width} ${width}`} width={width} height={width} role="img" aria-label={w.planeAlt(name, way(now[0] - cx, ends[0], ends[1]), way(now[1] - cy, ends[2], ends[3]))}>
          <path class="lab-ground" d={`M${ROOM} ${ROOM}H${width - ROOM}V${width - ROOM}H${ROOM}z`} />
          <path class="lab-grid" d={[-tick, 0, tick].map((t) => `M${x(t)} ${ROOM}V${width - ROOM}M${ROOM} ${y(t)}H${width - ROOM}`).join("")} />
          <polygon class="lab-ring" points={ring.map((p) => at(p).map((v) => v.toFixed(1)).join()).join(" ")} />
          <path class="lab-cross" d={`M${x(0)} ${y(0) - 7}v14M${x(0) - 7} ${y(0)}h14`} />
          {isMoved.value ? <><path class="lab-way" d={`M${wx} ${wy}L${nx} ${ny}`} /><circle class="lab-was" cx={wx} cy={wy} r="5" /></> : null}
          <circle class="lab-now-ground" cx={nx} cy={ny} r="9" /><circle class="lab-now" fill={fill} cx={nx} cy={ny} r="6.5" />
          <path class="lab-frame" d={`M${ROOM} ${ROOM}H${width - ROOM}V${width - ROOM}H${ROOM}z`} />
          <text class="lab-end" x={width / 2} y={ROOM - 10} text-anchor="middle">{ends[2]}</text>
          <text class="lab-end" x={width / 2} y={width - ROOM + 20} text-anchor="middle">{ends[3]}</text>
          <text class="lab-end" x={ROOM - 10} y={width / 2} text-anchor="middle" transform={`rotate(-90 ${ROOM - 10} ${width / 2})`}>{ends[1]}</text>
          <text class="lab-end" x={width - ROOM + 12} y={width / 2} text-anchor="middle" transform={`rotate(90 ${width - ROOM + 12} ${width / 2})`}>{ends[0]}</text>
          <text class="lab-tick" x={width - ROOM} y={width - ROOM + 20} text-anchor="end">Δ{axes[0]} ±{trimmed(half, 1)}</text>
          <text class="lab-tick" x={ROOM} y={ROOM - 10}>Δ{axes[1]} ±{trimmed(half, 1)}</text>
        </svg>
      ) : null}
    </div>
  );
}
