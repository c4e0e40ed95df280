// Digits for wet and gloved hands: keys of 20 mm by the device's own measure.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { CARD_PX, cardPx, keyPx, setCard } from "../ui/screen";
import { w } from "./words";

interface Props {
  pin: string;
  onPin: (pin: string) => void;
  busy: boolean;
  enter: string;
}
const PIN_MOST = 12;

/** Stands in a form: Enter on a keyboard and the key of that name submit it. */
export function Keypad({ pin, onPin, busy, enter }: Props): JSX.Element {
  const id = useId();
  const press = (digit: string): void => {
    if (pin.length < PIN_MOST) onPin(pin + digit);
  };
  const key = (digit: string): JSX.Element => <button key={digit} type="button" class="button key" onClick={() => press(digit)}>{digit}</button>;
  return (
    <div class="keypad-host" style={{ "--key": `${keyPx.value}px` }}>
      <div class="keypad-field">
        <label class="signin-label" for={id}>{w.pin}</label>
        <input class="input signin-input keypad-pin" id={id} type="password" inputMode="none" autocomplete="off" value={pin}
          onInput={(event) => onPin(event.currentTarget.value.replace(/\D/g, "").slice(0, PIN_MOST))} />
      </div>
      <p class="visually-hidden" role="status">{w.digits(pin.length)}</p>
      <div class="keypad" role="group" aria-label={w.pin}>
        {["1", "2", "3", "4", "5", "6", "7", "8", "9"].map(key)}
        <button type="button" class="button key key-word" onClick={() => onPin(pin.slice(0, -1))}>{w.deleteDigit}</button>
        {key("0")}
        <button type="submit" class="button button-strong key key-word" disabled={busy || pin.length < 6}>{enter}</button>
      </div>
    </div>
  );
}

export function KeySize(): JSX.Element {
  const id = useId();
  const px = Math.round(cardPx.value);
  return (
    <details class="keysize">
      <summary class="button button-quiet">{w.keySize}</summary>
      <p>{w.keySizeLead}</p>
      <svg class="keysize-bar" width={px} height="28" aria-hidden="true"><path d={`M.5 .5h${px - 1}v27H.5z`} /></svg>
      <label class="signin-label" for={id}>{w.card}</label>
      <input class="keysize-range" id={id} type="range" min={CARD_PX.least} max={CARD_PX.most} step="1" value={px}
        onInput={(event) => setCard(Number(event.currentTarget.value))} />
    </details>
  );
}
