// Lights, observer, formula and its weights; and which dyes a search may take. Folded: one line says what holds.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { ApiError } from "../api";
import { told } from "../ui/Field";
import { Shape } from "../ui/parts";
import { words } from "../words";
import { LIGHTS_MOST, PARTS_MOST, type Rule, decides, deepest, formula, freeDyes, hasWeights, light, lights, look, narrowing, observer, ratioOpen, rules, setPart, together, weightC, weightL, wrongIn } from "./compare";
import { ask, askAnew, calibrated, error, found, lightView } from "./state";
import { w } from "./words";

const NBSP = "\u00a0";

/** Radio buttons of the lights: under which the fields and plots are shown. */
export function Lights(): JSX.Element {
  const name = useId();
  return (
    <fieldset class="lab-lights">
      <legend>{w.light}</legend>
      {lights.value.map((one) => (
        <label key={one}><input type="radio" name={name} value={one} checked={light.value === one} onChange={() => (light.value = one)} /><span>{one}</span></label>
      ))}
    </fieldset>
  );
}

/** Lights by kind, as people look for them. */
function groups(all: string[]): [string, string[]][] {
  const led = all.filter((one) => one.startsWith("LED"));
  const tube = all.filter((one) => one.startsWith("F"));
  return [[w.lightGroups.day, all.filter((one) => !led.includes(one) && !tube.includes(one))], [w.lightGroups.tube, tube], [w.lightGroups.led, led]];
}

export function Conditions({ then }: { then?: () => void }): JSX.Element {
  const id = useId();
  const known = calibrated.value?.laboratory.illuminants ?? lights.value;
  const first = lights.value[0] ?? "";
  const full = lights.value.length === LIGHTS_MOST;
  const changed = (): void => { askAnew(); then?.(); };
  const again = (): void => { ask(); then?.(); };
  const caption = lightView.value?.caption.split(", ").slice(2).join(", ");
  return (
    <details class="lab-conditions">
      <summary><span>{w.conditions}</span> <span class="lab-now-holds">{w.conditionsNow(lights.value.join(", "), observer.value, caption ?? w.formulas[formula.value] ?? "")}</span></summary>
      <div class="lab-conditions-form">
        <div class="field">
          <label for={`${id}-d`}>{w.decides}</label>
          <select class="select" id={`${id}-d`} value={first} onChange={(event) => { decides(event.currentTarget.value); changed(); }}>
            {groups(known).map(([word, list]) => <optgroup key={word} label={word}>{list.map((one) => <option key={one} value={one}>{one}</option>)}</optgroup>)}
          </select>
        </div>
        <div class="field lab-short">
          <label for={`${id}-o`}>{w.observer}</label>
          <select class="select" id={`${id}-o`} value={observer.value} onChange={(event) => { observer.value = event.currentTarget.value; changed(); }}>
            {["10", "2"].map((n) => <option key={n} value={n}>{w.observers[n]}</option>)}
          </select>
        </div>
        <div class="field lab-short">
          <label for={`${id}-f`}>{w.formula}</label>
          <select class="select" id={`${id}-f`} value={formula.value} onChange={(event) => { formula.value = event.currentTarget.value; again(); }}>
            {Object.entries(w.formulas).map(([key, word]) => <option key={key} value={key}>{word}</option>)}
          </select>
        </div>
        {hasWeights.value ? <Weight place="l" label={w.weightL} text={weightL.value} onType={(text) => { weightL.value = text; again(); }} /> : null}
        {hasWeights.value ? <Weight place="c" label={w.weightC} text={weightC.value} onType={(text) => { weightC.value = text; again(); }} /> : null}
        <fieldset class="lab-also">
          <legend>{w.also} <span class="muted">{w.lightsMost(LIGHTS_MOST)}</span></legend>
          {groups(known).map(([word, list]) => (
            <div key={word} role="group" aria-label={word}>
              {list.map((one) => {
                const on = lights.value.includes(one);
                return <label key={one}><input type="checkbox" value={one} checked={on} disabled={one === first || (full && !on)} onChange={(event) => { look(one, event.currentTarget.checked); again(); }} /><span>{one}</span></label>;
              })}
            </div>
          ))}
        </fieldset>
      </div>
    </details>
  );
}

function Weight({ place, label, text, onType }: { place: string; label: string; text: string; onType: (text: string) => void }): JSX.Element {
  const failed = error.value instanceof ApiError ? error.value.all.find((p) => p.place === place || p.place === `formula.${place}`) : undefined;
  return <Small label={label} text={text} hint={w.usual} wrong={failed ? told(failed) : null} onType={onType} />;
}

