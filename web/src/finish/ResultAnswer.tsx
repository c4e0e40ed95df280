// The verdict on a lot, large; each property against its limit; why, in plain words; what to do.
import type { JSX } from "preact";
import { joined, number, rounded, shown, trimmed } from "../fmt";
import type { DeskAnswer } from "../types";
import { Shape } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import { words } from "../words";
import { r } from "./resultWords";
import { w } from "./words";

type Values = Record<string, unknown>;
interface Reason {
  reason: string;
  of: string;
  value: number;
  unit: string;
}
const SHAPES: Record<string, "ok" | "warning" | "stop" | "note"> = { release: "ok", refinish: "warning", claim_risk: "stop", undecided: "note" };
const RESULT_SHAPES: Record<string, "ok" | "warning" | "note"> = { met: "ok", near: "note", missed: "warning", not_measured: "note", not_asked: "note" };

function group(result: Values, key: string): Values | null {
  const value = result[key];
  return typeof value === "object" && value !== null && !Array.isArray(value) ? (value as Values) : null;
}
function numberOf(values: Values | null, key: string): number | null {
  const value = values?.[key];
  return typeof value === "number" ? value : null;
}

const UNITS: [RegExp, string][] = [[/_pct$/, "%"], [/gsm$/, "g/m2"], [/_per_cm$/, "1/cm"], [/_cm$/, "cm"], [/_deg$/, "deg"], [/_c$/, "degC"], [/_kg_per_kg$/, "%"]];
function unitOf(key: string): string {
  return UNITS.find(([ending]) => ending.test(key))?.[1] ?? "";
}
/** A value as it is said; grades in halves, the unit of a count in its name. */
function said(key: string, value: number): string {
  if (key.endsWith("_grade")) return trimmed(value, 1);
  if (key.endsWith("_deg")) return `${trimmed(value, 1)}°`;
  if (key.endsWith("_per_cm")) return trimmed(value, 1);
  const shownValue = key.endsWith("_kg_per_kg") ? value * 100 : value;
  return joined(shown(shownValue, unitOf(key), ""));
}

export function ResultAnswer({ answer, tube }: { answer: DeskAnswer; tube: boolean }): JSX.Element {
  const { result } = answer;
  const verdict = String(result["verdict"] ?? "");
  const reasons = (result["reasons"] as Reason[] | undefined) ?? [];
  const passes = Object.keys(r.passes).filter((key) => group(result, key));
  return (
    <>
      <div class="result-verdict">
        <Shape kind={SHAPES[verdict] ?? "note"} />
        <div>
          <h3>{r.verdicts[verdict] ?? verdict}</h3>
          <p>{r.because[verdict]}</p>
        </div>
      </div>
      {reasons.length ? (
        <section class="result-reasons" aria-labelledby="result-reasons">
          <h3 id="result-reasons">{r.reasons}</h3>
          <ul>{reasons.map((one, i) => <li key={i}>{sentence(one, tube)}</li>)}</ul>
        </section>
      ) : null}
      {passes.length ? <Again result={result} passes={passes} /> : null}
      <Wanted result={result} />
      <Nearest result={result} />
      <Properties result={result} tube={tube} />
      {answer.notes.length ? <ul class="result-notes">{answer.notes.map((note, i) => <li key={i}><Shape kind="note" /><span>{forPeople(typeof note === "string" ? note : note.text)}</span></li>)}</ul> : null}
      <details class="result-fold result-why">
        <summary>{words.why.how}</summary>
        <ul>
          {answer.why.map((one, i) => (
            <li key={i}><strong>{one.label}</strong><p>{one.words}</p><p class="muted">{words.why.source} {one.source}{one.anchor ? <> · {words.why.method} <code>{one.anchor}</code></> : null}</p></li>
          ))}
        </ul>
      </details>
    </>
  );
}

/** A note that names a member of the question is said with the word of its field. */
function forPeople(note: string): string {
  return note.includes("courses_per_cm") ? r.coursesHint : note;
}

