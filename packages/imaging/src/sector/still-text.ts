import type { GrayFrame } from '../gray-frame';
import { markFactor, reducedFrame, spreadFrames, usableFrames } from '../gray-frame';
import { blur, emptyPlane } from '../picture/plane';
import { stillPicture } from '../ruler/marks';
import type { Box } from './fit-fan';
import { pieces } from './pieces';
import type { SectorGeometry } from './sector-geometry';
import { scaledGeometry, sectorMask } from './sector-geometry';

/**
 * Text that stands inside the sector: bright in every frame, of the size of letters, and sharply brighter than its surroundings in the
 * darkest value over time. Needs a moving clip; gives boxes to look at, original pixels.
 */
export function findStillText(frames: readonly GrayFrame[], sector: SectorGeometry): Box[] {
  const usable = spreadFrames(usableFrames(frames), 12);
  const first = usable[0];
  if (!first || usable.length < 6 || sector.shape === 'none') return [];
  const factor = markFactor(first);
  const small = usable.map((frame) => reducedFrame(frame, factor));
  return textIn(small, factor === 1 ? sector : scaledGeometry(sector, 1 / factor)).map((box) => ({
    x0: box.x0 * factor,
    y0: box.y0 * factor,
    x1: box.x1 * factor,
    y1: box.y1 * factor,
  }));
}

function textIn(usable: readonly GrayFrame[], sector: SectorGeometry): Box[] {
  const still = stillPicture(usable, 12);
  const { widthPx, heightPx, luma } = still;
  const mask = sectorMask(sector, widthPx, heightPx, -Math.max(3, 0.006 * widthPx));
  const plane = { width: widthPx, height: heightPx, values: Float32Array.from(luma) };
  const around = blur(plane, Math.max(4, Math.round(0.012 * widthPx)), 2);
  const sharp = emptyPlane(widthPx, heightPx);
  for (let n = 0; n < luma.length; n += 1) {
    const v = luma[n] as number;
    if (mask[n] === 1 && v > 110 && v - (around.values[n] as number) > 60 && hasSharpEdge(luma, n, widthPx))
      sharp.values[n] = 1;
  }
  const highest = Math.max(12, 0.05 * heightPx);
  const letters = pieces(sharp, 0).list.filter(
    (p) => p.pixels >= 4 && p.y1 - p.y0 >= 4 && p.y1 - p.y0 <= highest && p.x1 - p.x0 <= 1.5 * highest,
  );
  return lines(letters, highest);
}

function hasSharpEdge(luma: Uint8Array, n: number, width: number): boolean {
  const v = luma[n] as number;
  for (let by = 1; by <= 2; by += 1)
    for (const other of [n - by, n + by, n - by * width, n + by * width])
      if (other >= 0 && other < luma.length && v - (luma[other] as number) > 70) return true;
  return false;
}

/** Letters that stand side by side, three at least. */
function lines(letters: readonly Box[], highest: number): Box[] {
  const rest = [...letters].sort((a, b) => a.x0 - b.x0);
  const found: Box[] = [];
  while (rest.length > 0) {
    let box = rest.shift() as Box;
    let count = 1;
    for (let n = 0; n < rest.length; ) {
      const next = rest[n] as Box;
      const beside =
        next.x0 - box.x1 < highest &&
        Math.min(next.y1, box.y1) - Math.max(next.y0, box.y0) > 0.5 * (next.y1 - next.y0);
      if (beside) {
        box = {
          x0: Math.min(box.x0, next.x0),
          y0: Math.min(box.y0, next.y0),
          x1: Math.max(box.x1, next.x1),
          y1: Math.max(box.y1, next.y1),
        };
        count += 1;
        rest.splice(n, 1);
      } else n += 1;
    }
    if (count >= 3) found.push(box);
  }
  return found;
}
