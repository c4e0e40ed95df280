// The laboratory: from measured samples to recipes, and from an off-shade lot to the addition. Every
// colour comes from the server; here they are only put in their place.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { ApiError, Unreachable, offline } from "../api";
import { prose, sentence, sourceName } from "../fmt";
import { href } from "../place";
import { FindingText, Loading, Shape } from "../ui/parts";
import { words } from "../words";
import { CorrectTab } from "./CorrectTab";
import { DispenseTab } from "./DispenseTab";
import { FilesBar, FilesStart, takeFiles } from "./Files";
import { RecipesTab } from "./RecipesTab";
import { SamplesTab } from "./SamplesTab";
import { VerdictTab } from "./VerdictTab";
import { DipsTab } from "./DipsTab";
import { MillBar } from "./MillBar";
import { bench, benchError, loadBench, useMill } from "./bench";
import { again, busy, calibrated, error, files, found, from, given } from "./state";
import type { Because } from "../fabric/types";
import { w } from "./words";
import "./laboratory.css";
import "./drawn.css";
import "./asked.css";
import "./dips.css";

const TABS = ["recipes", "dips", "dispensing", "verdict", "correction", "samples"] as const;
export type LabTab = (typeof TABS)[number];
export function tabOf(id: string | undefined): LabTab | null {
  return id === undefined ? "recipes" : (TABS.find((tab) => tab === id && tab !== "recipes") ?? null);
}

/** Fields of the question that say themselves what is wrong. */
const AT_FIELDS = ["tolerance", "l", "c", "formula.l", "formula.c", "must", "never", "limits", "ratios", "choices", "dyes_max"];

export function LaboratoryPage({ tab }: { tab: LabTab }): JSX.Element {
  const [over, setOver] = useState(false);
  const away = offline.value;
  useEffect(() => {
    if (!away) again();
  }, [away]);
  useEffect(() => {
    void loadBench().then(() => { if (!given.peek()) useMill(); });
  }, []);
  const ready = calibrated.value !== null;
  return (
    <div class={over ? "lab is-over" : "lab"}
      onDragOver={(event) => { event.preventDefault(); setOver(true); }} onDragLeave={(event) => { if (event.currentTarget === event.target) setOver(false); }}
      onDrop={(event) => { event.preventDefault(); setOver(false); void takeFiles(event.dataTransfer?.files ?? null); }}>
      <div class="page-head lab-head">
        <h1>{w.title}</h1>
        {ready ? <Tabs tab={tab} /> : null}
      </div>
      {from.value ? <MillBar /> : files.value ? <FilesBar /> : bench.value || benchError.value ? <FilesStart /> : <Loading />}
      <Troubles />
      {!given.value ? null : !ready ? (busy.value ? <Loading /> : null) : <Tab tab={tab} />}
    </div>
  );
}

function Tab({ tab }: { tab: LabTab }): JSX.Element {
  switch (tab) {
    case "recipes": return <RecipesTab />;
    case "dips": return <DipsTab />;
    case "dispensing": return <DispenseTab />;
    case "verdict": return <VerdictTab />;
    case "correction": return <CorrectTab />;
    case "samples": return <SamplesTab />;
  }
}

function Tabs({ tab }: { tab: LabTab }): JSX.Element {
  return (
    <nav class="lab-tabs" aria-label={w.tabsLabel}>
      {TABS.filter((one) => from.value !== null || one !== "dips").map((one) => <a key={one} href={href(one === "recipes" ? ["laboratory"] : ["laboratory", one])} {...(one === tab ? { "aria-current": "page" as const } : {})}>{w.tabs[one]}</a>)}
    </nav>
  );
}

function Troubles(): JSX.Element | null {
  const failed = error.value;
  if (!failed) return null;
  const problems = failed instanceof ApiError ? failed.all.filter((p) => !found.value || !AT_FIELDS.includes(p.place)) : null;
  if (problems && !problems.length) return null;
  return (
    <div class="failure" role="alert">
      <Shape kind="stop" />
      <div>{problems ? problems.map((p) => <FindingText key={p.place + p.message} finding={p} />) : <p class="finding-message">{failed instanceof Unreachable ? words.unreachable : failed.message}</p>}</div>
    </div>
  );
}

/** Notes, and what an answer rests on. */
export function Basis({ notes, why }: { notes: string[]; why: Because[] }): JSX.Element {
  return (
    <section class="lab-basis">
      <ul class="lab-notes">{[...new Set(notes)].map((note) => <li key={note}><Shape kind="note" /><span>{sentence(note)}</span></li>)}</ul>
      <details>
        <summary>{w.why}</summary>
        <ul>
          {why.map((one) => (
            <li key={one.anchor}><strong>{one.label}</strong> <span>{prose(one.words)}</span> <span class="muted">{w.source} {sourceName(one.source)} · {w.method} <code>{one.anchor}</code></span></li>
          ))}
        </ul>
      </details>
    </section>
  );
}
