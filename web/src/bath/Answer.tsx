// An answer of the desk. What the question is about stands large; whatever else the server says
// is listed by its key, whose ending is its unit.
import type { JSX } from "preact";
import { number, prose, rounded, sourceName } from "../fmt";
import type { DeskAnswer } from "../types";
import { Shape } from "../ui/parts";
import { Sheet } from "../ui/Sheet";
import { words } from "../words";
import type { Tool } from "./tools";

const w = words.desk;

const UNIT = /_((?:(?:m|k)?g(?:_caco3)?|m?mol|eq|l)(?:_per_(?:l|kg|min|g))?|min|pct|dh|ml|c)$/;
const SIGNS: Record<string, string> = { pct: "%", dh: "°dH", c: "°C", ml: "mL" };

/** "acid_g_per_l" is "acid" in g/L. */
function unitOf(key: string): { name: string; unit: string } {
  const ending = UNIT.exec(key)?.[1];
  if (!ending) return { name: key, unit: "" };
  return { name: key.slice(0, -ending.length - 1), unit: SIGNS[ending] ?? ending.replace("_caco3", " CaCO₃").replace("_per_", "/").replace(/\bl\b/g, "L") };
}
function isPh(key: string): boolean {
  return /(^|_)ph(_|$)/.test(key);
}
export function labelOf(key: string): string {
  const { name } = unitOf(key);
  const known = w.result[key] ?? w.result[name] ?? w.ask[key];
  if (known) return known;
  const text = name.replace(/_/g, " ").replace(/\bph\b/g, "pH");
  return text.startsWith("pH") ? text : text.charAt(0).toUpperCase() + text.slice(1);
}

/** A pH with two decimals, as a meter shows; what is very little with two digits. */
function said(key: string, value: number): { value: string; unit: string } {
  if (isPh(key)) return { value: number(value, 2), unit: "" };
  const little = value !== 0 && Math.abs(value) < 0.1;
  return { value: little ? String(Number(value.toPrecision(2))) : rounded(value), unit: unitOf(key).unit };
}

const SHAPES: Record<string, "ok" | "stop" | "warning"> = { pass: "ok", stop: "stop", warning: "warning" };

type Plain = number | string | boolean;
function isPlain(v: unknown): v is Plain {
  return typeof v === "number" || typeof v === "string" || typeof v === "boolean";
}

/** Records of the same make, two ways of one thing, are compared in one table. */
function sideBySide(entries: [string, object][]): [string, object][] {
  const make = ([, v]: [string, object]): string => (Array.isArray(v) ? "" : Object.keys(v).join());
  const alike = entries.filter((one) => make(one) && entries.some((other) => other !== one && make(other) === make(one)));
  return alike.length ? [["ways", Object.fromEntries(alike)], ...entries.filter((one) => !alike.includes(one))] : entries;
}

export function Answer({ tool, answer }: { tool: Tool; answer: DeskAnswer }): JSX.Element {
  const { result } = answer;
  const large = tool.large.filter((key) => typeof result[key] === "number");
  const off = typeof result["uncertainty_ph"] === "number" ? result["uncertainty_ph"] : null;
  // What was asked with stands in the form.
  const shown = ["uncertainty_ph", "verdict", ...large, ...tool.fields.map((f) => f.key)];
  const rest = Object.entries(result).filter(([key, v]) => isPlain(v) && !shown.includes(key));
  const { verdict } = result;
  const nested = sideBySide(Object.entries(result).filter((entry): entry is [string, object] => typeof entry[1] === "object" && entry[1] !== null));
  return (
    <>
      <dl class="answer-large">
        {large.map((key) => {
          const { value, unit } = said(key, result[key] as number);
          return (
            <div key={key}>
              <dt>{labelOf(key)}</dt>
              <dd>{value}{unit ? <small> {unit}</small> : null}{isPh(key) && off !== null ? <small> ±{number(off, 2)}</small> : null}</dd>
            </div>
          );
        })}
      </dl>
      {typeof verdict === "string" ? <p class="verdict answer-verdict"><Shape kind={SHAPES[verdict] ?? "note"} />{w.verdicts[verdict] ?? verdict}</p> : null}
      {rest.length ? <Facts entries={rest as [string, Plain][]} /> : null}
      {nested.map(([key, v]) => <Nested key={key} name={key} value={v} />)}
      {answer.notes.length ? (
        <ul class="answer-notes">{answer.notes.map((note, i) => <li key={i}><Shape kind="note" /><span>{prose(typeof note === "string" ? note : note.text)}</span></li>)}</ul>
      ) : null}
      <section class="answer-why">
        <h3>{words.why.title}</h3>
        <ul>
          {answer.why.map((one, i) => (
            <li key={i}>
              <strong>{one.label}</strong>
              <p>{prose(one.words)}</p>
              <p class="answer-source">{words.why.source} {sourceName(one.source)}{one.anchor ? <> · {words.why.method} <code>{one.anchor}</code></> : null}</p>
            </li>
          ))}
        </ul>
      </section>
    </>
  );
}

function text(key: string, v: Plain): string {
  if (typeof v === "boolean") return v ? w.yes : w.no;
  if (typeof v === "string") return w.choices[v] ?? w.result[v] ?? v;
  const { value, unit } = said(key, v);
  return unit ? `${value}\u00a0${unit}` : value;
}

/** What takes less than no time longer is shorter. */
function signless([key, v]: [string, Plain]): [string, Plain] {
  return key === "longer_min" && typeof v === "number" && v < 0 ? ["shorter_min", -v] : [key, v];
}

function Facts({ entries }: { entries: [string, Plain][] }): JSX.Element {
  return (
    <dl class="answer-facts">
      {entries.map(signless).map(([key, v]) => <div key={key}><dt>{labelOf(key)}</dt><dd>{text(key, v)}</dd></div>)}
    </dl>
  );
}

/** A list of like records is a table; a record of records is one too, its keys the rows. */
function Nested({ name, value }: { name: string; value: object }): JSX.Element | null {
  const rows: [string, unknown][] = Array.isArray(value) ? value.map((v, i) => [String(i + 1), v]) : Object.entries(value);
  if (!rows.length) return null;
  const records = rows.every(([, v]) => typeof v === "object" && v !== null && !Array.isArray(v));
  const columns = records ? [...new Set(rows.flatMap(([, v]) => Object.entries(v as object).filter(([, cell]) => isPlain(cell)).map(([key]) => key)))] : [];
  if (!records && !rows.every(([, v]) => isPlain(v))) return null;
  const id = `answer-${name}`;
  return (
    <details class="answer-nested" open={records && rows.length <= 3}>
      <summary id={id}>{labelOf(name)}{unitOf(name).unit ? `, ${unitOf(name).unit}` : ""}</summary>
      {records ? (
        <div class="answer-scroll" role="region" tabIndex={0} aria-labelledby={id}>
          <Sheet by={id} head="" columns={columns.map((key) => ({ title: labelOf(key), unit: unitOf(key).unit }))} rows={rows.map(([key, v]) => ({
            head: Array.isArray(value) ? key : labelOf(key),
            cells: columns.map((column) => {
              const cell = (v as Record<string, unknown>)[column];
              return typeof cell === "number" ? said(column, cell).value : isPlain(cell) ? text(column, cell) : words.none;
            }),
          }))} />
        </div>
      ) : <Facts entries={rows as [string, Plain][]} />}
    </details>
  );
}
