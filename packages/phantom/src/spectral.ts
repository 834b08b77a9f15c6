import type { BeatTimes } from './beat-times';
import { beatTimes } from './beat-times';
import type { ScreenWords } from './furniture';
import type { PhantomSpecies } from './heart-size';
import type { Random } from './random';
import { normalish, seededRandom } from './random';
import type { ScreenPicture } from './screen-picture';
import { drawText, fillBox } from './screen-text';
import { gaussTaps } from './spread';

export interface SpectralWish {
  readonly species: PhantomSpecies;
  readonly weightKg: number;
  /** `ejection`: one smooth hump in systole; `leak`: a full, turbulent jet through all systole; `inflow`: early wave and atrial wave. */
  readonly flow: 'ejection' | 'leak' | 'inflow';
  /** Largest velocity, cm/s; for an inflow that of the early wave. */
  readonly peakCmS: number;
  /** Atrial wave of an inflow, cm/s. */
  readonly atrialCmS?: number;
  readonly towards: boolean;
  readonly heartRate: number;
  readonly sweepMs: number;
  readonly words: ScreenWords;
  readonly widthPx?: number;
  readonly heightPx?: number;
}

export interface SpectralTruth {
  readonly peakCmS: number;
  readonly atrialCmS: number | null;
  /** Times of each largest velocity, and of the atrial wave's, ms from the left edge. */
  readonly peakTimesMs: readonly number[];
  readonly atrialTimesMs: readonly number[];
  /** Start and end of each whole wave of the jet, ms. */
  readonly waves: readonly { readonly fromMs: number; readonly toMs: number }[];
  readonly baselineY: number;
  readonly cmPerSPerPx: number;
  readonly secondsPerPx: number;
}

/** A hump between two moments, 1 at its peak, which lies at `lean` of the way: two half parabolas. */
function hump(at: number, from: number, to: number, lean: number): number {
  if (at <= from || at >= to) return 0;
  const top = from + lean * (to - from);
  const t = at < top ? (at - top) / (top - from) : (at - top) / (to - top);
  return 1 - t * t;
}

interface Wave {
  readonly fromMs: number;
  readonly toMs: number;
  readonly lean: number;
  readonly cmS: number;
}

function wavesOf(wish: SpectralWish, times: BeatTimes): Wave[] {
  const { rWavesMs, endSystole } = times;
  return rWavesMs.slice(0, -1).flatMap((r, n) => {
    const beat = (rWavesMs[n + 1] as number) - r;
    const at = (part: number): number => r + part * beat;
    if (wish.flow === 'ejection')
      return [{ fromMs: at(0.07), toMs: at(endSystole), lean: 0.38, cmS: wish.peakCmS }];
    if (wish.flow === 'leak')
      return [{ fromMs: at(0.02), toMs: at(endSystole + 0.06), lean: 0.48, cmS: wish.peakCmS }];
    const rest = (part: number): number => at(endSystole + part * (1 - endSystole));
    return [
      { fromMs: rest(0.06), toMs: rest(0.46), lean: 0.36, cmS: wish.peakCmS },
      { fromMs: rest(0.68), toMs: rest(0.97), lean: 0.5, cmS: wish.atrialCmS ?? 0.7 * wish.peakCmS },
    ];
  });
}

/** A spectral Doppler picture with a jet of known peak velocity over (or under) a baseline. */
export function makeSpectral(
  wish: SpectralWish,
  seed: number,
): ScreenPicture & { readonly truth: SpectralTruth } {
  const { widthPx = 800, heightPx = 600 } = wish;
  const random = seededRandom(seed);
  const box = {
    x0: Math.round(0.06 * widthPx),
    y0: Math.round(0.12 * heightPx),
    x1: Math.round(0.9 * widthPx),
    y1: Math.round(0.92 * heightPx),
  };
  const rows = box.y1 - box.y0 + 1;
  const columns = box.x1 - box.x0 + 1;
  const cmPerSPerPx = Math.max(0.25, Math.ceil((1.55 * wish.peakCmS) / rows / 0.25) * 0.25);
  const baseline = Math.round(wish.towards ? 0.78 * rows : 0.22 * rows);
  const secondsPerPx = wish.sweepMs / 1000 / columns;
  const times = beatTimes(wish.heartRate, 0.15, 0, wish.sweepMs, random);
  const waves = wavesOf(wish, times);
  const luma = new Uint8Array(widthPx * heightPx);
  const spectrum = drawSpectrum(wish, waves, { rows, columns, baseline, cmPerSPerPx, secondsPerPx }, random);
  for (let row = 0; row < rows; row += 1)
    for (let n = 0; n < columns; n += 1)
      luma[(box.y0 + row) * widthPx + box.x0 + n] = spectrum[n * rows + row] as number;
  drawScales(luma, { widthPx, heightPx, box, baseline, cmPerSPerPx, secondsPerPx }, wish.words);
  const whole = waves.filter((wave) => wave.fromMs >= 0 && wave.toMs <= wish.sweepMs);
  const atrial = (wave: Wave): boolean => wish.flow === 'inflow' && wave.lean === 0.5;
  const top = (wave: Wave): number => wave.fromMs + wave.lean * (wave.toMs - wave.fromMs);
  return {
    widthPx,
    heightPx,
    frames: [luma],
    mode: wish.flow === 'leak' ? 'cw' : 'pw',
    species: wish.species,
    weightKg: wish.weightKg,
    heartRate: wish.heartRate,
    frameTimeMs: null,
    rWaveTimesMs: [],
    regions: [
      {
        ...box,
        format: 3,
        type: wish.flow === 'leak' ? 4 : 3,
        flags: 2,
        unitX: 4,
        unitY: 7,
        deltaX: secondsPerPx,
        deltaY: -cmPerSPerPx,
        referenceX: 0,
        referenceY: baseline,
      },
    ],
    truth: {
      peakCmS: wish.peakCmS,
      atrialCmS: wish.flow === 'inflow' ? (wish.atrialCmS ?? 0.7 * wish.peakCmS) : null,
      peakTimesMs: whole.filter((wave) => !atrial(wave)).map(top),
      atrialTimesMs: whole.filter(atrial).map(top),
      waves: whole.map(({ fromMs, toMs }) => ({ fromMs, toMs })),
      baselineY: box.y0 + baseline,
      cmPerSPerPx,
      secondsPerPx,
    },
  };
}

