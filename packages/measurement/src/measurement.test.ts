import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  averageBeats,
  lengthIntervalMm,
  lengthMm,
  physicalPoint,
  ratePerMinute,
  regionAt,
  slopePerSecond,
  timeSpanMs,
  velocityCmS,
} from './index';
import { region } from './testing';

const value = (measured: { ok: boolean; value?: unknown }): number =>
  measured.ok ? Number(measured.value) : Number.NaN;

describe('lengths from real pictures', () => {
  // STANDARDS 1.8: calipers and the value on the screen; region and delta as dcmdump shows them in the file.
  it('agree with the calipers on the screen', () => {
    const mono = region({
      x0: 14,
      y0: 38,
      x1: 1010,
      y1: 758,
      deltaX: 0.025476696592378154,
      deltaY: 0.025476696592378154,
    });
    expect(value(lengthMm([mono], { x: 629.5, y: 319.5 }, { x: 689.5, y: 435.5 }))).toBeCloseTo(33.27, 2);
    const palette = region({
      x0: 120,
      y0: 60,
      x1: 799,
      y1: 518,
      deltaX: 0.02622878766196998,
      deltaY: 0.02622878766196998,
    });
    expect(value(lengthMm([palette], { x: 459.5, y: 290.5 }, { x: 498.5, y: 301.5 }))).toBeCloseTo(10.63, 2);
  });
});

describe('the drawn file with 2D, M-mode and ECG', () => {
  // EXPECTED.json of the drawn files; deltas as dcmdump shows them.
  const regions = [
    region({ x0: 20, y0: 20, x1: 280, y1: 210, deltaX: 0.08, deltaY: 0.08 }),
    region({ x0: 320, y0: 20, x1: 619, y1: 339, kind: 'm-mode', unitX: 's', deltaX: 0.006, deltaY: 0.05 }),
    region({
      x0: 320,
      y0: 360,
      x1: 619,
      y1: 420,
      kind: 'trace',
      unitX: 's',
      unitY: 'none',
      deltaX: 0.006,
      deltaY: 0,
    }),
  ];
  it('measures as expected', () => {
    expect(value(lengthMm(regions, { x: 100, y: 100 }, { x: 130, y: 140 }))).toBeCloseTo(40, 9);
    expect(value(lengthMm(regions, { x: 400, y: 90 }, { x: 400, y: 160 }))).toBeCloseTo(35, 9);
    expect(value(timeSpanMs(regions, { x: 400, y: 100 }, { x: 500, y: 100 }))).toBeCloseTo(600, 9);
    expect(value(slopePerSecond(regions, { x: 400, y: 90 }, { x: 450, y: 130 }))).toBeCloseTo(6.666667, 6);
    const rr = timeSpanMs(regions, { x: 400, y: 400 }, { x: 500, y: 400 });
    expect(value(ratePerMinute(value(rr)))).toBeCloseTo(100, 9);
    expect(lengthMm(regions, { x: 100, y: 100 }, { x: 400, y: 100 })).toEqual({
      ok: false,
      finding: 'POINTS_IN_DIFFERENT_REGIONS',
    });
  });
});

describe('a spectral region', () => {
  // PS3.3 C.8.5.5.1.14 with a baseline at row 160 of the region and 1.25 cm/s upwards a pixel, 5 ms a pixel.
  const doppler = region({
    x0: 60,
    y0: 220,
    x1: 599,
    y1: 459,
    kind: 'spectral',
    unitX: 's',
    unitY: 'cm/s',
    deltaX: 0.005,
    deltaY: -1.25,
    referenceY: 160,
  });
  it('gives signed velocity only with a baseline inside it', () => {
    expect(value(velocityCmS([doppler], { x: 200, y: 308 }))).toBeCloseTo(90, 9);
    expect(value(velocityCmS([doppler], { x: 200, y: 420 }))).toBeCloseTo(-50, 9);
    expect(value(slopePerSecond([doppler], { x: 100, y: 380 }, { x: 120, y: 340 }))).toBeCloseTo(500, 9);
    expect(velocityCmS([{ ...doppler, referenceY: null }], { x: 200, y: 300 })).toEqual({
      ok: false,
      finding: 'BASELINE_MISSING',
    });
    expect(velocityCmS([{ ...doppler, referenceY: 500 }], { x: 200, y: 300 })).toEqual({
      ok: false,
      finding: 'CALIBRATION_IMPLAUSIBLE',
    });
    expect(velocityCmS([{ ...doppler, unitY: 'hz' }], { x: 200, y: 300 })).toEqual({
      ok: false,
      finding: 'REGION_WITHOUT_VELOCITY',
    });
    expect(lengthMm([doppler], { x: 100, y: 300 }, { x: 120, y: 310 })).toEqual({
      ok: false,
      finding: 'REGION_WITHOUT_LENGTH',
    });
  });
});

