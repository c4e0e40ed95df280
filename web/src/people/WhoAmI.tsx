// In the frame: who is signed in, and what can be done about it.
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { href, place } from "../place";
import { lock, may, signOut, who } from "./session";
import { w } from "./words";
import "./who.css";

export function WhoAmI(): JSX.Element | null {
  const box = useRef<HTMLDetailsElement>(null);
  const me = who.value;
  const here = place.value;
  useEffect(() => {
    if (box.current) box.current.open = false;
  }, [here, me?.locked]);
  if (!me?.signed_in) return null;
  const leave = (event: KeyboardEvent): void => {
    if (event.key !== "Escape" || !box.current) return;
    box.current.open = false;
    box.current.querySelector("summary")?.focus();
  };
  return (
    <details class="who" ref={box} onKeyDown={leave}>
      <summary aria-label={w.menu(me.demo ? w.demo : me.name)}>{me.demo ? w.demo : me.name}</summary>
      <div class="who-menu">
        <p>{me.demo ? w.mayAll : me.roles.map(w.role).join(", ")}</p>
        {may("people-change") ? <a class="button" href={href(["people"])}>{w.people}</a> : me.demo || me.by_pin ? null : <a class="button" href={href(["people"])}>{w.own}</a>}
        {me.demo ? null : <button type="button" class="button" onClick={() => void lock().catch(() => undefined)}>{w.lock}</button>}
        {me.demo ? null : <button type="button" class="button" onClick={() => void signOut().catch(() => undefined)}>{w.signOut}</button>}
      </div>
    </details>
  );
}
