// Header, places, and the states that concern every place: invented data, no connection.
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { api, lastAnswer, offline, retry } from "../api";
import { wallClock } from "../fmt";
import { LotsPage } from "../lots/LotsPage";
import { href, place } from "../place";
import { wasOpen } from "../people/device";
import { look, watchIdle, who } from "../people/session";
import { WhoAmI } from "../people/WhoAmI";
import { useResource } from "../ui/resource";
import { Loading, Shape } from "../ui/parts";
import { words } from "../words";
import { Later, warm, type PageName } from "./Later";
import { NotFound, type Spot } from "./spot";
import "./frame.css";
import "../ui/page.css";

const NAV: [string, string][] = [["lots", words.lots], ["hall", words.hall], ["weigh", words.weigh], ["orders", words.orders], ["desk", words.desk.title], ["fabric", words.fabric], ["laboratory", words.laboratory], ["learn", words.learn], ["check", words.check]];

/** Nothing of the mill is asked for before it is known who asks. What a person was at stays as it is
 * behind a locked screen. */
export function Frame(): JSX.Element {
  const me = who.value;
  const away = offline.value;
  useEffect(() => {
    if (!away && who.peek() === null) void look().catch(() => undefined);
  }, [away]);
  useEffect(() => (me?.signed_in && !me.locked ? watchIdle() : undefined), [me?.signed_in, me?.locked]);
  // Began without a line: stays on screen until it is known who is signed in, not only until the line is back.
  const cutOff = useRef(false);
  cutOff.current ||= me === null && away;
  const alone = me === null && cutOff.current && place.value.path[0] === "floor" && wasOpen();
  const open = alone || (me !== null && me.signed_in && !me.locked);
  return (
    <>
      {me?.signed_in || alone ? <div class="inside" hidden={!open}><Inside /></div> : null}
      {open ? null : (
        <>
          <div class="offline-host" aria-live="assertive">{away ? <Offline /> : null}</div>
          <main class="main">{me === null ? <Loading /> : <Later page="signin" spot={{ id: undefined, part: undefined }} />}</main>
        </>
      )}
    </>
  );
}

function Inside(): JSX.Element {
  const mill = useResource("mill", api.mill);
  const { path } = place.value;
  const [where = "lots", id, part] = path;
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  const spot = path.join("/");
  // The screen at a machine is the whole screen: its keys are for wet hands, and it says itself when the line is lost.
  const bare = where === "floor" && id !== undefined;
  useEffect(warm, []);
  useEffect(() => {
    // A new place starts at its top, and is announced by its heading.
    if (first.current) first.current = false;
    else {
      scrollTo(0, 0);
      main.current?.focus({ preventScroll: true });
    }
  }, [spot]);
  useEffect(() => {
    const name = NAV.find(([key]) => key === where)?.[1];
    document.title = [where === "desk" || where === "laboratory" ? name : (id ?? name), mill.data?.name, words.app].filter(Boolean).join(" · ");
  }, [spot, mill.data]);

  return (
    <>
      <a class="skip" href="#main" onClick={(event) => { event.preventDefault(); main.current?.focus(); }}>{words.skip}</a>
      {bare ? null : <header class="head">
        <a class="head-mark" href="#/lots" aria-label={words.app}>
          <svg viewBox="0 0 32 20" width="32" height="20" aria-hidden="true"><path d="M1 18h7L14 2h8l4 11h5" /></svg>
          <span>{words.app}</span>
        </a>
        <nav class="head-nav" aria-label={words.places}>
          {NAV.map(([key, word]) => (
            <a key={key} href={href([key])} {...(where === key ? { "aria-current": id ? ("true" as const) : ("page" as const) } : {})}>{word}</a>
          ))}
        </nav>
        <p class="head-mill">{mill.data?.name}</p>
        <WhoAmI />
      </header>}
      {mill.data?.invented ? <p class={bare ? "invented invented-large" : "invented"}><strong>{words.invented}.</strong> {bare ? words.inventedShort : words.inventedLong}</p> : null}
      <div class="offline-host" aria-live="assertive">{offline.value && !bare ? <Offline /> : null}</div>
      <main class={bare ? "main-bare" : "main"} id="main" ref={main} tabIndex={-1}>
        <Here where={where} spot={{ id, part }} />
      </main>
    </>
  );
}

/** Places whose page comes later, by the first part of their address; the list of lots is at hand. */
const LATER: Record<string, PageName> = { lots: "lot", orders: "orders", desk: "desk", fabric: "fabric", laboratory: "laboratory", learn: "learn", check: "check", hall: "hall", weigh: "weigh", floor: "floor", people: "people" };

function Here({ where, spot }: { where: string; spot: Spot }): JSX.Element {
  if (where === "lots" && !spot.id) return <LotsPage />;
  const page = LATER[where];
  return page ? <Later page={page} spot={spot} /> : <NotFound />;
}

function Offline(): JSX.Element {
  const since = lastAnswer.value;
  return (
    <div class="offline">
      <Shape kind="warning" />
      <p>{words.offline(since ? wallClock(since) : "")} {words.offlineRetrying}</p>
      <button type="button" class="button" onClick={retry}>{words.retry}</button>
    </div>
  );
}
