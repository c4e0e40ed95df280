// Signing in, and unlocking what is locked.
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { ApiError } from "../api";
import { Shape } from "../ui/parts";
import { words } from "../words";
import { keepWay, way, type Way } from "./device";
import { KeySize, Keypad } from "./Keypad";
import { signIn, signOut, unlock, who } from "./session";
import { w } from "./words";
import "./people.css";

/** Runs what a form asks for; what went wrong is said in it. */
function useTry(): { busy: boolean; wrong: string; run: (work: () => Promise<void>) => Promise<boolean>; clear: () => void } {
  const [busy, setBusy] = useState(false);
  const [wrong, setWrong] = useState("");
  const run = async (work: () => Promise<void>): Promise<boolean> => {
    setBusy(true);
    setWrong("");
    try {
      await work();
      return true;
    } catch (error) {
      setWrong(error instanceof ApiError ? `${error.body.message} ${error.body.remedy}` : words.unreachable);
      return false;
    } finally {
      setBusy(false);
    }
  };
  return { busy, wrong, run, clear: () => setWrong("") };
}

const Wrong = ({ text }: { text: string }): JSX.Element => (
  <div class="signin-wrong" role="alert">{text ? <><Shape kind="warning" /><p>{text}</p></> : null}</div>
);

function Form({ onSubmit, children }: { onSubmit: () => void; children: ComponentChildren }): JSX.Element {
  return <form class="signin-form" onSubmit={(event) => { event.preventDefault(); onSubmit(); }}>{children}</form>;
}

function PasswordField({ value, onType, focus }: { value: string; onType: (text: string) => void; focus?: boolean }): JSX.Element {
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const [shown, setShown] = useState(false);
  useEffect(() => {
    if (focus) field.current?.focus();
  }, []);
  return (
    <div>
      <label class="signin-label" for={id}>{w.password}</label>
      <span class="signin-row">
        <input class="input signin-input" id={id} ref={field} type={(shown ? "text" : "password") as "text"} autocomplete="current-password" value={value} onInput={(event) => onType(event.currentTarget.value)} />
        <button type="button" class="button" aria-pressed={shown} onClick={() => setShown(!shown)}>{w.show}</button>
      </span>
    </div>
  );
}

function ByPassword(): JSX.Element {
  const id = useId();
  const [name, setName] = useState("");
  const [password, setPassword] = useState("");
  const { busy, wrong, run } = useTry();
  const go = async (): Promise<void> => {
    if (!(await run(() => signIn({ person_id: name.trim(), password })))) setPassword("");
  };
  return (
    <Form onSubmit={() => void go()}>
      <div>
        <label class="signin-label" for={id}>{w.name}</label>
        <input class="input signin-input" id={id} type="text" autocomplete="username" autocapitalize="none" spellcheck={false} value={name} onInput={(event) => setName(event.currentTarget.value)} />
      </div>
      <PasswordField value={password} onType={setPassword} />
      <Wrong text={wrong} />
      <button type="submit" class="button button-strong signin-go" disabled={busy || !name || !password}>{busy ? w.signingIn : w.signIn}</button>
    </Form>
  );
}

function ByBadge(): JSX.Element {
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const [badge, setBadge] = useState("");
  const [scanned, setScanned] = useState(false);
  const [pin, setPin] = useState("");
  const { busy, wrong, run, clear } = useTry();
  useEffect(() => {
    if (!scanned) field.current?.focus(); // a scanner types where the focus is
  }, [scanned]);
  const go = async (): Promise<void> => {
    if (!(await run(() => signIn({ badge: badge.trim(), pin })))) setPin("");
  };
  const other = (): void => {
    setBadge("");
    setPin("");
    setScanned(false);
    clear();
  };
  if (!scanned) {
    return (
      <Form onSubmit={() => badge.trim() && setScanned(true)}>
        <div>
          <label class="signin-label" for={id}>{w.badge}</label>
          <input class="input signin-input" id={id} ref={field} type="password" autocomplete="off" value={badge} onInput={(event) => setBadge(event.currentTarget.value)} aria-describedby={`${id}-hint`} />
          <p class="signin-hint" id={`${id}-hint`}>{w.badgeHint}</p>
        </div>
        <Wrong text={wrong} />
        <button type="submit" class="button button-strong signin-go" disabled={!badge.trim()}>{w.enter}</button>
      </Form>
    );
  }
  return (
    <Form onSubmit={() => void go()}>
      <Wrong text={wrong} />
      <Keypad pin={pin} onPin={setPin} busy={busy} enter={busy ? w.signingIn : w.signIn} />
      <button type="button" class="button" onClick={other}>{w.otherBadge}</button>
      <KeySize />
    </Form>
  );
}

function Ways(): JSX.Element {
  const tab = (name: Way, text: string): JSX.Element => <button type="button" class="button" aria-pressed={way.value === name} onClick={() => keepWay(name)}>{text}</button>;
  return (
    <>
      <div class="signin-ways" role="group" aria-label={w.how}>{tab("password", w.byPassword)}{tab("badge", w.byBadge)}</div>
      {way.value === "badge" ? <ByBadge /> : <ByPassword />}
    </>
  );
}

function Locked({ onOther }: { onOther: () => void }): JSX.Element {
  const byPin = who.value?.pin_is_enough ?? false;
  const [secret, setSecret] = useState("");
  const { busy, wrong, run } = useTry();
  const go = async (): Promise<void> => {
    await run(() => unlock(byPin ? { pin: secret } : { password: secret }));
    setSecret("");
  };
  return (
    <Form onSubmit={() => void go()}>
      <p>{w.lockedFor(who.value?.name ?? "")}</p>
      <Wrong text={wrong} />
      {byPin ? <Keypad pin={secret} onPin={setSecret} busy={busy} enter={w.unlock} /> : (
        <>
          <PasswordField value={secret} onType={setSecret} focus />
          <button type="submit" class="button button-strong signin-go" disabled={busy || !secret}>{w.unlock}</button>
        </>
      )}
      <div class="signin-row">
        <button type="button" class="button" onClick={onOther}>{w.somebodyElse}</button>
        <button type="button" class="button" onClick={() => void run(signOut)}>{w.signOut}</button>
      </div>
    </Form>
  );
}

/** Stands before everything else while nobody is signed in, or the screen is locked. */
export function SignIn(): JSX.Element {
  const [other, setOther] = useState(false);
  const locked = who.value?.locked ?? false;
  const unlocking = locked && !other;
  return (
    <section class="signin">
      <h1>{unlocking ? w.locked : w.signIn}</h1>
      {unlocking ? <Locked onOther={() => setOther(true)} /> : <Ways />}
      {locked && other ? <button type="button" class="button" onClick={() => setOther(false)}>{w.back}</button> : null}
    </section>
  );
}