/** Brightness column by column: an edge at the velocity of the moment, dense near it in smooth flow, filled in a turbulent jet. */
function drawSpectrum(
  wish: SpectralWish,
  waves: readonly Wave[],
  grid: {
    readonly rows: number;
    readonly columns: number;
    readonly baseline: number;
    readonly cmPerSPerPx: number;
    readonly secondsPerPx: number;
  },
  random: Random,
): Float32Array {
  const { rows, columns, baseline, cmPerSPerPx, secondsPerPx } = grid;
  const raw = new Float32Array(rows * columns);
  for (let n = 0; n < columns; n += 1) {
    const time = (n + 0.5) * secondsPerPx * 1000;
    const speed = waves.reduce(
      (most, wave) => Math.max(most, wave.cmS * hump(time, wave.fromMs, wave.toMs, wave.lean)),
      0,
    );
    for (let row = 0; row < rows; row += 1) {
      const velocity = (wish.towards ? baseline - row - 0.5 : row + 0.5 - baseline) * cmPerSPerPx;
      const inside = speed - velocity;
      const edge = Math.max(0, Math.min(1, 0.5 + inside / (3 * cmPerSPerPx)));
      const part = speed > 0 ? velocity / speed : 0;
      const dense = Math.max(0, Math.min(1, (part - 0.5) / 0.36));
      const filled = wish.flow === 'leak' ? 0.55 : 0.14 + 0.22 * part + 0.5 * dense * dense * (3 - 2 * dense);
      const away = Math.abs(velocity) < 0.035 * wish.peakCmS ? 0.1 : 1;
      const flow = velocity > 0 && speed > 0 ? edge * filled * away : 0;
      const a = normalish(random);
      const b = normalish(random);
      raw[n * rows + row] = Math.sqrt(a * a + b * b) * (flow + 0.008);
    }
  }
  return smoothed(raw, rows, columns);
}

function smoothed(raw: Float32Array, rows: number, columns: number): Float32Array {
  const taps = gaussTaps(0.8);
  const half = (taps.length - 1) / 2;
  const out = new Float32Array(raw.length);
  for (let n = 0; n < columns; n += 1)
    for (let row = 0; row < rows; row += 1) {
      let sum = 0;
      for (let k = -half; k <= half; k += 1)
        for (let j = -half; j <= half; j += 1) {
          const column = Math.max(0, Math.min(columns - 1, n + k));
          const line = Math.max(0, Math.min(rows - 1, row + j));
          sum +=
            (taps[k + half] as number) * (taps[j + half] as number) * (raw[column * rows + line] as number);
        }
      out[n * rows + row] = Math.max(0, Math.min(255, Math.round(255 * Math.sqrt(Math.min(1, 0.62 * sum)))));
    }
  return out;
}

function drawScales(
  luma: Uint8Array,
  s: {
    readonly widthPx: number;
    readonly heightPx: number;
    readonly box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number };
    readonly baseline: number;
    readonly cmPerSPerPx: number;
    readonly secondsPerPx: number;
  },
  words: ScreenWords,
): void {
  const { widthPx, heightPx, box, cmPerSPerPx, secondsPerPx } = s;
  drawText(luma, widthPx, 12, 10, words.patientLine, 2, 220);
  drawText(luma, widthPx, 12, 30, words.secondLine, 1, 170);
  drawText(luma, widthPx, 12, heightPx - 14, words.viewLine, 1, 170);
  const zero = box.y0 + s.baseline;
  fillBox(luma, widthPx, box.x0, zero, box.x1 - box.x0 + 1, 1, 160);
  const step = [10, 20, 50, 100, 200].find((cm) => cm / cmPerSPerPx >= 34) ?? 200;
  for (let k = -20; k <= 20; k += 1) {
    const y = Math.round(zero - (k * step) / cmPerSPerPx);
    if (y < box.y0 || y > box.y1) continue;
    fillBox(luma, widthPx, box.x1 + 6, y, 8, 1, 210);
    drawText(luma, widthPx, box.x1 + 20, y - 3, String(k * step), 1, 190);
  }
  drawText(luma, widthPx, box.x1 + 14, box.y0 - 14, 'CM/S', 1, 190);
  for (let tick = 0; box.x0 + (0.2 * tick) / secondsPerPx <= box.x1; tick += 1)
    fillBox(
      luma,
      widthPx,
      Math.round(box.x0 + (0.2 * tick) / secondsPerPx),
      box.y1 + 5,
      1,
      tick % 5 === 0 ? 8 : 4,
      210,
    );
}
