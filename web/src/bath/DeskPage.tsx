// The bath desk: a question a page, plain fields with their units, the answer large, its why below.
import { signal, type Signal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useId, useState } from "preact/hooks";
import { ApiError, Unreachable, api, offline } from "../api";
import { parse } from "../fmt";
import { href } from "../place";
import type { DeskAnswer, Finding } from "../types";
import { told } from "../ui/Field";
import { FindingText, Shape } from "../ui/parts";
import { words } from "../words";
import { Answer } from "./Answer";
import { TOOLS, type DeskField, type DeskNumber, type Tool } from "./tools";
import "./desk.css";

const w = words.desk;

interface Desk {
  typed: Record<string, string>;
  answer: DeskAnswer | null;
  /** What the answer was asked with. */
  asked: string;
  error: Error | null;
  busy: boolean;
}
/** Outlive the page: coming back finds each question as it was left. */
const desks = new Map<string, Signal<Desk>>();
function deskOf(tool: Tool): Signal<Desk> {
  let desk = desks.get(tool.id);
  if (!desk) {
    const typed = Object.fromEntries(tool.fields.map((f) => [f.key, f.type === "number" ? f.start : (f.options[0]?.[0] ?? "")]));
    desk = signal<Desk>({ typed, answer: null, asked: "", error: null, busy: false });
    desks.set(tool.id, desk);
  }
  return desk;
}

function applies(field: DeskField, typed: Record<string, string>): boolean {
  if (!field.when) return true;
  const [choice, ...values] = field.when;
  return values.includes(typed[choice] ?? "");
}

/** Why a field cannot be sent as it stands. */
function wrongOf(field: DeskField, text: string): string | null {
  if (field.type === "choice" || (text.trim() === "" && field.optional)) return null;
  const parsed = parse(text);
  return "wrong" in parsed ? words.whatIf.wrong[parsed.wrong] : null;
}

function questionOf(tool: Tool, typed: Record<string, string>): Record<string, unknown> {
  const out: Record<string, unknown> = { do: tool.do };
  for (const field of tool.fields) {
    const text = typed[field.key] ?? "";
    if (!applies(field, typed) || text.trim() === "") continue;
    const parsed = field.type === "number" ? parse(text) : null;
    if (!parsed) out[field.key] = text;
    else if ("value" in parsed) out[field.key] = parsed.value;
  }
  return out;
}

/** The newest question of a desk; an older answer that comes late is not taken. */
const running = new Map<string, AbortController>();

async function ask(tool: Tool, desk: Signal<Desk>): Promise<void> {
  const { typed } = desk.peek();
  if (tool.fields.some((f) => applies(f, typed) && wrongOf(f, typed[f.key] ?? ""))) return;
  running.get(tool.id)?.abort();
  const mine = new AbortController();
  running.set(tool.id, mine);
  desk.value = { ...desk.peek(), busy: true };
  const question = questionOf(tool, typed);
  try {
    const answer = await api.desk(question, mine.signal);
    desk.value = { ...desk.peek(), answer, asked: JSON.stringify(question), error: null, busy: false };
  } catch (error) {
    if (!mine.signal.aborted) desk.value = { ...desk.peek(), error: error as Error, busy: false };
  }
}

export function DeskPage({ tool }: { tool: Tool }): JSX.Element {
  const desk = deskOf(tool);
  const { typed, answer, asked, error, busy } = desk.value;
  useEffect(() => {
    if (!desk.peek().answer) void ask(tool, desk);
  }, []);
  const away = offline.value;
  useEffect(() => {
    if (!away && desk.peek().error instanceof Unreachable) void ask(tool, desk);
  }, [away]);
  const problems = error instanceof ApiError ? error.all : [];
  const stale = answer !== null && (error !== null || asked !== JSON.stringify(questionOf(tool, typed)));
  return (
    <>
      <div class="page-head"><h1>{w.title}</h1></div>
      <div class="desk">
        <nav class="desk-tools" aria-label={w.questions}>
          {TOOLS.map((one) => <a key={one.id} href={href(["desk", one.id])} {...(one === tool ? { "aria-current": "page" as const } : {})}>{one.title}</a>)}
        </nav>
        <Form tool={tool} desk={desk} problems={problems} busy={busy} />
        <section class="desk-answer" aria-label={w.answer} aria-busy={busy}>
          <p class="desk-state" role="status">{busy ? <><span class="spinner" aria-hidden="true" />{w.working}</> : stale ? <><Shape kind="note" /> {w.stale}</> : w.answer}</p>
          {error && !(error instanceof ApiError) ? <p class="desk-lost"><Shape kind="stop" /> {error instanceof Unreachable ? words.unreachable : error.message}</p> : null}
          {answer ? <div class={stale || busy ? "is-stale" : ""}><Answer tool={tool} answer={answer} /></div> : <div class="desk-empty" />}
        </section>
      </div>
    </>
  );
}

