// The texts of the place "Floor".
import { joined, number, shown, trimmed, wallClock, weight } from "../fmt";
import type { Kept } from "./store";
import type { Curve, SampleFields } from "./curve";
import type { BatchState, Correction, EntryKind, Interrupt, Measured, RunCheck, RunStep } from "./types";

const plural = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;
const litres = (l: number): string => (l === 0 ? "0 L" : joined(shown(l, "L", "")));
const degrees = (c: number): string => joined(shown(c, "degC", ""));
const unitOf = (unit: string): string => shown(0, unit, "").unit;

/** A value as it is read, with its unit; pH has its name before it. */
function read(value: number, unit: string): string {
  if (unit === "pH") return `pH ${trimmed(value, 2)}`;
  const sign = unitOf(unit);
  return sign ? `${trimmed(value, 2)}\u00a0${sign}` : trimmed(value, 2);
}
function limits({ low, high, unit }: Pick<RunCheck, "low" | "high" | "unit">): string {
  const sign = unit === "pH" ? "" : unitOf(unit);
  const tail = sign ? `\u00a0${sign}` : "";
  if (low !== null && high !== null) return `${trimmed(low, 2)} to ${trimmed(high, 2)}${tail}`;
  if (low !== null) return `at least ${trimmed(low, 2)}${tail}`;
  if (high !== null) return `at most ${trimmed(high, 2)}${tail}`;
  return "";
}
const dot = (text: string): string => (text === "" || /[.!?]$/.test(text) ? text : `${text}.`);
const INTERRUPTS: Record<Interrupt, string> = {
  machine: "Machine fault", tangle: "Rope tangled or torn", material: "Material missing", check: "Waiting for a decision",
  steam: "No steam", water: "No water", power: "No power", person: "Nobody at the machine", other: "Another reason",
};

