// What is to be weighed, as the server tells it (docs/api.md). Masses in mg, times UTC ms.
export type WeighState = "to-weigh" | "to-check" | "weighed";

export interface Clash {
  id: string;
  danger: boolean;
  with: string;
  step: string;
  in_turn: boolean;
  words: string;
}
export interface Material {
  material_id: string;
  name: string;
  stock_kg: number;
  storage: string;
}
export interface Container {
  stock_lot_id: string;
  supplier_lot: string;
  left_mg: number;
  expiry_utc_ms: number;
  expired: boolean;
  opened: boolean;
  label: string | null;
}
export interface Stock {
  mg: number;
  needed_mg: number;
  after_mg: number;
  short_by_mg: number;
  runs_out_utc_ms: number;
}
export interface WeighItem {
  batch_id: string;
  lot_id: string;
  machine_id: string;
  shade_id: string;
  swatch: string;
  step: string;
  bath: string;
  item: number;
  material_id: string;
  name: string;
  mass_mg: number;
  volume_l: number;
  dye: boolean;
  storage: string;
  needed_utc_ms: number;
  due_utc_ms: number;
  state: WeighState;
  state_words: string;
  weighed_mg: number;
  weighed_seq: number;
  weighed_by: string;
  tolerance_mg: number;
  tolerance_low_mg: number;
  tolerance_high_mg: number;
  two_persons: boolean;
  scale_id: string | null;
  scale: string | null;
  division_mg: number;
  way: { kind: "once" | "portions" | "solution" | "no-scale"; words: string; portions: number; portion_mg: number; few_divisions: boolean; unsure: boolean; unverified: boolean };
  advice: string[];
  cautions: string[];
  caution_words: string[];
  ppe: { id: string; words: string }[];
  incompatible: Clash[];
  containers: Container[];
  stock: Stock;
  label: string | null;
  product_label: string | null;
}
export interface WeighDoc {
  now_utc_ms: number;
  items: WeighItem[];
  short: { material_id: string; name: string; stock: Stock }[];
}
export interface Scanned {
  kind: "lot" | "machine" | "stock-lot" | "material" | "vessel" | "person" | "weighing" | "goods";
  words: string;
  id?: string;
  name?: string | null;
  material_id?: string | null;
  step?: string;
  item?: number;
  supplier_lot?: string;
  mass_mg?: number;
  expiry?: string;
}
