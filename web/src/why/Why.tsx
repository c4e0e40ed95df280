// The side panel that says where a number comes from; on a narrow screen a sheet from below.
import type { JSX } from "preact";
import { useContext, useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { exact, joined, prose, shown, sourceName } from "../fmt";
import { href, place, swap } from "../place";
import { Scope } from "../ui/Num";
import type { Figure, Rule } from "../types";
import { words } from "../words";
import { followed, returnTarget, trail } from "./trail";
import "./why.css";

const w = words.why;

/** Figures and how they are worked out: a plan, or another answer that carries its own. */
export interface Figures {
  figures: Record<string, Figure>;
  rules: Record<string, Rule>;
}

export function Why({ plan }: { plan: Figures }): JSX.Element | null {
  const key = place.value.query.get("why");
  const heading = useRef<HTMLHeadingElement>(null);
  const { path, query } = useContext(Scope);

  const close = (): void => {
    swap(href(path, query));
    returnTarget()?.focus({ preventScroll: true });
  };
  // At once, not after the next frame: a quick Escape must not be followed by a late focus.
  useLayoutEffect(() => {
    if (key === null) return;
    heading.current?.focus({ preventScroll: true });
    const onKey = (event: KeyboardEvent): void => {
      if (event.key === "Escape") close();
    };
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  }, [key]);
  // Marked from here, by hand: a thousand numbers that each watched the address would be slow.
  useEffect(() => {
    const asked = key === null ? [] : document.querySelectorAll(`.num[data-figure="${CSS.escape(key)}"]`);
    for (const number of asked) number.setAttribute("aria-current", "true");
    return () => {
      for (const number of asked) number.removeAttribute("aria-current");
    };
  }, [key, plan]);
  // The page makes room for the panel, so that the number asked about stays in sight.
  useEffect(() => {
    document.documentElement.classList.toggle("why-open", key !== null);
    return () => document.documentElement.classList.remove("why-open");
  }, [key]);

  if (key === null) return null;
  const figure = plan.figures[key];
  const way = trail.value.slice(0, -1);
  return (
    <div class="why" role="dialog" aria-labelledby="why-title">
      <header class="why-head">
        <p class="why-word" id="why-word">{w.title}</p>
        <button type="button" class="button button-quiet" onClick={close}>{w.close}</button>
      </header>
      <div class="why-body">
        {way.length ? (
          <nav class="why-trail" aria-label={w.trail}>
            <ol>
              {way.map((step) => <li key={step}><FigureLink plan={plan} id={step} /></li>)}
            </ol>
          </nav>
        ) : null}
        <h2 id="why-title" ref={heading} tabIndex={-1}>{figure?.label ?? key}</h2>
        {figure ? <Explained plan={plan} id={key} figure={figure} /> : <p>{w.unknown}</p>}
      </div>
    </div>
  );
}

function Explained({ plan, id, figure }: { plan: Figures; id: string; figure: Figure }): JSX.Element {
  const { currency } = useContext(Scope);
  const now = shown(figure.value, figure.unit, currency);
  const rule = figure.rule === undefined ? undefined : plan.rules[figure.rule];
  return (
    <>
      <p class="why-value"><span>{now.value}</span>{now.unit ? <span class="why-unit">{now.unit}</span> : null}</p>
      {figure.unit.startsWith("minor") || exact(figure.value) === now.value ? null : <p class="why-exact">{w.exactly} {exact(figure.value)}</p>}
      <p class="why-key">{w.figure} <code>{id}</code></p>
      {rule ? (
        <section>
          <h3>{w.how}</h3>
          {rule.title === figure.label ? null : <p class="why-rule">{rule.title}</p>}
          <p class="why-words">{prose(rule.words)}</p>
        </section>
      ) : null}
      {figure.inputs?.length ? (
        <section>
          <h3>{w.from}</h3>
          <ul class="why-inputs">
            {figure.inputs.map((input) => <li key={input}><FigureLink plan={plan} id={input} value /></li>)}
          </ul>
        </section>
      ) : null}
      {rule ? (
        <section>
          <h3>{w.rests}</h3>
          <dl class="why-source">
            <div><dt>{w.source}</dt><dd>{sourceName(rule.source)}</dd></div>
            {rule.anchor ? <div><dt>{w.method}</dt><dd><code>{rule.anchor}</code></dd></div> : null}
          </dl>
        </section>
      ) : null}
      {figure.source ? <Input source={figure.source} /> : null}
    </>
  );
}

function Input({ source }: { source: NonNullable<Figure["source"]> }): JSX.Element {
  const constant = source.table === "const";
  return (
    <section>
      <h3>{constant ? w.constant : w.read}</h3>
      <dl class="why-source">
        {constant
          ? <div><dt>{w.source}</dt><dd>{source.record_id}</dd></div>
          : <div><dt>{source.table}</dt><dd>{source.record_id || words.none}</dd></div>}
        {source.field ? <div><dt>{w.field}</dt><dd><code>{source.field}</code></dd></div> : null}
      </dl>
    </section>
  );
}

function FigureLink({ plan, id, value }: { plan: Figures; id: string; value?: boolean }): JSX.Element {
  const { currency, path, query } = useContext(Scope);
  const figure = plan.figures[id];
  return (
    <a class="why-link" href={href(path, { ...query, why: id })} onClick={followed}>
      <span>{figure?.label ?? id}</span>
      {value && figure ? <span class="why-link-value">{joined(shown(figure.value, figure.unit, currency))}</span> : null}
    </a>
  );
}
