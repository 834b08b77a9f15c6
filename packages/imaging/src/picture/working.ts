import type { GrayFrame } from '../gray-frame';
import type { SectorGeometry } from '../sector/sector-geometry';
import { sectorMask } from '../sector/sector-geometry';
import type { Plane } from './plane';
import { blur, centile } from './plane';
import type { Window } from './shrink';
import { makeShrinker } from './shrink';

/** The sector at the size that is computed on, its outside filled with a middle grey so that its border is no edge. */
export interface WorkingClip {
  readonly width: number;
  readonly height: number;
  readonly frames: readonly Plane[];
  readonly mask: Uint8Array;
  /** Pixels of the original per working pixel, and where the working picture starts in it. */
  readonly scale: number;
  readonly window: Window;
  /** Bright echoes are cut here (70th centile of the middle of the sector), so that pericardium attracts nothing. */
  readonly brightLimit: number;
}

/** Width that outlines are traced at. */
export const workingWidth = 256;

export function makeWorkingClip(
  frames: readonly GrayFrame[],
  sector: SectorGeometry,
  width = workingWidth,
): WorkingClip {
  const first = frames[0] as GrayFrame;
  const whole: Window = { x0: 0, y0: 0, x1: first.widthPx, y1: first.heightPx };
  const window = sector.shape === 'none' ? whole : sector.box;
  const shrinker = makeShrinker(first, width, window);
  const { scale } = shrinker;
  const mask = workingMask(sector, shrinker.width, shrinker.height, scale, window);
  const planes = frames.map((frame) => blur(shrinker.shrink(frame), 1, 2));
  const brightLimit = Math.max(20, middleCentile(planes, mask, 0.7));
  const fill = middleCentile(planes, mask, 0.5);
  for (const { values } of planes)
    for (let n = 0; n < values.length; n += 1) if (mask[n] === 0) values[n] = fill;
  return { width: shrinker.width, height: shrinker.height, frames: planes, mask, scale, window, brightLimit };
}

function workingMask(
  sector: SectorGeometry,
  width: number,
  height: number,
  scale: number,
  window: Window,
): Uint8Array {
  if (sector.shape === 'none') return new Uint8Array(width * height).fill(1);
  const moved: SectorGeometry = {
    ...sector,
    apexXPx: (sector.apexXPx - window.x0) / scale,
    apexYPx: (sector.apexYPx - window.y0) / scale,
    innerRadiusPx: sector.innerRadiusPx / scale,
    outerRadiusPx: sector.outerRadiusPx / scale,
    box: { x0: 0, y0: 0, x1: width, y1: height },
  };
  return sectorMask(moved, width, height, -1);
}

/** A centile of the sector's pixels between a quarter and nine tenths of the depth, over a few frames. */
function middleCentile(planes: readonly Plane[], mask: Uint8Array, share: number): number {
  const numbers: number[] = [];
  const first = planes[0] as Plane;
  const step = Math.max(1, Math.floor(planes.length / 4));
  for (let k = 0; k < planes.length; k += step) {
    const { values, width, height } = planes[k] as Plane;
    for (let y = Math.floor(0.25 * height); y < 0.9 * height; y += 3)
      for (let x = 0; x < width; x += 3)
        if (mask[y * width + x] === 1) numbers.push(values[y * width + x] as number);
  }
  return numbers.length > 0 ? centile(numbers, share) : (first.values[0] as number);
}
