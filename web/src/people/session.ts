// Who is signed in here. A refusal for want of a session, wherever it comes, asks anew.
import { effect, signal } from "@preact/signals";
import { ask, refusals } from "../api";
import { keepOpen } from "./device";
import type { Who } from "./types";

export const who = signal<Who | null>(null);

export async function look(): Promise<void> {
  who.value = await ask<Who>("GET", "/api/session");
}

/** What another person had on screen must not stay in memory: the page begins anew. */
function anew(): void {
  location.reload();
}

export async function signIn(secret: { person_id: string; password: string } | { badge: string; pin: string }): Promise<void> {
  const before = who.peek();
  const now = await ask<Who>("POST", "/api/session", secret);
  if (before?.signed_in) anew();
  else who.value = now;
}
export async function signOut(): Promise<void> {
  await ask("DELETE", "/api/session");
  anew();
}
export async function lock(): Promise<void> {
  who.value = await ask<Who>("POST", "/api/session/lock", {});
}
export async function unlock(secret: { pin: string } | { password: string }): Promise<void> {
  who.value = await ask<Who>("POST", "/api/session/unlock", secret);
}

export const may = (action: string): boolean => who.value?.actions.includes(action) ?? false;

effect(() => {
  if (who.value !== null) keepOpen(who.value.signed_in && !who.value.locked);
});

effect(() => {
  if (refusals.value > 0) void look().catch(() => undefined);
});

/** Locks when nobody has touched the screen for as long as the server allows. */
export function watchIdle(): () => void {
  const after = who.peek()?.lock_after_ms ?? 0;
  if (after <= 0) return () => undefined;
  let timer: ReturnType<typeof setTimeout>;
  const restart = (): void => {
    clearTimeout(timer);
    timer = setTimeout(() => void lock().catch(() => undefined), after);
  };
  const kinds = ["pointerdown", "keydown", "wheel"] as const;
  for (const kind of kinds) addEventListener(kind, restart, { passive: true });
  restart();
  return () => {
    clearTimeout(timer);
    for (const kind of kinds) removeEventListener(kind, restart);
  };
}
