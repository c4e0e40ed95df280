// Every word of the weigh room.
import { number, trimmed } from "../fmt";

const NBSP = "\u00a0";

/** As a scale shows it: 41.90 kg, 4.190 kg, 419.0 g, 0.419 g. */
export function mass(mg: number): string {
  const size = Math.abs(mg);
  if (size >= 9_999_500) return `${number(mg / 1e6, 2)}${NBSP}kg`;
  if (size >= 999_950) return `${number(mg / 1e6, 3)}${NBSP}kg`;
  return `${number(mg / 1e3, size >= 999.5 || size === 0 ? 1 : 3)}${NBSP}g`;
}
/** The unit that a mass of this size is typed in. */
export const unitOf = (mg: number): { word: string; mg: number; decimals: number } => (mg >= 999_950 ? { word: "kg", mg: 1e6, decimals: 6 } : { word: "g", mg: 1e3, decimals: 3 });

const span = (minutes: number): string => (minutes < 90 ? `${Math.round(minutes)}${NBSP}min` : `${trimmed(minutes / 60, 1)}${NBSP}h`);

export const w = {
  title: "Weigh room",
  lead: "In the order the floor needs them. Scan the product or its container before weighing; any label may be scanned at any time.",
  count: (open: number) => (open === 1 ? "1 weighing open" : `${open} weighings open`),
  empty: "Nothing to weigh: no lot being run has a dose to come.",
  queue: "To be weighed",
  pick: "Choose a weighing, or scan a label.",
  due: (minutes: number) => (minutes < -1 ? `late by ${span(-minutes)}` : minutes < 1 ? "now" : `in ${span(minutes)}`),
  needed: (minutes: number) => (minutes < 1 ? "needed now" : `needed in ${span(minutes)}`),
  states: { "to-weigh": "To weigh", "to-check": "To be checked", weighed: "Weighed" },
  where: "Kept in",
  target: "Weigh out",
  limits: (low: string, high: string) => `${low} to ${high}`,
  zones: { below: "Too little", within: "Within the tolerance", above: "Too much" },
  empties: "Nothing on the scale yet",
  net: "Net",
  tare: (text: string) => `Tare ${text}`,
  scanFirst: "Scan the product or its container",
  scanLead: "Weighing opens for the right product only.",
  noLabel: "No label: I have read its name",
  noLabelHint: "The record then says that it was identified by name.",
  isRight: (name: string) => `${name}: the right one`,
  container: (id: string, lot: string) => (lot ? `Container ${id}, lot ${lot}` : `Container ${id}`),
  noContainer: "No container named",
  wrong: (got: string, wanted: string) => `This is ${got}. Put it back; ${wanted} is asked for.`,
  expired: (id: string) => `Container ${id} is past its date: take another one, or say who allowed it.`,
  notKnown: (words: string, id: string) => `${words} ${id} cannot be used here.`,
  goods: (lot: string) => `This is the supplier's label${lot ? `, lot ${lot}` : ""}: book the delivery first, then scan our own label.`,
  misread: "The label was misread. Scan it again.",
  care: "Wear",
  sheet: "The safety data sheet always comes first.",
  together: (name: string) => `Not into one tank with ${name}`,
  inTurn: (name: string, step: string) => `Rinse the tank first: ${name} went through it in step ${step}`,
  typed: "M: typed in, not read from the scale",
  setTare: "Tare",
  back: "Back",
  point: "Point",
  clear: "Clear",
  enter: "Enter",
  done: "Close",
  label: "Labels",
  check: "I have checked scale and label: right",
  checkLead: (who: string, got: string) => `${who || "Somebody"} weighed ${got}. Another person checks it.`,
  reasonTitle: "Outside the tolerance",
  reasonAbove: "Too much was weighed. It may stay with a reason, and another person checks it.",
  reasonBelow: "Too little was weighed. It may stay with a reason.",
  reasonExpired: "The container is past its date. It may be used with a reason.",
  reasonAsk: "Why is it left like this?",
  reasonsAbove: ["It can no longer be taken out", "The technologist allowed it"],
  reasonsBelow: ["The container is empty", "The technologist allowed it"],
  reasonEnter: "Enter it like this",
  impossible: "Type in the reading of the scale first.",
  tooLight: "The reading is not above the tare.",
  sent: "Entered",
  short: "Will run short",
  shortOne: (name: string, by: string, when: string) => `${name}: short by ${by}, from ${when}`,
  enough: (left: string) => `${left} left after all open weighings`,
  lacks: (by: string) => `stock short by ${by}`,
  checkWaits: (n: number) => (n === 1 ? "1 weighing waits for another person: its dose does not begin before." : `${n} weighings wait for another person: their doses do not begin before.`),
  checkSign: "Another person signs here",
  checkOwn: "You weighed it: somebody else checks scale and label, and signs with badge and PIN or name and password.",
  noRight: "Weighing and booking stock is for the weigh room, technologists and managers.",
  receive: {
    key: "Book a delivery",
    title: "A delivery",
    lead: "Scan the supplier's label or type it in. One entry for each container, or one for several alike under one number.",
    material: "Material",
    choose: "Choose what came",
    now: (stock: string, where: string) => `In stock now: ${stock}${where ? `. Kept in ${where}` : ""}`,
    kg: "Net mass, kg",
    container: "Number of the container",
    supplierLot: "Supplier's lot number",
    expiry: "Use by",
    book: "Book it",
    booked: (mass: string, name: string, id: string) => `${mass} of ${name} booked as ${id}. Put its label on the container.`,
    scanned: (words: string, what: string) => `${words}${what ? `: ${what}` : ""}`,
    known: (words: string, id: string) => `${words} ${id} cannot be used here: scan the supplier's label, or the label of the product.`,
    whichMaterial: "Choose the material first.",
    howMuch: "Type the net mass in kilograms.",
    lost: "A delivery can only be booked with a connection. Book it when the server answers again: the same entry counts once.",
  },
  materialAt: (name: string, at: string) => (at ? `${name}, ${at}` : name),
};
