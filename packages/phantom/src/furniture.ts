import type { BeatTimes } from './beat-times';
import type { Fan } from './fan';
import type { Ruler, RulerStyle } from './ruler';
import { drawEdgeRuler, drawRuler } from './ruler';
import { drawText, fillBox } from './screen-text';

export interface ScreenWords {
  /** Invented name and number, burnt into the picture as machines do. */
  readonly patientLine: string;
  readonly secondLine: string;
  readonly viewLine: string;
}

/** What stands round the fan. */
export interface ScreenFurniture {
  readonly ruler: RulerStyle;
  readonly rulerSide: 'left' | 'right';
  /** Beside the picture, or along the fan's own edge so many pixels outside it. */
  readonly edgeGapPx: number | null;
  /** One tick, cm, and how many ticks from one longer tick to the next (0: all alike). */
  readonly tickCm: number;
  readonly majorEvery: number;
  /** Numbers at the longer ticks. */
  readonly numbers: boolean;
  readonly greyBar: boolean;
  readonly depthText: boolean;
  /** Heart trace at the foot of the picture. */
  readonly trace: boolean;
}

export const plainFurniture: ScreenFurniture = {
  ruler: 'dash',
  rulerSide: 'right',
  edgeGapPx: null,
  tickCm: 1,
  majorEvery: 5,
  numbers: true,
  greyBar: true,
  depthText: true,
  trace: false,
};

/** Where the heart trace stands: `fromMs` at its left end. */
export interface TraceLine {
  readonly x0: number;
  readonly x1: number;
  readonly baselineY: number;
  readonly msPerPx: number;
}

export interface Drawn {
  readonly ruler: Ruler;
  readonly trace: TraceLine | null;
}

/** Draws text lines, grey bar, depth ruler and trace round the fan; gives back where they are. */
export function drawFurniture(
  luma: Uint8Array,
  fan: Fan,
  words: ScreenWords,
  wish: ScreenFurniture,
  times: BeatTimes,
  lastMs: number,
): Drawn {
  const { widthPx, heightPx } = fan;
  const big = widthPx >= 560 ? 2 : 1;
  drawText(luma, widthPx, 12, 10, words.patientLine, big, 220);
  drawText(luma, widthPx, 12, 14 + 8 * big, words.secondLine, 1, 170);
  drawText(luma, widthPx, 12, heightPx - 20, words.viewLine, 1, 170);
  if (wish.depthText) drawText(luma, widthPx, widthPx - 100, 10, `D ${fan.depthCm.toFixed(1)} CM`, 1, 170);
  if (wish.greyBar) {
    const rows = Math.round(0.27 * heightPx);
    const x = wish.rulerSide === 'right' ? 14 : widthPx - 26;
    for (let row = 0; row < rows; row += 1)
      fillBox(
        luma,
        widthPx,
        x,
        Math.round(0.12 * heightPx) + row,
        12,
        1,
        Math.round(255 - (255 * row) / (rows - 1)),
      );
  }
  const ruler =
    wish.edgeGapPx === null ? drawRuler(luma, fan, wish) : drawEdgeRuler(luma, fan, wish, wish.edgeGapPx);
  return { ruler, trace: wish.trace ? drawTrace(luma, fan, times, lastMs) : null };
}

/** Height of the trace at a part of the beat, baseline 0, R wave 1: three bumps, drawn by hand. */
function traceHeight(phase: number, endSystole: number): number {
  const bump = (middle: number, half: number, height: number): number => {
    const t = Math.abs(phase - middle) / half;
    return t < 1 ? height * (1 - t * t) * (1 - t * t) : 0;
  };
  const spike = (middle: number, half: number, height: number): number =>
    height * Math.max(0, 1 - Math.abs(phase - middle) / half);
  const around = phase > 0.5 ? phase - 1 : phase;
  const r = Math.max(0, 1 - Math.abs(around) / 0.018);
  return (
    r -
    spike(0.028, 0.014, 0.25) -
    0.1 * Math.max(0, 1 - Math.abs(around + 0.026) / 0.012) +
    bump(endSystole - 0.04, 0.07, 0.26) +
    bump(0.87, 0.045, 0.17)
  );
}

function drawTrace(luma: Uint8Array, fan: Fan, times: BeatTimes, lastMs: number): TraceLine {
  const { widthPx, heightPx } = fan;
  const x0 = Math.round(0.3 * widthPx);
  const x1 = Math.round(0.86 * widthPx);
  const baselineY = heightPx - 8;
  const tall = Math.round(0.035 * heightPx);
  const msPerPx = Math.max(1500, lastMs) / (x1 - x0);
  let before = baselineY;
  for (let x = x0; x <= x1; x += 1) {
    const time = (x - x0) * msPerPx;
    let n = 0;
    while (n + 2 < times.rWavesMs.length && (times.rWavesMs[n + 1] as number) <= time) n += 1;
    const from = times.rWavesMs[n] as number;
    const phase = (time - from) / ((times.rWavesMs[n + 1] as number) - from);
    const y = Math.round(baselineY - tall * traceHeight(phase, times.endSystole));
    const top = Math.min(y, before);
    fillBox(luma, widthPx, x, top, 1, Math.max(1, Math.abs(y - before)), 200);
    before = y;
  }
  return { x0, x1, baselineY, msPerPx };
}

/** Marks on the trace where the frame stands. */
export function markTrace(luma: Uint8Array, fan: Fan, trace: TraceLine, timeMs: number): void {
  const x = Math.min(trace.x1, trace.x0 + Math.round(timeMs / trace.msPerPx));
  fillBox(
    luma,
    fan.widthPx,
    x,
    trace.baselineY - Math.round(0.045 * fan.heightPx),
    1,
    Math.round(0.055 * fan.heightPx),
    255,
  );
}
