// What was measured after washing: plain fields, large enough for the floor.
import type { Signal } from "@preact/signals";
import type { ComponentChildren, JSX } from "preact";
import { useId } from "preact/hooks";
import { parse } from "../fmt";
import type { Finding, Plan } from "../types";
import { told } from "../ui/Field";
import { FindingText, Shape } from "../ui/parts";
import { words } from "../words";
import { ResultAnswer } from "./ResultAnswer";
import { r } from "./resultWords";
import { GRADES, READINGS_MOST, answering, ask, formOf, placeOf, problemsOf, type Form, type GradeName, type ListName, type NumberName, type Twist } from "./results";
import type { Finish } from "./types";

interface Place {
  name: string;
  at: number;
  finding: Finding;
}
interface Desk {
  form: Signal<Form>;
  places: Place[];
  tube: boolean;
}

export function Results({ plan, finish }: { plan: Plan; finish: Finish }): JSX.Element {
  const form = formOf(plan, finish);
  const { answer, asked, busy, error } = form.value;
  const places = problemsOf(form.value).map((finding) => ({ ...placeOf(form.value, finding.place), finding }));
  const shown = (p: Place): boolean => p.name in form.value.lists || p.name in form.value.numbers || GRADES.some((g) => p.name === g || p.name === `${g}_min`);
  const rest = places.filter((p) => !shown(p));
  const desk = { form, places, tube: finish.tube };
  const stale = answer !== null && (error !== null || asked !== answering(form.value));
  return (
    <section class={answer ? "results" : "results no-print"} aria-labelledby="results-title">
      <div class="line-head">
        <h2 id="results-title">{r.title}</h2>
        <p class="line-state">{r.lead}</p>
      </div>
      <div class="results-desk">
        <form class="results-form" noValidate onSubmit={(event) => { event.preventDefault(); void ask(plan.lot.lot_id, form, finish); }}>
          <Measured {...desk} />
          {rest.length ? (
            <div class="failure" role="alert"><Shape kind="stop" /><div>{rest.map(({ finding }) => <FindingText key={finding.place + finding.message} finding={finding} />)}</div></div>
          ) : null}
          <button type="submit" class="button button-strong results-go" aria-disabled={busy}>{r.go}</button>
        </form>
        <section class="results-answer" aria-label={r.answer} aria-busy={busy}>
          <p class="line-state" role="status">
            {busy ? <><span class="spinner" aria-hidden="true" />{r.working}</> : stale ? <><Shape kind="note" />{r.stale}</> : answer ? r.answer : r.empty}
          </p>
          {error && !places.length ? <p class="results-lost"><Shape kind="stop" />{words.unreachable}</p> : null}
          {answer ? <div class={stale || busy ? "is-stale" : ""}><ResultAnswer answer={answer} tube={finish.tube} /></div> : null}
        </section>
      </div>
    </section>
  );
}

function Measured(desk: Desk): JSX.Element {
  const { form, tube } = desk;
  const { twist } = form.value;
  return (
    <>
      <Group title={r.marks} lead={r.marksLead}>
        <NumberInput {...desk} name="mark_cm" />
        <List {...desk} name="length_after_cm" />
        <List {...desk} name="width_after_cm" />
      </Group>
      <Group title={r.weight}>
        <NumberInput {...desk} name="sample_cm2" />
        <List {...desk} name="sample_g" />
      </Group>
      <Group title={r.width}>
        <List {...desk} name="measured" label={tube ? r.measuredFlat : undefined} />
      </Group>
      <Group title={r.twist}>
        <TwistSelect form={form} />
        <NumberInput {...desk} name={twist === "square" ? "twist_max_pct" : "spirality_max_deg"} />
        {twist === "square" ? <><List {...desk} name="diagonal_ac_cm" /><List {...desk} name="diagonal_bd_cm" /></> : <List {...desk} name="spirality_deg" />}
      </Group>
      <Fold title={r.grades} open={desk.places.some((p) => GRADES.some((g) => p.name.startsWith(g)))}><Grades {...desk} /></Fold>
      <Fold title={r.more} open={has(desk, ["bow_cm", "skew_cm", "bow_max_pct", "skew_max_pct", "courses_per_cm", "moisture_pct"])}>
        <div class="result-fields">
          <NumberInput {...desk} name="courses_per_cm" /><NumberInput {...desk} name="moisture_pct" />
          {tube ? null : <><NumberInput {...desk} name="bow_max_pct" /><List {...desk} name="bow_cm" /><NumberInput {...desk} name="skew_max_pct" /><List {...desk} name="skew_cm" /></>}
        </div>
        <p class="pass-note">{r.coursesHint}</p>
      </Fold>
      <Fold title={r.limits} open={has(desk, LIMITS)}>
        <p class="pass-note">{r.limitsLead}</p>
        <div class="result-fields result-limits">{LIMITS.map((name) => <NumberInput key={name} {...desk} name={name} label={name === "width" && tube ? r.flatWidth : undefined} />)}</div>
      </Fold>
    </>
  );
}
const LIMITS: NumberName[] = ["width", "width_tol", "gsm", "gsm_tol_pct", "length_shrink_pct", "width_shrink_pct", "growth_pct"];

function has({ places }: Desk, names: string[]): boolean {
  return places.some((p) => names.includes(p.name));
}

