// The signing pad: who signs, and the own secret, with large keys; and what waits to be signed.
import type { JSX } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { ApiError, offline } from "../api";
import { Keypad } from "../people/Keypad";
import "../people/people.css";
import { who } from "../people/session";
import { Shape } from "../ui/parts";
import { Dialog } from "./Dialog";
import { HoldKey, Key } from "./HoldKey";
import { before, drafts, mayOwn, meaningOf, ready, rightOf, sign, signing, takeBack, type Draft, type Secret } from "./signing";
import { s } from "./signWords";
import { w } from "./words";
import "./sign.css";

/** Unsigned approvals of this lot, and the pad when one of them is before somebody. */
export function Signing({ batch_id }: { batch_id?: string }): JSX.Element {
  const mine = drafts.value.filter((d) => batch_id === undefined || d.batch_id === batch_id);
  const open = signing.value;
  return (
    <>
      {mine.length ? (
        <ul class="to-sign" aria-label={s.waiting}>
          {mine.map((d) => (
            <li key={d.entry_id} data-to-sign={d.kind}>
              <p><Shape kind="warning" /> <b>{s.waits(s.acts[meaningOf(d) ?? ""] ?? d.kind)}</b> {d.lot_id}{offline.value ? `. ${s.needsLine}` : ""}</p>
              <Key name={`sign-${d.kind}`} strong onPress={() => { signing.value = d; }}>{s.sign}</Key>
              <HoldKey name={`unsign-${d.kind}`} onPress={() => takeBack(d)}>{s.takeBack}</HoldKey>
            </li>
          ))}
        </ul>
      ) : null}
      {open ? <SignDialog key={open.entry_id} draft={open} /> : null}
    </>
  );
}

type By = "own" | "name" | "badge";

function SignDialog({ draft }: { draft: Draft }): JSX.Element {
  const me = who.value;
  const check = draft.kind === "weighing-checked";
  const own = !check && mayOwn(draft) && me?.signed_in === true;
  const [by, setBy] = useState<By>(own ? "own" : check ? "badge" : "name");
  const [wrong, setWrong] = useState("");
  const [busy, setBusy] = useState(false);
  const act = s.acts[meaningOf(draft) ?? ""] ?? draft.kind;
  const close = (): void => { signing.value = null; };
  const go = async (secret: Secret): Promise<void> => {
    setBusy(true);
    setWrong("");
    try {
      await sign(draft, secret);
      close();
    } catch (cause) {
      setWrong(cause instanceof ApiError ? `${cause.body.message} ${cause.body.remedy}` : s.lost);
      setBusy(false);
    }
  };
  const choose = (one: By, word: string): JSX.Element => <Key key={one} name={`by-${one}`} pressed={by === one} onPress={() => { setBy(one); setWrong(""); }}>{word}</Key>;
  return (
    <Dialog title={s.title(act)} close={close} closeWord={s.later} name="sign">
      <p class="ask-lead">{w.entry(draft)}, {draft.lot_id}. {s.meaning(s.means[meaningOf(draft) ?? ""] ?? "")}</p>
      <div class="key-list key-list-three" role="group" aria-label={s.who}>
        {own ? choose("own", me?.name ?? "") : null}
        {choose("name", own ? s.other : s.byName)}
        {choose("badge", s.byBadge)}
      </div>
      {own || check ? null : <p class="sign-who">{s.notYours(me?.name ?? "", s.roles[rightOf(draft)] ?? "")}</p>}
      {ready.value ? null : <p class="sign-line" role="alert"><Shape kind="warning" /> {offline.value ? s.needsLine : s.firstTheOthers(before.value)}</p>}
      <p class="ask-say" role="alert">{wrong ? <><Shape kind="stop" /> {wrong}</> : null}</p>
      <Secrets key={by} by={by} pin={by === "own" ? (me?.pin_is_enough ?? false) : by === "badge" && check} busy={busy || !ready.value} go={(secret) => void go(secret)} wrong={wrong} />
    </Dialog>
  );
}

/** The secret lives in this form and is gone with it. */
function Secrets({ by, pin, busy, go, wrong }: { by: By; pin: boolean; busy: boolean; go: (secret: Secret) => void; wrong: string }): JSX.Element {
  const id = useId();
  const first = useRef<HTMLInputElement>(null);
  const [name, setName] = useState("");
  const [text, setText] = useState("");
  useEffect(() => first.current?.focus(), []);
  useEffect(() => {
    if (wrong) setText("");
  }, [wrong]);
  const whose: Secret = by === "own" ? {} : by === "name" ? { person_id: name.trim() } : { badge: name.trim() };
  const missing = by !== "own" && !name.trim();
  const submit = (event: Event): void => {
    event.preventDefault();
    if (missing || busy || !text) return;
    go({ ...whose, ...(pin ? { pin: text } : { password: text }) });
  };
  return (
    <form class="sign-form" onSubmit={submit} autocomplete="off">
      {by === "own" ? null : (
        <div>
          <label for={`${id}-who`}>{by === "name" ? s.name : s.badge}</label>
          <input id={`${id}-who`} ref={first} type={(by === "badge" ? "password" : "text") as "text"} autocomplete="off" autocapitalize="none" spellcheck={false} value={name}
            onInput={(event) => setName(event.currentTarget.value)}
            onKeyDown={(event) => { if (event.key === "Enter" && name.trim()) { event.preventDefault(); document.getElementById(`${id}-secret`)?.focus(); } }} />
          {by === "badge" ? <p class="sign-hint">{s.badgeHint}</p> : null}
        </div>
      )}
      {pin ? <Keypad pin={text} onPin={setText} busy={busy || missing} enter={busy ? s.signing : s.sign} /> : (
        <>
          <div>
            <label for={`${id}-secret`}>{s.password}</label>
            <input id={`${id}-secret`} {...(by === "own" ? { ref: first } : {})} type={"password" as "text"} autocomplete="off" value={text} onInput={(event) => setText(event.currentTarget.value)} />
          </div>
          <button type="submit" class="key key-strong key-wide" data-key="sign" disabled={busy || missing || !text}>{s.sign}</button>
        </>
      )}
    </form>
  );
}
