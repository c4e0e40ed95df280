import type { JSX } from "preact";
import type { Plan } from "../types";
import type { Study } from "./state";
import type { Simulated } from "./types";
export function Shorten(_: { study: Study; plan: Plan; a: Simulated }): JSX.Element | null { return null; }