function Group({ title, lead, children }: { title: string; lead?: string; children: ComponentChildren }): JSX.Element {
  const id = useId();
  return (
    <section class="result-group" aria-labelledby={id}>
      <h3 id={id}>{title}</h3>
      {lead ? <p class="pass-note">{lead}</p> : null}
      <div class="result-fields">{children}</div>
    </section>
  );
}

/** What is wrong is never hidden. */
function Fold({ title, open, children }: { title: string; open: boolean; children: ComponentChildren }): JSX.Element {
  return (
    <details class="result-fold" {...(open ? { open: true } : {})}>
      <summary>{title}</summary>
      {children}
    </details>
  );
}

function messageOf(text: string, finding: Finding | undefined): string | null {
  if (text.trim() === "") return finding ? told(finding) : null;
  const parsed = parse(text);
  return "wrong" in parsed ? words.whatIf.wrong[parsed.wrong] : finding ? told(finding) : null;
}

interface InputProps {
  id: string;
  text: string;
  label?: string;
  message: string | null;
  type: (text: string) => void;
}
function Input({ id, text, label, message, type }: InputProps): JSX.Element {
  return (
    <input class="input" id={id} type="text" inputMode="decimal" autocomplete="off" value={text} aria-invalid={message ? "true" : "false"}
      {...(label ? { "aria-label": label } : {})} {...(message ? { "aria-describedby": `${id}-say` } : {})}
      onFocus={(event) => event.currentTarget.select()} onInput={(event) => type(event.currentTarget.value)} />
  );
}

function NumberInput({ form, places, name, label }: Desk & { name: NumberName; label?: string | undefined }): JSX.Element {
  const text = form.value.numbers[name];
  const message = messageOf(text, places.find((p) => p.name === name)?.finding);
  const id = `result-${name}`;
  const type = (value: string): void => void (form.value = { ...form.peek(), numbers: { ...form.peek().numbers, [name]: value } });
  return (
    <div class="field result-field">
      <label for={id}>{label ?? r.numbers[name]}</label>
      <Input id={id} text={text} message={message} type={type} />
      {message ? <p class="field-say" id={`${id}-say`}>{message}</p> : null}
    </div>
  );
}

/** Readings of one kind side by side; a place more comes when the last one is filled. */
function List({ form, places, name, label }: Desk & { name: ListName; label?: string | undefined }): JSX.Element {
  const texts = form.value.lists[name];
  const title = label ?? r.lists[name];
  const type = (i: number, value: string): void => {
    const next = texts.map((text, k) => (k === i ? value : text));
    if (i === next.length - 1 && value.trim() !== "" && next.length < READINGS_MOST) next.push("");
    form.value = { ...form.peek(), lists: { ...form.peek().lists, [name]: next } };
  };
  const messages = texts.map((text, i) => messageOf(text, places.find((p) => p.name === name && p.at === i)?.finding));
  return (
    <fieldset class="result-list">
      <legend>{title}</legend>
      <div class="result-readings">
        {texts.map((text, i) => <Input key={i} id={`result-${name}-${i}`} text={text} label={r.one(title, i + 1)} message={messages[i] ?? null} type={(value) => type(i, value)} />)}
      </div>
      {messages.map((message, i) => (message ? <p key={i} class="field-say" id={`result-${name}-${i}-say`}>{message}</p> : null))}
    </fieldset>
  );
}

function TwistSelect({ form }: { form: Signal<Form> }): JSX.Element {
  return (
    <div class="field result-field result-wide">
      <label for="result-twist">{r.twistBy}</label>
      <select class="select" id="result-twist" value={form.value.twist} onChange={(event) => (form.value = { ...form.peek(), twist: event.currentTarget.value as Twist })}>
        {(["square", "angle"] as const).map((by) => <option key={by} value={by}>{r.by[by]}</option>)}
      </select>
    </div>
  );
}

const HALVES = ["1", "1-2", "2", "2-3", "3", "3-4", "4", "4-5", "5", "5-6", "6", "6-7", "7", "7-8", "8"];
const GREY_SCALE = 9; // of them; the blue scale goes on to 8

function Grades({ form }: Desk): JSX.Element {
  const set = (key: GradeName | `${GradeName}_min`, value: string): void => void (form.value = { ...form.peek(), grades: { ...form.peek().grades, [key]: value } });
  const pick = (name: GradeName, key: GradeName | `${GradeName}_min`, empty: string, label: string): JSX.Element => (
    <select class="select" aria-label={`${r.gradeNames[name]}, ${label.toLowerCase()}`} value={form.value.grades[key] ?? ""} onChange={(event) => set(key, event.currentTarget.value)}>
      <option value="">{empty}</option>
      {HALVES.slice(0, name === "light" ? HALVES.length : GREY_SCALE).map((grade) => <option key={grade} value={grade}>{grade}</option>)}
    </select>
  );
  return (
    <>
      <p class="pass-note">{r.gradesLead}</p>
      <table class="grades" aria-label={r.grades}>
        <thead><tr><th scope="col">{r.grade}</th><th scope="col">{r.found}</th><th scope="col">{r.least}</th></tr></thead>
        <tbody>
          {GRADES.map((name) => (
            <tr key={name}><th scope="row">{r.gradeNames[name]}</th><td>{pick(name, name, r.notRated, r.found)}</td><td>{pick(name, `${name}_min`, r.notAsked, r.least)}</td></tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
