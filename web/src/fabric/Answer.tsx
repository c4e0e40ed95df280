// What the answer says: the verdict large, what is apart and by how much, the point to aim at, and
// what would do.
import type { ComponentChildren, JSX } from "preact";
import { number, raw, trimmed } from "../fmt";
import { href } from "../place";
import { Shape } from "../ui/parts";
import { openedBy } from "../why/trail";
import { apply, before, frame, typed, undo } from "./state";
import type { Clash, Cure, Frame } from "./types";
import { w, type KnitCure } from "./words";

const NBSP = "\u00a0";
const cm = (v: number): string => `${number(v, 1)}${NBSP}cm`;
const gsm = (v: number): string => `${trimmed(v, 1)}${NBSP}g/m²`;
const pct = (v: number): string => `${trimmed(v, 1)}${NBSP}%`;

export function apartOf(clash: Clash): string {
  return clash.by_cm !== undefined ? cm(clash.by_cm) : gsm(clash.by_gsm ?? 0);
}

/** "off by 5.1 cm": the widest gap. */
export function offOf(f: Frame): string {
  const worst = f.clashes.reduce<Clash | null>((a, b) => (a && a.pct >= b.pct ? a : b), null);
  if (worst) return w.off(apartOf(worst));
  return f.spirality && f.spirality.over_pct > 0 ? w.spiralityOff(pct(f.spirality.over_pct)) : "";
}

export function Verdict({ f }: { f: Frame }): JSX.Element {
  const off = offOf(f);
  return (
    <div class={off ? "fabric-verdict is-off" : "fabric-verdict"}>
      <Shape kind={off ? "stop" : "ok"} />
      <p>
        <strong role="status">{off ? w.notMet : w.met}</strong>
        {off ? <span>: {off}</span> : null}
      </p>
    </div>
  );
}

function Clashes({ f }: { f: Frame }): JSX.Element | null {
  const twist = f.spirality && f.spirality.over_pct > 0 ? f.spirality : null;
  if (!f.clashes.length && !twist) return null;
  return (
    <ul class="fabric-clashes">
      {f.clashes.map((clash) => <li key={clash.of}>{w.clash[clash.of](apartOf(clash), clash.above)}</li>)}
      {twist ? <li>{w.spiralityClash(pct(twist.total_pct), pct(twist.over_pct))}</li> : null}
    </ul>
  );
}

const ANCHORS = {
  relaxed: "specification.md#finished-and-relaxed", verdict: "specification.md#feasible-or-not", cures: "specification.md#giving-way-and-cures",
  spirality: "specification.md#spirality-asked-for", width: "knit.md#width-needles-course-length", weight: "knit.md#areal-mass",
};

/** A number that can be asked why. */
function Asked({ why, children }: { why: string; children: ComponentChildren }): JSX.Element {
  return <a class="num" href={href(["fabric"], { why })} data-figure={why} onClick={openedBy}><span class="num-value">{children}</span></a>;
}

export function Figures({ f }: { f: Frame }): JSX.Element {
  const { best, spirality } = f;
  return (
    <dl class="fabric-figures">
      <div class="is-main"><dt>{f.verdict === "met" ? w.aim : w.nearest}</dt><dd><Asked why={ANCHORS.verdict}>{cm(best.width_cm)}</Asked> <Asked why={ANCHORS.verdict}>{gsm(best.gsm)}</Asked></dd></div>
      <div><dt>{w.lengthLeft}</dt><dd><Asked why={ANCHORS.relaxed}>{pct(best.length_shrink_pct)}</Asked></dd></div>
      <div><dt>{w.widthLeft}</dt><dd><Asked why={ANCHORS.relaxed}>{pct(best.width_shrink_pct)}</Asked></dd></div>
      {spirality ? <div class={spirality.over_pct > 0 ? "is-over" : ""}><dt>{w.spirality}</dt><dd><Asked why={ANCHORS.spirality}>{pct(spirality.total_pct)}</Asked></dd></div> : null}
    </dl>
  );
}

