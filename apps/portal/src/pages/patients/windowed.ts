import { type RefObject, useEffect, useLayoutEffect, useState } from 'react';

/** Rows drawn beyond what is seen, above and below: enough for one turn of the wheel. */
const BEYOND = 8;

/** Which rows of a long list lie in the window. `seenRows(100, 10, 250, 100, 0)` is rows 25 to 35. */
export function seenRows(
  count: number,
  rowPx: number,
  scrolledPx: number,
  windowPx: number,
  beyond: number = BEYOND,
): { readonly first: number; readonly end: number } {
  const first = Math.max(0, Math.min(count, Math.floor(scrolledPx / rowPx)) - beyond);
  const end = Math.min(count, Math.ceil((scrolledPx + windowPx) / rowPx) + beyond);
  return { first, end: Math.max(first, end) };
}

/** Rows of a list, of equal height, that the page has scrolled to. */
export function useWindowed(
  list: RefObject<HTMLElement | null>,
  count: number,
  rowPx: number,
): { readonly first: number; readonly end: number } {
  const [seen, setSeen] = useState(() => seenRows(count, rowPx, 0, 900));
  useLayoutEffect(() => {
    const look = () => {
      const top = list.current?.getBoundingClientRect().top ?? 0;
      const next = seenRows(count, rowPx, -top, window.innerHeight);
      // Drawn anew only where the edge of what is drawn comes near: not with each pixel.
      setSeen((now) => (covers(now, next, count) ? now : next));
    };
    look();
    window.addEventListener('scroll', look, { passive: true });
    window.addEventListener('resize', look);
    return () => {
      window.removeEventListener('scroll', look);
      window.removeEventListener('resize', look);
    };
  }, [list, count, rowPx]);
  return { first: Math.min(seen.first, count), end: Math.min(seen.end, count) };
}

function covers(
  drawn: { first: number; end: number },
  wanted: { first: number; end: number },
  count: number,
): boolean {
  const half = BEYOND / 2;
  return (
    drawn.first <= Math.max(0, wanted.first + half) &&
    drawn.end >= Math.min(count, wanted.end - half) &&
    drawn.end <= count &&
    drawn.end - drawn.first <= wanted.end - wanted.first + 2 * BEYOND
  );
}

/** A length in rem as pixels, also after the reader has changed the size of text. */
export function useRemPx(rem: number): number {
  const [px, setPx] = useState(rem * 16);
  useEffect(() => {
    const size = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
    setPx(rem * (Number.isFinite(size) ? size : 16));
  }, [rem]);
  return px;
}
