// What is needed now and then.
import type { JSX } from "preact";
import { href } from "../place";
import { cardPx, setCard } from "../ui/screen";
import { setSound, sound } from "./device";
import { Dialog } from "./Dialog";
import { Key } from "./HoldKey";
import { call, wake } from "./sound";
import type { BatchDoc } from "./types";
import { w } from "./words";

export type Ask = "menu" | "pad" | "shade" | "temp" | "interrupt" | "remark" | "take-over" | "skip" | "stop" | "size" | "accept" | "reject" | null;

interface Props {
  doc: BatchDoc;
  canEnter: boolean;
  canSkip: boolean;
  canStop: boolean;
  ask: (what: Ask) => void;
}

export function Menu({ doc, canEnter, canSkip, canStop, ask }: Props): JSX.Element {
  const { batch_id, lot_id, operator } = doc.batch;
  return (
    <Dialog title={w.menu.title} close={() => ask(null)} closeWord={w.close}>
      {operator ? <p class="ask-lead">{w.operator(operator)}</p> : null}
      <div class="key-list key-list-two">
        <Key onPress={() => ask("remark")} name="remark">{w.menu.remark}</Key>
        {canEnter ? <Key onPress={() => ask("take-over")} name="take-over">{w.menu.takeOver}</Key> : null}
        <a class="key" href={href(["floor", batch_id, "history"])} data-key="history">{w.menu.history}</a>
        <a class="key" href={href(["lots", lot_id])}>{w.menu.plan}</a>
        <Key onPress={() => { wake(); setSound(!sound.value); }} pressed={sound.value} name="sound">{w.menu.sound(sound.value)}</Key>
        <Key onPress={() => { wake(); setTimeout(() => call("hold", true), 60); }} name="try-sound">{w.menu.soundTry}</Key>
        <Key onPress={() => ask("size")} name="size">{w.menu.size}</Key>
        {canSkip ? <Key onPress={() => ask("skip")} name="skip">{w.menu.skip}</Key> : null}
        {canStop ? <Key onPress={() => ask("stop")} name="stop">{w.menu.stop}</Key> : null}
      </div>
    </Dialog>
  );
}

const LITTLE_PX = 2;
const MUCH_PX = 24;
export function SizeDialog({ close }: { close: () => void }): JSX.Element {
  const px = cardPx.value;
  const step = (by: number, word: string, name: string): JSX.Element => <Key name={name} onPress={() => setCard(px + by)}>{word}</Key>;
  return (
    <Dialog title={w.size.title} close={close} closeWord={w.close} name="size">
      <p class="ask-lead">{w.size.lead}</p>
      <p class="ask-ask">{w.size.bar} {w.size.px(px)}</p>
      <svg class="card-bar" width={px} height="64" viewBox={`0 0 ${px} 64`} role="img" aria-label={w.size.px(px)}><path d={`M0 0h${px}v64H0z`} /></svg>
      <div class="key-list key-list-four">
        {step(-MUCH_PX, w.size.muchNarrower, "narrower-much")}
        {step(-LITTLE_PX, w.size.narrower, "narrower")}
        {step(LITTLE_PX, w.size.wider, "wider")}
        {step(MUCH_PX, w.size.muchWider, "wider-much")}
      </div>
      <div class="ask-keys"><Key strong wide name="enter" onPress={() => { setCard(px); close(); }}>{w.size.done}</Key></div>
    </Dialog>
  );
}

export function InterruptDialog({ close, give }: { close: () => void; give: (why: string, text: string) => void }): JSX.Element {
  return (
    <Dialog title={w.interrupt.title} close={close}>
      <div class="key-list key-list-two">
        {w.interrupt.reasons.map((why) => <Key key={why} name={`why-${why}`} onPress={() => give(why, "")}>{w.interrupt.word[why]}</Key>)}
      </div>
    </Dialog>
  );
}
