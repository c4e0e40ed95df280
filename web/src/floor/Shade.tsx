// The shade check: standard and sample side by side, how far they are apart, and where a sample comes from.
import type { JSX } from "preact";
import { useEffect, useId, useState } from "preact/hooks";
import { ask as asked } from "../api";
import { trimmed } from "../fmt";
import { Shape } from "../ui/parts";
import { sideOf } from "./Band";
import { COUNTS, curveOf, fileOf, type Gloss, type SampleFields } from "./curve";
import { Dialog } from "./Dialog";
import { Key } from "./HoldKey";
import { Digit, Digits } from "./Pad";
import type { BatchDoc, Correction, Measured, RunStep } from "./types";
import { w } from "./words";
import "./shade.css";

interface Sample {
  sample_id: string;
  kind: string;
  name: string;
  lot_id: string;
  shade_id: string;
  measured: string;
  specular: string;
  colour: { swatch: string; in_gamut: boolean } | null;
}
interface Laboratory {
  samples: Sample[];
  shades: { shade_id: string; standard: string | null }[];
}
/** What the laboratory has, kept from the last time there was a line. */
let kept: Laboratory | null = null;

function useLaboratory(): Laboratory | null {
  const [lab, setLab] = useState(kept);
  useEffect(() => {
    let gone = false;
    asked<Laboratory>("GET", "/api/laboratory").then((got) => {
      kept = got;
      if (!gone) setLab(got);
    }, () => undefined); // no line, or no right: a curve can still be typed
    return () => void (gone = true);
  }, []);
  return lab;
}
const standardOf = (lab: Laboratory | null, shade: string): Sample | undefined => {
  const id = lab?.shades.find((s) => s.shade_id === shade)?.standard;
  return lab?.samples.find((s) => s.sample_id === id);
};

export function isShade(step: RunStep): boolean {
  return step.check?.kind === "shade";
}

/** Two halves that touch: an edge between them is what the eye looks for. */
function Pair({ standard, sample }: { standard: string; sample: string | null }): JSX.Element {
  return (
    <figure class="pair">
      <svg viewBox="0 0 200 100" preserveAspectRatio="none" role="img" aria-label={w.shadeCheck.pair(sample !== null)}>
        <path d={sample === null ? "M0 0h100v100H0z" : "M0 0h200v100H0z"} fill={standard} />
        {sample === null ? <path class="pair-none" d="M100.5 1h99v98h-99z" /> : <path d="M100 0h100v100H100z" fill={sample} />}
      </svg>
      <figcaption><span>{w.shadeCheck.standard}</span><span>{sample === null ? w.shadeCheck.notYet : w.shadeCheck.sample}</span></figcaption>
    </figure>
  );
}

export function ShadePanel({ doc, step, correction }: { doc: BatchDoc; step: RunStep; correction?: Correction | null }): JSX.Element {
  const lab = useLaboratory();
  const { measured, check } = step;
  const standard = measured?.standard.swatch ?? standardOf(lab, doc.batch.shade_id)?.colour?.swatch ?? doc.batch.swatch;
  const hidden = measured ? !(measured.standard.in_gamut && measured.sample.in_gamut) : false;
  return (
    <div class="shade">
      <Pair standard={standard} sample={measured?.sample.swatch ?? null} />
      <div class="shade-words">
        {measured && check ? <Difference measured={measured} inside={sideOf(check, measured.difference) === "inside"} /> : null}
        {check ? <p>{w.pad.limits}: {w.limits(check)}</p> : null}
        {measured ? <p class="shade-small">{measured.caption}. {w.shadeCheck.by(measured.sample_id || measured.name, measured.standard_id)}</p> : null}
        {correction ? <p class="shade-small">{w.shadeCheck.dyes(correction.dyes)}</p> : null}
        <p class="shade-small">{hidden ? w.shadeCheck.outside : w.shadeCheck.screen}</p>
      </div>
    </div>
  );
}

function Difference({ measured, inside }: { measured: Measured; inside: boolean }): JSX.Element {
  return (
    <>
      <p class="shade-de">
        <Shape kind={inside ? "ok" : "stop"} /> <b>{w.shadeCheck.de} {trimmed(measured.difference, 2)}</b> {inside ? w.shadeCheck.within : w.shadeCheck.off}
      </p>
      <p class="shade-parts">{w.shadeCheck.parts(measured)}</p>
    </>
  );
}

