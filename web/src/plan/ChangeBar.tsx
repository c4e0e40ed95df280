// What the changes do to the lot, and what to do with them. Stays at the lower edge while there are any.
import type { JSX } from "preact";
import { useContext } from "preact/hooks";
import { api } from "../api";
import type { Finding, HeadlineKey, Plan } from "../types";
import { told } from "../ui/Field";
import { Scope, Was, dressed } from "../ui/Num";
import { Shape } from "../ui/parts";
import { may } from "../people/session";
import { useResource } from "../ui/resource";
import { words } from "../words";
import { look } from "./Facts";
import type { Editor } from "./editor";

const w = words.whatIf;
const DELTAS: HeadlineKey[] = ["liquor_l", "cycle_min", "total_min", "water_l_per_kg", "steam_kg", "cost_minor_per_kg"];

export function ChangeBar({ editor, plan, stored }: { editor: Editor; plan: Plan; stored: Plan }): JSX.Element | null {
  const notice = editor.notice.value;
  if (!editor.dirty.value && !notice) return null;
  return (
    <section class="bar no-print" aria-label={w.bar}>
      {editor.dirty.value ? <Changes editor={editor} plan={plan} stored={stored} /> : <p class="bar-notice" role="status"><Shape kind="ok" /> {notice}</p>}
    </section>
  );
}

function Changes({ editor, plan, stored }: { editor: Editor; plan: Plan; stored: Plan }): JSX.Element {
  const { lot, route } = editor.draft.value;
  const busy = editor.busy.value;
  const routes = useResource("routes", api.routes);
  // Saving a route changes the plan of every lot that runs on it: said before, not after.
  const users = editor.routeChanges.value > 0 ? (routes.data?.find((r) => r.route_id === route?.route_id)?.lots ?? 0) : 0;
  const blocked = busy || editor.problems.value.length > 0 || editor.wrong.value > 0 || editor.waiting.value;
  return (
    <>
      <div class="bar-say" role="status">
        <p class="bar-count"><strong>{w.bar}</strong> {w.changes(editor.changes.value)}{users > 1 ? ` · ${w.saveRouteUsed(users)}` : ""}{editor.notice.value ? ` · ${editor.notice.value}` : ""}</p>
        {Object.keys(lot).length && !may("plan-change") ? <p><Shape kind="note" /> {w.noSave}</p>
          : editor.routeChanges.value > 0 && !may("route-change") ? <p><Shape kind="note" /> {w.noSaveRoute}</p>
          : editor.waiting.value ? <p>{w.offline}</p>
          : editor.conflict.value ? <p><Shape kind="warning" /> {w.conflict}</p>
          : editor.problems.value[0] ? <p class="bar-problem"><Shape kind="stop" /> {inShort(editor.problems.value[0])}</p>
          : <Deltas plan={plan} stored={stored} busy={busy} />}
      </div>
      <div class="bar-acts">
        {editor.conflict.value ? (
          <>
            <button type="button" class="button" onClick={editor.discard}>{w.conflictDrop}</button>
            <button type="button" class="button button-strong" onClick={() => void editor.rebase()}>{w.conflictKeep}</button>
          </>
        ) : (
          <>
            <button type="button" class="button" onClick={editor.discard}>{w.discard}</button>
            {route && editor.routeChanges.value > 0 && may("route-change")
              ? <button type="button" class="button button-strong" disabled={blocked} onClick={() => void editor.saveRoute()}>{w.saveRoute(route.version + 1)}</button> : null}
            {Object.keys(lot).length && may("plan-change")
              ? <button type="button" class="button button-strong" disabled={blocked} onClick={() => void editor.saveLot()}>{w.saveLot}</button> : null}
          </>
        )}
      </div>
    </>
  );
}

/** In the words of the form where the fault is in one of its fields, else as the server said it. */
function inShort(finding: Finding): string {
  const field = w.fields[finding.place.split(".").pop() ?? ""];
  return field && finding.allowed ? `${field}: ${told(finding)}` : finding.message;
}

function Deltas({ plan, stored, busy }: { plan: Plan; stored: Plan; busy: boolean }): JSX.Element {
  const { currency } = useContext(Scope);
  const changed = DELTAS.flatMap((key) => {
    const now = plan.headline[key];
    const was = stored.headline[key];
    if (!now || !was) return [];
    const a = dressed(now, currency, look(key));
    const b = dressed(was, currency, look(key));
    return a.value === b.value && a.unit === b.unit ? [] : [{ key, now: a, was: b, up: now.value > was.value }];
  });
  if (!changed.length) return <p>{busy ? w.working : w.same}</p>;
  return (
    <ul class="deltas">
      {changed.map((d) => (
        <li key={d.key} data-delta={d.key}>
          <span class="delta-name">{words.plan.fact[d.key]}</span> <strong>{d.now.value}</strong> {d.now.unit} <Was up={d.up} text={d.was.value} />
        </li>
      ))}
    </ul>
  );
}
