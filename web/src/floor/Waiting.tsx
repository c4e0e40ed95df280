// What waits on this device, always in sight while it waits; and what the server did not take.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { lastAnswer, offline } from "../api";
import { wallClock } from "../fmt";
import { Shape } from "../ui/parts";
import { nowMs, offsetMs } from "./clock";
import { Dialog } from "./Dialog";
import { HoldKey, Key } from "./HoldKey";
import { asRemark, durable, kept, refused, sendAgain, takeOff, trouble, waiting, type Kept } from "./queue";
import { ReasonDialog } from "./Reason";
import { w } from "./words";

/** A strip that flashed with every entry would be looked away from. */
const QUIET_MS = 1800;

export function Waiting(): JSX.Element | null {
  const [open, setOpen] = useState(false);
  const away = offline.value;
  const [oldest] = waiting.value;
  const ageMs = oldest ? nowMs.value - offsetMs.value - oldest.device_utc_ms : 0;
  const slow = oldest !== undefined && ageMs > QUIET_MS;
  const bad = refused.value.length;
  const shown = away || slow || bad > 0 || !durable.value;
  const since = lastAnswer.value;
  return (
    <div class="waits-host" role="status">
      {shown ? (
        <div class={bad ? "waits is-bad" : "waits"}>
          {away ? <p><Shape kind="warning" /> <b>{w.queue.away}</b> {oldest ? "" : since ? w.queue.asOf(wallClock(since)) : ""}</p> : null}
          {oldest && (away || slow) ? (
            <p data-waits={waiting.value.length}>
              <b>{w.queue.waits(waiting.value.length)}</b>, {w.queue.oldest(w.ago(ageMs / 1000))}. {away ? w.queue.goOn : ""}
            </p>
          ) : away ? <p>{w.queue.goOn}</p> : null}
          {slow && !away && trouble.value ? <p>{w.queue.trouble(trouble.value)}</p> : null}
          {durable.value ? null : <p><Shape kind="warning" /> {w.queue.notDurable}</p>}
          {bad ? <p class="waits-bad"><Shape kind="stop" /> <b>{w.queue.refused(bad)}.</b></p> : null}
          {bad ? <Key onPress={() => setOpen(true)} name="refused">{w.queue.look}</Key> : null}
        </div>
      ) : null}
      {open && bad ? <Refused one={refused.value[0] as Kept} close={() => setOpen(false)} /> : null}
    </div>
  );
}

const NOT_FOUND = 404;

function Refused({ one, close }: { one: Kept; close: () => void }): JSX.Element {
  const [discard, setDiscard] = useState(false);
  const after = (): void => {
    if (kept.peek().filter((k) => k.refusal).length <= 1) close();
  };
  const gone = one.refusal?.status === NOT_FOUND;
  if (discard) {
    return (
      <ReasonDialog title={w.queue.discard} lead={w.queue.entry(one)} ask={w.queue.discardWhy} reasons={w.queue.reasons} enter={w.queue.discard}
        close={() => setDiscard(false)} give={(reason) => { setDiscard(false); after(); void asRemark(one, reason); }} />
    );
  }
  return (
    <Dialog title={w.queue.title} close={close} closeWord={w.close} key={one.id}>
      <p class="ask-lead">{w.queue.lead}</p>
      <p class="ask-what">{w.queue.entry(one)}</p>
      <p class="ask-lead">{w.queue.entered(new Date(one.device_utc_ms), one.lot_id)}</p>
      <p class="ask-lead"><Shape kind="stop" /> <b>{w.queue.says}:</b> {one.refusal?.message} {one.refusal?.remedy}</p>
      {gone ? <p class="ask-lead">{w.queue.gone}</p> : null}
      <div class="key-list">
        <Key name="send-again" onPress={() => { after(); void sendAgain(one); }}>{w.queue.again}</Key>
        {gone ? <HoldKey name="remove" onPress={() => { after(); void takeOff(one); }}>{w.queue.remove}</HoldKey> : <>
        <Key name="keep" onPress={() => { after(); void asRemark(one, ""); }}>{w.queue.keep}</Key>
        <Key name="discard" onPress={() => setDiscard(true)}>{w.queue.discard}</Key></>}
      </div>
    </Dialog>
  );
}
