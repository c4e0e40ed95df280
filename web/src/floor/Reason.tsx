// A reason: one of a few large keys, or words of one's own.
import type { ComponentChildren, JSX } from "preact";
import { useId, useState } from "preact/hooks";
import { Dialog } from "./Dialog";
import { HoldKey, Key } from "./HoldKey";
import { w } from "./words";

interface Props {
  title: string;
  lead?: ComponentChildren;
  ask: string;
  reasons: readonly string[];
  enter: string;
  /** What cannot be taken back is pressed for a second. */
  grave?: boolean;
  close: () => void;
  give: (reason: string) => void;
}

export function ReasonDialog({ title, lead, ask, reasons, enter, grave, close, give }: Props): JSX.Element {
  const [picked, setPicked] = useState<string | null>(null);
  const [own, setOwn] = useState("");
  const [said, setSaid] = useState("");
  const other = picked === w.other;
  const reason = other ? own.trim() : (picked ?? "");
  const id = useId();
  const done = (): void => {
    if (reason) give(reason);
    else setSaid(w.pickReason);
  };
  return (
    <Dialog title={title} close={close}>
      {lead ? <p class="ask-lead">{lead}</p> : null}
      <p class="ask-ask" id={id}>{ask}</p>
      <div class="key-list" role="group" aria-labelledby={id}>
        {[...reasons, w.other].map((one) => <Key key={one} pressed={picked === one} onPress={() => { setPicked(one); setSaid(""); }}>{one}</Key>)}
      </div>
      {other ? <OwnWords label={w.otherLabel} text={own} type={setOwn} /> : null}
      <p class="ask-say" role="alert">{said}</p>
      <div class="ask-keys">
        {grave && reason
          ? <HoldKey strong wide name="enter" onPress={done}>{enter}</HoldKey>
          : <Key strong wide name="enter" onPress={done}>{enter}</Key>}
      </div>
    </Dialog>
  );
}

export function OwnWords({ label, text, type }: { label: string; text: string; type: (text: string) => void }): JSX.Element {
  const id = useId();
  return (
    <div class="own-words">
      <label for={id}>{label}</label>
      <textarea id={id} rows={3} maxLength={400} value={text} onInput={(event) => type(event.currentTarget.value)} />
    </div>
  );
}

export function RemarkDialog({ close, give }: { close: () => void; give: (text: string) => void }): JSX.Element {
  const [text, setText] = useState("");
  const [said, setSaid] = useState("");
  const done = (): void => (text.trim() ? give(text.trim()) : setSaid(w.remark.empty));
  return (
    <Dialog title={w.remark.title} close={close}>
      <OwnWords label={w.remark.label} text={text} type={setText} />
      <p class="ask-say" role="alert">{said}</p>
      <div class="ask-keys"><Key strong wide name="enter" onPress={done}>{w.remark.enter}</Key></div>
    </Dialog>
  );
}
