// Which samples of the mill are looked at: cloth and process, shade.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { Shape } from "../ui/parts";
import { bench, choose, shade, shadeId, substrate } from "./bench";
import { takeNone } from "./state";
import { w } from "./words";

export function MillBar(): JSX.Element | null {
  const id = useId();
  const b = bench.value;
  if (!b) return null;
  const usable = b.substrates.filter((s) => s.cloth && s.rungs > 0);
  const some = b.shades.filter((s) => s.standard);
  const others = b.shades.filter((s) => !s.standard);
  const option = (s: { shade_id: string; name: string }): JSX.Element => <option key={s.shade_id} value={s.shade_id}>{s.shade_id} {s.name}</option>;
  return (
    <section class="lab-files lab-mill" aria-label={w.fromMill}>
      <div class="field">
        <label for={`${id}-u`}>{w.substrate}</label>
        <select class="select" id={`${id}-u`} value={substrate.value} onChange={(event) => { substrate.value = event.currentTarget.value; choose(); }}>
          {usable.map((s) => <option key={s.substrate} value={s.substrate}>{s.substrate}</option>)}
        </select>
      </div>
      <div class="field lab-standard">
        <label for={`${id}-s`}>{w.shadeField}</label>
        <select class="select" id={`${id}-s`} value={shadeId.value} onChange={(event) => { shadeId.value = event.currentTarget.value; choose(); }}>
          {some.length ? <optgroup label={w.withStandard}>{some.map(option)}</optgroup> : null}
          {others.length ? <optgroup label={w.withoutStandard}>{others.map(option)}</optgroup> : null}
        </select>
      </div>
      <button type="button" class="button" onClick={takeNone}>{w.useFiles}</button>
      {shade.value && !shade.value.standard ? <p class="lab-stale"><Shape kind="note" /> {w.noStandard}</p> : null}
    </section>
  );
}