/** Where the sample comes from: the laboratory, an instrument, or only its difference. */
export function ShadeDialog({ doc, close, give, byNumber }: { doc: BatchDoc; close: () => void; give: (sample: SampleFields) => void; byNumber: () => void }): JSX.Element {
  const lab = useLaboratory();
  const [typing, setTyping] = useState(false);
  const { lot_id, shade_id } = doc.batch;
  const standard = standardOf(lab, shade_id);
  const mine = (lab?.samples ?? []).filter((s) => s.kind === "bulk" && s.lot_id === lot_id && s.colour).reverse();
  const gloss = standard && standard.specular !== "unknown" ? (standard.specular as Gloss) : null;
  if (typing) return <CurveDialog gloss={gloss} close={() => setTyping(false)} give={give} />;
  return (
    <Dialog title={w.shadeCheck.title} close={close} name="shade">
      {lab && !standard ? <p class="ask-lead"><Shape kind="warning" /> {w.shadeCheck.noStandard}</p> : <p class="ask-lead">{w.shadeCheck.lead}</p>}
      {mine.length ? (
        <>
          <p class="ask-ask">{w.shadeCheck.stored}</p>
          <div class="key-list key-list-two">
            {mine.map((s) => (
              <Key key={s.sample_id} name={`sample-${s.sample_id}`} onPress={() => give({ sample_id: s.sample_id })}>
                <svg class="shade-chip" viewBox="0 0 10 10" preserveAspectRatio="none" aria-hidden="true"><path d="M0 0h10v10H0z" fill={s.colour?.swatch ?? "none"} /></svg>
                <span class="key-text">{s.name || s.sample_id}<small>{s.sample_id}, {s.measured}</small></span>
              </Key>
            ))}
          </div>
        </>
      ) : <p class="ask-ask">{w.shadeCheck.noneStored(lot_id)}</p>}
      <div class="ask-keys shade-ways">
        <Key wide name="by-curve" onPress={() => setTyping(true)}>{w.shadeCheck.curve}</Key>
        <Key wide name="by-number" onPress={byNumber}>{w.shadeCheck.number}</Key>
      </div>
    </Dialog>
  );
}

const GLOSSES: readonly Gloss[] = ["included", "excluded", "none"];

function CurveDialog({ gloss, close, give }: { gloss: Gloss | null; close: () => void; give: (sample: SampleFields) => void }): JSX.Element {
  const [text, setText] = useState("");
  const [specular, setSpecular] = useState<Gloss | null>(gloss);
  const [said, setSaid] = useState("");
  const id = useId();
  const curve = curveOf(text);
  const type = (next: string): void => {
    setText(next);
    setSaid("");
  };
  const done = (): void => {
    if (curve.is === "file") give({ file: { name: "pasted", text: curve.text }, ...(specular ? { specular } : {}) });
    else if (curve.is !== "whole") setSaid(w.shadeCheck.say(curve, COUNTS));
    else if (!specular) setSaid(w.shadeCheck.whichGloss);
    else give({ file: fileOf(curve.values), specular, scale: "percent" });
  };
  return (
    <Dialog title={w.shadeCheck.curve} close={close} closeWord={w.back} name="pad">
      <div class="pad">
        <div class="pad-read">
          <label class="pad-help" for={id}>{w.shadeCheck.curveLead(COUNTS)}</label>
          <textarea id={id} class="shade-curve" rows={3} spellcheck={false} autocomplete="off" inputMode="none" value={text} onInput={(event) => type(event.currentTarget.value)} />
          <p class="pad-limits" aria-live="polite">{w.shadeCheck.say(curve, COUNTS)}</p>
          <p class="ask-ask">{w.shadeCheck.gloss}</p>
          <div class="shade-gloss" role="group" aria-label={w.shadeCheck.gloss}>
            {GLOSSES.map((one) => <Key key={one} name={`gloss-${one}`} pressed={specular === one} onPress={() => setSpecular(one)}>{w.shadeCheck.glosses[one]}</Key>)}
          </div>
          <p class="pad-say" role="alert">{said ? <><Shape kind="stop" /> {said}</> : null}</p>
        </div>
        <div class="pad-keys">
          <Digits of="789" press={(d) => type(text + d)} /><Digit label={w.pad.back} onPress={() => type(text.slice(0, -1))}>⌫</Digit>
          <Digits of="456" press={(d) => type(text + d)} /><button type="button" class="key pad-clear" onClick={() => type("")}>{w.pad.clear}</button>
          <Digits of="123" press={(d) => type(text + d)} /><Digit label={w.pad.point} onPress={() => type(`${text}.`)}>.</Digit>
          <Digits of="0" press={(d) => type(text + d)} /><Key wide name="next-value" onPress={() => type(`${text.trimEnd()} `)}>{w.shadeCheck.nextValue}</Key>
          <div class="shade-enter"><Key strong wide name="enter" onPress={done}>{w.shadeCheck.enter}</Key></div>
        </div>
      </div>
    </Dialog>
  );
}
