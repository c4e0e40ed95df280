// The answers as tables: dye by dye, evenness, wash-off, what goes wrong when something goes wrong.
import type { ComponentChildren, JSX } from "preact";
import { clock, number, rounded, sentence, trimmed } from "../fmt";
import { Num } from "../ui/Num";
import { Shape, Swatch } from "../ui/parts";
import { Sheet, type SheetRow } from "../ui/Sheet";
import { words } from "../words";
import type { Seen } from "./figures";
import type { Study } from "./state";
import type { DyeFigures, LevelAt, Simulated } from "./types";
import { w } from "./words";

const t = w.answers;

interface Props {
  a: Simulated;
  seen: Seen;
  planned: Seen | null;
}

export function Answers({ a, seen, planned, study }: Props & { study: Study }): JSX.Element {
  // What the rates rest on stands beside each dye already.
  const notes = a.notes.filter((note) => !a.dyes.some((dye) => note === `${dye.name}: ${dye.rates_words}.`));
  return (
    <>
      <Dyes a={a} seen={seen} planned={planned} />
      <Evenness a={a} seen={seen} planned={planned} />
      <Facts a={a} seen={seen} planned={planned} />
      <Sensitivity study={study} seen={seen} />
      <Sure study={study} seen={seen} />
      {notes.length ? (
        <section class="dye-section">
          <h2>{t.notes}</h2>
          <ul class="dye-notes">{notes.map((note) => <li key={note}><Shape kind="note" /><span>{note}</span></li>)}</ul>
        </section>
      ) : null}
    </>
  );
}

function Dyes({ a, seen, planned }: Props): JSX.Element {
  const fixes = a.dyes.some((dye) => dye.fixation_pct !== null);
  const before = a.dyes.some((dye) => dye.exhaustion_before_alkali_pct !== null);
  const c = t.columns;
  const columns = [
    { title: c.depth, unit: "% owf" }, ...(before ? [{ title: c.before, unit: "%" }] : []), { title: c.on, unit: "%" }, ...(fixes ? [{ title: c.fixed, unit: "%" }] : []), { title: c.known, unit: "%" },
    ...(fixes ? [{ title: c.yield, unit: "%" }, { title: c.loose, unit: "%" }] : []), { title: c.left, unit: "%" }, { title: c.half, unit: "h:mm" }, { title: c.strike, unit: "%/contact" }, { title: c.over, unit: "min" }, { title: c.rates, left: true },
  ];
  const rows = a.dyes.map((dye): SheetRow => {
    const num = (key: string, look: "round" | "clock" | "plain" = "round"): JSX.Element => <Num q={seen.q(`${dye.dye_id}.${key}`)} was={planned?.q(`${dye.dye_id}.${key}`)} look={look} unit={false} />;
    return {
      head: <span class="dye-name"><Swatch colour={dye.swatch} /><span>{dye.name} <small>{dye.dye_id}</small></span></span>,
      cells: [
        trimmed(dye.depth_pct_owf, 3), ...(before ? [num("before")] : []), num("on"), ...(fixes ? [num("fixed")] : []), known(fixes ? dye.known_fixation_pct : dye.known_exhaustion_pct),
        ...(fixes ? [num("yield"), num("loose")] : []), num("left"), num("half", "clock"), num("strike", "plain"), num("over"), <Rates key="r" dye={dye} />,
      ],
    };
  });
  return (
    <section class="dye-section dye-dyes">
      <h2 id="dye-dyes">{t.title}</h2>
      <Sheet by="dye-dyes" head={t.dye} columns={columns} rows={rows} />
    </section>
  );
}
function known(value: number | null): ComponentChildren {
  return value === null ? <span class="num-none">{words.none}</span> : number(value);
}
function Rates({ dye }: { dye: DyeFigures }): JSX.Element {
  return <span class={`rates rates-${dye.rates}`}><b>{dye.rates === "fitted" ? null : <Shape kind="note" />}{w.ratesKnown[dye.rates]}</b> {sentence(dye.rates_words)}</span>;
}

function Evenness({ a, seen, planned }: Props): JSX.Element {
  const c = t.levelColumns;
  const row = (key: string, head: string): SheetRow => {
    const num = (name: string): JSX.Element => <Num q={seen.q(`${key}.${name}`)} was={planned?.q(`${key}.${name}`)} unit={false} />;
    return { head, cells: [num("spread"), num("along"), num("between"), num("de"), num("de_tubes")] };
  };
  const at = (key: string, head: string, level: LevelAt | null): SheetRow[] => (level ? [row(key, `${head}, ${clock(level.at_min)}`)] : []);
  return (
    <section class="dye-section">
      <h2 id="dye-level">{t.level}</h2>
      <Sheet late by="dye-level" head={t.when} columns={[{ title: c.spread, unit: "%" }, { title: c.along, unit: "%" }, { title: c.between, unit: "%" }, { title: c.de, unit: "ΔE" }, { title: c.deTubes, unit: "ΔE" }]}
        rows={[...at("level.peak", t.peak, a.level.peak), ...at("level.before", t.before, a.level.before_alkali), ...at("level.fixing", t.fixing, a.level.fixing), row("level.end", t.end)]} />
      <p class="section-lead">{a.level.judged_words} {t.from(a.level.colour_words)}</p>
    </section>
  );
}

