import { exactCos, exactSin } from '@chordae/units';
import type { Lines } from './spread';

/** The fan on the screen. Depth counts from the skin, along the beams. */
export interface Fan {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Where the beams meet, above the probe face, pixels. */
  readonly apexX: number;
  readonly apexY: number;
  /** Half the opening, radians. */
  readonly halfAngle: number;
  /** From the meeting point to the skin, cm. */
  readonly faceCm: number;
  readonly depthCm: number;
  readonly pxPerCm: number;
  /** Picture begins on a level line at the depth of the skin in the middle, as trapezoid formats show it. */
  readonly flatTop?: boolean;
}

/** A fan that fills a screen of the given size for a wanted depth; leaves room above for two lines of text. */
export function fanFor(
  widthPx: number,
  heightPx: number,
  depthCm: number,
  halfAngleDeg = 42,
  facePart = 0.09,
): Fan {
  const halfAngle = (halfAngleDeg / 180) * Math.PI;
  const faceCm = facePart * depthCm;
  const top = Math.round(heightPx * 0.103);
  const pxPerCm = Math.min(
    (heightPx - top - 0.057 * heightPx) / depthCm,
    (widthPx * 0.45) / ((depthCm + faceCm) * exactSin(halfAngle)),
  );
  return {
    widthPx,
    heightPx,
    apexX: widthPx / 2,
    apexY: top - faceCm * pxPerCm,
    halfAngle,
    faceCm,
    depthCm,
    pxPerCm,
  };
}

/** The same fan drawn larger about the middle of the skin: beyond 1 its edges may leave the picture. */
export function enlarged(fan: Fan, zoom: number): Fan {
  if (zoom === 1) return fan;
  const skin = fan.apexY + fan.faceCm * fan.pxPerCm;
  const pxPerCm = fan.pxPerCm * zoom;
  return { ...fan, pxPerCm, apexY: skin - fan.faceCm * pxPerCm };
}

/** How many beams and samples a fan is computed with: about as fine as its pixels. */
export type BeamGrid = Lines;

export function beamGrid(fan: Fan): BeamGrid {
  const reach = fan.depthCm * fan.pxPerCm;
  const samples = Math.max(96, Math.min(480, Math.round(reach * 0.85)));
  const beams = Math.max(72, Math.min(256, Math.round(reach * fan.halfAngle * 0.8)));
  const sin = new Float64Array(beams);
  const cos = new Float64Array(beams);
  for (let n = 0; n < beams; n += 1) {
    const angle = fan.halfAngle * ((2 * n) / (beams - 1) - 1);
    sin[n] = exactSin(angle);
    cos[n] = exactCos(angle);
  }
  return { beams, samples, sin, cos };
}

/** For each pixel of the fan: which beams and samples it lies between. */
export interface PixelMap {
  readonly pixel: Int32Array;
  readonly cell: Int32Array;
  readonly alongBeam: Float32Array;
  readonly acrossBeam: Float32Array;
}

export function pixelMap(fan: Fan, grid: BeamGrid): PixelMap {
  const { beams, samples } = grid;
  const pixel: number[] = [];
  const cell: number[] = [];
  const alongBeam: number[] = [];
  const acrossBeam: number[] = [];
  const tangents = Array.from(grid.sin, (s, n) => s / (grid.cos[n] as number));
  const level = fan.flatTop ? fan.faceCm * fan.pxPerCm : 0;
  for (let y = 0; y < fan.heightPx; y += 1) {
    for (let x = 0; x < fan.widthPx; x += 1) {
      const dx = x + 0.5 - fan.apexX;
      const dy = y + 0.5 - fan.apexY;
      if (dy <= level) continue;
      const range = Math.sqrt(dx * dx + dy * dy) / fan.pxPerCm - fan.faceCm;
      if (range < 0 || range >= fan.depthCm) continue;
      const beam = between(tangents, dx / dy);
      if (beam === null) continue;
      const sample = (range / fan.depthCm) * (samples - 1);
      const s0 = Math.min(samples - 2, Math.floor(sample));
      pixel.push(y * fan.widthPx + x);
      cell.push(Math.min(beams - 2, beam.number) * samples + s0);
      alongBeam.push(sample - s0);
      acrossBeam.push(beam.part);
    }
  }
  return {
    pixel: Int32Array.from(pixel),
    cell: Int32Array.from(cell),
    alongBeam: Float32Array.from(alongBeam),
    acrossBeam: Float32Array.from(acrossBeam),
  };
}

function between(tangents: readonly number[], wanted: number): { number: number; part: number } | null {
  let low = 0;
  let high = tangents.length - 1;
  if (wanted < (tangents[low] ?? 0) || wanted > (tangents[high] ?? 0)) return null;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((tangents[middle] ?? 0) <= wanted) low = middle;
    else high = middle;
  }
  const [a, b] = [tangents[low] ?? 0, tangents[high] ?? 1];
  return { number: low, part: (wanted - a) / (b - a) };
}
