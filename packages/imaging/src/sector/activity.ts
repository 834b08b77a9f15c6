import type { Plane } from '../picture/plane';
import { blur, centile, emptyPlane, meanPlane } from '../picture/plane';

/** How much a picture looks like scanned tissue, pixel by pixel: 0 background to 1. */
export function activityMap(planes: readonly Plane[]): { readonly activity: Plane; readonly mean: Plane } {
  const mean = meanPlane(planes);
  const { width, height } = mean;
  const change = emptyPlane(width, height);
  for (let k = 1; k < planes.length; k += 1) {
    const a = (planes[k - 1] as Plane).values;
    const b = (planes[k] as Plane).values;
    for (let n = 0; n < change.values.length; n += 1)
      change.values[n] =
        (change.values[n] as number) + Math.abs((b[n] as number) - (a[n] as number)) / (planes.length - 1);
  }
  const background = darkBackground(mean);
  const rough = roughness(mean);
  const still = planes.length > 1 ? centile(change.values, 0.15) : 0;
  const activity = emptyPlane(width, height);
  for (let n = 0; n < activity.values.length; n += 1) {
    // Bars and backgrounds of a program are even; scanned tissue never is.
    const even = Math.min(1, (rough.values[n] as number) / 0.8);
    const bright = 0.5 * even * Math.max(0, (mean.values[n] as number) - background - 2);
    const moving = planes.length > 1 ? 3 * Math.max(0, (change.values[n] as number) - 1.5 * still) : 0;
    activity.values[n] = Math.min(1, (bright + moving) / 14);
  }
  return { activity, mean };
}

/** Differences between neighbours, smoothed: how uneven a picture is, pixel by pixel. */
function roughness({ width, height, values }: Plane): Plane {
  const out = emptyPlane(width, height);
  for (let y = 1; y < height; y += 1)
    for (let x = 1; x < width; x += 1) {
      const n = y * width + x;
      const v = values[n] as number;
      const differences =
        Math.abs(v - (values[n - 1] as number)) + Math.abs(v - (values[n - width] as number));
      out.values[n] = Math.min(8, differences);
    }
  return blur(out, 1, 2);
}

/** Commonest grey of the dark part of a picture. */
export function darkBackground(mean: Plane): number {
  const counts = new Int32Array(80);
  for (const v of mean.values) if (v < 79.5) counts[Math.round(v)] = (counts[Math.round(v)] as number) + 1;
  let best = 0;
  for (let n = 1; n < counts.length; n += 1) if ((counts[n] as number) > (counts[best] as number)) best = n;
  return best;
}
