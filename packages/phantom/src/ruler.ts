import { exactCos, exactSin } from '@chordae/units';
import type { Fan } from './fan';
import { drawText, fillBox } from './screen-text';

export const rulerStyles = ['dash', 'dot', 'triangle', 'axis-line'] as const;
export type RulerStyle = (typeof rulerStyles)[number];

/** Where the depth ruler stands, from the skin down. */
export interface Ruler {
  readonly style: RulerStyle;
  readonly x: number;
  readonly firstY: number;
  /** Direction of the row of ticks from straight down, positive to the right; 0 for an upright ruler. */
  readonly slantRad: number;
  /** Along the row of ticks. */
  readonly pxPerTick: number;
  readonly tickCm: number;
  readonly majorEvery: number;
  readonly ticks: number;
}

export interface RulerWish {
  readonly ruler: RulerStyle;
  readonly rulerSide: 'left' | 'right';
  readonly tickCm: number;
  readonly majorEvery: number;
  readonly numbers: boolean;
}

/** Draws the ruler of a fan at the side of the picture. */
export function drawRuler(luma: Uint8Array, fan: Fan, wish: RulerWish): Ruler {
  const { widthPx, heightPx } = fan;
  const side = wish.rulerSide === 'right' ? 1 : -1;
  const x = side > 0 ? widthPx - Math.round(0.0425 * widthPx) : Math.round(0.03 * widthPx);
  const firstY = fan.apexY + fan.faceCm * fan.pxPerCm;
  const pxPerTick = fan.pxPerCm * wish.tickCm;
  const ticks = Math.floor(fan.depthCm / wish.tickCm + 1e-9) + 1;
  const unit = heightPx >= 400 ? 2 : 1;
  if (wish.ruler === 'axis-line')
    fillBox(luma, widthPx, x, Math.round(firstY), 1, Math.round((ticks - 1) * pxPerTick) + 1, 160);
  for (let tick = 0; tick < ticks; tick += 1) {
    const major = wish.majorEvery > 0 && tick % wish.majorEvery === 0;
    drawTick(luma, widthPx, x, Math.round(firstY + tick * pxPerTick), wish.ruler, major, unit);
    const cm = tick * wish.tickCm;
    if (major && tick > 0 && wish.numbers && widthPx >= 480 && Math.abs(cm - Math.round(cm)) < 1e-9) {
      const digits = String(Math.round(cm));
      const at = side > 0 ? x + 14 : x - 8 - 6 * digits.length;
      drawText(luma, widthPx, at, Math.round(firstY + tick * pxPerTick) - 3, digits, 1, 190);
    }
  }
  const slantRad = 0;
  return {
    style: wish.ruler,
    x,
    firstY,
    slantRad,
    pxPerTick,
    tickCm: wish.tickCm,
    majorEvery: wish.majorEvery,
    ticks,
  };
}

function drawTick(
  luma: Uint8Array,
  widthPx: number,
  x: number,
  y: number,
  style: RulerStyle,
  major: boolean,
  unit: number,
): void {
  if (style === 'dot') {
    const size = major ? 2 * unit : unit;
    fillBox(luma, widthPx, x - Math.floor(size / 2), y - Math.floor(size / 2), size, size, 220);
    return;
  }
  if (style === 'triangle') {
    const size = major ? 4 * unit : 3 * unit;
    // Tip at the tick, pointing to the fan.
    for (let k = 0; k < size; k += 1)
      fillBox(luma, widthPx, x + k, y - Math.floor(k / 2), 1, 2 * Math.floor(k / 2) + 1, 205);
    return;
  }
  const length = (major ? 6 : 3) * unit;
  const from = style === 'axis-line' ? x + 1 : major ? x - 2 * unit : x;
  fillBox(luma, widthPx, from, y, length, major ? unit : 1, 210);
}

/** Draws the ruler along the fan's own slanted edge, ticks at even distances along that beam, `gapPx` outside it. */
export function drawEdgeRuler(luma: Uint8Array, fan: Fan, wish: RulerWish, gapPx: number): Ruler {
  const { widthPx, heightPx } = fan;
  const side = wish.rulerSide === 'right' ? 1 : -1;
  const [along, down] = [side * exactSin(fan.halfAngle), exactCos(fan.halfAngle)];
  const [outX, outY] = [side * down, -exactSin(fan.halfAngle)];
  const pxPerTick = fan.pxPerCm * wish.tickCm;
  const ticks = Math.floor(fan.depthCm / wish.tickCm + 1e-9) + 1;
  const unit = heightPx >= 400 ? 2 : 1;
  const face = fan.faceCm * fan.pxPerCm;
  const x = fan.apexX + along * face + outX * gapPx;
  const firstY = fan.apexY + down * face + outY * gapPx;
  for (let tick = 0; tick < ticks; tick += 1) {
    const major = wish.majorEvery > 0 && tick % wish.majorEvery === 0;
    const at = { x: x + along * tick * pxPerTick, y: firstY + down * tick * pxPerTick };
    const reach = drawEdgeTick(luma, widthPx, at, { x: outX, y: outY }, wish.ruler, major, unit);
    const cm = tick * wish.tickCm;
    if (major && tick > 0 && wish.numbers && widthPx >= 480 && Math.abs(cm - Math.round(cm)) < 1e-9) {
      const digits = String(Math.round(cm));
      const far = reach + 5;
      const left = side > 0 ? at.x + outX * far : at.x + outX * far - 6 * digits.length;
      drawText(luma, widthPx, Math.round(left), Math.round(at.y + outY * far) - 4, digits, 1, 190);
    }
  }
  const slantRad = side * fan.halfAngle;
  return {
    style: wish.ruler,
    x,
    firstY,
    slantRad,
    pxPerTick,
    tickCm: wish.tickCm,
    majorEvery: wish.majorEvery,
    ticks,
  };
}

/** One tick at right angles to the edge; gives back how far out it reaches. */
function drawEdgeTick(
  luma: Uint8Array,
  widthPx: number,
  at: { readonly x: number; readonly y: number },
  out: { readonly x: number; readonly y: number },
  style: RulerStyle,
  major: boolean,
  unit: number,
): number {
  if (style === 'dot') {
    const size = major ? 2 * unit : unit;
    fillBox(luma, widthPx, Math.round(at.x - size / 2), Math.round(at.y - size / 2), size, size, 220);
    return size;
  }
  const length = (major ? 6 : 3) * unit;
  for (let k = 0; k <= length; k += 0.5)
    fillBox(luma, widthPx, Math.floor(at.x + k * out.x), Math.floor(at.y + k * out.y), 1, 1, 210);
  return length;
}
