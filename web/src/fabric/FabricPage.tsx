// Can we do it? The merchant's question before anything is dyed: the verdict, the map, sliders
// under it, what would do, and beside them what was asked.
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { ApiError, Unreachable, api, offline } from "../api";
import { trimmed } from "../fmt";
import { place } from "../place";
import { Loading, Shape } from "../ui/parts";
import { useResource } from "../ui/resource";
import { words } from "../words";
import { Cures, Figures, Reasons, Verdict, offOf } from "./Answer";
import { AskedWhy } from "./AskedWhy";
import { FabricMap } from "./FabricMap";
import { Form } from "./Form";
import { Slides } from "./Slides";
import { article, ask, busy, choose, error, frame, shown, stale, sweep, takeArticle, typed, view } from "./state";
import type { Article, FabricMap as MapData, Frame } from "./types";
import { w } from "./words";
import "./fabric.css";

/** What most is known about. */
const EXAMPLE = "single-jersey";

export function FabricPage(): JSX.Element {
  const articles = useResource("articles", api.articles);
  const list = articles.data;
  useEffect(() => {
    // The first article of the mill is an example to start from; without any, what stands there.
    if (sweep.peek() || article.peek() || (!list && !articles.error)) return;
    const first = list?.find((a) => a.article_id === place.peek().query.get("article")) ?? list?.find((a) => a.construction === EXAMPLE) ?? list?.[0];
    if (first) takeArticle(first);
    else ask({ fit: true });
  }, [list, articles.error]);
  const away = offline.value;
  useEffect(() => {
    if (!away && error.peek() instanceof Unreachable) ask({ fit: true });
  }, [away]);
  const failed = error.value;
  const problems = failed instanceof ApiError ? failed.all : [];
  return (
    <div class="fabric-place">
      <div class="page-head fabric-head">
        <h1>{w.title}</h1>
        <Articles list={list ?? []} />
        <Modes />
      </div>
      <div class="fabric">
        <div class="fabric-main">
          {failed && !(failed instanceof ApiError) ? <p class="fabric-lost"><Shape kind="stop" /> {failed instanceof Unreachable ? words.unreachable : failed.message}</p> : null}
          <Picture />
        </div>
        <Slides />
        <div class="fabric-rest">
          <Reasons />
          <Cures />
        </div>
        <Form problems={problems} />
        <Notes notes={sweep.value?.notes ?? []} />
      </div>
      <AskedWhy why={sweep.value?.why ?? []} />
    </div>
  );
}

/** What a sample tells does not make another article of it. */
const OF_THE_SAMPLE = ["mode", "relaxed_gsm", "relaxed_width_cm"];

function Articles({ list }: { list: Article[] }): JSX.Element {
  const taken = article.value;
  const changed = taken !== null && Object.entries(taken.typed).some(([key, text]) => !OF_THE_SAMPLE.includes(key) && typed.value[key] !== text);
  return (
    <div class="field fabric-article">
      <label for="fabric-article">{w.article}</label>
      <select class="select" id="fabric-article" value={taken && !changed ? taken.id : ""} onChange={(event) => {
        const found = list.find((a) => a.article_id === event.currentTarget.value);
        if (found) takeArticle(found);
      }}>
        {!taken || changed ? <option value="">{taken ? w.articleChanged(taken.id) : w.noArticle}</option> : null}
        {list.map((a) => <option key={a.article_id} value={a.article_id}>{a.article_id} · {a.name}</option>)}
      </select>
    </div>
  );
}

function Modes(): JSX.Element {
  return (
    <fieldset class="fabric-modes">
      <legend>{w.from}</legend>
      {(["knitted", "washed"] as const).map((mode) => (
        <label key={mode}><input type="radio" name="fabric-mode" value={mode} checked={typed.value["mode"] === mode} onChange={() => choose("mode", mode)} /><span>{w.modes[mode]}</span></label>
      ))}
    </fieldset>
  );
}

/** Follows the sliders; nothing else of the page does. */
function Picture(): JSX.Element {
  const answer = shown.value;
  const f = frame.value;
  const shows = view.value;
  if (!answer || !f || !shows) return error.value ? <div class="fabric-empty" /> : <div class="fabric-empty"><Loading /></div>;
  const old = stale.value && !busy.value;
  return (
    <div class={old ? "is-stale" : ""} aria-busy={busy.value}>
      <div class="fabric-top">
        <Verdict f={f} />
        {busy.value ? <p class="fabric-busy"><span class="spinner" aria-hidden="true" />{w.working}</p> : null}
        {old ? <p class="fabric-stale" role="status"><Shape kind="note" /> {w.stale}</p> : null}
        <Figures f={f} />
      </div>
      <section aria-label={w.map} class="fabric-map">
        <FabricMap map={answer.map} frame={f} view={shows} alt={altOf(answer.map, f)} />
        <Key f={f} />
      </section>
    </div>
  );
}

/** A word in backticks is one of the page. */
function Notes({ notes }: { notes: string[] }): JSX.Element | null {
  if (!notes.length) return null;
  return (
    <section class="fabric-notes">
      <h2>{w.notes}</h2>
      <ul>{notes.map((note) => <li key={note}><Shape kind="note" /><span>{note.split("`").map((part, i) => (i % 2 ? <em key={i}>{w.modes[part as "washed"] ?? part}</em> : part))}</span></li>)}</ul>
    </section>
  );
}

function altOf(map: MapData, f: Frame): string {
  const { width_cm, gsm } = map.box;
  const box = `${trimmed(width_cm.low, 1)} to ${trimmed(width_cm.high, 1)} cm, ${trimmed(gsm.low, 1)} to ${trimmed(gsm.high, 1)} g/m²`;
  const off = offOf(f);
  return w.mapAlt(off ? `${w.notMet}: ${off}` : w.met, box, `${f.verdict === "met" ? w.aim : w.nearest} ${trimmed(f.best.width_cm, 1)} cm, ${trimmed(f.best.gsm, 1)} g/m²`);
}

function Key({ f }: { f: Frame }): JSX.Element {
  const { key } = w;
  const marks: [string, JSX.Element][] = [
    [key.box, <rect class="map-box" x="3" y="3" width="20" height="12" />],
    [key.allowed, <><rect class="map-allowed" x="2" y="2" width="22" height="14" /><rect class="map-allowed-edge" x="2" y="2" width="22" height="14" /></>],
    [key.feasible, <rect class="map-feasible" x="2" y="2" width="22" height="14" />],
    [f.verdict === "met" ? key.best : key.near, f.verdict === "met" ? <><circle class="map-best-ring" cx="13" cy="9" r="8" /><circle class="map-best" cx="13" cy="9" r="5" /></> : <><circle class="map-near" cx="13" cy="9" r="7" /><path class="map-near" d="m9.5 5.5 7 7m0-7-7 7" /></>],
  ];
  return (
    <ul class="map-key" aria-hidden="true">
      {marks.map(([text, mark]) => <li key={text}><svg viewBox="0 0 26 18" width="26" height="18">{mark}</svg>{text}</li>)}
    </ul>
  );
}