function propertyName(of: string, tube: boolean): string {
  return of === "width" && tube ? w.flatWidth : (r.properties[of] ?? r.of[of] ?? of.replace(/_/g, " "));
}
function sentence({ reason, of, value, unit }: Reason, tube: boolean): string {
  const size = Math.abs(value);
  const by = unit === "grade" ? r.oneGrade(trimmed(size, 1)) : unit === "deg" ? `${trimmed(size, 1)}°` : `${rounded(size)}\u00a0${shown(0, unit, "").unit}`;
  return r.reason[reason]?.(propertyName(of, tube), by) ?? `${propertyName(of, tube)}: ${reason}`;
}

function Properties({ result, tube }: { result: Values; tube: boolean }): JSX.Element {
  const rows = Object.keys(r.properties).flatMap((name) => {
    const of = group(result, name);
    if (!of) return [];
    const find = (begin: string): string => Object.keys(of).find((key) => key.startsWith(begin)) ?? "";
    const cell = (begin: string): string => {
      const value = numberOf(of, find(begin));
      return value === null ? words.none : said(find(begin), value);
    };
    const verdict = String(of["verdict"] ?? "");
    const spread = numberOf(of, find("spread_"));
    return [{
      head: propertyName(name, tube),
      cells: [
        <>{cell("mean_")}{spread === null ? null : <span class="muted"> ±{rounded(spread)}</span>}</>, cell("limit_"), cell("margin_"),
        <span class={verdict === "missed" ? "verdict verdict-outside" : "verdict"}><Shape kind={RESULT_SHAPES[verdict] ?? "note"} />{r.results[verdict] ?? verdict}</span>,
      ],
    }];
  });
  return (
    <section aria-labelledby="result-properties">
      <h3 id="result-properties" class="visually-hidden">{r.property}</h3>
      <Sheet late by="result-properties" head={r.property} columns={[{ title: r.mean }, { title: r.limit }, { title: r.margin }, { title: r.said, left: true }]} rows={rows} />
    </section>
  );
}

const SETTINGS = ["set_width_cm", "set_layflat_cm", "set_overfeed_pct", "overfeed_pct", "length_loss_pct", "machine_c"];
const BEHIND = ["width_cm", "layflat_cm", "courses_per_cm", "moisture_kg_per_kg", "conditioned_gsm"];
const ENDS = ["width_cm", "layflat_cm", "gsm", "length_shrink_pct", "width_shrink_pct"];

function Figs({ of, keys, large }: { of: Values | null; keys: string[]; large?: boolean }): JSX.Element {
  return (
    <dl class={large ? "figs figs-set" : "figs"}>
      {keys.map((key) => {
        const value = numberOf(of, key);
        return value === null ? null : <div key={key} class="fig"><dt>{r.fields[key]}</dt><dd>{said(key, value)}</dd></div>;
      })}
    </dl>
  );
}

/** The passes it is run through again, each as on the line above: set, then measure. */
function Again({ result, passes }: { result: Values; passes: string[] }): JSX.Element {
  return (
    <section class="result-again" aria-labelledby="result-again">
      <h3 id="result-again">{r.run}</h3>
      <ol>
        {passes.map((key, i) => (
          <li key={key}>
            <h4><span class="pass-number">{i + 1}</span> {r.passes[key]}</h4>
            <Figs of={group(result, key)} keys={SETTINGS} large />
            <p class="muted">{w.should}</p>
            <Figs of={group(result, key)} keys={BEHIND} />
          </li>
        ))}
      </ol>
      {group(result, "finished") ? <><h4>{r.ends}</h4><Figs of={group(result, "finished")} keys={ENDS} /></> : null}
    </section>
  );
}

function Nearest({ result }: { result: Values }): JSX.Element | null {
  const best = group(result, "best");
  return best ? <section class="result-again" aria-labelledby="result-nearest"><h3 id="result-nearest">{r.nearest}</h3><Figs of={best} keys={ENDS} /></section> : null;
}

function Wanted({ result }: { result: Values }): JSX.Element | null {
  const wanted = group(result, "limit_wanted");
  const rows = Object.keys(r.limitNames).flatMap((key) => {
    const value = numberOf(wanted, key);
    return value === null ? [] : [`${r.limitNames[key] ?? key}: ${key === "gsm" ? `${number(value)} g/m²` : said(key, value)}`];
  });
  return rows.length ? <section class="result-reasons" aria-labelledby="result-wanted"><h3 id="result-wanted">{r.wanted}</h3><ul>{rows.map((one) => <li key={one}>{one}</li>)}</ul></section> : null;
}
