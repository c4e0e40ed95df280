// The finishing of a lot: how to set each machine of the line, what to measure behind it, what was
// read there and what follows from it, and what the fabric ends with.
import type { JSX } from "preact";
import { useContext, useEffect, useMemo, useRef } from "preact/hooks";
import { Unreachable, api, offline } from "../api";
import { useReloadWith } from "../bath/BathPage";
import { Warnings } from "../plan/Warnings";
import { editorOf } from "../plan/editor";
import { tabPath } from "../plan/LotTabs";
import { href, place, swap } from "../place";
import type { Plan } from "../types";
import { Num, Scope } from "../ui/Num";
import { Empty, Failure, Loading, Shape } from "../ui/parts";
import { words } from "../words";
import { Why } from "../why/Why";
import { LineView } from "./LineView";
import { Results } from "./ResultForm";
import { Outcomes, verdictOf } from "./Outcomes";
import { halved, shownOf, type Shown } from "./figures";
import { lineOf, storedReadings, type Line } from "./state";
import type { Finish } from "./types";
import { w } from "./words";
import "./line.css";
import "./finish.css";
import "./result.css";

export function FinishPage({ lot }: { lot: string }): JSX.Element | null {
  const plan = editorOf(lot).stored.value;
  return plan ? <OfPlan plan={plan} lot={lot} /> : null;
}

/**
 * Readings in the address win over those of the tab; what is read now goes into both. What this page
 * wrote into the address itself is not taken from it: by then more may have been typed.
 */
function useAddress(line: Line, path: string[]): void {
  const asked = place.value.query.get("r");
  const text = line.text.value;
  const mine = useRef<string | null | undefined>(undefined);
  useEffect(() => {
    if (asked === mine.current) return;
    if (asked !== null) line.adopt(asked);
    else if (!line.any) line.adopt(storedReadings(line.lot));
  }, [asked]);
  useEffect(() => {
    const { query } = place.peek();
    mine.current = text || null;
    if (text === (query.get("r") ?? "")) return;
    const why = query.get("why");
    swap(href(path, { ...(text ? { r: text } : {}), ...(why === null ? {} : { why }) }));
  }, [text, asked]);
}

function OfPlan({ plan, lot }: { plan: Plan; lot: string }): JSX.Element {
  const line = lineOf(lot);
  const path = useMemo(() => tabPath(lot, "finish"), [lot]);
  useAddress(line, path);
  useInSight();
  useReloadWith(plan, line.renew);
  useEffect(() => {
    if (!line.picture.peek()) void line.ask();
  }, [lot]);
  const away = offline.value;
  useEffect(() => {
    if (!away && line.error.peek() instanceof Unreachable) void line.ask();
  }, [away]);

  const picture = line.picture.value;
  const seen = useMemo(() => picture && shownOf(picture), [picture]);
  const text = line.text.value;
  const { currency } = plan.site;
  const scope = useMemo(() => ({ path, currency, query: (text ? { r: text } : {}) as Record<string, string> }), [path, currency, text]);
  const error = line.error.value;
  return (
    <Scope.Provider value={scope}>
      <article class="finish plan">
        {error && !(picture && error instanceof Unreachable) ? <Failure error={error} reload={() => void line.ask()} /> : null}
        {seen?.now.finish ? <Sheet line={line} plan={plan} seen={seen} finish={seen.now.finish} />
          : picture ? <Empty>{w.none}</Empty> : error ? null : <Loading />}
        {picture && !seen ? <Notes plan={plan} line={line} /> : null}
      </article>
      {seen ? <Why plan={seen.figures} /> : null}
    </Scope.Provider>
  );
}

