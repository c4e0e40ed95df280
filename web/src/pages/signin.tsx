import type { JSX } from "preact";
import { SignIn } from "../people/SignIn";

export function Page(): JSX.Element {
  return <SignIn />;
}
