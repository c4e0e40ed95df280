// A delivery is booked: what came, under which number of ours, how much, how long it keeps.
import type { JSX } from "preact";
import { useEffect, useId, useState } from "preact/hooks";
import { ApiError, api, offline } from "../api";
import { Dialog } from "../floor/Dialog";
import { Key } from "../floor/HoldKey";
import { uniqueId } from "../floor/queue";
import { parse } from "../fmt";
import { Shape } from "../ui/parts";
import { poll } from "./state";
import type { Material, Scanned } from "./types";
import { mass, w } from "./words";

const r = w.receive;
const MG_PER_KG = 1e6;

interface Delivery {
  material_id: string;
  stock_lot_id: string;
  supplier_lot: string;
  kg: string;
  expiry: string;
}
/** A number of ours that is free with some likelihood; whoever has labels printed types theirs. */
function fresh(): Delivery {
  const [day = "", time = ""] = new Date().toISOString().split("T");
  return { material_id: "", stock_lot_id: `C${day.slice(2).replace(/-/g, "")}-${time.slice(0, 5).replace(":", "")}`, supplier_lot: "", kg: "", expiry: "" };
}

/** What the label of the maker, or of ours, tells of it. */
export function filled(d: Delivery, s: Scanned): Delivery {
  if (s.kind === "goods") return { ...d, supplier_lot: s.supplier_lot || d.supplier_lot, kg: s.mass_mg ? String(s.mass_mg / MG_PER_KG) : d.kg, expiry: s.expiry ?? d.expiry };
  return s.kind === "material" && s.id ? { ...d, material_id: s.id } : d;
}

export function Receive({ close, heard }: { close: () => void; heard: (hear: (text: string) => void) => void }): JSX.Element {
  const [materials, setMaterials] = useState<Material[]>([]);
  const [d, setD] = useState(fresh);
  const [say, setSay] = useState<{ bad: boolean; text: string } | null>(null);
  const [busy, setBusy] = useState(false);
  const [entry, setEntry] = useState(uniqueId);
  const id = useId();
  const away = offline.value;
  useEffect(() => {
    if (!away) api.stock().then(setMaterials, (cause: Error) => setSay({ bad: true, text: cause.message }));
  }, [away]);
  useEffect(() => heard((text) => {
    api.scan(text).then((got) => {
      setSay(got.kind === "goods" || got.kind === "material" ? { bad: false, text: r.scanned(got.words, got.name ?? got.supplier_lot ?? "") } : { bad: true, text: r.known(got.words, got.id ?? "") });
      setD((was) => filled(was, got));
    }, (cause: unknown) => setSay({ bad: true, text: cause instanceof ApiError ? `${cause.body.message} ${cause.body.remedy}` : w.misread }));
  }), []);
  const material = materials.find((m) => m.material_id === d.material_id);
  const kg = parse(d.kg);
  const mg = "value" in kg ? Math.round(kg.value * MG_PER_KG) : 0;
  const set = (key: keyof Delivery) => (event: { currentTarget: { value: string } }): void => {
    setD({ ...d, [key]: event.currentTarget.value });
    setSay(null);
  };
  const book = (): void => {
    if (!material) return setSay({ bad: true, text: r.whichMaterial });
    if (mg < 1) return setSay({ bad: true, text: r.howMuch });
    setBusy(true);
    api.receive({ entry_id: entry, stock_lot_id: d.stock_lot_id.trim(), material_id: d.material_id, mass_mg: mg, ...(d.supplier_lot.trim() ? { supplier_lot: d.supplier_lot.trim() } : {}), ...(d.expiry ? { expiry: d.expiry } : {}) }).then(
      (done) => {
        setSay({ bad: false, text: r.booked(mass(mg), material.name, done.stock_lot_id) });
        setD(fresh());
        setEntry(uniqueId());
        setBusy(false);
        void poll();
        api.stock().then(setMaterials, () => undefined);
      },
      (cause: unknown) => {
        setSay({ bad: true, text: cause instanceof ApiError ? `${cause.body.message} ${cause.body.remedy}` : r.lost });
        setBusy(false);
      },
    );
  };
  const field = (key: keyof Delivery, label: string, more: Record<string, string> = {}): JSX.Element => (
    <div>
      <label for={`${id}-${key}`}>{label}</label>
      <input id={`${id}-${key}`} data-field={key} autocomplete="off" value={d[key]} onInput={set(key)} {...more} />
    </div>
  );
  return (
    <Dialog title={r.title} close={close} closeWord={w.done} name="receive">
      <p class="ask-lead">{r.lead}</p>
      <div class="receive">
        <div class="receive-wide">
          <label for={`${id}-material`}>{r.material}</label>
          <select id={`${id}-material`} data-field="material_id" value={d.material_id} onChange={set("material_id")}>
            <option value="">{r.choose}</option>
            {[...materials].sort((a, b) => a.name.localeCompare(b.name)).map((m) => <option key={m.material_id} value={m.material_id}>{m.name} ({m.material_id})</option>)}
          </select>
          <p class="receive-now">{material ? r.now(mass(material.stock_kg * MG_PER_KG), material.storage) : "\u00a0"}</p>
        </div>
        {field("kg", r.kg, { inputMode: "decimal" })}
        {field("stock_lot_id", r.container, { autocapitalize: "characters" })}
        {field("supplier_lot", r.supplierLot)}
        {field("expiry", r.expiry, { type: "date", min: "2000-01-01", max: "2099-12-31" })}
      </div>
      <p class="ask-say" role="alert">{say ? <><Shape kind={say.bad ? "stop" : "ok"} /> {say.text}</> : away ? <><Shape kind="warning" /> {r.lost}</> : null}</p>
      <div class="ask-keys"><Key strong wide name="book" disabled={busy || away} onPress={book}>{r.book}</Key></div>
    </Dialog>
  );
}
