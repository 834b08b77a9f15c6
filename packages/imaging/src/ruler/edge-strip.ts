import { exactCos, exactSin } from '@chordae/units';
import type { GrayFrame } from '../gray-frame';
import type { Plane } from '../picture/plane';
import { valueAt } from '../picture/plane';
import type { SectorGeometry } from '../sector/sector-geometry';

/** The surroundings of a fan's side, turned upright: down the strip is along the side from the meeting point of the beams, right is outwards. */
export interface EdgeStrip {
  readonly frame: GrayFrame;
  /** Angle of the side from straight down, positive to the right. */
  readonly angleRad: number;
  /** Rows of the strip at which the sector begins and ends. */
  readonly topPx: number;
  readonly bottomPx: number;
  /** Place of the original at a place of the strip. */
  readonly onScreen: (x: number, y: number) => { readonly x: number; readonly y: number };
}

/** Rows before the sector's begin and after its end that belong to a strip. */
const beyond = 24;

/** The strip along one side, from `insidePx` within the sector to `outsidePx` beyond it. */
export function edgeStrip(
  still: Plane,
  sector: SectorGeometry,
  side: -1 | 1,
  insidePx: number,
  outsidePx: number,
): EdgeStrip {
  const angleRad = side < 0 ? sector.leftAngleRad : sector.rightAngleRad;
  const along = { x: exactSin(angleRad), y: exactCos(angleRad) };
  const out = { x: side * along.y, y: -side * along.x };
  const start = Math.max(0, sector.innerRadiusPx - beyond);
  const widthPx = Math.max(1, Math.round(insidePx + outsidePx));
  const heightPx = Math.max(1, Math.ceil(sector.outerRadiusPx + beyond - start));
  const onScreen = (x: number, y: number): { x: number; y: number } => {
    const [range, off] = [start + y, x - insidePx];
    return {
      x: sector.apexXPx + along.x * range + out.x * off,
      y: sector.apexYPx + along.y * range + out.y * off,
    };
  };
  const luma = new Uint8Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y += 1)
    for (let x = 0; x < widthPx; x += 1) {
      const at = onScreen(x + 0.5, y + 0.5);
      if (at.x > 0 && at.y > 0 && at.x < still.width && at.y < still.height)
        luma[y * widthPx + x] = Math.round(valueAt(still, at.x, at.y));
    }
  const topPx = sector.innerRadiusPx - start;
  return {
    frame: { widthPx, heightPx, luma },
    angleRad,
    topPx,
    bottomPx: sector.outerRadiusPx - start,
    onScreen,
  };
}
