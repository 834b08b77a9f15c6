import type { Fan } from './fan';
import { drawText, fillBox } from './screen-text';

export interface ScreenWords {
  /** Invented name and number, burnt into the picture as machines do. */
  readonly patientLine: string;
  readonly secondLine: string;
  readonly viewLine: string;
}

/** Where the depth ruler stands: a tick each cm, longer each five, from the skin down. */
export interface Ruler {
  readonly x: number;
  readonly firstY: number;
  readonly pxPerTick: number;
  readonly ticks: number;
}

/** Draws text lines, grey bar and depth ruler round the fan; gives back where the ruler is. */
export function drawFurniture(luma: Uint8Array, fan: Fan, words: ScreenWords): Ruler {
  const { widthPx, heightPx } = fan;
  drawText(luma, widthPx, 12, 10, words.patientLine, 2, 220);
  drawText(luma, widthPx, 12, 30, words.secondLine, 1, 170);
  drawText(luma, widthPx, 12, heightPx - 20, words.viewLine, 1, 170);
  drawText(luma, widthPx, widthPx - 120, 10, `DEPTH ${fan.depthCm.toFixed(1)} CM`, 1, 170);
  for (let row = 0; row < 160; row += 1)
    fillBox(luma, widthPx, 14, 70 + row, 12, 1, Math.round(255 - (255 * row) / 159));
  const x = widthPx - 34;
  const firstY = Math.round(fan.apexY + fan.faceCm * fan.pxPerCm);
  const ticks = Math.floor(fan.depthCm) + 1;
  for (let tick = 0; tick < ticks; tick += 1) {
    const long = tick % 5 === 0;
    const y = Math.round(firstY + tick * fan.pxPerCm);
    fillBox(luma, widthPx, long ? x - 6 : x, y, long ? 14 : 8, long ? 2 : 1, 210);
    if (long && tick > 0) drawText(luma, widthPx, x + 12, y - 3, String(tick), 1, 190);
  }
  return { x, firstY, pxPerTick: fan.pxPerCm, ticks };
}
