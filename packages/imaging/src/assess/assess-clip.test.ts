import { assessment } from '@chordae/contract';
import type { PhantomWish } from '@chordae/phantom';
import { renderCine, seededRandom } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import type { GrayFrame } from '../gray-frame';
import { assessClip } from './assess-clip';

const frame = (widthPx: number, heightPx: number, grey: (n: number) => number): GrayFrame => ({
  widthPx,
  heightPx,
  luma: Uint8Array.from({ length: widthPx * heightPx }, (_, n) => grey(n)),
});

function everyNumber(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => everyNumber(inner, `${path}.${key}`));
}

const views = [null, 'rps-short-papillary', 'rps-short-aortic', 'rps-long-4ch', 'lung-points'] as const;

describe('any input', () => {
  const random = seededRandom(4);
  const noise = (): number => Math.floor(random() * 256);
  const inputs: [string, GrayFrame[]][] = [
    ['nothing', []],
    ['one pixel', [frame(1, 1, () => 9)]],
    ['a broken frame', [{ widthPx: 40, heightPx: 40, luma: new Uint8Array(3) }]],
    ['no width', [{ widthPx: Number.NaN, heightPx: 4, luma: new Uint8Array(3) }]],
    ['black', [frame(64, 48, () => 0), frame(64, 48, () => 0)]],
    ['white', Array.from({ length: 9 }, () => frame(64, 48, () => 255))],
    ['one frame of noise', [frame(97, 61, noise)]],
    ['noise', Array.from({ length: 12 }, () => frame(81, 77, noise))],
    ['a tall strip', Array.from({ length: 5 }, () => frame(3, 900, noise))],
    ['a wide strip', Array.from({ length: 5 }, () => frame(900, 3, noise))],
    ['frames of other sizes', [frame(50, 40, noise), frame(20, 10, noise), frame(50, 40, noise)]],
    ['stripes', Array.from({ length: 7 }, (_, k) => frame(120, 90, (n) => ((n + k) % 12 < 6 ? 220 : 10)))],
  ];
  for (const [name, frames] of inputs)
    it(`gives an assessment without a number that is none: ${name}`, () => {
      for (const view of views) {
        const result = assessClip(frames, { frameTimesMs: frames.map((_, n) => 30 * n), view });
        expect(everyNumber(result)).toEqual([]);
        expect(assessment.safeParse(result).error).toBeUndefined();
      }
      expect(
        everyNumber(
          assessClip(frames, { frameTimesMs: null, pxPerCm: Number.NaN, weightKg: -3, species: 'cat' }),
        ),
      ).toEqual([]);
    });

  it('takes a picture of 4,000 pixels in bounded time', () => {
    const big = frame(4000, 3000, (n) => (n * 7919) % 251);
    // Processor time: a busy machine is no fault of the program's.
    const from = process.cpuUsage();
    const result = assessClip([big, big], { frameTimesMs: [0, 30], view: 'rps-short-papillary' });
    expect(process.cpuUsage(from).user / 1000).toBeLessThan(15_000);
    expect(everyNumber(result)).toEqual([]);
  });
});

const wish: PhantomWish = {
  view: 'rps-short-papillary',
  species: 'dog',
  weightKg: 18,
  heart: 'normal',
  heartRate: 110,
  frameCount: 30,
  frameTimeMs: 30,
  words: { patientLine: 'TESTDOG 12', secondLine: 'SMALL PRACTICE', viewLine: 'SHORT AXIS' },
  widthPx: 480,
  heightPx: 360,
};

function assessed(change: Partial<PhantomWish>, turn: (luma: Uint8Array) => Uint8Array = (luma) => luma) {
  const clip = renderCine({ ...wish, ...change }, 11);
  const frames = clip.frames.map((luma) => ({ widthPx: 480, heightPx: 360, luma: turn(luma) }));
  const result = assessClip(frames, {
    frameTimesMs: clip.truth.frameTimesMs,
    view: 'rps-short-papillary',
    species: 'dog',
    weightKg: 18,
  });
  return { clip, result };
}

function mirrored(luma: Uint8Array): Uint8Array {
  const out = luma.slice();
  for (let from = 0; from < out.length; from += 480) out.subarray(from, from + 480).reverse();
  return out;
}

describe('a short axis with known truth', () => {
  const straight = assessed({ tiltDeg: 4 });
  const tilted = assessed({ tiltDeg: 36, tiltAzimuthDeg: 20 });

  it('is called on axis when it is, off axis when it is tilted, both with an outline for every frame', () => {
    expect(straight.result.shortAxis?.verdict).toBe('on-axis');
    expect(tilted.result.shortAxis?.verdict).toBe('off-axis');
    expect(Math.abs((tilted.result.shortAxis?.tiltDeg ?? 0) - 36)).toBeLessThan(9);
    expect(straight.result.shortAxis?.outlines).toHaveLength(30);
  });

  it('gives the rate, the moments and the fractional area change', () => {
    const { clip, result } = straight;
    expect(Math.abs((result.cycle.beatsPerMinute ?? 0) / 110 - 1)).toBeLessThan(0.04);
    const truth = 1 - (clip.truth.lvIdsMm / clip.truth.lvIddMm) ** 2;
    expect(Math.abs((result.shortAxis?.fractionalAreaChange ?? 0) - truth)).toBeLessThan(0.12);
    const systole = clip.truth.endSystoleFrames[0] as number;
    expect(result.cycle.endSystoleFrames.some((f) => Math.abs(f - systole) <= 1)).toBe(true);
  });

  it('finds the ruler, offers its unit and never calibrates by it', () => {
    const { clip, result } = straight;
    const best = result.ruler.unitCandidates[0];
    expect(Math.abs((best?.pxPerCm ?? 0) / clip.truth.pxPerCm - 1)).toBeLessThan(0.01);
    expect(result.calibration).toEqual({ pxPerCm: null, reasons: ['CALIBRATION_NEEDS_PERSON'] });
  });

  it('is the same for a mirrored picture and nearly so for a darker one', () => {
    const other = assessed({ tiltDeg: 36, tiltAzimuthDeg: 20 }, mirrored).result.shortAxis;
    const own = tilted.result.shortAxis;
    expect(other?.verdict).toBe(own?.verdict);
    expect(Math.abs((other?.axisRatio ?? 0) - (own?.axisRatio ?? 1))).toBeLessThan(0.03);
    const dark = assessed({ tiltDeg: 36, tiltAzimuthDeg: 20 }, (luma) => luma.map((v) => 0.75 * v)).result
      .shortAxis;
    expect(Math.abs((dark?.axisRatio ?? 0) - (own?.axisRatio ?? 1))).toBeLessThan(0.03);
  });

  it('is never called tilted where the right ventricle is large and the septum flat', () => {
    for (const tiltDeg of [3, 34]) {
      const { result } = assessed({ heart: 'right-overload', tiltDeg });
      expect(result.shortAxis?.verdict).not.toBe('off-axis');
      expect(
        result.shortAxis?.reasons.some((r) => r === 'SEPTUM_FLAT' || r === 'RIGHT_VENTRICLE_LARGE'),
      ).toBe(true);
    }
  });
});
