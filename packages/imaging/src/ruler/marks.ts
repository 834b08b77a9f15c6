import type { GrayFrame } from '../gray-frame';
import { spreadFrames } from '../gray-frame';
import { emptyPlane } from '../picture/plane';
import { pieces } from '../sector/pieces';
import type { SectorGeometry } from '../sector/sector-geometry';
import { sectorMask } from '../sector/sector-geometry';

/** A small bright mark outside the sector, original pixels (continuous). */
export interface Mark {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** Middle of its brightness from top to bottom. */
  readonly y: number;
}

/** What stands still on the screen: the darkest value of each pixel over some frames. */
export function stillPicture(frames: readonly GrayFrame[], count = 6): GrayFrame {
  const chosen = spreadFrames(frames, count);
  const first = chosen[0] as GrayFrame;
  const luma = first.luma.slice(0, first.widthPx * first.heightPx);
  for (const other of chosen.slice(1))
    for (let n = 0; n < luma.length; n += 1)
      if ((other.luma[n] as number) < (luma[n] as number)) luma[n] = other.luma[n] as number;
  return { ...first, luma };
}

/** Marks brighter than the background by `above`, after long vertical strokes (axis line, grey bar) are taken out. */
export function smallMarks(
  still: GrayFrame,
  sector: SectorGeometry,
  background: number,
  above: number,
): Mark[] {
  const { widthPx, heightPx, luma } = still;
  const mask = sector.shape === 'none' ? null : sectorMask(sector, widthPx, heightPx, 3);
  const plane = emptyPlane(widthPx, heightPx);
  const level = background + above;
  for (let n = 0; n < luma.length; n += 1)
    if ((luma[n] as number) > level && mask?.[n] !== 1) plane.values[n] = (luma[n] as number) - background;
  const longest = Math.max(10, 0.045 * heightPx);
  for (let x = 0; x < widthPx; x += 1) {
    let from = 0;
    for (let y = 0; y <= heightPx; y += 1) {
      if (y < heightPx && (plane.values[y * widthPx + x] as number) > 0) continue;
      if (y - from > longest) for (let k = from; k < y; k += 1) plane.values[k * widthPx + x] = 0;
      from = y + 1;
    }
  }
  const { list, marks } = pieces(plane, 0);
  const sums = new Float64Array(list.length + 1);
  const moments = new Float64Array(list.length + 1);
  for (let n = 0; n < marks.length; n += 1) {
    const mark = marks[n] as number;
    if (mark === 0) continue;
    const v = plane.values[n] as number;
    sums[mark] = (sums[mark] as number) + v;
    moments[mark] = (moments[mark] as number) + v * (Math.floor(n / widthPx) + 0.5);
  }
  const widest = Math.max(8, 0.045 * widthPx);
  const highest = Math.max(4, 0.026 * heightPx);
  return list
    .filter((p) => p.x1 - p.x0 <= widest && p.y1 - p.y0 <= highest)
    .map((p) => ({
      left: p.x0,
      right: p.x1,
      top: p.y0,
      bottom: p.y1,
      y: (moments[p.mark] as number) / (sums[p.mark] as number),
    }));
}