/** A number that may be left out. */
export function Small({ label, text, unit, hint, wrong, onType }: { label: string; text: string; unit?: string; hint?: string; wrong?: string | null; onType: (text: string) => void }): JSX.Element {
  const id = useId();
  const bad = wrongIn(text);
  const say = bad ? words.whatIf.wrong[bad as keyof typeof words.whatIf.wrong] : (wrong ?? null);
  return (
    <div class="field lab-short">
      <label for={id}>{label}</label>
      <span class="field-box">
        <input class="input" id={id} type="text" inputMode="decimal" autocomplete="off" value={text} placeholder={hint ?? ""} aria-invalid={say ? "true" : "false"} {...(say ? { "aria-describedby": `${id}-say` } : {})} onInput={(event) => onType(event.currentTarget.value)} />
        {unit ? <span class="field-unit">{unit}</span> : null}
      </span>
      {say ? <p class="field-say" id={`${id}-say`}>{say}</p> : null}
    </div>
  );
}

/* -- the dyes of a search -- */

function narrowWords(n: number): string {
  const all = narrowing();
  const list = (text: string | undefined): string => (text ?? "").split(",").join(", ");
  const said = [
    all["must"] ? `${w.rules["must"]}: ${list(all["must"])}` : "",
    all["never"] ? `${w.rules["never"]}: ${list(all["never"])}` : "",
    all["limits"] ? `${w.deepest.toLowerCase()}: ${list(all["limits"]).replace(/=/g, NBSP)}` : "",
    all["ratios"] ? all["ratios"].split(",").map((one) => one.replace("=", NBSP)).join(" : ") : "",
  ].filter(Boolean);
  return said.length ? said.join("; ") : w.narrowNone(n);
}

export function Narrow(): JSX.Element | null {
  const dyes = calibrated.value?.laboratory.dyes ?? [];
  if (!dyes.length) return null;
  const failed = error.value instanceof ApiError && found.value ? error.value.all.filter((p) => ["must", "never", "limits", "ratios", "choices", "dyes_max"].includes(p.place)) : [];
  return (
    <details class="lab-conditions lab-narrow">
      <summary><span>{w.narrow}</span> <span class="lab-now-holds">{narrowWords(dyes.length)}</span></summary>
      <ul class="lab-rules">
        {dyes.map((d) => <DyeRule key={d.dye_id} dye={d.dye_id} most={d.most_pct_owf} />)}
      </ul>
      <fieldset class="lab-dyed lab-together">
        <legend>{w.together}</legend>
        {together.value.slice(0, PARTS_MOST).map((row, i) => (
          <div class="lab-dyed-row" key={i}>
            <select class="select" aria-label={w.togetherDye(i + 1)} value={row.dye} onChange={(event) => { setPart(i, { dye: event.currentTarget.value }); ask(); }}>
              <option value="">{w.noDye}</option>
              {dyes.map((d) => <option key={d.dye_id} value={d.dye_id}>{d.dye_id}</option>)}
            </select>
            <span class="field-box">
              <input class="input" type="text" inputMode="decimal" autocomplete="off" aria-label={w.partOf(i + 1)} value={row.part} aria-invalid={row.dye && wrongIn(row.part) ? "true" : "false"} onInput={(event) => { setPart(i, { part: event.currentTarget.value }); ask(); }} />
              <span class="field-unit">{w.parts}</span>
            </span>
          </div>
        ))}
        {ratioOpen.value ? <p class="field-hint">{w.ratioOpen}</p> : null}
      </fieldset>
      {failed.map((p) => <p key={p.place} class="field-say" role="alert"><Shape kind="stop" /> {told(p)}</p>)}
      {Object.keys(narrowing()).length ? <button type="button" class="button" onClick={() => { freeDyes(); ask(); }}>{w.free}</button> : null}
    </details>
  );
}

function DyeRule({ dye, most }: { dye: string; most: number }): JSX.Element {
  const name = useId();
  const rule = rules.value[dye] ?? "may";
  const text = deepest.value[dye] ?? "";
  const bad = wrongIn(text);
  return (
    <li>
      <span class="lab-rule-dye">{dye}</span>
      <fieldset class="lab-lights"><legend class="visually-hidden">{w.rulesOf(dye)}</legend>
        {(["may", "must", "never"] as Rule[]).map((one) => (
          <label key={one}><input type="radio" name={name} value={one} checked={rule === one} onChange={() => { rules.value = { ...rules.peek(), [dye]: one }; ask(); }} /><span>{w.rules[one]}</span></label>
        ))}
      </fieldset>
      <span class="field-box">
        <input class="input" type="text" inputMode="decimal" autocomplete="off" aria-label={w.deepestOf(dye)} placeholder={String(most)} value={text} aria-invalid={bad ? "true" : "false"} onInput={(event) => { deepest.value = { ...deepest.peek(), [dye]: event.currentTarget.value }; ask(); }} />
        <span class="field-unit">{w.owf}</span>
      </span>
    </li>
  );
}