interface FormProps {
  tool: Tool;
  desk: Signal<Desk>;
  problems: Finding[];
  busy: boolean;
}

function concerns(finding: Finding, key: string): boolean {
  return finding.place === key || finding.place.endsWith(`.${key}`);
}

function Form({ tool, desk, problems, busy }: FormProps): JSX.Element {
  const { typed } = desk.value;
  const type = (key: string, text: string): void => void (desk.value = { ...desk.peek(), typed: { ...desk.peek().typed, [key]: text } });
  const fields = tool.fields.filter((f) => applies(f, typed));
  const folded = (f: DeskField): boolean => f.type === "number" && f.more === true;
  const one = (field: DeskField): JSX.Element => (
    <Field key={field.key} field={field} text={typed[field.key] ?? ""} finding={problems.find((p) => concerns(p, field.key))} type={(text) => type(field.key, text)} />
  );
  const more = fields.filter(folded);
  // What was filled in, or is wrong, is never hidden.
  const open = more.some((f) => f.key !== "cold_c" && typed[f.key]) || more.some((f) => problems.some((p) => concerns(p, f.key)));
  const rest = problems.filter((p) => !fields.some((f) => concerns(p, f.key)));
  return (
    <form class="desk-form" onSubmit={(event) => { event.preventDefault(); void ask(tool, desk); }} noValidate>
      <h2>{tool.title}</h2>
      <p class="section-lead">{tool.lead}</p>
      <div class="desk-fields">{fields.filter((f) => !folded(f)).map(one)}</div>
      {more.length ? <Fold open={open}>{more.map(one)}</Fold> : null}
      {rest.length ? (
        <div class="failure" role="alert"><Shape kind="stop" /><div>{rest.map((finding) => <FindingText key={finding.place + finding.message} finding={finding} />)}</div></div>
      ) : null}
      <button type="submit" class="button button-strong desk-go" aria-disabled={busy}>{w.go}</button>
    </form>
  );
}

function Fold({ open, children }: { open: boolean; children: JSX.Element[] }): JSX.Element {
  const [wanted, setWanted] = useState(open);
  useEffect(() => {
    if (open) setWanted(true);
  }, [open]);
  return (
    <details class="desk-more" open={wanted} onToggle={(event) => setWanted(event.currentTarget.open)}>
      <summary>{w.more}</summary>
      <div class="desk-fields">{children}</div>
    </details>
  );
}

interface FieldProps {
  field: DeskField;
  text: string;
  finding: Finding | undefined;
  type: (text: string) => void;
}

function Field({ field, text, finding, type }: FieldProps): JSX.Element {
  const id = useId();
  const message = wrongOf(field, text) ?? (finding ? told(finding) : null);
  return (
    <div class={field.type === "choice" ? "field desk-field desk-choice" : "field desk-field"}>
      <label for={id}>{field.label}</label>
      {field.type === "choice" ? (
        <select class="select" id={id} value={text} onChange={(event) => type(event.currentTarget.value)} {...invalid(message, id)}>
          {field.options.map(([value, label]) => <option key={value} value={value}>{label}</option>)}
        </select>
      ) : <Entry field={field} id={id} text={text} message={message} type={type} />}
      {message ? <p class="field-say" id={`${id}-say`}>{message}</p> : null}
    </div>
  );
}

function invalid(message: string | null, id: string): { "aria-invalid": "true" | "false"; "aria-describedby"?: string } {
  return message ? { "aria-invalid": "true", "aria-describedby": `${id}-say` } : { "aria-invalid": "false" };
}

function Entry({ field, id, text, message, type }: { field: DeskNumber; id: string; text: string; message: string | null; type: (text: string) => void }): JSX.Element {
  return (
    <span class="field-box">
      <input class="input" id={id} type="text" inputMode="decimal" autocomplete="off" value={text} placeholder={field.optional ? "0" : ""} {...invalid(message, id)}
        onFocus={(event) => event.currentTarget.select()} onInput={(event) => type(event.currentTarget.value)} />
      <span class="field-unit">{field.unit}</span>
    </span>
  );
}
