// Keys. Nothing happens twice within 300 ms: a wet glass reports touches that nobody made, and the
// key under a finger may have changed. What cannot be undone is pressed for a second.
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { call } from "./sound";
import { w } from "./words";

const DEBOUNCE_MS = 300;
/** A second in ten parts: a page that stands still for a second has not seen the finger leave. */
const HOLD_PARTS = 10;
const HOLD_PART_MS = 100;
const CONFIRM_MS = 4000;
let lastAct = -Infinity;

/** False: too soon after the act before it. */
export function may(): boolean {
  const now = performance.now();
  if (now - lastAct < DEBOUNCE_MS) return false;
  lastAct = now;
  return true;
}

interface KeyProps {
  onPress: () => void;
  children: ComponentChildren;
  strong?: boolean;
  wide?: boolean;
  disabled?: boolean;
  label?: string;
  pressed?: boolean;
  name?: string;
}

export function Key({ onPress, children, strong, wide, disabled, label, pressed, name }: KeyProps): JSX.Element {
  const press = (): void => {
    if (!may()) return;
    call("key");
    onPress();
  };
  return (
    <button type="button" class={`key${strong ? " key-strong" : ""}${wide ? " key-wide" : ""}`} disabled={disabled ?? false} onClick={press}
      {...(label ? { "aria-label": label } : {})} {...(pressed === undefined ? {} : { "aria-pressed": pressed })} {...(name ? { "data-key": name } : {})}>
      {children}
    </button>
  );
}

/**
 * Pressed for a second, with a fill that shows it; by keyboard, Enter or the space bar held as long.
 * A reader's click, which has no length, is asked for twice.
 */
export function HoldKey({ onPress, children, strong, wide, disabled, name }: Omit<KeyProps, "label" | "pressed">): JSX.Element {
  const [holding, setHolding] = useState(false);
  const [asked, setAsked] = useState(false);
  const timer = useRef<ReturnType<typeof setInterval> | undefined>(undefined);
  const touched = useRef(false);
  const stop = (): void => {
    clearInterval(timer.current);
    setHolding(false);
  };
  useEffect(() => stop, []);
  useEffect(() => {
    if (!asked) return undefined;
    const back = setTimeout(() => setAsked(false), CONFIRM_MS);
    return () => clearTimeout(back);
  }, [asked]);
  const done = (): void => {
    stop();
    setAsked(false);
    if (!may()) return;
    call("key");
    onPress();
  };
  const start = (): void => {
    if (disabled || performance.now() - lastAct < DEBOUNCE_MS) return;
    setHolding(true);
    clearInterval(timer.current);
    let parts = 0;
    timer.current = setInterval(() => {
      parts += 1;
      if (parts === HOLD_PARTS) done();
    }, HOLD_PART_MS);
  };
  const isKey = (event: KeyboardEvent): boolean => event.key === "Enter" || event.key === " ";
  return (
    <button type="button" class={`key key-hold${strong ? " key-strong" : ""}${wide ? " key-wide" : ""}${holding ? " is-held" : ""}`} disabled={disabled ?? false} {...(name ? { "data-key": name } : {})}
      onPointerDown={(event) => { if (event.isPrimary && event.button === 0) { touched.current = true; start(); } }}
      onPointerUp={stop} onPointerLeave={stop} onPointerCancel={stop} onBlur={stop}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => { if (isKey(event)) { event.preventDefault(); if (!event.repeat) start(); } }}
      onKeyUp={(event) => { if (isKey(event)) { event.preventDefault(); stop(); } }}
      onClick={() => {
        if (touched.current) touched.current = false;
        else if (asked) done();
        else setAsked(true);
      }}>
      <span class="key-fill" aria-hidden="true" />
      <span class="key-text">{children}<small>{asked ? w.keys.again : w.keys.hold}</small></span>
    </button>
  );
}
