// The plan of one lot: everything about it on one page, and the desk to try changes on.
import type { JSX } from "preact";
import { useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import { Unreachable, offline } from "../api";
import { ProcessCurve } from "../charts/ProcessCurve";
import type { Plan, Selected } from "../types";
import { Scope } from "../ui/Num";
import { Failure, Loading } from "../ui/parts";
import { Why } from "../why/Why";
import { words } from "../words";
import { Baths } from "./Baths";
import { ChangeBar } from "./ChangeBar";
import { Facts } from "./Facts";
import { LotHead } from "./LotHead";
import { Passes, Totals } from "./Totals";
import { Warnings } from "./Warnings";
import { WhatIfForm } from "./WhatIfForm";
import { editorOf, type Editor } from "./editor";
import { stepId } from "../place";
import "./plan.css";

const w = words.plan;

export function PlanPage({ lot }: { lot: string }): JSX.Element {
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
      <a class="backlink no-print" href="#/lots">{w.back}</a>
      {plan ? <Desk editor={editor} plan={plan} /> : (
        <>
          <div class="page-head"><h1>{lot}</h1></div>
          {error ? <Failure error={error} reload={() => void editor.load()} /> : <Loading />}
        </>
      )}
    </>
  );
}

function Desk({ editor, plan }: { editor: Editor; plan: Plan }): JSX.Element {
  const selected = useSignal<Selected>(null);
  const stored = editor.stored.value ?? plan;
  const scope = useMemo(() => ({ lot_id: editor.lot, currency: plan.site.currency }), [editor.lot, plan.site.currency]);
  const select = (bath: number, step: number): void => void (selected.value = { bath, step });
  const goTo = (bath: number, step: number): void => {
    if (step > 0) select(bath, step);
    const target = document.getElementById(step > 0 ? stepId(bath, step) : `bath-${bath}`);
    target?.scrollIntoView({ block: step > 0 ? "center" : "start" });
    target?.focus({ preventScroll: true });
  };
  return (
    <Scope.Provider value={scope}>
      <article class={editor.dirty.value ? "plan is-dirty" : "plan"}>
        <LotHead plan={plan} />
        <Facts plan={plan} stored={stored} />
        <Warnings plan={plan} title={w.warnings} kinds={["stop", "warning"]} calm goTo={goTo} />
        <ProcessCurve plan={plan} selected={selected} select={select} goTo={goTo} />
        <WhatIfForm editor={editor} plan={plan} stored={stored} />
        {editor.problems.value.length ? <p class="stale no-print">{w.stale}</p> : null}
        <Warnings plan={plan} title={w.notes} kinds={["note"]} goTo={goTo} />
        <Baths plan={plan} stored={stored} editor={editor} selected={selected} select={select} goTo={goTo} />
        <Totals plan={plan} stored={stored} />
        <Passes plan={plan} />
      </article>
      <ChangeBar editor={editor} plan={plan} stored={stored} />
      <Why plan={plan} />
    </Scope.Provider>
  );
}
