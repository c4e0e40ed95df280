// What the question is about and what is asked for: plain fields with their units.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import type { Finding } from "../types";
import { told } from "../ui/Field";
import { FindingText, Shape } from "../ui/parts";
import { askedFields, fabricFields, isField, wrongOf, type FabricField } from "./fields";
import { ask, choose, type, typed } from "./state";
import { w } from "./words";

function concerns(finding: Finding, key: string): boolean {
  return finding.place === key || finding.place.endsWith(`.${key}`);
}

export function Form({ problems }: { problems: Finding[] }): JSX.Element {
  const now = typed.value;
  const one = (field: FabricField): JSX.Element => (
    <Field key={field.key} field={field} text={now[field.key] ?? ""} finding={problems.find((p) => concerns(p, field.key))} />
  );
  const rest = problems.filter((p) => !isField(now, p.place.split(".").at(-1) ?? ""));
  return (
    <form class="fabric-form" noValidate onSubmit={(event) => event.preventDefault()}>
      <fieldset class="is-asked">
        <legend>{w.asked}</legend>
        <div class="fabric-fields">{askedFields(now).map(one)}</div>
      </fieldset>
      <fieldset class="is-fabric">
        <legend>{w.fabric}</legend>
        {now["mode"] === "washed" ? <p class="fabric-lead">{w.washedLead}</p> : null}
        <div class="fabric-fields">{fabricFields(now).map(one)}</div>
        {rest.length ? (
          <div class="failure" role="alert"><Shape kind="stop" /><div>{rest.map((finding) => <FindingText key={finding.place + finding.message} finding={finding} />)}</div></div>
        ) : null}
      </fieldset>
    </form>
  );
}

function Field({ field, text, finding }: { field: FabricField; text: string; finding: Finding | undefined }): JSX.Element {
  const id = useId();
  const message = wrongOf(field, text) ?? (finding ? told(finding) : null);
  const marks = message ? { "aria-invalid": "true" as const, "aria-describedby": `${id}-say` } : { "aria-invalid": "false" as const };
  return (
    <div class={field.type === "choice" ? "field fabric-choice" : "field"}>
      <label for={id}>{w.fields[field.key] ?? field.key}</label>
      {field.type === "choice" ? (
        <select class="select" id={id} value={text} {...marks} onChange={(event) => choose(field.key, event.currentTarget.value)}>
          {field.options.map((value) => <option key={value} value={value}>{w.choices[value] ?? value}</option>)}
        </select>
      ) : (
        <span class="field-box">
          <input class="input" id={id} type="text" inputMode="decimal" autocomplete="off" value={text} placeholder={w.empty[field.key] ?? ""} {...marks}
            onFocus={(event) => event.currentTarget.select()} onInput={(event) => type(field.key, event.currentTarget.value)} onChange={() => ask({ fit: true })}
            onKeyDown={(event) => event.key === "Enter" && ask({ fit: true })} />
          <span class="field-unit">{field.unit}</span>
        </span>
      )}
      {message ? <p class="field-say" id={`${id}-say`}>{message}</p> : null}
    </div>
  );
}
