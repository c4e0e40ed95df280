// Two colours edge to edge, as large as there is room: the smallest difference shows at their border.
import type { JSX } from "preact";
import { Shape } from "../ui/parts";
import type { Colour } from "./types";
import { w } from "./words";

interface Half {
  word: string;
  colour: Pick<Colour, "swatch" | "in_gamut">;
}

export function Field({ left, right, light, caption }: { left: Half; right: Half; light: string; caption: string }): JSX.Element {
  return (
    <figure class="lab-field">
      <div class="lab-field-words" aria-hidden="true"><span>{left.word}</span><span>{right.word}</span></div>
      <svg viewBox="0 0 20 10" preserveAspectRatio="none" role="img" aria-label={w.fieldAlt(left.word, right.word, light)}>
        <path d="M0 0h10v10H0z" fill={left.colour.swatch} class="lab-half is-standard" />
        <path d="M10 0h10v10H10z" fill={right.colour.swatch} class="lab-half is-match" />
      </svg>
      <figcaption>
        <span>{caption}. {w.look}</span>
        {[left, right].map((half) => (half.colour.in_gamut ? null : <span key={half.word} class="lab-gamut"><Shape kind="note" /> {w.gamut(half.word)}</span>))}
      </figcaption>
    </figure>
  );
}
