// Header, places, and the states that concern every place: invented data, no connection.
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { api, lastAnswer, offline, retry } from "../api";
import { DeskPage } from "../bath/DeskPage";
import { toolOf } from "../bath/tools";
import { CheckPage } from "../check/CheckPage";
import { wallClock } from "../fmt";
import { LotsPage } from "../lots/LotsPage";
import { AdvicePage } from "../orders/AdvicePage";
import { OrdersPage } from "../orders/OrdersPage";
import { href, place } from "../place";
import { tabOf } from "../plan/LotTabs";
import { PlanPage } from "../plan/PlanPage";
import { useResource } from "../ui/resource";
import { Shape } from "../ui/parts";
import { words } from "../words";
import "./frame.css";

const NAV: [string, string][] = [["lots", words.lots], ["orders", words.orders], ["desk", words.desk.title], ["check", words.check]];

export function Frame(): JSX.Element {
  const mill = useResource("mill", api.mill);
  const { path } = place.value;
  const [where = "lots", id, part] = path;
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  const spot = path.join("/");
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
    document.title = [where === "desk" ? name : (id ?? name), mill.data?.name, words.app].filter(Boolean).join(" · ");
  }, [spot, mill.data]);

  return (
    <>
      <a class="skip" href="#main" onClick={(event) => { event.preventDefault(); main.current?.focus(); }}>{words.skip}</a>
      <header class="head">
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
      </header>
      {mill.data?.invented ? <p class="invented"><strong>{words.invented}.</strong> {words.inventedLong}</p> : null}
      <div class="offline-host" aria-live="assertive">{offline.value ? <Offline /> : null}</div>
      <main class="main" id="main" ref={main} tabIndex={-1}>
        <Spot where={where} id={id} part={part} />
      </main>
    </>
  );
}

function Spot({ where, id, part }: { where: string; id: string | undefined; part: string | undefined }): JSX.Element {
  const tab = tabOf(part);
  if (where === "lots" && !id) return <LotsPage />;
  if (where === "lots" && id && tab) return <PlanPage key={id} lot={id} tab={tab} />;
  const tool = where === "desk" ? toolOf(id) : undefined;
  if (tool) return <DeskPage key={tool.id} tool={tool} />;
  if (where === "orders") return id ? <AdvicePage key={id} order={id} /> : <OrdersPage />;
  if (where === "check") return <CheckPage />;
  return (
    <>
      <div class="page-head"><h1>{words.notFound}</h1></div>
      <a class="backlink" href="#/lots">{words.notFoundLink}</a>
    </>
  );
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
