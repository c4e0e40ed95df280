// The places of a lot.
import type { JSX } from "preact";
import { href } from "../place";
import { words } from "../words";

const w = words.plan.tabs;
export const LOT_TABS = ["plan", "bath", "dyeing", "finish", "footprint"] as const;
export type LotTab = (typeof LOT_TABS)[number];

/** Tabs whose page comes later, and brings its own panel of whys. */
export function comesLater(tab: LotTab): tab is "dyeing" | "finish" {
  return tab === "dyeing" || tab === "finish";
}

export function tabOf(part: string | undefined): LotTab | null {
  return part === undefined ? "plan" : (LOT_TABS.find((tab) => tab === part && tab !== "plan") ?? null);
}
export function tabPath(lot: string, tab: LotTab): string[] {
  return tab === "plan" ? ["lots", lot] : ["lots", lot, tab];
}

export function LotTabs({ lot, tab }: { lot: string; tab: LotTab }): JSX.Element {
  return (
    <nav class="lot-tabs" aria-label={w.label}>
      {LOT_TABS.map((one) => (
        <a key={one} href={href(tabPath(lot, one))} {...(one === tab ? { "aria-current": "page" as const } : {})}>{w[one]}</a>
      ))}
    </nav>
  );
}
