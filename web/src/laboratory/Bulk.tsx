// What the lots taught from laboratory to bulk, offered beside the recipe shown. It is in no recipe until
// somebody takes it.
import type { JSX } from "preact";
import { useEffect, useId } from "preact/hooks";
import { signal } from "@preact/signals";
import { api } from "../api";
import { number } from "../fmt";
import type { Machine } from "../types";
import { Shape } from "../ui/parts";
import { Outcome } from "./DipsTab";
import { dose } from "./RecipesTab";
import { acting, pickRecipe } from "./bench";
import { ask, bestGuess, bulkMachine, doses, found, wordOf } from "./state";
import type { Bulk as Offered, Dose } from "./types";
import { w } from "./words";

const PICK_BULK = "pick with factors";
const machines = signal<Machine[]>([]);

function multiplied(offer: Offered, d: Dose): number {
  return offer.dyes.find((x) => x.dye_id === d.dye_id)?.multiply ?? 1;
}

export function Bulk(): JSX.Element {
  const id = useId();
  useEffect(() => {
    // without the list nothing is offered, and the recipe goes on
    void api.machines().then((all) => (machines.value = all), () => undefined);
  }, []);
  const offer = found.value?.found.bulk;
  return (
    <section class="lab-bulk" aria-labelledby={`${id}-h`}>
      <h2 id={`${id}-h`}>{w.bulk}</h2>
      <div class="lab-bulk-asked no-print">
        <div class="field">
          <label for={`${id}-m`}>{w.bulkMachine}</label>
          <select class="select" id={`${id}-m`} value={bulkMachine.value} onChange={(event) => { bulkMachine.value = event.currentTarget.value; ask(); }}>
            <option value="">{w.bulkNone}</option>
            {machines.value.map((m) => <option key={m.machine_id} value={m.machine_id}>{m.machine_id} {m.name}</option>)}
          </select>
        </div>
        {bulkMachine.value ? <label class="lab-also-recipe" for={`${id}-g`}><input id={`${id}-g`} type="checkbox" checked={bestGuess.value} onChange={(event) => { bestGuess.value = event.currentTarget.checked; ask(); }} /> {w.bulkGuess}</label> : null}
      </div>
      {offer && offer.machine_id === bulkMachine.value ? <Offer of={offer} /> : null}
    </section>
  );
}

function Offer({ of }: { of: Offered }): JSX.Element {
  const now = doses.value;
  const factors = now.filter((d) => multiplied(of, d) !== 1).map((d) => `${d.dye_id}=${multiplied(of, d)}`).join();
  const take = (): void => void pickRecipe(PICK_BULK, wordOf(now), w.picked, { machine_id: of.machine_id, best_guess: of.best_guess, factors });
  return (
    <>
      <table class="lab-seen">
        <thead><tr><th scope="col">{w.bulkDye}</th><th scope="col">{w.bulkLab}</th><th scope="col">{w.bulkFactor}</th><th scope="col">{w.bulkFor(of.machine_id)}</th></tr></thead>
        <tbody>
          {now.map((d) => (
            <tr key={d.dye_id}>
              <th scope="row">{d.dye_id}</th>
              <td>{dose(d.depth_pct_owf)}</td>
              <td>{number(multiplied(of, d), 3)}</td>
              <td>{dose(d.depth_pct_owf * multiplied(of, d))}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <ul class="lab-bulk-why">
        {now.map((d) => <li key={d.dye_id}><b>{d.dye_id}</b> {of.dyes.find((x) => x.dye_id === d.dye_id)?.words ?? w.bulkUnknown}</li>)}
      </ul>
      {factors ? (
        <div class="lab-record no-print">
          <button type="button" class="button" disabled={acting.value} onClick={take}>{w.bulkTake(of.machine_id)}</button>
          <Outcome at={PICK_BULK} />
        </div>
      ) : <p class="lab-caption"><Shape kind="note" /> {w.bulkNothing(of.lots)}</p>}
    </>
  );
}