/** What the verdict rests on, and how near it is. */
function Ground({ f, knitted }: { f: Frame; knitted: boolean }): JSX.Element {
  const own = (why: string): string => (knitted ? why : ANCHORS.relaxed);
  return (
    <dl class="fabric-figures is-ground">
      <div><dt>{w.strain}</dt><dd><Asked why={ANCHORS.verdict}>{`${number(f.best.strain_pct)}${NBSP}%`}</Asked></dd></div>
      <div><dt>{w.relaxed}</dt><dd><Asked why={own(ANCHORS.width)}>{cm(f.relaxed.width_cm)}</Asked> <Asked why={own(ANCHORS.weight)}>{gsm(f.relaxed.gsm)}</Asked></dd></div>
    </dl>
  );
}

/** Below the map, so that it stands still while the words change. */
export function Reasons(): JSX.Element | null {
  const f = frame.value;
  if (!f) return null;
  return (
    <div class="fabric-reasons">
      <Clashes f={f} />
      <Ground f={f} knitted={typed.value["mode"] === "knitted"} />
    </div>
  );
}

const OF_SPIRALITY = ["feeders", "spirality_pct"];

export function Cures(): JSX.Element | null {
  const f = frame.value;
  const back = before.value;
  if (!f || (!offOf(f) && !back)) return null;
  const twist = f.cures.filter((c) => OF_SPIRALITY.includes(c.of));
  const others = f.cures.filter((c) => !OF_SPIRALITY.includes(c.of));
  const groups: [string, Cure[]][] = [[w.knit, others.filter((c) => c.limit === undefined)], [w.agree, others.filter((c) => c.limit !== undefined)], [w.twist, twist]];
  return (
    <section class="cures" aria-labelledby="cures-title">
      <div class="cures-head">
        <h2 id="cures-title">{twist.length && f.clashes.length ? w.curesTwo : w.cures}</h2>
        {back ? <button type="button" class="button" onClick={undo}>{w.undo}</button> : null}
      </div>
      {f.clashes.length && !others.length ? <p>{w.noCure}</p> : null}
      {groups.map(([title, cures]) => (cures.length ? <Group key={title} title={title} cures={cures} /> : null))}
      {f.cures.length ? <p class="cures-why"><Asked why={ANCHORS.cures}>{w.why.how}</Asked></p> : null}
    </section>
  );
}

function Group({ title, cures }: { title: string; cures: Cure[] }): JSX.Element {
  return (
    <div class="cures-group">
      <h3>{title}</h3>
      <ul>
        {cures.map((cure) => {
          const { name, size } = said(cure);
          return <li key={cure.of}><button type="button" class="button cure" onClick={() => apply(cure.set)}><span>{name}</span><small>{size}</small></button></li>;
        })}
      </ul>
    </div>
  );
}

function said(cure: Cure): { name: string; size: string } {
  const { limit, by = 0, upper = false, change_pct = 0 } = cure;
  if (limit === undefined) {
    const what = w.cure[cure.of as KnitCure];
    return { name: valueOf(cure) ? `${what} ${valueOf(cure)}` : w.cure.sample(what), size: `${change_pct > 0 ? "+" : ""}${number(change_pct, 1)}${NBSP}%` };
  }
  if (cure.of === "spirality_pct") return { name: w.cure.spirality_pct(pct(limit)), size: w.by(pct(by)) };
  if (cure.of === "gsm") return { name: w.cure.gsm(gsm(limit), upper), size: w.by(gsm(by)) };
  if (cure.of === "width_cm") return { name: w.cure.width_cm(cm(limit), upper), size: w.by(cm(by)) };
  const length = cure.of === "length_shrink_pct";
  if (!upper) return { name: (length ? w.cure.length_growth : w.cure.width_growth)(pct(-limit)), size: w.by(pct(by)) };
  return { name: (length ? w.cure.length_shrink_pct : w.cure.width_shrink_pct)(pct(limit)), size: w.by(pct(by)) };
}

/** The one number that changes, as it will stand in the form. */
function valueOf({ set }: Cure): string {
  const { loop_cm, ne, tex, needles, feeders } = set;
  if (typeof loop_cm === "number") return `${raw(loop_cm, 5)}${NBSP}cm`;
  if (typeof ne === "number") return `Ne${NBSP}${trimmed(ne, 2)}`;
  if (typeof tex === "number") return `${trimmed(tex, 2)}${NBSP}tex`;
  const whole = needles ?? feeders;
  return typeof whole === "number" ? number(whole) : "";
}
