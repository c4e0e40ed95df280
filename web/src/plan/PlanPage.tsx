// One lot: its plan with the desk to try changes on, the chemistry of its baths, its dyeing, its finishing, its footprint.
import type { JSX } from "preact";
import { useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import { Unreachable, offline } from "../api";
import { BathPage } from "../bath/BathPage";
import { ProcessCurve } from "../charts/ProcessCurve";
import { FootprintPage } from "../footprint/FootprintPage";
import { Later } from "../frame/Later";
import { stepId } from "../place";
import type { Plan, Selected } from "../types";
import { Scope } from "../ui/Num";
import { Failure, Loading, Shape } from "../ui/parts";
import { Why } from "../why/Why";
import { words } from "../words";
import { Baths } from "./Baths";
import { ChangeBar } from "./ChangeBar";
import { Facts } from "./Facts";
import { LotHead } from "./LotHead";
import { LotTabs, comesLater, tabPath, type LotTab } from "./LotTabs";
import { Passes, Totals } from "./Totals";
import { Warnings } from "./Warnings";
import { WhatIfForm } from "./WhatIfForm";
import { editorOf, type Editor } from "./editor";
import "./plan.css";

const w = words.plan;

export function PlanPage({ lot, tab }: { lot: string; tab: LotTab }): JSX.Element {
  const editor = editorOf(lot);
  useEffect(() => void editor.load(), [lot]);
  const away = offline.value;
  useEffect(() => {
    if (!away && editor.loadError.peek() instanceof Unreachable) void editor.load();
  }, [away]);
  const plan = editor.shown.value;
  const error = editor.loadError.value;
  return (
    <>
      <div class="lot-top no-print">
        <a class="backlink" href="#/lots">{w.back}</a>
        <LotTabs lot={lot} tab={tab} />
      </div>
      {plan ? <Desk editor={editor} plan={plan} tab={tab} /> : (
        <>
          <div class="page-head"><h1>{lot}</h1></div>
          {error ? <Failure error={error} reload={() => void editor.load()} /> : <Loading />}
        </>
      )}
    </>
  );
}

interface DeskProps {
  editor: Editor;
  plan: Plan;
}

function Desk({ editor, plan, tab }: DeskProps & { tab: LotTab }): JSX.Element {
  const stored = editor.stored.value ?? plan;
  // Bath and footprint are worked out from what is saved: their figures must be of that plan.
  const asked = tab === "plan" ? plan : stored;
  const scope = useMemo(() => ({ path: tabPath(editor.lot, tab), currency: plan.site.currency }), [editor.lot, tab, plan.site.currency]);
  return (
    <Scope.Provider value={scope}>
      <article class={editor.dirty.value ? "plan is-dirty" : "plan"}>
        <LotHead plan={asked} dirty={editor.dirty.value} />
        {tab !== "plan" && editor.dirty.value ? <p class="saved-only"><Shape kind="note" /> {w.savedOnly}</p> : null}
        {comesLater(tab) ? null : tab === "bath" ? <BathPage plan={stored} /> : tab === "footprint" ? <FootprintPage plan={stored} /> : <PlanTab editor={editor} plan={plan} />}
      </article>
      {comesLater(tab) ? <Later page={tab} spot={{ id: editor.lot, part: tab }} /> : <Why plan={asked} />}
      <ChangeBar editor={editor} plan={plan} stored={stored} />
    </Scope.Provider>
  );
}

function PlanTab({ editor, plan }: DeskProps): JSX.Element {
  const selected = useSignal<Selected>(null);
  const stored = editor.stored.value ?? plan;
  const select = (bath: number, step: number): void => void (selected.value = { bath, step });
  const goTo = (bath: number, step: number): void => {
    if (step > 0) select(bath, step);
    const target = document.getElementById(step > 0 ? stepId(bath, step) : `bath-${bath}`);
    target?.scrollIntoView({ block: step > 0 ? "center" : "start" });
    target?.focus({ preventScroll: true });
  };
  return (
    <>
      <Facts plan={plan} stored={stored} />
      <Warnings plan={plan} title={w.warnings} kinds={["stop", "warning"]} calm goTo={goTo} />
      <ProcessCurve plan={plan} selected={selected} select={select} goTo={goTo} />
      <WhatIfForm editor={editor} plan={plan} stored={stored} />
      {editor.problems.value.length ? <p class="stale no-print">{w.stale}</p> : null}
      <Warnings plan={plan} title={w.notes} kinds={["note"]} goTo={goTo} />
      <Baths plan={plan} stored={stored} editor={editor} selected={selected} select={select} goTo={goTo} />
      <Totals plan={plan} stored={stored} />
      <Passes plan={plan} />
    </>
  );
}
