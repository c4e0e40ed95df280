// What comes of it, in words first: does it strike level, does it end level, do the dyes run together;
// and how sure that is.
import type { ComponentChildren, JSX } from "preact";
import { prose, trimmed } from "../fmt";
import type { Severity } from "../types";
import { Num } from "../ui/Num";
import { Shape } from "../ui/parts";
import type { Seen } from "./figures";
import type { Margin, Range, Simulated } from "./types";
import { w } from "./words";

/** One word of the whole, for those who hear a slider. */
export function verdictWord(a: Simulated): string {
  return `${a.strike.level ? w.verdict.strikes : w.verdict.fast}, ${w.verdict[a.level.verdict].toLowerCase()}`;
}

const LEVEL_SHAPE = { level: "ok", doubtful: "note", unlevel: "warning" } as const;

export function Verdict({ a }: { a: Simulated }): JSX.Element {
  return (
    <div class="dye-verdict">
      <div class="dye-verdict-main">
        <Shape kind={a.strike.level ? "ok" : "warning"} />
        <div>
          <h2 id="dye-verdict">{a.strike.level ? w.verdict.strikes : w.verdict.fast}</h2>
          <p>{prose(a.strike.words)}</p>
        </div>
      </div>
      <ul class="dye-verdict-rest">
        <Said kind={LEVEL_SHAPE[a.level.verdict]} word={w.verdict[a.level.verdict]}>{prose(a.level.words)}</Said>
        <Said kind={a.tone.verdict === "apart" ? "note" : "ok"} word={a.dyes.length === 1 ? w.verdict.one : w.verdict[a.tone.verdict]}>{prose(a.tone.words)}</Said>
      </ul>
    </div>
  );
}

function Said({ kind, word, children }: { kind: Severity | "ok"; word: string; children: ComponentChildren }): JSX.Element {
  return <li><Shape kind={kind} /><p><strong>{word}</strong> {children}</p></li>;
}

/** What was never measured is said before any figure. */
export function RatesNote({ a, margin }: { a: Simulated; margin: Margin | null }): JSX.Element | null {
  const named = (known: string): string => a.dyes.filter((dye) => dye.rates === known).map((dye) => dye.dye_id).join(", ");
  const placeholders = named("placeholder");
  const partly = named("partly");
  if (!placeholders && !partly && !margin) return null;
  return (
    <p class="dye-rates">
      <Shape kind="note" />
      <span>{placeholders ? <><strong>{w.placeholderHead}</strong> {w.placeholder(placeholders)} </> : null}{partly ? `${w.partly(partly)} ` : null}{margin ? <><strong>{w.sure}</strong> {margin.words}</> : null}</span>
    </p>
  );
}

interface HeadProps {
  a: Simulated;
  seen: Seen;
  /** The lot as planned, when something was changed. */
  planned: Seen | null;
  margin: Margin | null;
  fresh: boolean;
}

export function HeadFigures({ a, seen, planned, margin, fresh }: HeadProps): JSX.Element {
  const was = (key: string) => (planned ? planned.q(key) : undefined);
  const sure = (range: Range | null | undefined, unit: string, decimals: number): JSX.Element | null =>
    range ? <dd class="head-sure">{fresh ? w.between(trimmed(range[0], decimals), trimmed(range[1], decimals), unit) : "\u00a0"}</dd> : null;
  const fixes = a.dyes.some((dye) => dye.fixation_pct !== null);
  return (
    <dl class="dye-head-figures">
      <div><dt>{w.head.minutes}</dt><dd><Num q={seen.q("minutes")} was={was("minutes")} look="round" /></dd></div>
      <div class={a.strike.level ? "" : "is-off"}>
        <dt>{w.head.strike}</dt><dd><Num q={seen.q("strike.most")} was={was("strike.most")} /></dd>
        {sure(margin?.strike_pct_per_contact, "", 1)}
        <dd class="head-limit">{w.limitIs(trimmed(a.strike.limit_pct_per_contact, 2))}</dd>
      </div>
      <div class={a.level.verdict === "unlevel" ? "is-off" : ""}>
        <dt>{w.head.deEnd}</dt><dd><Num q={seen.q("level.end.de")} was={was("level.end.de")} /></dd>
        {sure(margin?.de_most, "", 2)}
        <dd class="head-limit">{w.limitIs(trimmed(a.level.limit_de, 2))}</dd>
      </div>
      <div class="head-dyes">
        <dt>{fixes ? w.head.fixation : w.head.exhaustion}</dt>
        <dd>{a.dyes.map((dye) => {
          const key = `${dye.dye_id}.${fixes ? "fixed" : "on"}`;
          return <span key={dye.dye_id}><small>{dye.dye_id}</small> <Num q={seen.q(key)} was={was(key)} look="round" /></span>;
        })}</dd>
        {fixes ? sure(margin?.fixation_pct, "%", 0) : null}
      </div>
      {a.wash_off ? <div><dt>{w.head.loose}</dt><dd><Num q={seen.q("wash.loose")} was={was("wash.loose")} look="round" /></dd></div> : null}
    </dl>
  );
}
