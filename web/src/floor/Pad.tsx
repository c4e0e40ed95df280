// The number pad: what is read, in its unit, against its limits. Outside of them it asks again;
// what cannot be read at all is not taken.
import type { ComponentChildren, JSX } from "preact";
import { useState } from "preact/hooks";
import { parse, trimmed } from "../fmt";
import { Shape } from "../ui/parts";
import { Band, sideOf, type Limits } from "./Band";
import { Dialog } from "./Dialog";
import { Key } from "./HoldKey";
import { w } from "./words";

const LONGEST = 7;

interface Props {
  title: string;
  limits: Limits;
  help: ComponentChildren;
  enter: string;
  close: () => void;
  give: (value: number) => void;
}

export function PadDialog({ title, limits, help, enter, close, give }: Props): JSX.Element {
  const [text, setText] = useState("");
  const [sure, setSure] = useState(false);
  const [said, setSaid] = useState("");
  const typed = parse(text.replace(/[.,]$/, ""));
  const value = "value" in typed ? typed.value : null;
  const type = (next: string): void => {
    setSure(false);
    setSaid("");
    if (next.replace(/\D/g, "").length <= LONGEST) setText(next);
  };
  const press = (key: string): void => {
    if (/^\d$/.test(key)) type(text === "0" ? key : text === "-0" ? `-${key}` : text + key);
    else if (key === "." || key === ",") type(/[.]/.test(text) ? text : `${text || "0"}.`);
    else if (key === "-") type(text.startsWith("-") ? text.slice(1) : `-${text}`);
    else if (key === "Backspace") type(text.slice(0, -1));
  };
  const done = (): void => {
    if (value === null) setSaid(w.pad.empty);
    else if (value < limits.least || value > limits.most) setSaid(w.pad.impossible(trimmed(limits.least, 2), w.read(limits.most, limits.unit)));
    else if (sideOf(limits, value) !== "inside" && !sure) setSure(true);
    else give(value);
  };
  const onKey = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const target = event.target as HTMLElement;
    if (event.key === "Enter" && !target.closest("button")) {
      event.preventDefault();
      done();
    } else if (/^[\d.,-]$|^Backspace$/.test(event.key)) {
      event.preventDefault();
      press(event.key);
    }
  };
  return (
    <Dialog title={title} close={close} name="pad" onKey={onKey}>
      <div class="pad">
        <div class="pad-read">
          <div class="pad-help">{help}</div>
          <output class="pad-value" aria-live="polite" tabIndex={0} aria-label={w.pad.title}>
            <span class={text ? "" : "is-empty"}>{text.replace("-", "\u2212") || "–"}</span>
            <span class="pad-unit">{limits.unit === "pH" ? "pH" : w.pad.unit(limits.unit)}</span>
          </output>
          <Band limits={limits} value={value} />
          <p class="pad-limits">{w.limits(limits) ? `${w.pad.limits}: ${w.limits(limits)}` : w.pad.noLimits}</p>
          <p class="pad-say" role="alert">{said ? <><Shape kind="stop" /> {said}</> : sure && value !== null ? <><Shape kind="warning" /> {w.pad.sure(w.read(value, limits.unit))}</> : null}</p>
        </div>
        <div class="pad-keys">
          <Digits of="789" press={press} /><Digit label={w.pad.back} onPress={() => press("Backspace")}><BackMark /></Digit>
          <Digits of="456" press={press} />{limits.least < 0
            ? <Digit label={w.pad.minus} onPress={() => press("-")}>±</Digit>
            : <button type="button" class="key pad-clear" onClick={() => type("")}>{w.pad.clear}</button>}
          <Digits of="123" press={press} /><Digit label={w.pad.point} onPress={() => press(".")}>.</Digit>
          {sure
            ? <><Key name="no" onPress={() => type("")}>{w.pad.no}</Key><Key strong name="yes" onPress={done}>{w.pad.yes}</Key></>
            : <><Digits of="0" press={press} /><Key strong wide name="enter" onPress={done}>{enter}</Key></>}
        </div>
      </div>
    </Dialog>
  );
}

export function Digits({ of, press }: { of: string; press: (key: string) => void }): JSX.Element {
  return <>{[...of].map((d) => <Digit key={d} onPress={() => press(d)}>{d}</Digit>)}</>;
}
/** Digits follow each other faster than acts do; the same one twice within a blink is a drop of water. */
const TWICE_MS = 80;
let last = { what: "", at: 0 };
export function Digit({ onPress, children, label }: { onPress: () => void; children: ComponentChildren; label?: string }): JSX.Element {
  const press = (): void => {
    const what = label ?? String(children);
    const at = performance.now();
    if (what === last.what && at - last.at < TWICE_MS) return;
    last = { what, at };
    onPress();
  };
  return <button type="button" class="key key-digit" onClick={press} {...(label ? { "aria-label": label } : {})}>{children}</button>;
}
function BackMark(): JSX.Element {
  return <svg viewBox="0 0 32 24" width="44" height="33" aria-hidden="true"><path class="mark" d="M10 2h20v20H10L2 12z M15 8l8 8 M23 8l-8 8" /></svg>;
}

/** A sample that is looked at has no number: it is as it should be, or it is not. */
export function LookDialog({ title, help, limits, close, give }: Omit<Props, "enter">): JSX.Element {
  const good = limits.low !== null || limits.high === null ? 1 : 0; // the side on which the limits let it pass
  return (
    <Dialog title={title} close={close}>
      <div class="pad-help">{help}</div>
      <div class="key-list key-list-two">
        <Key name="good" onPress={() => give(good)}><Shape kind="ok" /> {w.pad.good}</Key>
        <Key name="bad" onPress={() => give(1 - good)}><Shape kind="stop" /> {w.pad.notGood}</Key>
      </div>
    </Dialog>
  );
}
