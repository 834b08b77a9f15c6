import { rayCount, rayX, rayY } from '../picture/directions';
import type { Plane } from '../picture/plane';
import type { WorkingClip } from '../picture/working';

export interface RootSeed {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly score: number;
}

function sample(plane: Plane, x: number, y: number): number {
  const px = Math.max(0, Math.min(plane.width - 1, Math.floor(x)));
  const py = Math.max(0, Math.min(plane.height - 1, Math.floor(y)));
  return plane.values[py * plane.width + px] as number;
}

const steps = new Float64Array(rayCount / 2);

/** A thin bright ring, dark within and mostly dark beyond: quarter and median of the rays' steps, so that a gap is borne. */
function scoreAt(plane: Plane, x: number, y: number, radius: number): number {
  for (let n = 0; n < steps.length; n += 1) {
    const dx = rayX[2 * n] as number;
    const dy = rayY[2 * n] as number;
    // Closed cusps are bright lines within: the darker two of three places count.
    let disc = 0;
    let brightest = 0;
    for (const part of [0.3, 0.55, 0.75]) {
      const v = sample(plane, x + dx * part * radius, y + dy * part * radius);
      disc += v;
      brightest = Math.max(brightest, v);
    }
    disc = (disc - brightest) / 2;
    let ring = 0;
    for (const part of [1, 1.1, 1.2])
      ring = Math.max(ring, sample(plane, x + dx * part * radius, y + dy * part * radius));
    const beyond = Math.min(
      sample(plane, x + dx * 1.5 * radius, y + dy * 1.5 * radius),
      sample(plane, x + dx * 1.75 * radius, y + dy * 1.75 * radius),
    );
    steps[n] = ring - 0.6 * disc - 0.4 * Math.min(ring, beyond);
  }
  const sorted = Float64Array.from(steps).sort();
  return (
    0.5 * (sorted[Math.floor(0.25 * sorted.length)] as number) + 0.5 * (sorted[sorted.length >> 1] as number)
  );
}

/** Best places for a root in one frame, working pixels. */
export function findRootSeeds(clip: WorkingClip, plane: Plane, count: number): RootSeed[] {
  const { width, height } = plane;
  const level = Math.max(15, clip.brightLimit);
  const found: RootSeed[] = [];
  const stride = Math.max(2, Math.round(height / 56));
  for (let y = Math.round(0.25 * height); y < 0.75 * height; y += stride)
    for (let x = Math.round(0.28 * width); x < 0.72 * width; x += stride) {
      const fromMiddle = (x / width - 0.5) / 0.14;
      const fromDepth = (y / height - 0.5) / 0.16;
      const prior = 1 / (1 + 0.4 * fromMiddle * fromMiddle + 0.4 * fromDepth * fromDepth);
      for (let radius = 0.045 * height; radius < 0.135 * height; radius *= 1.16) {
        const size = radius / (0.084 * height);
        const score = ((scoreAt(plane, x, y, radius) / level) * prior) / (1 + 0.6 * (size + 1 / size - 2));
        if (score > 0.05) found.push({ x, y, radius, score });
      }
    }
  found.sort((a, b) => b.score - a.score || a.y - b.y || a.x - b.x);
  const kept: RootSeed[] = [];
  for (const seed of found) {
    if (kept.length >= count) break;
    const near = kept.some((k) => {
      const d2 = (k.x - seed.x) * (k.x - seed.x) + (k.y - seed.y) * (k.y - seed.y);
      return d2 < 0.36 * Math.max(k.radius, seed.radius) * Math.max(k.radius, seed.radius);
    });
    if (!near) kept.push(seed);
  }
  return kept;
}
