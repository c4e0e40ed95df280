// A place that is not in the first load: its script and style sheet come when it is first asked
// for, or when nothing else is to do. Until then the page says that it waits; when they do not
// come, it says so and tries again as soon as the server is back.
import { signal, type Signal } from "@preact/signals";
import type { ComponentType, JSX } from "preact";
import { useEffect } from "preact/hooks";
import { offline } from "../api";
import { Loading, Shape } from "../ui/parts";
import { words } from "../words";
import type { Spot } from "./spot";

/** Names of the style sheets, put in by the build (build.mjs). */
declare const PAGE_CSS: Record<string, string>;

const PAGES = {
  lot: () => import("../pages/lot"),
  finish: () => import("../pages/finish"),
  dyeing: () => import("../pages/dyeing"),
  orders: () => import("../pages/orders"),
  desk: () => import("../pages/desk"),
  fabric: () => import("../pages/fabric"),
  laboratory: () => import("../pages/laboratory"),
  learn: () => import("../pages/learn"),
  check: () => import("../pages/check"),
  floor: () => import("../pages/floor"),
  hall: () => import("../pages/hall"),
  weigh: () => import("../pages/weigh"),
  people: () => import("../pages/people"),
  signin: () => import("../pages/signin"),
} satisfies Record<string, () => Promise<{ Page: ComponentType<Spot> }>>;
export type PageName = keyof typeof PAGES;

interface Held {
  view: ComponentType<Spot> | null;
  failed: boolean;
}
const held = new Map<PageName, Signal<Held>>();
const running = new Map<PageName, Promise<void>>();
/** Some browsers remember that a script did not come; then only a new start helps. */
const failures = new Map<PageName, number>();
const TRIES_BEFORE_RELOAD = 2;

function heldOf(name: PageName): Signal<Held> {
  let found = held.get(name);
  if (!found) held.set(name, (found = signal<Held>({ view: null, failed: false })));
  return found;
}

function sheet(name: PageName): Promise<void> {
  const file = PAGE_CSS[name];
  if (!file || document.querySelector(`link[href="${file}"]`)) return Promise.resolve();
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = file;
  return new Promise((resolve, reject) => {
    link.onload = () => resolve();
    link.onerror = () => {
      link.remove(); // the next try must ask again
      reject(new Error(file));
    };
    document.head.append(link);
  });
}

function load(name: PageName): Promise<void> {
  const mine = heldOf(name);
  if (mine.peek().view) return Promise.resolve();
  let run = running.get(name);
  if (!run) {
    mine.value = { view: null, failed: false };
    run = Promise.all([PAGES[name](), sheet(name)]).then(
      ([{ Page }]) => void (mine.value = { view: Page, failed: false }),
      () => {
        failures.set(name, (failures.get(name) ?? 0) + 1);
        mine.value = { view: null, failed: true };
      },
    ).finally(() => running.delete(name));
    running.set(name, run);
  }
  return run;
}

const WARM_AFTER_MS = 1200;
/** Brings all pages in while nobody waits: a place that was never visited opens without the network. */
export function warm(): void {
  setTimeout(async () => {
    for (const name of Object.keys(PAGES) as PageName[]) {
      await idle();
      if (!heldOf(name).peek().failed) await load(name);
    }
  }, WARM_AFTER_MS);
}
function idle(): Promise<void> {
  return new Promise((resolve) => ("requestIdleCallback" in window ? requestIdleCallback(() => resolve()) : setTimeout(resolve)));
}

export function Later({ page, spot }: { page: PageName; spot: Spot }): JSX.Element {
  const { view: View, failed } = heldOf(page).value;
  const away = offline.value;
  useEffect(() => void load(page), [page]);
  useEffect(() => {
    if (!away && heldOf(page).peek().failed) void load(page);
  }, [away, page]);
  if (View) return <View {...spot} />;
  if (!failed) return <Loading />;
  const again = (): void => ((failures.get(page) ?? 0) < TRIES_BEFORE_RELOAD ? void load(page) : location.reload());
  return (
    <div class="failure" role="alert">
      <Shape kind="stop" />
      <div>
        <p class="finding-message">{words.pageMissing}</p>
        <button type="button" class="button" onClick={again}>{words.retry}</button>
      </div>
    </div>
  );
}
