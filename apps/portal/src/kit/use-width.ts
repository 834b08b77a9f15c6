import { type RefObject, useLayoutEffect, useState } from 'react';

/** Width of an element in pixels, for figures that are drawn to fit; never more than `most`. */
export function useWidth(ref: RefObject<HTMLElement | null>, most = 720): number {
  const [width, setWidth] = useState(Math.min(560, most));
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return undefined;
    const set = () => setWidth(Math.min(most, element.clientWidth));
    set();
    const watch = new ResizeObserver(set);
    watch.observe(element);
    return () => watch.disconnect();
  }, [ref, most]);
  return width;
}