describe('nothing is given without a calibration that can be true', () => {
  const [a, b] = [
    { x: 10, y: 10 },
    { x: 60, y: 90 },
  ];
  it('says what is missing', () => {
    expect(lengthMm([], a, b)).toEqual({ ok: false, finding: 'CALIBRATION_MISSING' });
    expect(lengthMm([region({ kind: 'other' })], a, b)).toEqual({
      ok: false,
      finding: 'CALIBRATION_MISSING',
    });
    expect(lengthMm([region({ usable: false, whyNot: 'REGION_SCALE_IMPLAUSIBLE' })], a, b)).toEqual({
      ok: false,
      finding: 'CALIBRATION_IMPLAUSIBLE',
    });
    expect(physicalPoint([], a)).toEqual({ ok: false, finding: 'CALIBRATION_MISSING' });
  });
});

describe('regionAt', () => {
  const tissue = region({ x0: 60, y0: 20, x1: 580, y1: 440, highPriority: false });
  const colour = region({ x0: 250, y0: 180, x1: 390, y1: 380 });
  it('prefers high priority, then the smaller, and takes overlapping 2D of one scale as one', () => {
    expect(regionAt([tissue, colour], { x: 320, y: 280 })).toBe(colour);
    expect(regionAt([{ ...tissue, highPriority: true }, colour], { x: 320, y: 280 })).toBe(colour);
    expect(
      regionAt([tissue, { ...colour, highPriority: false, x0: 0, x1: 799, y0: 0, y1: 599 }], {
        x: 320,
        y: 280,
      }),
    ).toBe(tissue);
    expect(regionAt([tissue, colour], { x: 700, y: 500 })).toBeNull();
    expect(value(lengthMm([tissue, colour], { x: 100, y: 200 }, { x: 320, y: 200 }))).toBeCloseTo(44, 9);
    expect(lengthMm([tissue, { ...colour, deltaX: 0.021 }], { x: 100, y: 200 }, { x: 320, y: 200 }).ok).toBe(
      false,
    );
  });
});

// Eighths of a pixel: finer than any hand, and no underflow when squared.
const point = fc.record({
  x: fc.integer({ min: 0, max: 6399 }).map((eighths) => eighths / 8),
  y: fc.integer({ min: 0, max: 4799 }).map((eighths) => eighths / 8),
});
const delta = fc.double({ min: 0.001, max: 0.2, noNaN: true });

describe('lengths', () => {
  it('do not depend on the order of the points or the sign of the deltas', () => {
    fc.assert(
      fc.property(point, point, delta, delta, (a, b, deltaX, deltaY) => {
        const plain = [region({ deltaX, deltaY })];
        expect(lengthMm(plain, a, b)).toEqual(lengthMm(plain, b, a));
        expect(lengthMm(plain, a, b)).toEqual(lengthMm([region({ deltaX: -deltaX, deltaY })], a, b));
      }),
    );
  });

  it('double when the scale doubles, and lie within their pixel interval', () => {
    fc.assert(
      fc.property(point, point, delta, delta, (a, b, deltaX, deltaY) => {
        const once = value(lengthMm([region({ deltaX, deltaY })], a, b));
        expect(value(lengthMm([region({ deltaX: 2 * deltaX, deltaY: 2 * deltaY })], a, b))).toBe(2 * once);
        const interval = lengthIntervalMm([region({ deltaX, deltaY })], a, b);
        if (!interval.ok) throw new Error(interval.finding);
        expect(interval.value.least).toBeLessThanOrEqual(once);
        expect(interval.value.most).toBeGreaterThan(once);
      }),
    );
  });

  it('equal the distance of the physical points', () => {
    fc.assert(
      fc.property(point, point, (a, b) => {
        const regions = [
          region({ referenceX: 40, referenceY: -7, referenceValueX: 1.5, referenceValueY: 2 }),
        ];
        const [p, q] = [physicalPoint(regions, a), physicalPoint(regions, b)];
        if (!p.ok || !q.ok) throw new Error('no physical point');
        const direct = Math.sqrt((p.value.x - q.value.x) ** 2 + (p.value.y - q.value.y) ** 2);
        expect(value(lengthMm(regions, a, b))).toBeCloseTo(direct, 6);
      }),
    );
  });
});

describe('averageBeats', () => {
  it('averages and tells the spread', () => {
    expect(averageBeats([38, 42, 40])).toEqual({
      ok: true,
      value: { mean: 40, beats: 3, least: 38, most: 42, spreadPercent: 10 },
    });
    expect(averageBeats([Number.NaN])).toEqual({ ok: false, finding: 'BEATS_MISSING' });
  });
  it('does not depend on the order of the beats', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 1, max: 90, noNaN: true }), { minLength: 1, maxLength: 8 }),
        (beats) => {
          expect(averageBeats([...beats].sort((a, b) => b - a))).toEqual(averageBeats(beats));
        },
      ),
    );
  });
});
