// One pass of the line: what to set, the fabric through it, what to measure behind it, what was read.
import type { ComponentChildren, JSX } from "preact";
import { parse, raw, trimmed } from "../fmt";
import type { Finding, MaybeQ, PlanCheck } from "../types";
import { told } from "../ui/Field";
import { Num, type Look } from "../ui/Num";
import { Shape } from "../ui/parts";
import { words } from "../words";
import { liesOf } from "./figures";
import { FIELDS, NEEDED, isEmpty, type FieldName, type Typed } from "./readings";
import type { Line } from "./state";
import type { Behind, FinishPass } from "./types";
import { w } from "./words";

interface FigureProps {
  name: string;
  q: MaybeQ;
  was?: MaybeQ | undefined;
  look?: Look;
  unit?: boolean;
  children?: ComponentChildren;
}
export function Figure({ name, q, was, look, unit, children }: FigureProps): JSX.Element | null {
  if (!q) return null;
  return (
    <div class="fig">
      <dt>{name}</dt>
      <dd><Num q={q} was={was} look={look ?? "plain"} unit={unit ?? true} />{children}</dd>
    </div>
  );
}

export function Settings({ pass, planned }: { pass: FinishPass; planned: FinishPass | undefined }): JSX.Element {
  const { set } = pass;
  const was = planned?.set;
  const s = w.settings;
  if (!pass.shapes) return <p class="pass-none">{w.notReckoned}</p>;
  if (Object.values(set).every((q) => q === null)) return <p class="pass-none">{w.nothingSet}</p>;
  return (
    <dl class="figs figs-set">
      {set.layflat_cm ? <Figure name={s.layflat} q={set.layflat_cm} was={was?.layflat_cm} look="fine" /> : <Figure name={s.width} q={set.width_cm} was={was?.width_cm} look="fine" />}
      <Figure name={s.overfeed} q={set.overfeed_pct} was={was?.overfeed_pct} look="fine">
        {set.length_loss_pct ? <span class="fig-also"><Num q={set.length_loss_pct} look="fine" /> {w.ofLength}</span> : null}
      </Figure>
      <Figure name={s.temp} q={set.temp_c} was={was?.temp_c} />
      <Figure name={s.dwell} q={set.dwell_s} was={was?.dwell_s} />
      <Figure name={s.speed} q={set.speed_m_per_min} was={was?.speed_m_per_min} look="fine" />
    </dl>
  );
}

export function Measures({ behind, planned, tube }: { behind: Behind; planned: Behind | undefined; tube: boolean }): JSX.Element {
  const m = w.measures;
  return (
    <dl class="figs figs-should">
      <Figure name={tube ? m.flat : m.lies} q={liesOf(behind)} was={planned && liesOf(planned)} look="fine" />
      <Figure name={m.courses} q={behind.courses_per_cm} was={planned?.courses_per_cm} look="fine" unit={false} />
      <Figure name={m.moisture} q={behind.moisture_pct} was={planned?.moisture_pct} look="round" />
      <Figure name={m.gsm} q={behind.conditioned_gsm} was={planned?.conditioned_gsm} />
    </dl>
  );
}

/** 6, 9 -> "6 to 9 %". */
function limitsOf({ low, high, unit }: PlanCheck): string {
  const said = (limit: number | null): string | null => (limit === null ? null : trimmed(limit, 1));
  return words.plan.checkLimits(said(low), said(high), unit);
}
/** How much moisture may be left, how it is read, and what to do when it is another. */
export function Moisture({ check }: { check: PlanCheck }): JSX.Element {
  return (
    <p class="pass-note pass-limits">
      <strong>{w.moistureLimits(limitsOf(check))}</strong> {sentence(check.method)} {check.remedy ? <>{words.plan.ifNot}: {sentence(check.remedy)}</> : null}
    </p>
  );
}
const sentence = (text: string): string => (text === "" || /[.!?]$/.test(text) ? text : `${text}.`);
const isOutside = (value: number, { low, high }: PlanCheck): boolean => (low !== null && value < low) || (high !== null && value > high);

/** What a field is held against. */
function expected(behind: Behind, field: FieldName): number {
  return field === "lies_cm" ? liesOf(behind).value : behind[field].value;
}
/** A scale shows no more. */
const DECIMALS: Record<FieldName, number> = { lies_cm: 1, courses_per_cm: 1, moisture_pct: 0, wet_gsm: 0 };

interface ReadProps {
  line: Line;
  n: number;
  pass: FinishPass;
  tube: boolean;
}

