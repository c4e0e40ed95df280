// The texts of a lot that is to be run.
const plural = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

export const run = {
  button: "Run this lot",
  title: (lot: string) => `Run lot ${lot}`,
  lead: "The plan as saved is fixed for this run:",
  facts: { machine: "Machine", load: "Load", liquor: "Liquor", route: "Route", time: "Time", baths: "Baths and steps", weigh: "To weigh", hold: "Hold points" },
  route: (id: string, version: number) => `${id}, version ${version}`,
  baths: (baths: number, steps: number) => `${plural(baths, "bath", "baths")}, ${plural(steps, "step", "steps")}`,
  weigh: (n: number) => plural(n, "product", "products"),
  after: "Later changes to the lot, its route, its recipe or its water do not affect the run. Nothing starts at the machine: the operator begins the first step on the floor screen.",
  dirty: "There are unsaved changes, which are not included. Save or discard them first.",
  stops: "This plan has a stop: it cannot be run as it is.",
  enter: "Fix the plan and go to the floor",
  open: "A run of this lot is open.",
  goTo: "Go to it",
  taken: (machine: string, lot: string) => `${machine} is taken by lot ${lot}.`,
};
