// For the manager: who signs in, and what they are. For everybody else: their own password.
import type { JSX } from "preact";
import { useId, useState } from "preact/hooks";
import { ApiError, ask } from "../api";
import { Failure, Ready, Shape } from "../ui/parts";
import { useResource } from "../ui/resource";
import { may, who } from "./session";
import type { Person, Rights } from "./types";
import { w } from "./words";
import "./people.css";

const q = encodeURIComponent;
type List = { people: Person[] };

export function PeoplePage(): JSX.Element {
  return may("people-change") ? <All /> : <Own />;
}

function All(): JSX.Element {
  const list = useResource("people", () => ask<List>("GET", "/api/people"));
  const rights = useResource("rights", () => ask<{ rights: Rights }>("GET", "/api/rights"));
  const demo = who.value?.demo ?? false;
  return (
    <>
      <div class="page-head">
        <h1>{w.people}</h1>
        {list.data ? <p class="page-count">{w.count(list.data.people.length)}</p> : null}
      </div>
      <p class="lead">{demo ? w.leadDemo : w.lead}</p>
      <Ready of={list}>
        {({ people }) => (
          <Ready of={rights}>
            {({ rights: table }) => (
              <>
                <ul class="people">
                  {people.map((person) => <OnePerson key={person.person_id} person={person} rights={table} reload={list.reload} />)}
                </ul>
                <NewPerson rights={table} first={people.length === 0} reload={list.reload} />
                <RightsTable rights={table} />
              </>
            )}
          </Ready>
        )}
      </Ready>
      {demo ? null : <Own part />}
    </>
  );
}

/** What a form may hold; only what was touched is sent. */
interface Typed {
  person_id?: string;
  name?: string;
  roles?: string[];
  password?: string;
  badge?: string;
  pin?: string;
  active?: boolean;
}

function toSend(typed: Typed): Record<string, unknown> {
  const { roles, ...rest } = typed;
  return { ...Object.fromEntries(Object.entries(rest).filter(([, value]) => value !== "")), ...(roles ? { roles: roles.join(",") } : {}) };
}

function Text(props: { label: string; value: string; secret?: boolean; hint?: string; wrong?: string | undefined; autocomplete?: string; onType: (text: string) => void }): JSX.Element {
  const id = useId();
  const said = props.wrong ?? props.hint;
  return (
    <div>
      <label class="signin-label" for={id}>{props.label}</label>
      <input class="input" id={id} type={(props.secret ? "password" : "text") as "text"} autocomplete={props.autocomplete ?? "off"} value={props.value} aria-invalid={props.wrong ? "true" : "false"}
        {...(said ? { "aria-describedby": `${id}-say` } : {})} onInput={(event) => props.onType(event.currentTarget.value)} />
      {said ? <p class={props.wrong ? "field-say" : "field-hint"} id={`${id}-say`}>{said}</p> : null}
    </div>
  );
}

function PersonForm(props: { was: Person | null; rights: Rights; send: (typed: Typed) => Promise<void>; cancel: () => void; first?: boolean }): JSX.Element {
  const { was, rights } = props;
  const [typed, setTyped] = useState<Typed>(props.first ? { roles: ["manager"] } : was ? {} : { roles: [] });
  const [busy, setBusy] = useState(false);
  const [error, setError] = useState<Error | null>(null);
  const set = (change: Typed): void => setTyped({ ...typed, ...change });
  const roles = typed.roles ?? was?.roles ?? [];
  const wrong = (place: string): string | undefined => (error instanceof ApiError && error.body.place === place ? `${error.body.message} ${error.body.remedy}` : undefined);
  const known = ["person_id", "name", "password", "badge", "pin"];
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    setBusy(true);
    setError(null);
    try {
      await props.send(typed);
    } catch (cause) {
      setError(cause as Error);
    } finally {
      setBusy(false);
    }
  };
  return (
    <form class="person-form" onSubmit={(event) => void submit(event)}>
      {was ? null : <Text label={w.id} hint={w.idHint} value={typed.person_id ?? ""} wrong={wrong("person_id")} onType={(person_id) => set({ person_id })} />}
      <Text label={w.printed} value={typed.name ?? was?.name ?? ""} wrong={wrong("name")} onType={(name) => set({ name })} />
      <Text label={w.newPassword} secret autocomplete="new-password" hint={w.passwordHint} value={typed.password ?? ""} wrong={wrong("password")} onType={(password) => set({ password })} />
      <Text label={w.newBadge} secret value={typed.badge ?? ""} wrong={wrong("badge")} onType={(badge) => set({ badge })} />
      <Text label={w.newPin} secret hint={w.badgeOnly} value={typed.pin ?? ""} wrong={wrong("pin")} onType={(pin) => set({ pin })} />
      <fieldset class="person-roles person-wide">
        <legend>{w.roles}</legend>
        {rights.roles.map(({ role, words }) => (
          <label key={role} class="person-check" title={words}>
            <input type="checkbox" checked={roles.includes(role)} onChange={(event) => set({ roles: event.currentTarget.checked ? [...roles, role] : roles.filter((r) => r !== role) })} />
            {w.role(role)}
          </label>
        ))}
      </fieldset>
      {was ? (
        <label class="person-check person-wide">
          <input type="checkbox" checked={typed.active ?? was.active} onChange={(event) => set({ active: event.currentTarget.checked })} />
          {w.active}
        </label>
      ) : null}
      {error && !(error instanceof ApiError && known.includes(error.body.place)) ? <div class="person-wide"><Failure error={error} reload={() => setError(null)} /></div> : null}
      <div class="signin-row person-wide">
        <button type="submit" class="button button-strong" disabled={busy}>{busy ? w.saving : w.save}</button>
        <button type="button" class="button" onClick={props.cancel}>{w.cancel}</button>
      </div>
    </form>
  );
}