/** The step in very few words: read from two metres. */
function title(step: RunStep): string {
  const { kind } = step;
  if (kind === "heat" || kind === "cool") return `${step.words} to ${degrees(step.temp_end_c)}`;
  if (kind === "hold") return `${step.words} ${trimmed(step.minutes, 1)}\u00a0min`;
  if (kind === "fill" && step.volume_l) return `${step.words} ${litres(step.volume_l)}`;
  if (kind === "check") return step.check ? step.check.words : step.words;
  if (kind === "dose") return `${step.words} ${doses(step)}`;
  return step.words;
}
function doses(step: RunStep): string {
  const [first] = step.items;
  if (step.items.length === 1 && first) return first.name.split(/[,(]/)[0]?.trim() ?? first.name;
  return step.items.length && step.items.every((item) => item.dye) ? plural(step.items.length, "dye", "dyes") : plural(step.items.length, "product", "products");
}

/** What to do, in one sentence. */
function sentence(step: RunStep): string {
  const min = `${trimmed(step.minutes, 1)} min`;
  switch (step.kind) {
    case "load":
      return "Load the fabric; sew the rope ends and check that the rope runs free.";
    case "unload":
      return "Unload the fabric and mark it with the lot.";
    case "fill":
      return `Fill ${step.volume_l ? litres(step.volume_l) : ""} of water${step.water_temp_c ? ` at ${degrees(step.water_temp_c)}` : ""}.`;
    case "heat": case "cool": {
      const rate = step.minutes > 0 ? Math.abs(step.temp_end_c - step.temp_start_c) / step.minutes : 0;
      return `${step.words} from ${degrees(step.temp_start_c)} to ${degrees(step.temp_end_c)}${rate > 0 ? ` at ${number(rate, 1)}\u00a0°C/min` : ""}.`;
    }
    case "hold":
      return `Run ${min} at ${degrees(step.temp_end_c)}.`;
    case "dose": {
      const how = step.curve === "portions" ? `in ${step.portions} equal portions` : (step.curve_words ?? "");
      const tank = step.volume_l ? ` from the tank, ${litres(step.volume_l)},` : "";
      return `Dose${tank} over ${min}${how ? `, ${how}` : ""}, at ${degrees(step.temp_start_c)}.`;
    }
    case "rinse":
      return `Rinse with ${step.volume_l ? litres(step.volume_l) : "water"}${step.water_temp_c ? ` at ${degrees(step.water_temp_c)}` : ""}${step.flow_l_per_min ? `, ${litres(step.flow_l_per_min)} a minute` : ""}.`;
    case "drain":
      return `Drain${step.volume_l ? ` ${litres(step.volume_l)}` : ""}${step.temp_start_c > 85 ? "; the liquor is hot" : ""}.`;
    case "check":
      return step.check ? `${dot(step.check.method || step.check.words)}` : "Check.";
  }
}

/** 754 s -> "12:34"; from an hour on "1:02 h". */
function span(s: number): { value: string; unit: string } {
  const total = Math.max(0, Math.floor(s));
  const pad = (n: number): string => String(n).padStart(2, "0");
  if (total >= 3600) return { value: `${Math.floor(total / 3600)}:${pad(Math.floor(total / 60) % 60)}`, unit: "h" };
  return { value: `${Math.floor(total / 60)}:${pad(total % 60)}`, unit: "min" };
}
function ago(s: number): string {
  if (s < 60) return `${Math.max(0, Math.round(s))} s`;
  return s < 3600 ? `${Math.round(s / 60)} min` : `${Math.floor(s / 3600)} h ${Math.round(s / 60) % 60} min`;
}

const ENTRY: Record<EntryKind, string> = {
  "batch-begun": "lot begun", "step-begun": "step begun", "step-ended": "step ended", "step-skipped": "step left out", weighed: "weighed",
  "weighing-checked": "weighing checked", dosed: "dose run", reading: "reading", decision: "decision", "remedy-approved": "remedy approved",
  interrupted: "interrupted", resumed: "resumed", "taken-over": "taken over", remark: "remark", corrected: "entry corrected",
  "batch-stopped": "lot stopped", "batch-released": "lot released", "batch-rejected": "lot rejected",
};
function entry(one: Pick<Kept, "kind" | "fields">): string {
  const { kind, fields } = one;
  const parts = [ENTRY[kind]];
  if (fields["step"]) parts.push(`step ${fields["step"]}`);
  const sample = fields["sample"] as SampleFields | undefined;
  if (sample) parts.push(`sample ${sample.sample_id ?? "by its curve"}`);
  if (fields["value"] !== undefined) parts.push(String(fields["value"]));
  if (typeof fields["mass_mg"] === "number") parts.push(joined(weight(fields["mass_mg"] / 1e6)));
  if (fields["decision"]) parts.push(String(fields["decision"]));
  if (fields["interrupt"]) parts.push(INTERRUPTS[fields["interrupt"] as Interrupt]);
  if (fields["text"]) parts.push(`“${fields["text"]}”`);
  return parts.join(", ");
}

export const w = {
  title: "Floor",
  hall: "Hall",
  more: "More",
  close: "Close",
  back: "Back",
  cancel: "Cancel",
  loading: "Loading the lot",
  missing: "There is no such run.",
  lot: "Lot",
  swatch: (shade: string) => `Shade ${shade}, for the screen only, not for judging`,
  shade: "Shade",
  machine: "Machine",
  load: "Load",
  state: (state: BatchState) =>
    ({ idle: "Not begun", running: "Running", paused: "Interrupted", held: "Waiting for a decision", complete: "All steps done", released: "Released", stopped: "Stopped", rejected: "Rejected" })[state],
  operator: (name: string) => `Looked after by ${name}.`,

  step: (key: string, bath: number, name: string) => `Step ${key} · bath ${bath} ${name}`,
  remedyStep: (key: string, name: string) => `Remedy step ${key}${name ? ` · ${name}` : ""}`,
  isTitle: title,
  sentence,
  nextIs: "Next",
  nextNone: "the lot is done",
  comes: "Then",
  left: "Time left",
  over: "Overrun",
  until: (at: Date) => `until ${wallClock(at)}`,
  since: (at: Date) => `since ${wallClock(at)}`,
  noTime: "Ends when you press the key",
  takes: (min: number) => `takes ${trimmed(min, 1)} min`,
  span,
  ago,
  unconfirmed: "Not yet confirmed by the server",
  unconfirmedShort: "not yet confirmed",
  endsAt: (at: Date) => `Lot ends ${wallClock(at)}`,
  endsLate: (late: string) => `${late} late`,
  beside: "Running alongside",

  keys: {
    beginLot: "Begin the lot",
    begin: (what: string) => `Begin: ${what}`,
    end: "Step done",
    endAndNext: (next: string) => `then ${next}`,
    endEarly: "End step early",
    hold: "press and hold",
    early: (left: string) => `${left} left`,
    dosed: "Dose is in",
    enter: "Enter the reading",
    temp: "Enter temperature",
    interrupt: "Interrupt",
    resume: "Go on",
    remark: "Remark",
    again: "Press again to confirm",
  },
  weighed: "Weighed",
  notWeighed: "Not weighed yet",
  checkedBy: (name: string) => `checked by ${name}`,
  weighFirst: "Not everything in this dose has been weighed.",
  besideFirst: "What is running alongside has to end first.",
  items: "To dose",
  mass: (mg: number) => joined(weight(mg / 1e6)),
  litres,
  degrees,
  read,
  limits,
  dot,

  cautions: {
    "corrosive-alkali": "Corrosive alkali: goggles, gloves, apron",
    "corrosive-acid": "Corrosive acid: goggles, gloves, apron",
    oxidiser: "Oxidiser: keep from reducers and acids",
    reducer: "Reducing agent: keep dry, keep from oxidisers and acids",
    dust: "Dust: mask, do not stir it up",
    sensitiser: "Can sensitise: mask and gloves",
    irritant: "Irritant: gloves and goggles",
    flammable: "Flammable: no flame, no sparks",
    "hot-liquor": "Hot liquor: stand clear",
    pressure: "Under pressure: do not open",
    rotating: "Moving reel and rope: stop and secure before reaching in",
  } as Record<string, string>,
  cautionsTitle: "Cautions",

  pad: {
    title: "Reading",
    unit: (unit: string) => (unit === "pH" ? "" : unitOf(unit)),
    limits: "Limits",
    noLimits: "No limits are set; the reading is recorded.",
    expected: (text: string) => `The plan expects ${text}.`,
    cooled: "Read on a sample cooled to 25 °C.",
    method: "Method",
    enter: "Enter",
    clear: "Clear",
    back: "Delete the last digit",
    digit: (d: string) => d,
    point: "Decimal point",
    minus: "Change the sign",
    empty: "Type what you read.",
    impossible: (low: string, high: string) => `Only ${low} to ${high} can be read here. Check the instrument again.`,
    sure: (text: string) => `${text} is outside the limits. Is this what you read?`,
    yes: "Yes, enter it",
    no: "No, type again",
    good: "As it should be",
    notGood: "Not as it should be",
    above: "too high",
    below: "too low",
    inside: "within",
    nothing: "nothing typed yet",
    band: (value: string, limit: string, verdict: string) => `${value}: ${verdict}. Limits: ${limit || "none"}.`,
    temp: "Temperature now",
    tempHelp: "Read it off the machine. It is recorded with the end of this step.",
    endWith: "End the step with this reading",
  },

  hold: {
    point: "Hold point",
    pass: "Passed",
    fail: "Not passed",
    failed: (read: string, limits: string) => `Read: ${read}. Allowed: ${limits}.`,
    looked: "Looked at: not as it should be.",
    remedies: "What can be done",
    fetching: "Remedies are being worked out",
    noRemedies: "No remedy can be worked out for this reading.",
    offline: "Remedies are worked out by the server. They come when the connection is back; call the technologist in the meantime.",
    expect: "Expected after it",
    minutes: "Time",
    water: "Water",
    give: "Give",
    nothing: "nothing",
    range: (low: number, high: number) => `(${trimmed(low, 2)} to ${trimmed(high, 2)})`,
    mayApprove: (role: string) => `To be approved by: ${role}`,
    approve: "Approve this remedy",
    steps: "Its steps",
    missing: "Not possible:",
    again: "Read again",
    accept: "Accept as it is",
    stop: "Stop the lot",
    why: "Why",
    source: "Source",
    approved: "Approved. Its steps come next.",
    acceptWhy: "Why can it be accepted?",
    acceptReasons: ["The limit is too tight for this lot", "Agreed with the technologist", "Agreed with the customer"],
  },

  shadeCheck: {
    title: "Shade to standard",
    lead: "Choose the measurement of a cutting of this lot, soaped, dried and conditioned like the standard.",
    stored: "Measured in the laboratory",
    noneStored: (lot: string) => `The laboratory has not measured lot ${lot} yet.`,
    noStandard: "The standard of this shade was not measured: only a difference can be entered, as a number.",
    curve: "Type or paste a curve",
    number: "Only the difference, as a number",
    curveLead: (counts: readonly number[]) => `Reflectances in per cent from 400 to 700 nm: ${counts[0]} values every 20 nm or ${counts[1]} every 10 nm, one after the other; or paste the file of the instrument.`,
    nextValue: "Next value",
    enter: "Measure by this curve",
    gloss: "How the gloss was measured",
    glosses: { included: "Included", excluded: "Excluded", none: "45/0" },
    whichGloss: "Say how the gloss was measured.",
    say: (curve: Curve, counts: readonly number[]): string => {
      switch (curve.is) {
        case "empty":
          return "Nothing is typed yet.";
        case "part":
          return curve.n < (counts[1] ?? 0) ? `${plural(curve.n, "value", "values")}; next is ${curve.nextNm} nm.` : `${plural(curve.n, "value is", "values are")} too many.`;
        case "wrong":
          return `“${curve.word.slice(0, 12)}” is not a reflectance in per cent.`;
        case "whole":
          return `${curve.values.length} values: the curve is complete.`;
        case "file":
          return "The file of an instrument: the server reads it.";
      }
    },
    standard: "Standard",
    sample: "Sample",
    notYet: "Sample: not measured yet",
    pair: (both: boolean) => (both ? "Standard on the left and sample on the right, for the screen only, not for judging" : "The standard; the sample is not measured yet"),
    de: "ΔE",
    within: "within the tolerance",
    off: "outside the tolerance",
    screen: "The colours are for the screen, not for judging.",
    outside: "This screen cannot show these colours exactly.",
    by: (sample: string, standard: string) => `${sample} against ${standard}.`,
    parts: ({ dl, da, db }: Measured): string => {
      const parts = ([[dl, "lighter", "darker"], [da, "redder", "greener"], [db, "yellower", "bluer"]] as const)
        .filter(([v]) => Math.abs(v) >= 0.05)
        .map(([v, up, down]) => `${v > 0 ? up : down} ${trimmed(Math.abs(v), 1)}`);
      return parts.length ? `The sample is ${parts.join(", ")}.` : "No direction stands out.";
    },
    dyes: (dyes: Correction["dyes"]) => `${dyes.map((d) => `${d.name} worked like ${trimmed(d.strength_pct, 0)} %`).join(", ")} of its dose.`,
    waits: "The sample is waiting to be measured by the server.",
    measured: (sample: string) => `measured ${sample}`,
  },

  interrupt: {
    title: "Why is it interrupted?",
    reasons: ["steam", "water", "power", "machine", "tangle", "material", "person", "other"] as Interrupt[],
    word: INTERRUPTS,
    inside: "In this lot",
    outside: "From outside",
    since: (at: Date, span: string) => `Interrupted since ${wallClock(at)}, ${span}`,
    text: "What happened?",
    enter: "Interrupt",
  },

  remark: { title: "Remark", label: "What should be kept in the record?", enter: "Enter remark", empty: "Write something first." },
  takeOver: { title: "Take over", lead: "From now on you are looking after this lot.", enter: "Take over" },
  skip: {
    title: "Leave this step out",
    lead: (what: string) => `“${what}” will not be done, but the plan counts on it.`,
    why: "Why is it left out?",
    reasons: ["Already done", "Not needed for this lot", "The technologist said so"],
    enter: "Leave it out",
  },
  stop: {
    title: "Stop this lot",
    lead: (done: string, left: string) => `${done} of this lot are done, ${left} are left. A stopped lot is not continued: quality decides what becomes of it.`,
    why: "Why is it stopped?",
    reasons: ["Fabric damaged", "Wrong shade, to be stripped", "Machine cannot go on"],
    enter: "Stop the lot",
  },
  other: "Another reason",
  otherLabel: "Reason in your own words",
  pickReason: "Choose a reason first.",
  release: { title: "All steps are done", lead: "Quality releases the lot or rejects it.", enter: "Release", reject: "Reject", why: "Why is it rejected?", reasons: ["Shade", "Stains or creases", "Handle or strength"] },
  over_: { released: "This lot is released.", rejected: "This lot is rejected.", stopped: "This lot was stopped." },
  begin: {
    title: "Ready to begin",
    lead: (steps: number, hours: string) => `${plural(steps, "step", "steps")}, about ${hours} h. The plan of this run is fixed: later changes to the lot do not affect it.`,
  },

  menu: {
    title: "More",
    history: "History",
    sound: (on: boolean) => (on ? "Sound is on" : "Sound is off"),
    soundTry: "Try the sound",
    size: "Size of the keys",
    plan: "Plan of the lot",
    takeOver: "Take over",
    skip: "Leave this step out",
    stop: "Stop this lot",
    remark: "Remark",
  },
  size: {
    title: "Size of the keys",
    lead: "Hold a bank card against the screen and make the bar as wide as the card. Then a key is 20 mm on this device.",
    bar: "The bar is this wide:",
    muchNarrower: "Much narrower",
    narrower: "A little narrower",
    wider: "A little wider",
    muchWider: "Much wider",
    done: "The bar fits the card",
    px: (px: number) => `${Math.round(px)} pixels for 85.6 mm`,
  },

  queue: {
    waits: (n: number) => `${plural(n, "entry waits", "entries wait")} to be sent`,
    oldest: (age: string) => `the oldest for ${age}`,
    away: "No connection to the server.",
    goOn: "Carry on: everything is kept here and sent when the connection is back.",
    asOf: (at: string) => `What is shown is from ${at}.`,
    trouble: (why: string) => `The server cannot take entries now: ${why}`,
    notDurable: "This browser cannot store entries: do not close the page until everything has been sent.",
    refused: (n: number) => `${plural(n, "entry was", "entries were")} not accepted`,
    look: "Look at it",
    title: "Not accepted",
    lead: "The server could not accept what was entered here. Later entries for this lot wait until you have decided.",
    entered: (at: Date, lot: string) => `Entered at ${wallClock(at)} on this device, lot ${lot}`,
    says: "The server says",
    again: "Send it again",
    keep: "Keep it as a remark",
    discard: "Discard it",
    gone: "The lot of this entry is no longer in this mill: there is no record to keep it in.",
    remove: "Take it off this device",
    discardWhy: "Why is it discarded?",
    reasons: ["Already entered on another tablet", "Typed by mistake", "No longer true"],
    entry,
    remark: (what: string, at: Date, why: string, reason: string) =>
      `Not accepted: ${what}; entered ${at.toISOString().slice(0, 19).replace("T", " ")} UTC on the device.${why ? ` ${dot(why)}` : ""}${reason ? ` ${dot(`Discarded: ${reason}`)}` : ""}`,
    next: "Show the next one",
  },
  entry,

  curve: {
    title: "Where the lot stands",
    alt: (lot: string, now: string, end: string) => `Temperature of lot ${lot} over time: planned, run so far and expected. Now: ${now}. Expected end: ${end}.`,
    whole: "Whole lot",
    bath: "This bath",
    showWhole: "Show the whole lot",
    showBath: "Show this bath",
    now: "now",
    planned: "planned",
    actual: "run",
    forecast: "expected",
    end: (at: Date) => `end ${wallClock(at)}`,
  },

  history: {
    title: "History",
    back: "Back to the step",
    lead: "What was entered, in the order it was stored. Nothing is ever removed; a correction stands next to what it corrects.",
    columns: { at: "When", what: "What", by: "By" },
    stored: (at: Date) => `stored ${wallClock(at)}`,
    correct: "Correct",
    corrected: (by: string, text: string) => `corrected by ${by}: ${text}`,
    fields: { value: "Reading", mass_mg: "Mass, kg", stock_lot: "Container", temp_c: "Temperature", text: "Text", instrument: "Instrument" } as Record<string, string>,
    dialog: "Correct this entry",
    is: "What it should be",
    was: "Entered",
    why: "Why is it corrected?",
    reasons: ["Typing mistake", "Misread", "Wrong container"],
    enter: "Enter the correction",
    none: "Nothing has been entered yet.",
    head: "Seal of the record",
    headLead: "Each entry is sealed with the one before it; this is the last seal.",
    seal: "Seal",
    step: (key: string) => `step ${key}`,
    number: (seq: number) => `No. ${seq}`,
    waits: "Still on this device",
    right: "Right first time so far",
    notRight: (remedies: number, accepted: number, corrections: number) => [remedies ? plural(remedies, "remedy", "remedies") : "", accepted ? plural(accepted, "reading accepted outside its limits", "readings accepted outside their limits") : "", corrections ? plural(corrections, "correction", "corrections") : ""].filter(Boolean).join(", "),
  },
};