/** The panel takes room, and the line is laid out anew in what is left: the number asked about stays in sight. */
function useInSight(): void {
  const why = place.value.query.get("why");
  useEffect(() => {
    if (why === null) return undefined;
    const frame = requestAnimationFrame(() => requestAnimationFrame(() => {
      const number = document.querySelector(".finish .num[aria-current]");
      const panel = document.querySelector(".why")?.getBoundingClientRect();
      if (!number || !panel) return;
      const { top, bottom } = number.getBoundingClientRect();
      const below = panel.left > 0 ? innerHeight : panel.top; // beside the page, or a sheet from below
      if (top < 0 || bottom > below) number.scrollIntoView({ block: panel.left > 0 ? "center" : "start", behavior: "instant" });
    }));
    return () => cancelAnimationFrame(frame);
  }, [why]);
}

interface SheetProps {
  line: Line;
  plan: Plan;
  seen: Shown;
  finish: Finish;
}

function Sheet({ line, plan, seen, finish }: SheetProps): JSX.Element {
  const busy = line.busy.value;
  const { readings } = line.picture.value ?? { readings: [] };
  return (
    <>
      <div class="finish-head">
        <Head plan={plan} finish={finish} readings={readings.length} />
        <Outcomes finish={finish} planned={seen.planned} />
      </div>
      <Notes plan={plan} line={line} />
      <section class="line-section" aria-labelledby="line-title" aria-busy={busy}>
        <div class="line-head">
          <h2 id="line-title">{w.line}</h2>
          <p class="line-state" role="status">
            {line.away ? <><Shape kind="warning" />{w.waiting}</> : busy ? <><span class="spinner" aria-hidden="true" />{w.working}</> : readings.length ? w.withReadings(readings.length) : w.lineLead}
          </p>
          {line.any ? <button type="button" class="button no-print" onClick={() => line.clear()}>{w.clearAll}</button> : null}
        </div>
        <LineView line={line} plan={plan} seen={seen} finish={finish} />
        <p class="line-caution"><Shape kind="warning" /> <span><strong>{words.plan.cautions}.</strong> {w.caution}</span></p>
        <p class="quiet-line">{w.kept}</p>
      </section>
      <Results plan={plan} finish={finish} />
    </>
  );
}

function Notes({ plan, line }: { plan: Plan; line: Line }): JSX.Element | null {
  const { answers } = line.picture.value ?? { answers: [] };
  const warnings = answers[answers.length - 1]?.warnings ?? [];
  return <Warnings plan={{ ...plan, warnings }} title={w.warnings} kinds={["stop", "warning", "note"]} goTo={() => undefined} />;
}

function Head({ plan, finish, readings }: { plan: Plan; finish: Finish; readings: number }): JSX.Element {
  const { currency } = useContext(Scope);
  const { aim, relaxed, tube } = finish;
  const verdict = verdictOf(finish, currency);
  return (
    <section aria-labelledby="finish-verdict">
      <div class="finish-verdict">
        <Shape kind={finish.met ? "ok" : aim.feasible ? "warning" : "stop"} />
        <div>
          <h2 id="finish-verdict">{verdict.word}</h2>
          {verdict.off.length ? <ul class="finish-off">{verdict.off.map((one) => <li key={one}>{one}</li>)}</ul> : null}
        </div>
      </div>
      <p class="aim-word">{w.aim}</p>
      <dl class="finish-aim">
        <div><dt>{tube ? w.flatWidth : w.aimWidth}</dt><dd><Num q={tube ? halved(aim.width_cm) : aim.width_cm} look="fine" /></dd></div>
        <div><dt>{w.aimGsm}</dt><dd><Num q={aim.gsm} /></dd></div>
        <div><dt>{w.aimCourses}</dt><dd><Num q={aim.courses_per_cm} look="fine" unit={false} /></dd></div>
      </dl>
      <p class="aim-from">{w.relaxedFrom(relaxed.from_words, relaxed.samples)}{readings ? ` ${w.withReadings(readings)}` : ""}</p>
      <a class="button finish-sheet no-print" href={api.settingsHref(plan.lot.lot_id)} target="_blank" rel="noopener">{w.sheet} <small>PDF</small></a>
    </section>
  );
}