function Facts({ a, seen, planned }: Props): JSX.Element {
  const num = (key: string, look: "round" | "plain" = "round"): JSX.Element => <Num q={seen.q(key)} was={planned?.q(key)} look={look} />;
  const short = a.wash_off !== null && a.wash_off.baths_needed > a.wash_off.baths_planned;
  return (
    <div class="dye-facts">
      {a.wash_off ? (
        <section class="dye-section">
          <h2>{t.wash}</h2>
          <p class="dye-said"><Shape kind={short ? "warning" : "ok"} /><span>{a.wash_off.words}</span></p>
          <dl>
            <div><dt>{t.loose}</dt><dd>{num("wash.loose")}</dd></div>
            {a.wash_off.planned_loose_mg_per_kg === null ? null : <div><dt>{t.plannedLoose}</dt><dd>{number(a.wash_off.planned_loose_mg_per_kg)} mg/kg</dd></div>}
            <div><dt>{t.target}</dt><dd>{number(a.wash_off.target_mg_per_kg)} mg/kg</dd></div>
            <div><dt>{t.needed}</dt><dd>{num("wash.baths")}</dd></div>
            <div><dt>{t.planned}</dt><dd>{a.wash_off.baths_planned}</dd></div>
          </dl>
        </section>
      ) : null}
      <section class="dye-section">
        <h2>{t.rope}</h2>
        <dl>
          <div><dt>{t.cycle}</dt><dd>{num("cycle")}</dd></div>
          <div><dt>{t.bathCycle}</dt><dd>{num("bath_cycle")}</dd></div>
          <div><dt>{t.held}</dt><dd>{num("held")}</dd></div>
          <div><dt>{t.free}</dt><dd>{num("free")}</dd></div>
          <div><dt>{t.contacts}</dt><dd>{num("strike.limit_lot")}</dd></div>
          {a.dyes.length > 1 ? <div><dt>{t.toneAt}</dt><dd>{num("tone.apart")} <small>{clock(a.tone.at_min)}</small></dd></div> : null}
        </dl>
      </section>
    </div>
  );
}

function Sensitivity({ study, seen }: { study: Study; seen: Seen }): JSX.Element | null {
  const reruns = study.reruns.value;
  if (!reruns) return null;
  const fresh = study.settled.value;
  const fixes = reruns.sensitivity.some((one) => one.fixation_pct !== null);
  const c = t.sensColumns;
  const columns = [...(fixes ? [{ title: c.fixation, unit: "%" }] : []), { title: c.de, unit: "ΔE" }, { title: c.dl, unit: "ΔL" }, { title: c.deMost, unit: "ΔE" }, { title: c.strike, unit: "%/contact" }, ...(fixes ? [{ title: c.loose, unit: "mg/kg" }] : [])];
  const rows = reruns.sensitivity.map((one): SheetRow => {
    const num = (key: string, value: number | null, decimals: number): ComponentChildren => {
      if (value === null) return <span class="num-none">{words.none}</span>;
      const q = fresh ? seen.q(`${one.what}.${key}`) : null;
      const sign = value > 0 && (q ? rounded(value) : trimmed(value, decimals)) !== "0" ? "+" : "";
      return q ? <>{sign}<Num q={q} look="round" unit={false} /></> : `${sign}${trimmed(value, decimals)}`;
    };
    return {
      head: one.words.replace(/^./, (letter) => letter.toUpperCase()),
      cells: [...(fixes ? [num("fixation", one.fixation_pct, 1)] : []), num("de", one.de, 2), num("dl", one.dl, 2), num("de_most", one.de_most, 2), num("strike", one.strike_pct_per_contact, 2), ...(fixes ? [num("loose", one.loose_mg_per_kg, 0)] : [])],
    };
  });
  return (
    <section class={fresh ? "dye-section" : "dye-section is-before"}>
      <h2 id="dye-sens">{t.sensitivity}</h2>
      <p class="section-lead">{fresh ? t.sensitivityLead : t.ofBefore}</p>
      <Sheet late by="dye-sens" head={t.what} columns={columns} rows={rows} />
    </section>
  );
}

function Sure({ study, seen }: { study: Study; seen: Seen }): JSX.Element | null {
  const margin = study.reruns.value?.margin;
  if (!margin) return null;
  const fresh = study.settled.value;
  return (
    <section class={fresh ? "dye-section" : "dye-section is-before"}>
      <h2>{t.margin}</h2>
      <p class="dye-said"><Shape kind="note" /><span>{fresh ? margin.words : t.ofBefore}</span></p>
      {fresh ? <p class="dye-shade">{t.marginShade} <Num q={seen.q("margin.shade")} look="round" /></p> : null}
    </section>
  );
}
