import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { RefObject } from "preact";

/** Width of an element in whole pixels, as it changes. */
export function useWidth(): [RefObject<HTMLDivElement | null>, number] {
  const host = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const box = host.current;
    if (!box) return;
    const look = new ResizeObserver(() => setWidth(Math.round(box.clientWidth)));
    look.observe(box);
    setWidth(Math.round(box.clientWidth));
    return () => look.disconnect();
  }, []);
  return [host, width];
}
