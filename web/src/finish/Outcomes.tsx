// What the line ends with, each property against what is allowed.
import type { JSX } from "preact";
import { useContext } from "preact/hooks";
import { joined, number, shown, trimmed } from "../fmt";
import type { MaybeQ } from "../types";
import { Num, Scope } from "../ui/Num";
import { Shape } from "../ui/parts";
import type { Finish, Outcome } from "./types";
import { w } from "./words";

/** A tube is measured flat: half of everything that is said of its width. */
function part(finish: Finish, one: Outcome): number {
  return finish.tube && one.what === "width" ? 0.5 : 1;
}
function named(finish: Finish, one: Outcome): string {
  return finish.tube && one.what === "width" ? w.flatWidth : w.outcome[one.what];
}

/** "1.1 cm too narrow" */
export function offBy(finish: Finish, one: Outcome, currency: string): string {
  const by = shown(Math.abs(one.off) * part(finish, one), one.unit, currency);
  return `${joined(by)} ${one.off > 0 ? w.tooMuch[one.what] : w.tooLittle[one.what]}`;
}

/** Met, or not, and by what. */
export function verdictOf(finish: Finish, currency: string): { word: string; off: string[] } {
  const off = finish.outcome.filter((one) => one.off !== 0).map((one) => `${named(finish, one)}: ${offBy(finish, one, currency)}`);
  if (off.length) return { word: finish.aim.feasible ? w.notMet : w.cannot, off };
  return { word: finish.outcome.every((one) => one.value) ? w.met : w.metSoFar, off };
}

export function Outcomes({ finish, planned }: { finish: Finish; planned: Finish | null }): JSX.Element {
  return (
    <section class="outcomes" aria-labelledby="outcomes-title">
      <h3 id="outcomes-title">{w.outcomes}</h3>
      <ul>
        {finish.outcome.map((one) => <Row key={one.what} finish={finish} one={one} was={planned ? (planned.outcome.find((o) => o.what === one.what)?.value ?? null) : undefined} />)}
      </ul>
    </section>
  );
}

function half(q: MaybeQ, times: number): MaybeQ {
  return q && { ...q, value: q.value * times };
}

function Row({ finish, one, was }: { finish: Finish; one: Outcome; was: MaybeQ | undefined }): JSX.Element {
  const { currency } = useContext(Scope);
  const times = part(finish, one);
  const value = half(one.value, times);
  const before = was === undefined ? undefined : half(was, times);
  const { unit } = shown(0, one.unit, currency);
  const limit = (v: number): string => (one.unit === "g/m2" ? number(v * times) : trimmed(v * times, 1));
  return (
    <li class={one.off === 0 ? "outcome" : "outcome is-off"} data-outcome={one.what}>
      <p class="outcome-name">{named(finish, one)}</p>
      <p class="outcome-value"><Num q={value} was={before} /></p>
      <div class="outcome-range">
        <Bar low={one.low * times} high={one.high * times} value={value?.value ?? null} was={before?.value ?? null} />
        <p class="outcome-allowed">{w.allowed(limit(one.low), limit(one.high), unit)}</p>
      </div>
      <p class="outcome-says">
        {one.value === null ? <><Shape kind="note" />{w.unknown}</> : one.off === 0 ? <><Shape kind="ok" />{w.within}</> : <><Shape kind="warning" />{offBy(finish, one, currency)}</>}
      </p>
    </li>
  );
}

const WIDE = 1000;
const HIGH = 40;

/** The allowed range, where the value lies, and how far beyond; as planned as a hollow mark. */
function Bar({ low, high, value, was }: { low: number; high: number; value: number | null; was: number | null }): JSX.Element {
  const span = high - low || 1;
  const seen = [value, was].filter((v): v is number => v !== null);
  const from = Math.min(low - 0.5 * span, ...seen.map((v) => v - 0.12 * span));
  const to = Math.max(high + 0.5 * span, ...seen.map((v) => v + 0.12 * span));
  const x = (v: number): string => (((v - from) / (to - from)) * WIDE).toFixed(1);
  const beyond = value === null ? null : value < low ? [value, low] : value > high ? [high, value] : null;
  return (
    <svg class="outcome-bar" viewBox={`0 0 ${WIDE} ${HIGH}`} preserveAspectRatio="none" aria-hidden="true">
      <path class="ob-all" d={`M0 20H${WIDE}`} />
      <path class="ob-band" d={`M${x(low)} 10H${x(high)}V30H${x(low)}Z`} />
      <path class="ob-ends" d={`M${x(low)} 5V35M${x(high)} 5V35`} />
      {beyond ? <path class="ob-off" d={`M${x(beyond[0] ?? 0)} 20H${x(beyond[1] ?? 0)}`} /> : null}
      {was === null || was === value ? null : <path class="ob-was" d={`M${x(was)} 4V36`} />}
      {value === null ? null : <path class="ob-mark" d={`M${x(value)} 0V${HIGH}`} />}
    </svg>
  );
}
