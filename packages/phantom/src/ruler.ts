import type { Fan } from './fan';
import { drawText, fillBox } from './screen-text';

export const rulerStyles = ['dash', 'dot', 'triangle', 'axis-line'] as const;
export type RulerStyle = (typeof rulerStyles)[number];

/** Where the depth ruler stands, from the skin down. */
export interface Ruler {
  readonly style: RulerStyle;
  readonly x: number;
  readonly firstY: number;
  readonly pxPerTick: number;
  readonly tickCm: number;
  readonly majorEvery: number;
  readonly ticks: number;
}

/** Draws the ruler of a fan at the side of the picture. */
export function drawRuler(
  luma: Uint8Array,
  fan: Fan,
  wish: {
    readonly ruler: RulerStyle;
    readonly rulerSide: 'left' | 'right';
    readonly tickCm: number;
    readonly majorEvery: number;
    readonly numbers: boolean;
  },
): Ruler {
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
  return { style: wish.ruler, x, firstY, pxPerTick, tickCm: wish.tickCm, majorEvery: wish.majorEvery, ticks };
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
