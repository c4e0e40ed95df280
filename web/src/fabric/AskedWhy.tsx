// The side panel that says what a number of the answer rests on.
import type { JSX } from "preact";
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { href, place, swap } from "../place";
import { returnTarget } from "../why/trail";
import type { Because } from "./types";
import { w } from "./words";
import "../why/why.css";

export function AskedWhy({ why }: { why: Because[] }): JSX.Element | null {
  const key = place.value.query.get("why");
  const heading = useRef<HTMLHeadingElement>(null);
  const close = (): void => {
    swap(href(["fabric"]));
    returnTarget()?.focus({ preventScroll: true });
  };
  useLayoutEffect(() => {
    if (key === null) return;
    heading.current?.focus({ preventScroll: true });
    const onKey = (event: KeyboardEvent): void => {
      if (event.key === "Escape") close();
    };
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  }, [key]);
  useEffect(() => {
    document.documentElement.classList.toggle("why-open", key !== null);
    return () => document.documentElement.classList.remove("why-open");
  }, [key]);
  if (key === null) return null;
  const found = why.filter((one) => one.anchor === key);
  // Weight and width of a knitted fabric rest on its loops.
  const below = key.startsWith("knit.md") ? why.filter((one) => one.anchor === "knit.md#constants" && one.anchor !== key) : [];
  return (
    <div class="why no-print" role="dialog" aria-labelledby="why-title">
      <header class="why-head">
        <p class="why-word">{w.why.title}</p>
        <button type="button" class="button button-quiet" onClick={close}>{w.why.close}</button>
      </header>
      <div class="why-body">
        <h2 id="why-title" ref={heading} tabIndex={-1}>{found[0]?.label ?? w.why.title}</h2>
        {found.length ? [...found, ...below].map((one, i) => <Rule key={one.label} one={one} heading={i > 0} />) : <p>{w.why.unknown}</p>}
      </div>
    </div>
  );
}

function Rule({ one, heading }: { one: Because; heading: boolean }): JSX.Element {
  return (
    <>
      <section>
        <h3>{heading ? one.label : w.why.how}</h3>
        <p class="why-words">{one.words}</p>
      </section>
      <section>
        <h3>{w.why.source}</h3>
        <dl class="why-source">
          <div><dt>{w.why.source}</dt><dd>{one.source}</dd></div>
          <div><dt>{w.why.method}</dt><dd><code>{one.anchor}</code></dd></div>
        </dl>
      </section>
    </>
  );
}