function OnePerson({ person, rights, reload }: { person: Person; rights: Rights; reload: () => void }): JSX.Element {
  const [open, setOpen] = useState(false);
  const path = `/api/people/${q(person.person_id)}`;
  const send = async (typed: Typed): Promise<void> => {
    await ask("PUT", path, toSend(typed));
    setOpen(false);
    reload();
  };
  const end = (): void => void ask("DELETE", `${path}/sessions`).then(reload, reload);
  return (
    <li class="person">
      <div class="person-head">
        <div>
          <h2>{person.name}</h2>
          <p class="person-facts">{person.person_id} · {person.roles.map(w.role).join(", ")}</p>
        </div>
        <p class="person-facts">{person.active ? `${w.signsInBy(person.has_password, person.has_badge)} · ${w.sessions(person.sessions.length)}` : <><Shape kind="note" /> {w.inactive}</>}</p>
        <button type="button" class="button" aria-expanded={open} onClick={() => setOpen(!open)}>{w.change}<span class="visually-hidden"> {person.name}</span></button>
      </div>
      {open ? (
        <>
          <PersonForm was={person} rights={rights} send={send} cancel={() => setOpen(false)} />
          {person.sessions.length ? (
            <>
              <ul class="person-sessions">
                {person.sessions.map((s, i) => <li key={i}>{s.address} · {s.device}{s.locked ? ` · ${w.lockedWord}` : ""}</li>)}
              </ul>
              <button type="button" class="button" onClick={end}>{w.endSessions}</button>
            </>
          ) : null}
        </>
      ) : null}
    </li>
  );
}

function NewPerson({ rights, first, reload }: { rights: Rights; first: boolean; reload: () => void }): JSX.Element {
  const [open, setOpen] = useState(false);
  const send = async (typed: Typed): Promise<void> => {
    await ask("POST", "/api/people", toSend(typed));
    if (first) location.reload(); // from now on people sign in, also here
    setOpen(false);
    reload();
  };
  return open
    ? <PersonForm was={null} rights={rights} first={first} send={send} cancel={() => setOpen(false)} />
    : <p><button type="button" class="button button-strong" onClick={() => setOpen(true)}>{first ? w.addFirst : w.add}</button></p>;
}

function RightsTable({ rights }: { rights: Rights }): JSX.Element {
  return (
    <section class="rights" aria-label={w.rights} tabIndex={0}>
      <h2>{w.rights}</h2>
      <table>
        <thead><tr><th scope="col">{w.action}</th>{rights.roles.map(({ role }) => <th key={role} scope="col">{w.role(role)}</th>)}</tr></thead>
        <tbody>
          {rights.actions.map(({ action, words, roles }) => (
            <tr key={action}><th scope="row">{words}</th>{rights.roles.map(({ role }) => <td key={role}>{roles.includes(role) ? w.yes : ""}</td>)}</tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Own({ part }: { part?: boolean }): JSX.Element {
  const [typed, setTyped] = useState({ was: "", password: "" });
  const [error, setError] = useState<Error | null>(null);
  const [done, setDone] = useState(false);
  const wrong = (place: string): string | undefined => (error instanceof ApiError && error.body.place === place ? `${error.body.message} ${error.body.remedy}` : undefined);
  const submit = (event: Event): void => {
    event.preventDefault();
    setError(null);
    setDone(false);
    ask("PUT", "/api/session/password", typed).then(() => {
      setDone(true);
      setTyped({ was: "", password: "" });
    }, setError);
  };
  return (
    <section>
      {part ? <h2>{w.own}</h2> : <div class="page-head"><h1>{w.own}</h1></div>}
      <form class="person-form" onSubmit={submit}>
        <Text label={w.wasPassword} secret autocomplete="current-password" value={typed.was} wrong={error && !wrong("password") ? error.message : undefined} onType={(was) => setTyped({ ...typed, was })} />
        <Text label={w.newPassword} secret autocomplete="new-password" hint={w.passwordHint} value={typed.password} wrong={wrong("password")} onType={(password) => setTyped({ ...typed, password })} />
        <p class="person-wide" role="status">{done ? <><Shape kind="ok" /> {w.ownDone}</> : null}</p>
        <div class="person-wide"><button type="submit" class="button button-strong" disabled={!typed.was || !typed.password}>{w.save}</button></div>
      </form>
    </section>
  );
}
