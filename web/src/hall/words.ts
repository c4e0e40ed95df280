// The texts of the place "Hall".
const plural = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

export const hallPage = {
  title: "Hall",
  lead: "Every machine; those that are late or waiting come first.",
  count: (running: number, all: number) => `${running} of ${plural(all, "machine", "machines")} taken`,
  columns: { machine: "Machine", lot: "Lot", step: "Step", progress: "Progress", end: "Ends" },
  free: "Free",
  next: (lot: string) => `next: ${lot}`,
  unloaded: "unloaded, behind the dryer",
  planned: (at: string) => `planned ${at}`,
  onTime: "on time",
  late: (min: string) => `${min} late`,
  early: (min: string) => `${min} early`,
  empty: "The mill has no machines yet.",
  asOf: (at: string) => `As of ${at}`,
  progress: (pct: string) => `${pct} % of its time`,
  kg: (kg: string) => `${kg} kg`,
  open: (lot: string, machine: string) => `Lot ${lot} on ${machine}`,
  record: {
    checking: (pct: string) => `The record is being checked, ${pct} % so far.`,
    broken: (seq: number, batch: string | null, words: string) => `Nothing more is entered: ${batch ? `event ${seq} of ${batch}, ` : ""}${words}.`,
    failed: (words: string) => `The record could not be checked: ${words}.`,
  },
};
