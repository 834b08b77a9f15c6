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

/** How large marks of a screen may be, and how long a stroke that is none, pixels. */
export interface MarkSizes {
  readonly widest: number;
  readonly highest: number;
  readonly longest: number;
}

export function markSizes({ widthPx, heightPx }: GrayFrame): MarkSizes {
  return {
    widest: Math.max(8, 0.045 * widthPx),
    highest: Math.max(4, 0.026 * heightPx),
    longest: Math.max(10, 0.045 * heightPx),
  };
}

/** Where marks are looked for: 1 hides a pixel. null hides nothing. */
export type Hidden = Uint8Array | null;

/** What must not be looked at: the sector, grown by 3 pixels, and the insides of other panels. */
export function hiddenBySector(sector: SectorGeometry, { widthPx, heightPx }: GrayFrame): Hidden {
  if (sector.shape === 'none') return null;
  const hidden = sectorMask(sector, widthPx, heightPx, 3);
  const rim = 0.01 * widthPx;
  for (const { x0, y0, x1, y1 } of sector.otherPanels)
    for (let y = Math.ceil(y0 + rim); y < y1 - rim; y += 1)
      hidden.fill(1, y * widthPx + Math.ceil(x0 + rim), Math.max(0, y * widthPx + Math.floor(x1 - rim)));
  return hidden;
}

/** Marks brighter than a level, of the size of ticks, where nothing is hidden. */
export function smallMarks(
  still: GrayFrame,
  hidden: Hidden,
  level: number,
  background: number,
  { widest, highest }: MarkSizes,
): Mark[] {
  const { widthPx, heightPx, luma } = still;
  const plane = emptyPlane(widthPx, heightPx);
  for (let n = 0; n < luma.length; n += 1)
    if ((luma[n] as number) > level && hidden?.[n] !== 1) plane.values[n] = (luma[n] as number) - background;
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

/**
 * Hides long strokes (axis line, grey bar) as well: what stays above a level down the screen for longer than any mark. They run straight
 * down, or aslant by `slant` to the right for each pixel down; a slanted one steps from column to column, so two are followed as one.
 */
export function withStrokesHidden(
  { widthPx, heightPx, luma }: GrayFrame,
  hidden: Hidden,
  level: number,
  longest: number,
  slant = 0,
): Uint8Array {
  const out = hidden === null ? new Uint8Array(luma.length) : hidden.slice();
  const shift = Int32Array.from({ length: heightPx }, (_, y) => Math.round(slant * y));
  const least = Math.min(0, shift[heightPx - 1] as number);
  const most = Math.max(0, shift[heightPx - 1] as number);
  const two = slant === 0 ? 0 : 1;
  const lit = (y: number, x: number): boolean =>
    x >= 0 && x < widthPx && (luma[y * widthPx + x] as number) > level && hidden?.[y * widthPx + x] !== 1;
  for (let x = -most; x < widthPx - least; x += 1) {
    let from = 0;
    for (let y = 0; y <= heightPx; y += 1) {
      const at = x + (shift[y] ?? 0);
      if (y < heightPx && (lit(y, at) || (two > 0 && lit(y, at + 1)))) continue;
      if (y - from > longest)
        for (let k = from; k < y; k += 1)
          for (let place = x + (shift[k] as number), n = 0; n <= two; place += 1, n += 1)
            if (place >= 0 && place < widthPx) out[k * widthPx + place] = 1;
      from = y + 1;
    }
  }
  return out;
}
