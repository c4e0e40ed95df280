// A sum built up part by part: each bar begins where the one above it ends, the last one is the whole.
// A table whose second column is drawn, so that every value can be read, asked and copied.
import type { JSX } from "preact";
import { useContext } from "preact/hooks";
import { number, shown } from "../fmt";
import type { FootprintPart, LoadKey } from "../types";
import { Num, Scope } from "../ui/Num";
import { words } from "../words";
import "./waterfall.css";

const w = words.footprint;
const WIDE = 1000;
const HIGH = 40;

interface Props {
  parts: FootprintPart[];
  total: FootprintPart;
  of: LoadKey;
  /** The value at the right end; the same for waterfalls that are compared. */
  most: number;
  label: string;
  /** The figures belong to the plan of this page. */
  ask?: boolean;
}

export function Waterfall({ parts, total, of, most, label, ask }: Props): JSX.Element {
  const whole = total[of]?.value ?? 0;
  if (whole <= 0) return <p class="fall-none">{w.none}</p>;
  let sum = 0;
  const rows = parts.map((part) => {
    const from = sum;
    sum += part[of]?.value ?? 0;
    return { part, from, to: sum };
  });
  return (
    <table class="waterfall" aria-label={label}>
      <thead class="visually-hidden"><tr><th scope="col">{w.stage}</th><td /><th scope="col">{label}</th><th scope="col">%</th></tr></thead>
      <tbody>
        {rows.map(({ part, from, to }, i) => (
          <Row key={i} name={part.name || part.words} part={part} of={of} from={from} to={to} most={most} next={i < rows.length - 1 ? to : whole} whole={whole} ask={ask} />
        ))}
        <Row name={w.total} part={total} of={of} from={0} to={whole} most={most} whole={whole} ask={ask} sum />
      </tbody>
    </table>
  );
}

interface RowProps {
  name: string;
  part: FootprintPart;
  of: LoadKey;
  from: number;
  to: number;
  most: number;
  whole: number;
  /** Where the hairline to the next row stands. */
  next?: number;
  sum?: boolean;
  ask?: boolean | undefined;
}

function Row({ name, part, of, from, to, most, whole, next, sum, ask }: RowProps): JSX.Element {
  const { currency } = useContext(Scope);
  const x = (v: number): string => ((v / (most || 1)) * WIDE).toFixed(1);
  const q = to > from ? part[of] : null;
  const plain = q ? shown(q.value, q.unit, currency) : null;
  return (
    <tr class={sum ? "is-sum" : ""}>
      <th scope="row">{name}</th>
      <td class="fall-bar">
        <svg viewBox={`0 0 ${WIDE} ${HIGH}`} preserveAspectRatio="none" aria-hidden="true">
          {next === undefined ? null : <path class="fall-link" d={`M${x(next)} 8V${HIGH}`} />}
          {sum || from <= 0 ? null : <path class="fall-link" d={`M${x(from)} 0V8`} />}
          {to > from ? <path class="fall-part" d={`M${x(from)} 8H${x(to)}V32H${x(from)}Z`} /> : null}
        </svg>
      </td>
      <td class="fall-value">{ask ? <Num q={q} /> : plain ? <span class="num-plain">{plain.value}<span class="num-unit"> {plain.unit}</span></span> : words.none}</td>
      <td class="fall-share">{sum || !q ? "" : w.share(number((100 * (to - from)) / whole))}</td>
    </tr>
  );
}
