import { spreadFrames } from '../gray-frame';
import { rayCount, rayX, rayY } from '../picture/directions';
import type { Plane } from '../picture/plane';
import { emptyPlane } from '../picture/plane';
import type { WorkingClip } from '../picture/working';

/** A place where a beating dark disc with a bright wall may be, working pixels. */
export interface Seed {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly score: number;
}

/** Each pixel over time: its 25th centile (dark once in the beat is dark there) and its standard deviation, at half size. */
interface OverTime {
  readonly low: Plane;
  readonly spread: Plane;
}

function halve(plane: Plane, limit: number): Plane {
  const width = plane.width >> 1;
  const height = plane.height >> 1;
  const out = emptyPlane(width, height);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      const at = 2 * y * plane.width + 2 * x;
      const v =
        (plane.values[at] as number) +
        (plane.values[at + 1] as number) +
        (plane.values[at + plane.width] as number) +
        (plane.values[at + plane.width + 1] as number);
      out.values[y * width + x] = Math.min(limit, v / 4);
    }
  return out;
}

function overTime(clip: WorkingClip): OverTime {
  const planes = spreadFrames(clip.frames, 16).map((plane) => halve(plane, clip.brightLimit * 1.3));
  const first = planes[0] as Plane;
  const low = emptyPlane(first.width, first.height);
  const spread = emptyPlane(first.width, first.height);
  const place = Math.floor(0.25 * (planes.length - 1) + 0.5);
  const column = new Float32Array(planes.length);
  for (let n = 0; n < low.values.length; n += 1) {
    let sum = 0;
    let squares = 0;
    for (let k = 0; k < planes.length; k += 1) {
      const v = (planes[k] as Plane).values[n] as number;
      sum += v;
      squares += v * v;
      let j = k - 1;
      for (; j >= 0 && (column[j] as number) > v; j -= 1) column[j + 1] = column[j] as number;
      column[j + 1] = v;
    }
    low.values[n] = column[place] as number;
    const mean = sum / planes.length;
    spread.values[n] = Math.sqrt(Math.max(0, squares / planes.length - mean * mean));
  }
  return { low, spread };
}

const within = [0.15, 0.35, 0.55, 0.75];
const beyond = [1.15, 1.3, 1.5];

function sample(plane: Plane, x: number, y: number): number {
  const px = Math.max(0, Math.min(plane.width - 1, Math.floor(x)));
  const py = Math.max(0, Math.min(plane.height - 1, Math.floor(y)));
  return plane.values[py * plane.width + px] as number;
}

const steps = new Float64Array(rayCount / 2);

function scoreAt({ low, spread }: OverTime, x: number, y: number, radius: number, level: number): number {
  let pulse = 0;
  for (let n = 0; n < steps.length; n += 1) {
    const dx = rayX[2 * n] as number;
    const dy = rayY[2 * n] as number;
    let disc = 0;
    let darkest = 1e9;
    for (const part of within) {
      const v = sample(low, x + dx * part * radius, y + dy * part * radius);
      disc += v / within.length;
      darkest = Math.min(darkest, v);
    }
    // Away from the probe papillary muscles fill part of the disc: half of the darkest place counts there.
    if (dy > 0.1) disc = (disc + darkest) / 2;
    let ring = 0;
    for (const part of beyond)
      ring += sample(low, x + dx * part * radius, y + dy * part * radius) / beyond.length;
    steps[n] = ring - disc;
    pulse += sample(spread, x + dx * 0.9 * radius, y + dy * 0.9 * radius) / steps.length;
  }
  const sorted = Float64Array.from(steps).sort();
  const fifth = sorted[Math.floor(0.2 * sorted.length)] as number;
  const median = sorted[sorted.length >> 1] as number;
  return ((0.5 * fifth + 0.5 * median) / level) * Math.min(1.5, 0.4 + (2.5 * pulse) / level);
}

/** Best places, at most `count`, no two of them the same; working pixels. */
export function findSeeds(clip: WorkingClip, count: number): Seed[] {
  const time = overTime(clip);
  const { width, height } = time.low;
  const found: Seed[] = [];
  const level = Math.max(15, clip.brightLimit);
  const stride = Math.max(2, Math.round(height / 36));
  for (let y = Math.round(0.22 * height); y < 0.86 * height; y += stride)
    for (let x = Math.round(0.15 * width); x < 0.85 * width; x += stride) {
      if (clip.mask[2 * y * clip.width + 2 * x] !== 1) continue;
      const fromMiddle = (x / width - 0.5) / 0.28;
      const fromDepth = (y / height - 0.55) / 0.3;
      const prior = 1 / (1 + 0.5 * fromMiddle * fromMiddle + 0.5 * fromDepth * fromDepth);
      for (let radius = 0.055 * height; radius < 0.36 * height; radius *= 1.22) {
        if (y - radius * 1.1 < 0 || y + radius * 1.1 > height) continue;
        const score = scoreAt(time, x, y, radius, level) * prior;
        if (score > 0.02) found.push({ x: 2 * x, y: 2 * y, radius: 2 * radius, score });
      }
    }
  found.sort((a, b) => b.score - a.score || a.y - b.y || a.x - b.x);
  const kept: Seed[] = [];
  for (const seed of found) {
    if (kept.length >= count) break;
    const near = kept.some((k) => {
      const d = Math.sqrt((k.x - seed.x) * (k.x - seed.x) + (k.y - seed.y) * (k.y - seed.y));
      return (
        d < 0.5 * Math.max(k.radius, seed.radius) &&
        seed.radius < 1.6 * k.radius &&
        k.radius < 1.6 * seed.radius
      );
    });
    if (!near) kept.push(seed);
  }
  return kept;
}
