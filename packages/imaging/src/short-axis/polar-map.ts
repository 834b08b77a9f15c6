import { rayCount, rayX, rayY } from '../picture/directions';
import type { Plane } from '../picture/plane';
import { valueAt } from '../picture/plane';

/** A picture sampled along rays from a centre, with what an outline is judged by; index ray · count + step, a step is a pixel. */
export interface PolarMap {
  readonly cx: number;
  readonly cy: number;
  readonly count: number;
  readonly grey: Float32Array;
  /** Sum from the centre of darkness × distance: what lies inside an outline. */
  readonly inside: Float64Array;
  /** Sum of brightness against blood: what lies in a ring. */
  readonly bright: Float64Array;
  /** Step from dark to bright, −0.5 to 1. */
  readonly edge: Float32Array;
  /** Step from bright to dark, or a bright line: the outer border of the wall. */
  readonly rim: Float32Array;
  readonly contrast: number;
}

export interface PolarLevels {
  readonly blood: number;
  readonly wall: number;
}

/**
 * The rays' sectors seen from the middle: towards the probe and sideways nothing bright stands inside; obliquely away from it stand
 * the papillary muscles; straight away lies the gap between them.
 */
export type RaySector = 'near' | 'papillary' | 'gap';
export const raySectors: readonly RaySector[] = Array.from({ length: rayCount }, (_, n) => {
  const y = rayY[n] as number;
  return y > 0.95 ? 'gap' : y > 0.12 ? 'papillary' : 'near';
});

/** How much brightness inside costs in each direction. */
const insideCost = Float64Array.from(raySectors, (s) => ({ near: 1, papillary: 0.12, gap: 0.3 })[s]);

export function samplePolar(
  plane: Plane,
  cx: number,
  cy: number,
  reach: number,
  limit: number,
): Float32Array {
  const count = Math.max(8, Math.ceil(reach));
  const grey = new Float32Array(rayCount * count);
  for (let ray = 0; ray < rayCount; ray += 1) {
    const dx = rayX[ray] as number;
    const dy = rayY[ray] as number;
    for (let k = 0; k < count; k += 1)
      grey[ray * count + k] = Math.min(limit, valueAt(plane, cx + dx * (k + 0.5), cy + dy * (k + 0.5)));
  }
  return grey;
}

/** Greys of blood and wall round a centre: tenth centile within, median of the ring beyond. */
export function polarLevels(grey: Float32Array, count: number, radius: number): PolarLevels {
  const within: number[] = [];
  const ring: number[] = [];
  for (let ray = 0; ray < rayCount; ray += 1) {
    for (let k = 0; k < Math.min(count, 0.8 * radius); k += 1) within.push(grey[ray * count + k] as number);
    for (let k = Math.floor(1.1 * radius); k < Math.min(count, 1.5 * radius); k += 1)
      ring.push(grey[ray * count + k] as number);
  }
  within.sort((a, b) => a - b);
  ring.sort((a, b) => a - b);
  const blood = within[Math.floor(0.15 * within.length)] ?? 0;
  const wall = ring[Math.floor(0.5 * ring.length)] ?? blood;
  return { blood, wall };
}

/** Wall's grey in each direction (weaker at the sides, where the beam runs along it), smoothed, not below half of the whole. */
function wallByRay(grey: Float32Array, count: number, radius: number, levels: PolarLevels): Float64Array {
  const raw = new Float64Array(rayCount);
  for (let ray = 0; ray < rayCount; ray += 1) {
    const from = Math.min(count - 1, Math.floor(1.08 * radius));
    const to = Math.min(count, Math.max(from + 1, Math.ceil(1.45 * radius)));
    let sum = 0;
    for (let k = from; k < to; k += 1) sum += grey[ray * count + k] as number;
    raw[ray] = sum / (to - from);
  }
  const floor = levels.blood + 0.5 * (levels.wall - levels.blood);
  return raw.map((_, ray) => {
    let sum = 0;
    for (let k = -3; k <= 3; k += 1) sum += raw[(ray + k + rayCount) % rayCount] as number;
    return Math.max(floor, Math.min(levels.wall * 1.15, sum / 7));
  });
}

/** The map of greys sampled by `samplePolar` about a centre. */
export function polarMapOf(
  grey: Float32Array,
  cx: number,
  cy: number,
  radius: number,
  levels: PolarLevels,
  even: boolean,
): PolarMap {
  const count = grey.length / rayCount;
  const contrast = Math.max(6, levels.wall - levels.blood);
  const walls = wallByRay(grey, count, radius, levels);
  const inside = new Float64Array(rayCount * (count + 1));
  const bright = new Float64Array(rayCount * (count + 1));
  const edge = new Float32Array(rayCount * count);
  const rim = new Float32Array(rayCount * count);
  const reach = Math.max(2, Math.min(5, Math.round(0.16 * radius)));
  const sums = new Float64Array(count + 1);
  for (let ray = 0; ray < rayCount; ray += 1) {
    const local = Math.max(6, (walls[ray] as number) - levels.blood);
    const middle = levels.blood + 0.5 * local;
    const cost = even ? 1 : (insideCost[ray] as number);
    const base = ray * (count + 1);
    for (let k = 0; k < count; k += 1) {
      const grade = (middle - (grey[ray * count + k] as number)) / (0.45 * local);
      const dark = Math.max(-1, Math.min(1, grade));
      inside[base + k + 1] = (inside[base + k] as number) + Math.max(-cost, dark) * (k + 0.5);
      bright[base + k + 1] = (bright[base + k] as number) - dark;
      sums[k + 1] = (sums[k] as number) + (grey[ray * count + k] as number);
    }
    const mean = (from: number, to: number): number => {
      const a = Math.max(0, Math.min(count - 1, from));
      const b = Math.max(a + 1, Math.min(count, to));
      return ((sums[b] as number) - (sums[a] as number)) / (b - a);
    };
    for (let k = 0; k < count; k += 1) {
      const before = mean(k - reach, k);
      const after = mean(k, k + reach);
      edge[ray * count + k] = Math.max(-0.5, Math.min(1, (after - before) / local));
      const line =
        (mean(k - 1, k + 2) - (mean(k - 4 - reach, k - 3) + mean(k + 3, k + 4 + reach)) / 2) / contrast;
      rim[ray * count + k] = Math.max(0, Math.min(1, Math.max((before - after) / contrast, line)));
    }
  }
  return { cx, cy, count, grey, inside, bright, edge, rim, contrast };
}

/** Samples a picture round a centre for an outline of about `radius` pixels. `even`: no papillary muscles, brightness inside costs alike all round. */
export function makePolarMap(
  plane: Plane,
  cx: number,
  cy: number,
  radius: number,
  limit: number,
  fixed?: PolarLevels,
  even = false,
): PolarMap {
  const grey = samplePolar(plane, cx, cy, Math.min(130, 3.4 * radius + 10), limit);
  const levels = fixed ?? polarLevels(grey, grey.length / rayCount, radius);
  return polarMapOf(grey, cx, cy, radius, levels, even);
}
