// A number field: takes '.' or ',', says what is wrong beneath it, and keeps what was typed.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { parse, raw } from "../fmt";
import type { Finding } from "../types";
import { words } from "../words";
import { Was } from "./Num";
import "./field.css";

/** What is wrong, for someone who sees the field: what is allowed says more than the message. */
export function told(finding: Finding): string {
  const first = finding.allowed ? `${words.allowed}: ${finding.allowed}.` : finding.message;
  return [first, finding.remedy].filter(Boolean).join(" ");
}

interface Props {
  label: string;
  unit: string;
  /** What stands in the plan now. */
  value: number;
  /** What the stored plan has; a difference is shown. */
  stored?: number | undefined;
  typed: string | undefined;
  finding?: Finding | undefined;
  hint?: string;
  onType: (text: string) => void;
  onSettle: () => void;
  small?: boolean;
}

export function NumberField({ label, unit, value, stored, typed, finding, hint, onType, onSettle, small }: Props): JSX.Element {
  const id = useId();
  const text = typed ?? raw(value);
  const parsed = parse(text);
  const wrong = "wrong" in parsed && typed !== undefined ? words.whatIf.wrong[parsed.wrong] : null;
  const message = wrong ?? (finding ? told(finding) : null);
  const changed = stored !== undefined && "value" in parsed && Math.abs(parsed.value - stored) > 1e-9;
  return (
    <div class={small ? "field field-small" : "field"}>
      <label for={id}>{label}</label>
      <span class="field-box">
        <input class="input" id={id} type="text" size={4} inputMode="decimal" autocomplete="off" value={text}
          aria-invalid={message ? "true" : "false"} {...(message ? { "aria-describedby": `${id}-say` } : {})}
          onInput={(event) => onType(event.currentTarget.value)} onBlur={onSettle} />
        <span class="field-unit">{unit}</span>
      </span>
      {changed ? <Was up={"value" in parsed && parsed.value > stored} text={raw(stored)} /> : hint ? <span class="field-hint">{hint}</span> : null}
      {message ? <p class="field-say" id={`${id}-say`}>{message}</p> : null}
    </div>
  );
}
