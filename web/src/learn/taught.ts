// What the lots teach, as far as it is here: long tables come in parts, the first with the page.
import { signal } from "@preact/signals";
import { learned } from "../api";
import { useResource, type Resource } from "../ui/resource";
import type { LearnAnswer, Taught } from "./types";

/** The first answer that the further parts belong to, and they. */
const further = signal<{ of: LearnAnswer | null; parts: Taught[] }>({ of: null, parts: [] });

const taughtOf = (a: LearnAnswer): Taught | null => ("groups" in a.result ? a.result : null);

export interface Learned extends Resource<LearnAnswer> {
  reload: () => void;
  taught: Taught | null;
  more: (() => Promise<void>) | null;
}

export function useLearned(): Learned {
  const answer = useResource("learn", () => learned());
  const first = answer.data ? taughtOf(answer.data) : null;
  const parts = further.value.of === answer.data ? further.value.parts : [];
  const next = (parts.at(-1) ?? first)?.rows_next ?? null;
  const more = async (): Promise<void> => {
    const part = taughtOf(await learned(next ?? 0));
    if (part) further.value = { of: answer.data, parts: [...parts, part] };
  };
  return { ...answer, taught: first && joined(first, parts), more: next === null ? null : more };
}

/** Points come newest first, a part at a time; within a part they go on in time. */
function joined(first: Taught, parts: Taught[]): Taught {
  return parts.reduce((all, part) => ({
    ...all, groups: [...all.groups, ...part.groups], factors: [...all.factors, ...part.factors], points: [...part.points, ...all.points],
  }), first);
}
