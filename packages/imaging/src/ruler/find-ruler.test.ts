import type { PhantomWish } from '@chordae/phantom';
import { panelOf, refilmed, renderCine, rulerStyles } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { detectSectorGeometry } from '../sector/detect-sector';
import { expectedDepthCm, findDepthRuler } from './find-ruler';
import { straightLine } from './progression';

const wish: PhantomWish = {
  view: 'rps-long-4ch',
  species: 'dog',
  weightKg: 14,
  heart: 'normal',
  heartRate: 110,
  frameCount: 4,
  frameTimeMs: 40,
  words: { patientLine: 'TESTDOG 12', secondLine: 'SMALL PRACTICE', viewLine: 'LONG AXIS' },
  widthPx: 640,
  heightPx: 480,
};

function found(change: Partial<PhantomWish>, weightKg: number | null = 14) {
  const clip = renderCine({ ...wish, ...change }, 5);
  const frames = clip.frames.map((luma) => ({ widthPx: 640, heightPx: 480, luma }));
  return {
    truth: clip.truth.ruler,
    ruler: findDepthRuler(frames, detectSectorGeometry(frames), {
      expectedDepthCm: expectedDepthCm('dog', weightKg),
    }),
  };
}

describe('the depth ruler', () => {
  for (const style of rulerStyles)
    it(`is found within half a percent: ${style}`, () => {
      const { truth, ruler } = found({ furniture: { ruler: style } });
      expect(Math.abs((ruler.pxPerTick ?? 0) / (truth?.pxPerTick ?? 1) - 1)).toBeLessThan(0.005);
      expect(ruler.unitCandidates[0]?.tickCm).toBe(1);
      expect(ruler.reasons).toContain('RULER_UNIT_TO_CONFIRM');
    });

  it('offers half centimetres where the weight says so', () => {
    const { ruler } = found({ furniture: { ruler: 'dash', tickCm: 0.5, majorEvery: 2 } });
    expect(ruler.unitCandidates[0]?.tickCm).toBe(0.5);
    const sum = ruler.unitCandidates.reduce((a, c) => a + c.probability, 0);
    expect(sum).toBeCloseTo(1, 9);
  });

  for (const [style, rulerSide, edgeGapPx] of [
    ['dash', 'left', 4],
    ['dot', 'right', 0],
  ] as const)
    it(`is found along the fan's own edge: ${style}`, () => {
      const { truth, ruler } = found({ furniture: { ruler: style, rulerSide, edgeGapPx } });
      expect(Math.abs((ruler.pxPerTick ?? 0) / (truth?.pxPerTick ?? 1) - 1)).toBeLessThan(0.005);
      expect(ruler.slantRad).toBeCloseTo(truth?.slantRad ?? 0, 1);
      expect(ruler.reasons).toContain('RULER_SLANTED');
    });

  it('is found on a screen that was filmed turned, also where an axis line joins its ticks', () => {
    for (const style of ['axis-line', 'dash'] as const) {
      const clip = renderCine({ ...wish, furniture: { ruler: style } }, 5);
      const turned = refilmed(panelOf(clip), { rotationDeg: 5, keystone: 0 });
      const frames = turned.frames.map((luma) => ({ widthPx: 640, heightPx: 480, luma }));
      const ruler = findDepthRuler(frames, detectSectorGeometry(frames));
      expect(Math.abs((ruler.pxPerTick ?? 0) / (clip.truth.ruler?.pxPerTick ?? 1) - 1)).toBeLessThan(0.01);
    }
  });

  it('is told its unit by the numbers beside its ticks, whatever the weight says', () => {
    // A weight of 60 kg expects a depth at which half centimetres would not be believed, and the other way round.
    const withNumbers = { ruler: 'dash', tickCm: 0.5, majorEvery: 2, numbers: true } as const;
    const read = found({ furniture: withNumbers }, 60).ruler;
    const unread = found({ furniture: { ...withNumbers, numbers: false } }, 60).ruler;
    expect(read.unitCandidates[0]?.tickCm).toBe(0.5);
    const half = (r: typeof read): number => r.unitCandidates.find((c) => c.tickCm === 0.5)?.probability ?? 0;
    expect(half(read)).toBeGreaterThan(half(unread));
  });

  it('is not invented where none stands', () => {
    const { ruler } = found({ words: null });
    expect(ruler.found).toBe(false);
    expect(ruler.unitCandidates).toEqual([]);
  });

  it('expects no depth without a weight or of an animal that it does not know', () => {
    expect(expectedDepthCm('dog', null)).toBeNull();
    expect(expectedDepthCm('horse', 500)).toBeNull();
    expect(expectedDepthCm('dog', Number.NaN)).toBeNull();
    expect(expectedDepthCm('dog', 20)).toBeCloseTo(4.5 * 20 ** 0.3, 9);
  });
});

describe('a straight line through ticks', () => {
  // Closed form of least squares for y = 3, 5, 8, 9 at 0…3: slope 2.1, start 3.1.
  it('is the least-squares one', () => {
    const line = straightLine([0, 1, 2, 3], [3, 5, 8, 9]);
    expect(line.slope).toBeCloseTo(2.1, 12);
    expect(line.start).toBeCloseTo(3.1, 12);
  });
});