export function Read({ line, n, pass, tube }: ReadProps): JSX.Element {
  const typed = line.typed.value[n] ?? {};
  const any = !isEmpty(typed);
  const missing = any ? NEEDED.filter((name) => (typed[name] ?? "").trim() === "") : [];
  const label = (name: FieldName): string => (name === "lies_cm" && tube ? w.flatField : w.fields[name]);
  const fill = (): void => line.fill(n, Object.fromEntries(missing.map((name) => [name, raw(expected(pass.behind, name), DECIMALS[name] + 1)])) as Typed);
  return (
    <form class="pass-read" aria-label={w.readHere(n)} noValidate onSubmit={(event) => { event.preventDefault(); void line.ask(); }}>
      <div class="read-fields">
        {FIELDS.map((name) => (
          <ReadField key={name} id={`read-${n}-${name}`} label={label(name)} text={typed[name] ?? ""} should={expected(pass.behind, name)} decimals={DECIMALS[name]}
            optional={name === "wet_gsm"} check={name === "moisture_pct" ? pass.check : null} finding={line.problems.value.find((p) => p.place === `${n}.${name}`)} type={(text) => line.type(n, name, text)} />
        ))}
      </div>
      {pass.read?.weighed_off_pct ? <WeighedOff q={pass.read.weighed_off_pct} /> : null}
      {missing.length ? <p class="read-missing"><Shape kind="note" />{w.missing(missing.map((name) => label(name).split(",")[0]?.toLowerCase() ?? name).join(", "))}</p> : null}
      {any ? (
        <div class="read-acts no-print">
          {missing.length ? <button type="button" class="button" onClick={fill}>{w.fill}</button> : null}
          <button type="button" class="button button-quiet" aria-label={`${w.clear}: ${w.readHere(n).toLowerCase()}`} onClick={() => line.clear(n)}>{w.clear}</button>
        </div>
      ) : null}
    </form>
  );
}

const WEIGHED_OFF_PCT = 4; // where the plan warns, docs/methods/finish-plan.md

function WeighedOff({ q }: { q: NonNullable<MaybeQ> }): JSX.Element {
  return <p class="read-weighed"><Shape kind={Math.abs(q.value) > WEIGHED_OFF_PCT ? "warning" : "ok"} />{w.weighedOff} <Num q={q} look="fine" /></p>;
}

interface FieldProps {
  id: string;
  label: string;
  text: string;
  should: number;
  decimals: number;
  optional: boolean;
  check: PlanCheck | null;
  finding: Finding | undefined;
  type: (text: string) => void;
}

function ReadField({ id, label, text, should, decimals, optional, check, finding, type }: FieldProps): JSX.Element {
  const blank = text.trim() === "";
  const parsed = parse(text);
  const message = blank ? null : "wrong" in parsed ? words.whatIf.wrong[parsed.wrong] : finding ? told(finding) : null;
  const off = "value" in parsed && !message ? parsed.value - should : null;
  const outside = check && "value" in parsed && !message && isOutside(parsed.value, check) ? check : null;
  return (
    <div class="field read-field">
      <label for={id}>{label}</label>
      <input class="input" id={id} type="text" inputMode="decimal" autocomplete="off" value={text} placeholder={optional ? w.optional : ""} aria-invalid={message ? "true" : "false"}
        {...(message ? { "aria-describedby": `${id}-say` } : {})} onFocus={(event) => event.currentTarget.select()} onInput={(event) => type(event.currentTarget.value)} />
      {message ? <p class="field-say" id={`${id}-say`}>{message}</p> : outside ? <span class="read-off"><Shape kind="stop" /> {w.outsideLimits(limitsOf(outside))}</span> : off !== null ? <Off off={off} decimals={decimals} /> : <span class="read-off">{"\u00a0"}</span>}
    </div>
  );
}

/** "1.8 more": the triangle says which way, as everywhere. */
function Off({ off, decimals }: { off: number; decimals: number }): JSX.Element {
  const by = trimmed(Math.abs(off), decimals);
  if (Number(by) === 0) return <span class="read-off">{w.asPlanned}</span>;
  return (
    <span class="read-off">
      <svg viewBox="0 0 8 8" width="10" height="10" aria-hidden="true"><path d={off > 0 ? "M0 7.5 4 .5l4 7z" : "M0 .5h8l-4 7z"} /></svg>
      {off > 0 ? w.more(by) : w.less(by)}
    </span>
  );
}
