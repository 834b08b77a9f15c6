import { exactAtan, exactCos, exactSin } from '@chordae/units';
import type { FanShape } from './fan-shape';
import { isInFan } from './fan-shape';
import type { Box } from './fit-fan';

export type SectorReason =
  | 'SECTOR_NO_PICTURE'
  | 'SECTOR_NOT_FOUND'
  | 'SECTOR_BORDER_FAINT'
  | 'SECTOR_CLIPPED'
  | 'SECTOR_SINGLE_FRAME'
  | 'SECTOR_SPLIT_SCREEN';

/** Where the scanned picture lies on the screen. Pixels are continuous: pixel n covers n to n + 1. Angles from straight down, positive to the right. */
export interface SectorGeometry {
  readonly shape: 'fan' | 'fan-flat-top' | 'box' | 'none';
  readonly widthPx: number;
  readonly heightPx: number;
  readonly apexXPx: number;
  readonly apexYPx: number;
  readonly leftAngleRad: number;
  readonly rightAngleRad: number;
  readonly innerRadiusPx: number;
  readonly outerRadiusPx: number;
  /** Smallest upright box round it, within the picture. */
  readonly box: Box;
  /** 0 to 1: border contrast and activity inside. */
  readonly confidence: number;
  /** Part of the sector that lies outside the picture, 0 to 1. */
  readonly clippedFraction: number;
  /** Further panels of a split screen, as boxes. */
  readonly otherPanels: readonly Box[];
  readonly reasons: readonly SectorReason[];
}

const nowhere: Box = { x0: 0, y0: 0, x1: 0, y1: 0 };

/** No sector, and why. */
export function notFound(reason: SectorReason, widthPx = 0, heightPx = 0): SectorGeometry {
  return {
    shape: 'none',
    widthPx,
    heightPx,
    apexXPx: 0,
    apexYPx: 0,
    leftAngleRad: 0,
    rightAngleRad: 0,
    innerRadiusPx: 0,
    outerRadiusPx: 0,
    box: nowhere,
    confidence: 0,
    clippedFraction: 0,
    otherPanels: [],
    reasons: [reason],
  };
}

function tangent(angleRad: number): number {
  return exactSin(angleRad) / exactCos(angleRad);
}

export function shapeOfGeometry(g: SectorGeometry): FanShape {
  return {
    apexX: g.apexXPx,
    apexY: g.apexYPx,
    left: tangent(g.leftAngleRad),
    right: tangent(g.rightAngleRad),
    inner: g.innerRadiusPx,
    outer: g.outerRadiusPx,
    flatTop: g.shape === 'fan-flat-top',
  };
}

export function anglesOf(fan: FanShape): { readonly leftAngleRad: number; readonly rightAngleRad: number } {
  return { leftAngleRad: exactAtan(fan.left), rightAngleRad: exactAtan(fan.right) };
}

/** Smallest upright box round a fan, cut to the picture. */
export function fanBox(fan: FanShape, widthPx: number, heightPx: number): Box {
  const end = (slope: number, range: number): { x: number; y: number } => {
    const length = Math.sqrt(1 + slope * slope);
    return { x: fan.apexX + (range * slope) / length, y: fan.apexY + range / length };
  };
  const corners = [
    end(fan.left, fan.outer),
    end(fan.right, fan.outer),
    end(fan.left, fan.inner),
    end(fan.right, fan.inner),
  ];
  const straightDown = fan.left < 0 && fan.right > 0;
  return {
    x0: Math.max(0, Math.min(...corners.map((c) => c.x))),
    x1: Math.min(widthPx, Math.max(...corners.map((c) => c.x))),
    y0: Math.max(0, Math.min(...corners.map((c) => c.y))),
    y1: Math.min(heightPx, straightDown ? fan.apexY + fan.outer : Math.max(...corners.map((c) => c.y))),
  };
}

/** For each pixel 1 inside the sector grown by `marginPx`, else 0. */
export function sectorMask(g: SectorGeometry, widthPx: number, heightPx: number, marginPx = 0): Uint8Array {
  const mask = new Uint8Array(widthPx * heightPx);
  if (g.shape === 'none') return mask;
  const fan = g.shape === 'box' ? null : shapeOfGeometry(g);
  const { x0, y0, x1, y1 } = g.box;
  const fromX = Math.max(0, Math.floor(x0 - marginPx));
  const toX = Math.min(widthPx, Math.ceil(x1 + marginPx));
  const toY = Math.min(heightPx, Math.ceil(y1 + marginPx));
  for (let y = Math.max(0, Math.floor(y0 - marginPx)); y < toY; y += 1)
    for (let x = fromX; x < toX; x += 1)
      if (
        fan === null
          ? x + 0.5 > x0 - marginPx &&
            x + 0.5 < x1 + marginPx &&
            y + 0.5 > y0 - marginPx &&
            y + 0.5 < y1 + marginPx
          : isInFan(fan, x + 0.5, y + 0.5, marginPx)
      )
        mask[y * widthPx + x] = 1;
  return mask;
}

/** The same sector on a picture enlarged by `factor`. */
export function scaledGeometry(g: SectorGeometry, factor: number): SectorGeometry {
  const box = (b: Box): Box => ({
    x0: b.x0 * factor,
    y0: b.y0 * factor,
    x1: b.x1 * factor,
    y1: b.y1 * factor,
  });
  return {
    ...g,
    widthPx: Math.floor(g.widthPx * factor),
    heightPx: Math.floor(g.heightPx * factor),
    apexXPx: g.apexXPx * factor,
    apexYPx: g.apexYPx * factor,
    innerRadiusPx: g.innerRadiusPx * factor,
    outerRadiusPx: g.outerRadiusPx * factor,
    box: box(g.box),
    otherPanels: g.otherPanels.map(box),
  };
}
