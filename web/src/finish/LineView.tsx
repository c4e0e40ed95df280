// The whole line: a column a pass where there is room, the fabric running rightwards through all of
// them; else a row a pass, and it runs downwards.
import type { JSX } from "preact";
import { useRef, useState } from "preact/hooks";
import { useWidth } from "../charts/ProcessCurve";
import { joined, shown } from "../fmt";
import type { Plan } from "../types";
import { halved, liesOf, type Shown } from "./figures";
import type { Fabric } from "./drawing";
import { Figure, Measures, Moisture, Read, Settings } from "./PassCard";
import type { Line } from "./state";
import { Key, Stretch } from "./Stretch";
import type { Behind, Finish, FinishPass } from "./types";
import { w } from "./words";

const START_PX = 148; // as the sheet has it
const COLUMN_LEAST_PX = 236;
/** A column in which four figures stand side by side. */
const FOUR_PX = 440;
const DOWN_PART = 0.64; // of the width; the drawing has the rest
/** Less is no change: no rule shows it. */
const CHANGED_CM = 0.05;

interface Props {
  line: Line;
  plan: Plan;
  seen: Shown;
  finish: Finish;
}

function fabricOf(behind: Behind): Fabric {
  return { lies_cm: liesOf(behind).value, moisture_pct: behind.moisture_pct.value, courses_per_cm: behind.courses_per_cm.value };
}
function startOf(finish: Finish): Fabric {
  const { width_cm, moisture_pct, courses_per_cm } = finish.start;
  return { lies_cm: finish.tube ? width_cm.value / 2 : width_cm.value, moisture_pct: moisture_pct.value, courses_per_cm: courses_per_cm.value };
}
/** Behind a pass that was read the fabric is what was read. */
function really(pass: FinishPass): Fabric {
  return pass.read ? { lies_cm: pass.read.lies_cm, moisture_pct: pass.read.moisture_pct, courses_per_cm: pass.read.courses_per_cm } : fabricOf(pass.behind);
}

export function LineView({ line, plan, seen, finish }: Props): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const width = useWidth(host);
  const [scale, setScale] = useState(0);
  const n = seen.passes.length;
  const across = width >= START_PX + n * COLUMN_LEAST_PX;
  const column = across ? (width - START_PX) / n - 40 : width * DOWN_PART;
  const start = startOf(finish);
  const fabrics = [start, ...seen.passes.map(really)];
  const flat = finish.tube ? 0.5 : 1;
  const limit = finish.outcome.find((one) => one.what === "width");
  const allowed = limit ? { low_cm: limit.low * flat, high_cm: limit.high * flat } : null;
  const aim_cm = finish.aim.width_cm.value * flat;
  const plannedWidths = seen.planned?.passes.map((pass) => liesOf(pass.behind).value) ?? [];
  const widest_cm = Math.max(aim_cm, allowed?.high_cm ?? 0, ...fabrics.map((f) => f.lies_cm), ...plannedWidths);
  const common = { aim_cm, tube: finish.tube, widest_cm, swatch: plan.lot.shade.swatch, across };
  return (
    <>
    <div class={`line ${across ? "is-across" : "is-down"}${column >= FOUR_PX ? " has-four" : ""}`} ref={host}>
      <section class="pass pass-start" aria-labelledby="pass-0">
        <header class="pass-head"><h3 id="pass-0">{w.start}</h3><p class="pass-machine">{w.startLead}</p></header>
        <div class="pass-set" />
        <Stretch {...common} name={w.start} kind={null} before={start} after={start} planned_cm={null} allowed={null} seed={0} scaled={setScale} />
        <div class="pass-should"><Start finish={finish} /></div>
        <div class="pass-room" />
      </section>
      {seen.passes.map((pass, i) => {
        const was = seen.planned?.passes[i];
        const before = fabrics[i] ?? start;
        const after = fabrics[i + 1] ?? start;
        const planned = plannedWidths[i];
        return (
          <section key={i} class={pass.read ? "pass is-read" : "pass"} aria-labelledby={`pass-${i + 1}`} data-pass={i + 1}>
            <header class="pass-head">
              <h3 id={`pass-${i + 1}`}><span class="pass-number">{i + 1}</span> {pass.words}</h3>
              <p class="pass-machine">{pass.finisher ? <><b>{pass.finisher_id}</b> {pass.finisher}</> : pass.shapes ? w.noFinisher : null}</p>
            </header>
            <div class="pass-set">
              <h4>{w.set}</h4>
              <Settings pass={pass} planned={was} />
              {pass.note ? <p class="pass-note">{pass.note}</p> : null}
            </div>
            <Stretch {...common} name={pass.words} kind={pass.kind} before={before} after={after} allowed={i === n - 1 ? allowed : null}
              planned_cm={planned !== undefined && Math.abs(planned - after.lies_cm) > CHANGED_CM ? planned : null} seed={i + 1} />
            <div class="pass-should">
              <h4>{w.should}</h4>
              <Measures behind={pass.behind} planned={was?.behind} tube={finish.tube} />
              {pass.check ? <Moisture check={pass.check} /> : null}
              {pass.minutes ? <p class="pass-note">{w.minutes(joined(shown(pass.minutes.value, "min", "")))}</p> : null}
            </div>
            <div class="pass-room">
              <h4>{w.read}</h4>
              <Read line={line} n={i + 1} pass={pass} tube={finish.tube} />
            </div>
          </section>
        );
      })}
    </div>
    <Key px_per_cm={scale} tube={finish.tube} planned={seen.planned !== null} />
    </>
  );
}

function Start({ finish }: { finish: Finish }): JSX.Element {
  const { start, tube } = finish;
  const m = w.measures;
  return (
    <dl class="figs">
      <Figure name={tube ? m.flat : m.lies} q={tube ? halved(start.width_cm) : start.width_cm} look="fine" />
      <Figure name={m.courses} q={start.courses_per_cm} look="fine" unit={false} />
      <Figure name={m.moisture} q={start.moisture_pct} look="round" />
    </dl>
  );
}
