// Small parts that every place uses: state badges, swatches, waiting and failing.
import type { ComponentChildren, JSX } from "preact";
import { ApiError, Unreachable } from "../api";
import type { Finding, Severity } from "../types";
import { words } from "../words";
import "./parts.css";

/** A state is always a shape and a word; the colour only helps those who see it. */
export function Shape({ kind }: { kind: Severity | "late" | "ok" }): JSX.Element {
  const marks = {
    stop: <><path d="M1 1h18v18H1z" class="shape-stop" /><path d="M5.5 10h9" class="shape-bar" /></>,
    warning: <><path d="M10 1.6 19 18.4H1Z" class="shape-warning" /><path d="M10 7.4v5" class="shape-ink" /><path d="M10 15.4v.1" class="shape-ink" /></>,
    note: <><circle cx="10" cy="10" r="8.4" class="shape-note" /><path d="M10 9.2v5" class="shape-ink" /><path d="M10 5.8v.1" class="shape-ink" /></>,
    late: <><path d="M10 1.6 19 18.4H1Z" class="shape-warning" /><path d="M10 7.4v5" class="shape-ink" /><path d="M10 15.4v.1" class="shape-ink" /></>,
    ok: <path d="m3.5 10.5 4.5 4.5 8.5-10" class="shape-ok" />,
  };
  return <svg class="shape" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" focusable="false">{marks[kind]}</svg>;
}

export function Swatch({ colour, label, big }: { colour: string; label?: string; big?: boolean }): JSX.Element {
  const valid = /^#[0-9a-fA-F]{6}$/.test(colour);
  return (
    <span class={big ? "swatch swatch-big" : "swatch"}>
      <svg viewBox="0 0 10 10" preserveAspectRatio="none" {...(label ? { role: "img", "aria-label": label } : { "aria-hidden": "true" })}>
        {valid ? <path d="M0 0h10v10H0z" fill={colour} /> : <path d="M0 10 10 0" class="swatch-none" />}
      </svg>
    </span>
  );
}

export function Loading(): JSX.Element {
  return <p class="quiet-state" role="status"><span class="spinner" aria-hidden="true" />{words.loading}</p>;
}

export function Empty({ children }: { children: ComponentChildren }): JSX.Element {
  return <p class="quiet-state">{children}</p>;
}

export function FindingText({ finding, place = true }: { finding: Finding; place?: boolean }): JSX.Element {
  return (
    <div class="finding">
      <p class="finding-message">{finding.message}</p>
      <dl class="finding-facts">
        {place && finding.place ? <div><dt>{words.placeWord}</dt><dd>{words.places_[finding.place] ?? finding.place}</dd></div> : null}
        {finding.value ? <div><dt>{words.given}</dt><dd>{finding.value}</dd></div> : null}
        {finding.allowed ? <div><dt>{words.allowed}</dt><dd>{finding.allowed}</dd></div> : null}
      </dl>
      {finding.remedy ? <p class="finding-remedy">{finding.remedy}</p> : null}
    </div>
  );
}

export function Failure({ error, reload }: { error: Error; reload: () => void }): JSX.Element {
  return (
    <div class="failure" role="alert">
      <Shape kind="stop" />
      <div>
        {error instanceof ApiError
          ? error.all.map((finding) => <FindingText key={finding.place + finding.message} finding={finding} />)
          : <p class="finding-message">{error instanceof Unreachable ? words.unreachable : error.message}</p>}
        <button type="button" class="button" onClick={reload}>{words.retry}</button>
      </div>
    </div>
  );
}

/** Data when there is some, else the reason why not. */
export function Ready<T>(props: {
  of: { data: T | null; error: Error | null; reload: () => void };
  children: (data: T) => ComponentChildren;
}): JSX.Element {
  const { data, error, reload } = props.of;
  if (data !== null) return <>{error && !(error instanceof Unreachable) ? <Failure error={error} reload={reload} /> : null}{props.children(data)}</>;
  return error ? <Failure error={error} reload={reload} /> : <Loading />;
}
