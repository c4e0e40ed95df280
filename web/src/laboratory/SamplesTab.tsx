// Each dyed sample as the others of its dye predict it; what does not fit is marked and says what to do.
import type { JSX } from "preact";
import { signal } from "@preact/signals";
import { number, trimmed } from "../fmt";
import { Shape, Swatch } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import { Basis } from "./LaboratoryPage";
import { calibrated } from "./state";
import { w } from "./words";

const onlyBad = signal(false);

export function SamplesTab(): JSX.Element | null {
  const c = calibrated.value;
  if (!c) return null;
  const { rungs, surface, cmc_rms } = c.result;
  const bad = rungs.filter((r) => r.verdict !== "good");
  const swatchOf = (name: string): string => c.laboratory.samples.find((s) => s.name === name)?.swatch ?? "";
  const rows = onlyBad.value && bad.length ? bad : rungs;
  return (
    <section class="lab-samples">
      <h2 id="lab-trust">{w.trust}</h2>
      <p class="lab-verdict-line"><Shape kind={bad.length ? "warning" : "ok"} /> <strong>{bad.length === 0 ? w.trustGood(rungs.length) : bad.length === 1 ? w.trustBad(1, rungs.length) : w.trustBads(bad.length, rungs.length)}</strong></p>
      <p class="muted">{w.trustLead} {cmc_rms === undefined ? null : `${w.rms(number(cmc_rms, 2))}.`} {surface.kind === "none" ? null : `${w.surface(number(surface.k1, 3), number(surface.k2, 2))}.`}</p>
      {bad.length ? <button type="button" class="button lab-only no-print" aria-pressed={onlyBad.value} onClick={() => (onlyBad.value = !onlyBad.value)}>{w.onlyBad}</button> : null}
      <Sheet by="lab-trust" head={w.columns.sample} late
        columns={[{ title: w.columns.depth, unit: w.owf }, { title: w.columns.cmc }, { title: w.columns.dose, unit: "%" }, { title: w.columns.verdict, left: true }, { title: w.columns.action, left: true }]}
        rows={rows.map((r) => ({
          head: <span class="lab-rung"><Swatch colour={swatchOf(r.sample)} /> {r.sample}</span>,
          cells: [
            trimmed(r.depth_pct_owf, 3), number(r.cmc, 2), number(r.dose_error_pct, 1),
            r.verdict === "good" ? w.verdicts.good : <strong class="lab-bad"><Shape kind="warning" /> {w.verdicts[r.verdict]}</strong>,
            r.action === "keep" ? w.actions.keep : <strong>{w.actions[r.action]}</strong>,
          ],
        }))} />
      <Basis notes={c.notes} why={c.why} />
    </section>
  );
}
