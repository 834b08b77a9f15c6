import type { PhantomWish } from '@chordae/phantom';
import { renderCine, rulerStyles } from '@chordae/phantom';
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
