import type { Random } from '@chordae/phantom';
import { normalish } from '@chordae/phantom';
import { exactCos, exactExp, exactPow, exactSin } from '@chordae/units';
import { centiles, gridCells } from '../../src/learned/finder/grid';
import { gridSide } from '../../src/learned/finder/network';
import { seenPlanes } from './samples';

const curves = Array.from({ length: 21 }, (_, n) =>
  Float64Array.from(
    { length: 256 },
    (_v, level) => 255 * exactPow(Math.max(1e-4, level / 255), exactExp(0.05 * (n - 10))),
  ),
);

/** A sample as another hand and another machine might have given it. */
export interface Varied {
  readonly greys: readonly Float32Array[];
  readonly inside: Float32Array;
  readonly maps: readonly Float32Array[];
}

export function emptyVaried(maps: number): Varied {
  const plane = (): Float32Array => new Float32Array(gridCells);
  return {
    greys: centiles.map(plane),
    inside: plane(),
    maps: Array.from({ length: maps }, plane),
  };
}

/** Mirrored, moved, turned and resized; then another grey curve, shading, haze, shadows, blur and noise. Ranges were set once, before any training, not by what they gained. */
export function varied(bytes: Uint8Array, from: number, random: Random, out: Varied): void {
  warp(bytes, from, random, out);
  for (const map of out.maps) for (let n = 0; n < gridCells; n += 1) map[n] = (map[n] as number) / 255;
  for (let n = 0; n < gridCells; n += 1) out.inside[n] = (out.inside[n] as number) / 255;
  shade(random, out);
}

function warp(bytes: Uint8Array, from: number, random: Random, out: Varied): void {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const mirror = random() < 0.5 ? -1 : 1;
  const turn = between(-0.2, 0.2);
  const size = exactExp(between(-0.22, 0.22));
  const [sx, sy] = [between(-4, 4), between(-4, 4)];
  const [c, s] = [exactCos(turn) / size, exactSin(turn) / size];
  const middle = gridSide / 2 - 0.5;
  const insideAt = from + centiles.length * gridCells;
  for (let y = 0; y < gridSide; y += 1)
    for (let x = 0; x < gridSide; x += 1) {
      const px = x - middle - sx;
      const py = y - middle - sy;
      const fx = middle + mirror * (c * px + s * py);
      const fy = middle - s * px + c * py;
      const x0 = Math.floor(fx);
      const y0 = Math.floor(fy);
      const n = y * gridSide + x;
      let weight = 0;
      let inside = 0;
      for (const grey of out.greys) grey[n] = 0;
      for (const map of out.maps) map[n] = 0;
      for (let k = 0; k < 4; k += 1) {
        const [qx, qy] = [x0 + (k & 1), y0 + (k >> 1)];
        if (qx < 0 || qy < 0 || qx >= gridSide || qy >= gridSide) continue;
        const share = (k & 1 ? fx - x0 : 1 - (fx - x0)) * (k >> 1 ? fy - y0 : 1 - (fy - y0));
        const at = qy * gridSide + qx;
        const part = bytes[insideAt + at] as number;
        inside += share * part;
        if (part > 0) {
          weight += share;
          out.greys.forEach((grey, g) => {
            grey[n] = (grey[n] as number) + share * (bytes[from + g * gridCells + at] as number);
          });
        }
        out.maps.forEach((map, m) => {
          map[n] = (map[n] as number) + share * (bytes[from + (seenPlanes + m) * gridCells + at] as number);
        });
      }
      out.inside[n] = inside;
      if (weight > 0) for (const grey of out.greys) grey[n] = (grey[n] as number) / weight;
    }
}

function shade(random: Random, out: Varied): void {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const curve = curves[Math.floor(random() * curves.length)] as Float64Array;
  const across = between(-0.35, 0.35);
  const down = between(-0.35, 0.35);
  const haze = random() < 0.4 ? between(0, 0.25) : 0;
  const noise = random() < 0.6 ? between(0, 9) : 0;
  const own = random() < 0.5 ? between(0, 4) : 0;
  const swing = between(0.7, 1.15);
  const stripes = Array.from({ length: random() < 0.35 ? 1 + Math.floor(2 * random()) : 0 }, () => ({
    slope: between(-0.9, 0.9),
    half: between(0.03, 0.13),
    dark: between(0.25, 0.85),
  }));
  const [low, mid, high] = out.greys as [Float32Array, Float32Array, Float32Array];
  for (let y = 0; y < gridSide; y += 1)
    for (let x = 0; x < gridSide; x += 1) {
      const n = y * gridSide + x;
      const m = mid[n] as number;
      low[n] = m + swing * ((low[n] as number) - m);
      high[n] = m + swing * ((high[n] as number) - m);
      let factor = 1 + across * ((2 * x) / gridSide - 1) + down * ((2 * y) / gridSide - 1);
      const slope = (x + 0.5 - gridSide / 2) / (y + 4);
      for (const stripe of stripes) {
        const off = Math.abs(slope - stripe.slope) / stripe.half;
        if (off < 1) factor *= 1 - stripe.dark * Math.min(1, 2.5 * (1 - off));
      }
      const common = noise > 0 ? noise * normalish(random) : 0;
      for (const grey of out.greys) {
        const v = Math.max(0, Math.min(255, grey[n] as number));
        const whole = Math.floor(v);
        const next = Math.min(255, whole + 1);
        const bent =
          (curve[whole] as number) + (v - whole) * ((curve[next] as number) - (curve[whole] as number));
        const lit = Math.max(0, bent * factor);
        const more = own > 0 ? own * normalish(random) : 0;
        grey[n] = Math.max(0, Math.min(255, lit + haze * (255 - lit) * 0.6 + common + more));
      }
    }
  if (random() < 0.35) {
    const strength = random();
    for (const grey of out.greys) soften(grey, strength);
  }
}

/** Blends a plane with the mean of each place and its four neighbours. */
function soften(plane: Float32Array, strength: number): void {
  const before = plane.slice();
  for (let y = 1; y < gridSide - 1; y += 1)
    for (let x = 1; x < gridSide - 1; x += 1) {
      const n = y * gridSide + x;
      const mean =
        ((before[n] as number) +
          (before[n - 1] as number) +
          (before[n + 1] as number) +
          (before[n - gridSide] as number) +
          (before[n + gridSide] as number)) /
        5;
      plane[n] = (before[n] as number) + strength * (mean - (before[n] as number));
    }
}
