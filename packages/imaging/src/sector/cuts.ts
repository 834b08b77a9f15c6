import type { Plane } from '../picture/plane';
import type { Box } from './fit-fan';
import { straightSteps } from './straight-steps';

/** A straight cut of a region into two: across (a level line) or down. */
export interface Cut {
  readonly down: boolean;
  readonly at: number;
}

/** Thinnest part that a cut may leave, as a share of the region. */
export const thinnest = 0.14;

/** Sum of a map's columns (down cuts) or rows within a region, from its start. */
function profile(map: Plane, { x0, y0, x1, y1 }: Box, down: boolean): Float64Array {
  const [from, to] = down ? [x0, x1] : [y0, y1];
  const out = new Float64Array(Math.max(0, to - from));
  for (let y = y0; y < y1; y += 1)
    for (let x = x0; x < x1; x += 1) {
      const n = (down ? x : y) - from;
      out[n] = (out[n] as number) + (map.values[y * map.width + x] as number);
    }
  return out;
}

/** First and last line that holds something, of the lines before and after each place: how far the emptiness reaches there. */
function tightSpans(map: Plane, region: Box, down: boolean): { before: Float64Array; after: Float64Array } {
  const [from, to] = down ? [region.x0, region.x1] : [region.y0, region.y1];
  const [low, high] = down ? [region.y0, region.y1] : [region.x0, region.x1];
  const spans = Array.from({ length: to - from }, (_, n) => {
    let [first, last] = [high, low];
    for (let k = low; k < high; k += 1) {
      const value = down ? map.values[k * map.width + from + n] : map.values[(from + n) * map.width + k];
      if ((value as number) > 0.3) {
        first = Math.min(first, k);
        last = Math.max(last, k + 1);
      }
    }
    return { first, last };
  });
  const run = (list: readonly { first: number; last: number }[]): Float64Array => {
    let [first, last] = [high, low];
    return Float64Array.from(list, (s, n) => {
      first = Math.min(first, s.first);
      last = Math.max(last, s.last);
      return Math.max(0, last - first) * (n + 1);
    });
  };
  return { before: run(spans), after: run([...spans].reverse()).reverse() };
}

/** Cut after which the smallest boxes round both parts are smallest together; those boxes' share of the region with it. */
function emptiest(map: Plane, region: Box, down: boolean): Cut | null {
  const { before, after } = tightSpans(map, region, down);
  const count = before.length;
  const sums = profile(map, region, down);
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let n = Math.ceil(thinnest * count); n < (1 - thinnest) * count; n += 1) {
    // Of equal ones the emptiest line.
    const size = (before[n - 1] as number) + (after[n] as number) + 0.5 * (sums[n] as number);
    if (size < least) {
      least = size;
      best = n;
    }
  }
  return best < 0 ? null : { down, at: (down ? region.x0 : region.y0) + best };
}

/** Cuts that are worth trying on a region of the activity map: by emptiness, and at straight steps of the mean picture. */
export function cutsToTry(activity: Plane, mean: Plane, region: Box, background: number): Cut[] {
  return [true, false].flatMap((down) => {
    const cut = emptiest(activity, region, down);
    const step = straightSteps(mean, region, down, background)[0];
    return [...(cut ? [cut] : []), ...(step ? [step] : [])];
  });
}

/** The level place at which the columns hold least, where it is a waist: far less than the fullest columns on either side. */
export function waist(activity: Plane, region: Box): Cut | null {
  const sums = profile(activity, region, true);
  const count = sums.length;
  const [from, to] = [Math.ceil(0.2 * count), Math.floor(0.8 * count)];
  let best = -1;
  for (let n = from; n < to; n += 1) if (best < 0 || (sums[n] as number) < (sums[best] as number)) best = n;
  if (best < 0) return null;
  const most = Math.min(Math.max(...sums.slice(0, best)), Math.max(...sums.slice(best)));
  return (sums[best] as number) < 0.3 * most ? { down: true, at: region.x0 + best } : null;
}

/** How much of a cut lies within one thing: lines active on both sides of it, as a share of the smaller side's extent. */
export function continuity(activity: Plane, region: Box, { down, at }: Cut): number {
  const { width, height, values } = activity;
  const [low, high] = down ? [region.y0, region.y1] : [region.x0, region.x1];
  const limit = down ? width : height;
  const active = (line: number, k: number): boolean =>
    line >= 0 && line < limit && (values[down ? k * width + line : line * width + k] as number) > 0.3;
  const { before, after } = extents(activity, region, down, at);
  let both = 0;
  for (let k = low; k < high; k += 1)
    if ((active(at - 1, k) || active(at - 2, k)) && (active(at, k) || active(at + 1, k))) both += 1;
  return both / Math.max(1, Math.min(before, after));
}

/** How far both sides of a cut reach along it. */
function extents(
  { width, values }: Plane,
  region: Box,
  down: boolean,
  at: number,
): { readonly before: number; readonly after: number } {
  const spans = { before: [1e9, -1e9], after: [1e9, -1e9] };
  for (let y = region.y0; y < region.y1; y += 1)
    for (let x = region.x0; x < region.x1; x += 1) {
      if (!((values[y * width + x] as number) > 0.3)) continue;
      const span = (down ? x : y) < at ? spans.before : spans.after;
      const along = down ? y : x;
      span[0] = Math.min(span[0] as number, along);
      span[1] = Math.max(span[1] as number, along + 1);
    }
  const length = ([a, b]: number[]): number => Math.max(0, (b as number) - (a as number));
  return { before: length(spans.before), after: length(spans.after) };
}
