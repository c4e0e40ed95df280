// A question in front of the screen; closed by its key, by Escape, or by what it was asked for.
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useId, useRef } from "preact/hooks";
import { Key } from "./HoldKey";
import { w } from "./words";

interface Props {
  title: string;
  close: () => void;
  children: ComponentChildren;
  closeWord?: string;
  name?: string;
  onKey?: (event: KeyboardEvent) => void;
}

export function Dialog({ title, close, children, closeWord = w.cancel, name, onKey }: Props): JSX.Element {
  const host = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const element = host.current;
    if (!element || element.open) return undefined;
    const before = document.activeElement as HTMLElement | null;
    element.showModal();
    return () => {
      element.close();
      before?.focus?.();
    };
  }, []);
  return (
    <dialog class={`ask${name ? ` ask-${name}` : ""}`} ref={host} aria-labelledby={id} {...(onKey ? { onKeyDown: onKey } : {})} onCancel={(event) => { event.preventDefault(); close(); }}>
      <div class="ask-head">
        <h2 id={id} tabIndex={-1} autofocus>{title}</h2>
        <Key onPress={close} name="close">{closeWord}</Key>
      </div>
      {children}
    </dialog>
  );
}
