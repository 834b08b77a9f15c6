import type { Ellipse } from '../picture/ellipse';
import { ellipseAxes } from '../picture/ellipse';
import type { Plane } from '../picture/plane';
import type { WorkingClip } from '../picture/working';

/**
 * Soft count of dark pixels inside an ellipse enlarged by `factor`, for each frame. It goes on falling while a cavity nearly closes,
 * where a free outline loses its hold.
 */
export function darkAreaCurve(clip: WorkingClip, e: Ellipse, factor: number): Float64Array {
  const h = Math.sqrt(1 + e.u * e.u + e.v * e.v);
  const r = e.radius * factor;
  const reach = ellipseAxes(e).major * factor;
  const places: number[] = [];
  const weights: number[] = [];
  for (let y = Math.max(0, Math.floor(e.cy - reach)); y < Math.min(clip.height, e.cy + reach); y += 1)
    for (let x = Math.max(0, Math.floor(e.cx - reach)); x < Math.min(clip.width, e.cx + reach); x += 1) {
      const px = x + 0.5 - e.cx;
      const py = y + 0.5 - e.cy;
      const c = ((h - e.u) * px * px - 2 * e.v * px * py + (h + e.u) * py * py) / (r * r);
      if (c > 1 || clip.mask[y * clip.width + x] !== 1) continue;
      places.push(y * clip.width + x);
      // The rim counts less, so that a dark neighbour beyond the wall does not matter.
      weights.push(c > 0.8 ? (1 - c) / 0.2 : 1);
    }
  const { blood, wall } = levelsIn(clip, places);
  const middle = blood + 0.45 * (wall - blood);
  const soft = 0.35 * Math.max(6, wall - blood);
  return Float64Array.from(clip.frames, ({ values }) => {
    let sum = 0;
    for (let n = 0; n < places.length; n += 1) {
      const v = values[places[n] as number] as number;
      sum += Math.max(0, Math.min(1, 0.5 + (middle - v) / (2 * soft))) * (weights[n] as number);
    }
    return sum;
  });
}

/** Dark and bright greys among these pixels over the clip. */
function levelsIn(clip: WorkingClip, places: readonly number[]): { blood: number; wall: number } {
  const seen: number[] = [];
  const stepFrames = Math.max(1, Math.floor(clip.frames.length / 12));
  const stepPlaces = Math.max(1, Math.floor(places.length / 400));
  for (let k = 0; k < clip.frames.length; k += stepFrames)
    for (let n = 0; n < places.length; n += stepPlaces)
      seen.push(Math.min(clip.brightLimit, (clip.frames[k] as Plane).values[places[n] as number] as number));
  seen.sort((a, b) => a - b);
  return {
    blood: seen[Math.floor(0.05 * seen.length)] ?? 0,
    wall: seen[Math.floor(0.85 * seen.length)] ?? 1,
  };
}
