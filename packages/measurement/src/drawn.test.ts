import type { DrawnShape, FramePoint, Region } from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Drawn, DrawnQuantity, DrawnValue } from './index';
import {
  areaDoubt,
  canKeep,
  cmPerPixelFrom,
  cutDiscs,
  doubleArea,
  keptValue,
  measureDrawn,
  pathLength,
  regionsWith,
  sameButRounding,
  setLengths,
} from './index';
import { region } from './testing';

const square = [region({ deltaX: 0.02, deltaY: 0.02 })];
const oblong = [region({})];
/** Baseline at row 300 of the frame, 1 cm/s a pixel upwards, 2 ms a pixel. */
const spectral = [
  region({ kind: 'spectral', unitX: 's', unitY: 'cm/s', deltaX: 0.002, deltaY: -1, referenceY: 300 }),
];
const mMode = [region({ kind: 'm-mode', unitX: 's', unitY: 'cm', deltaX: 0.004, deltaY: 0.05 })];

const at = (x: number, y: number): FramePoint => ({ x, y });
function values(regions: readonly Region[], drawn: Drawn, second?: readonly Region[]): readonly DrawnValue[] {
  const measured = measureDrawn(regions, drawn, second);
  if (!measured.ok) throw new Error(measured.finding);
  return measured.value;
}
const of = (list: readonly DrawnValue[], quantity: DrawnQuantity): DrawnValue => {
  const found = list.find((v) => v.quantity === quantity);
  if (!found) throw new Error(`no ${quantity}`);
  return found;
};
const finding = (regions: readonly Region[], drawn: Drawn, second?: readonly Region[]) => {
  const measured = measureDrawn(regions, drawn, second);
  return measured.ok ? null : measured.finding;
};
/** A closed curve of `n` points, centre and half axes in pixels. */
const oval = (cx: number, cy: number, a: number, b: number, n: number): FramePoint[] =>
  Array.from({ length: n }, (_, k) => {
    const turn = (2 * Math.PI * k) / n;
    return at(cx + a * Math.cos(turn), cy + b * Math.sin(turn));
  });

describe('worked examples', () => {
  it('measure a length, an angle, an outline and an ellipse', () => {
    const [length] = values([region({ deltaX: 0.08, deltaY: 0.08 })], {
      shape: 'length',
      points: [at(100, 100), at(130, 140)],
    });
    expect(length).toMatchObject({ quantity: 'length', unit: 'mm' });
    expect(length?.value).toBeCloseTo(40, 9);
    const right = values(square, { shape: 'angle', points: [at(200, 100), at(100, 100), at(100, 250)] });
    expect(right[0]?.value).toBeCloseTo(90, 9);
    const box = values(square, {
      shape: 'outline',
      points: [at(100, 100), at(200, 100), at(200, 200), at(100, 200)],
    });
    expect(of(box, 'area').value).toBeCloseTo(4, 9);
    expect(of(box, 'circumference').value).toBeCloseTo(80, 9);
    const ellipse = values(square, { shape: 'ellipse', points: [at(100, 300), at(400, 300), at(250, 400)] });
    expect(of(ellipse, 'area').value).toBeCloseTo(Math.PI * 3 * 2, 9);
    expect(of(ellipse, 'long-axis').value).toBeCloseTo(60, 9);
    expect(of(ellipse, 'short-axis').value).toBeCloseTo(40, 9);
  });

  it('measure time, slope, velocity and a traced flow', () => {
    const time = values(mMode, { shape: 'time', points: [at(100, 50), at(250, 90)] });
    expect(time.map((v) => v.value)).toEqual([expect.closeTo(600, 9), expect.closeTo(100, 9)]);
    const slope = values(mMode, { shape: 'slope', points: [at(100, 100), at(200, 140)] });
    expect(slope[0]).toMatchObject({ unit: 'cm/s', value: expect.closeTo(5, 9) });
    const jet = values(spectral, { shape: 'velocity', points: [at(300, 580)] });
    expect(of(jet, 'velocity').value).toBeCloseTo(-2.8, 9);
    expect(of(jet, 'gradient').value).toBeCloseTo(4 * 2.8 * 2.8, 9);
    // A triangle of 0.2 s to 100 cm/s: half of base times height; the mean of a squared ramp is a third of its top.
    const flow = values(spectral, { shape: 'trace', points: [at(100, 300), at(150, 200), at(200, 300)] });
    expect(of(flow, 'vti').value).toBeCloseTo(10, 9);
    expect(of(flow, 'peak').value).toBeCloseTo(1, 9);
    expect(of(flow, 'mean-gradient').value).toBeCloseTo(4 / 3, 9);
    expect(of(flow, 'acceleration-time').value).toBeCloseTo(100, 9);
    expect(of(flow, 'ejection-time').value).toBeCloseTo(200, 9);
    // What crosses the baseline counts as no flow: from (200 ms, 100) to (300 ms, −100) only the first half.
    const crossing = values(spectral, {
      shape: 'trace',
      points: [at(100, 300), at(150, 200), at(200, 400), at(230, 300)],
    });
    expect(of(crossing, 'vti').value).toBeCloseTo(5 + 2.5, 9);
    expect(of(crossing, 'ejection-time').value).toBeCloseTo(260, 9);
  });

  it('give the half-time of a falling velocity as 0.29 of the time to zero (Hatle et al. 1979)', () => {
    // From 200 cm/s, falling 100 cm/s in 0.2 s: zero after 0.4 s.
    const slope = values(spectral, { shape: 'slope', points: [at(100, 100), at(200, 200)] });
    expect(slope[0]).toMatchObject({ unit: 'cm/s2', value: expect.closeTo(-500, 9) });
    expect(of(slope, 'half-time').value).toBeCloseTo(0.2929 * 400, 1);
    const rising = values(spectral, { shape: 'slope', points: [at(100, 200), at(200, 100)] });
    expect(rising.map((v) => v.quantity)).toEqual(['slope']);
  });

  it('hold in the small parts as their sentences say', () => {
    const side3 = [at(0, 0), at(3, 0), at(3, 3), at(0, 3)];
    expect(doubleArea(side3)).toBe(18);
    expect(areaDoubt(side3, { x: 0.5, y: 0.5 })).toBe(7);
    expect(pathLength([at(0, 0), at(3, 4)], { x: 0, y: 0 }, false)).toEqual({ value: 5, least: 5, most: 5 });
    expect(cmPerPixelFrom(at(0, 0), at(60, 80), 50)).toEqual({ ok: true, value: 0.05 });
    expect(canKeep('outline', 'cm2')).toBe(true);
    expect(canKeep('outline', 'mm')).toBe(false);
    expect([sameButRounding(38.22, 38.2, 'mm'), sameButRounding(38.2, 38.4, 'mm')]).toEqual([true, false]);
    const borders = [at(50, 10), at(53, 20), at(49, 60), at(50, 72)];
    expect(
      setLengths('diastole', borders, 'depth').map((l) => [l.code, l.points[1].y - l.points[0].y]),
    ).toEqual([
      ['ivsd', 10],
      ['lvidd', 40],
      ['lvwd', 12],
    ]);
    expect(setLengths('systole', borders, 'depth').map((l) => l.code)).toEqual(['ivss', 'lvids', 'lvws']);
    expect(setLengths('systole', borders.slice(0, 2), 'as-put')).toEqual([
      { code: 'ivss', points: [borders[0], borders[1]] },
    ]);
    expect(
      new Set(setLengths('diastole', borders, 'depth').flatMap((l) => l.points.map((p) => p.x))),
    ).toEqual(new Set([50]));
  });
});

describe('volumes by 20 discs (Lang et al. 2015)', () => {
  /** Half an oval open at its base: half width b at the base, length a, in pixels, base at the left. */
  const chamber = (cx: number, cy: number, a: number, b: number, n = 200): FramePoint[] =>
    Array.from({ length: n + 1 }, (_, k) => {
      const turn = -Math.PI / 2 + (Math.PI * k) / n;
      return at(cx + a * Math.cos(turn), cy + b * Math.sin(turn));
    });

  it('agree with the closed forms of a half ellipsoid and of a ball', () => {
    // Half of 4/3 π a b²: axes 4 and 2 cm.
    const half = values(square, {
      shape: 'discs',
      points: chamber(200, 300, 200, 100),
      axis: [at(200, 300), at(400, 300)],
    });
    expect(of(half, 'volume').value / ((2 / 3) * Math.PI * 4 * 2 * 2)).toBeCloseTo(1, 2);
    expect(of(half, 'long-axis').value).toBeCloseTo(40, 9);
    const ball = values(square, {
      shape: 'discs',
      points: oval(300, 300, 100, 100, 400),
      axis: [at(200, 300), at(400, 300)],
    });
    expect(of(ball, 'volume').value / ((4 / 3) * Math.PI * 8)).toBeCloseTo(1, 2);
  });

  it('cut a cone of 10 cm and a base of 4 cm into widths of 3.9 to 0.1', () => {
    const cut = cutDiscs({
      wall: [at(0, -2), at(10, 0), at(0, 2)],
      axis: [at(0, 0), at(10, 0)],
      half: { x: 0, y: 0 },
    });
    if (!cut.ok) throw new Error(cut.finding);
    const widths = cut.value.widths.map((w) => w.value);
    expect(widths).toHaveLength(20);
    expect(widths[0]).toBeCloseTo(3.9, 9);
    expect(widths[19]).toBeCloseTo(0.1, 9);
    expect(cut.value.widths[7]?.least).toBeCloseTo(widths[7] ?? 0, 9);
  });

  it('take two planes with oval discs over the longer axis and say how far the axes differ', () => {
    const first = { points: chamber(200, 300, 200, 100), axis: [at(200, 300), at(400, 300)] as const };
    const second = { points: chamber(200, 300, 190, 60), axis: [at(200, 300), at(390, 300)] as const };
    const both = values(square, { shape: 'discs', ...first, second });
    // Discs of 2 by 1.2 cm: (2/3) π · 4 · 2 · 1.2.
    expect(of(both, 'volume').value / ((2 / 3) * Math.PI * 4 * 2 * 1.2)).toBeCloseTo(1, 2);
    expect(of(both, 'axes-differ').value).toBeCloseTo(5, 9);
    const swapped = values(square, { shape: 'discs', ...second, second: first });
    expect(of(swapped, 'volume').value).toBeCloseTo(of(both, 'volume').value, 9);
    const short = { points: chamber(200, 300, 150, 60), axis: [at(200, 300), at(350, 300)] as const };
    expect(finding(square, { shape: 'discs', ...first, second: short })).toBe('LONG_AXES_DIFFER');
  });

  it('take the second plane by its own clip and scale', () => {
    const first = { points: chamber(200, 300, 200, 100), axis: [at(200, 300), at(400, 300)] as const };
    const half = { points: chamber(200, 300, 100, 50), axis: [at(200, 300), at(300, 300)] as const };
    const twice = [region({ deltaX: 0.04, deltaY: 0.04 })];
    const both = values(square, { shape: 'discs', ...first, second: half }, twice);
    expect(of(both, 'volume').value).toBeCloseTo(
      of(values(square, { shape: 'discs', ...first }), 'volume').value,
      9,
    );
  });

  it('refuse an axis that leaves the wall, and a wall without an axis', () => {
    const points = chamber(200, 300, 200, 100);
    expect(finding(square, { shape: 'discs', points, axis: [at(200, 300), at(480, 300)] })).toBe(
      'AXIS_OUTSIDE_WALL',
    );
    expect(finding(square, { shape: 'discs', points })).toBe('POINTS_MISSING');
  });
});

describe('regions', () => {
  const both = [region({ x1: 399 }), { ...(mMode[0] as Region), x0: 400 }];
  const two: readonly FramePoint[] = [at(100, 100), at(600, 100)];
  // A ratio of pixels needs no region.
  const shapes: Record<Exclude<DrawnShape, 'ratio'>, readonly FramePoint[]> = {
    length: two,
    time: two,
    slope: two,
    velocity: [at(900, 100)],
    angle: [...two, at(650, 300)],
    ellipse: [...two, at(650, 300)],
    outline: [...two, at(650, 300)],
    trace: [...two, at(650, 300)],
    discs: [...two, at(650, 300)],
  };
  const axis = [at(100, 100), at(600, 300)] as const;

  it('give a finding and no number where the points lie in different ones, or in none', () => {
    for (const [shape, points] of Object.entries(shapes) as [DrawnShape, FramePoint[]][]) {
      const drawn = { shape, points, axis: shape === 'discs' ? axis : null };
      expect(finding(both, drawn)).toBe(
        shape === 'velocity' ? 'CALIBRATION_MISSING' : 'POINTS_IN_DIFFERENT_REGIONS',
      );
      expect(finding([], drawn)).toBe('CALIBRATION_MISSING');
    }
  });

  it('give a finding where the region cannot carry the shape', () => {
    const three = [at(500, 100), at(600, 100), at(620, 300)];
    const pairOf = three.slice(0, 2);
    const inside = [at(500, 100), at(620, 300)] as const;
    expect(finding(mMode, { shape: 'outline', points: three })).toBe('REGION_WITHOUT_AREA');
    expect(finding(mMode, { shape: 'angle', points: three })).toBe('REGION_WITHOUT_AREA');
    expect(finding(mMode, { shape: 'discs', points: three, axis: inside })).toBe('REGION_WITHOUT_AREA');
    expect(finding(mMode, { shape: 'velocity', points: [at(500, 100)] })).toBe('REGION_WITHOUT_VELOCITY');
    expect(finding(mMode, { shape: 'trace', points: three })).toBe('REGION_WITHOUT_VELOCITY');
    expect(finding(square, { shape: 'time', points: pairOf })).toBe('REGION_WITHOUT_TIME');
    expect(finding(square, { shape: 'slope', points: pairOf })).toBe('REGION_WITHOUT_TIME');
    expect(finding(spectral, { shape: 'length', points: pairOf })).toBe('REGION_WITHOUT_LENGTH');
    const trace = [{ ...(spectral[0] as Region), kind: 'trace' as const, unitY: 'none' as const, deltaY: 0 }];
    expect(values(trace, { shape: 'time', points: pairOf })[0]?.value).toBeCloseTo(200, 9);
    expect(finding(trace, { shape: 'slope', points: pairOf })).toBe('REGION_WITHOUT_SLOPE');
    const floating = [{ ...(spectral[0] as Region), referenceY: null }];
    expect(finding(floating, { shape: 'velocity', points: [at(500, 100)] })).toBe('BASELINE_MISSING');
    const outside = [{ ...(spectral[0] as Region), referenceY: 900 }];
    expect(finding(outside, { shape: 'trace', points: three })).toBe('CALIBRATION_IMPLAUSIBLE');
    expect(finding([region({ usable: false })], { shape: 'length', points: pairOf })).toBe(
      'CALIBRATION_IMPLAUSIBLE',
    );
  });

  it('give a finding for what has no size, no flow or the wrong number of points', () => {
    expect(finding(square, { shape: 'outline', points: [at(1, 1), at(2, 2), at(3, 3)] })).toBe(
      'DRAWING_WITHOUT_SIZE',
    );
    expect(finding(square, { shape: 'length', points: [at(1, 1)] })).toBe('POINTS_MISSING');
    expect(finding(square, { shape: 'length', points: [at(1, 1), at(2, 2), at(3, 3)] })).toBe(
      'POINTS_MISSING',
    );
    expect(finding(square, { shape: 'length', points: [at(Number.NaN, 1), at(2, 2)] })).toBe(
      'POINTS_MISSING',
    );
    expect(finding(spectral, { shape: 'trace', points: [at(100, 300), at(150, 300), at(200, 300)] })).toBe(
      'FLOW_MISSING',
    );
    expect(finding(mMode, { shape: 'slope', points: [at(100, 300), at(100.5, 310)] })).toBe('TIME_SPAN_ZERO');
  });
});

describe("a person's calibration", () => {
  const picture = { widthPx: 800, heightPx: 600, regions: [] as Region[] };
  const drawn: Drawn = { shape: 'length', points: [at(100, 100), at(200, 100)] };

  it('makes lengths possible where the file says nothing', () => {
    expect(values(regionsWith(picture, { cmPerPixel: 0.05 }), drawn)[0]?.value).toBeCloseTo(50, 9);
    expect(finding(regionsWith(picture, null), drawn)).toBe('CALIBRATION_MISSING');
  });

  it('leaves a usable 2D region of the file alone, and gives way to other regions in their places', () => {
    const withOwn = { ...picture, regions: [region({ x1: 399 })] };
    expect(regionsWith(withOwn, { cmPerPixel: 0.05 })).toBe(withOwn.regions);
    const flow = { ...(spectral[0] as Region), x0: 400, highPriority: false };
    const beside = regionsWith({ ...picture, regions: [flow] }, { cmPerPixel: 0.05 });
    expect(values(beside, drawn)[0]?.value).toBeCloseTo(50, 9);
    expect(finding(beside, { shape: 'length', points: [at(500, 100), at(600, 100)] })).toBe(
      'REGION_WITHOUT_LENGTH',
    );
  });

  it('stands in for a 2D region that cannot be true, not for others', () => {
    const wrong = {
      ...picture,
      regions: [region({ usable: false }), { ...(mMode[0] as Region), y0: 400, usable: false }],
    };
    const made = regionsWith(wrong, { cmPerPixel: 0.05 });
    expect(values(made, drawn)[0]?.value).toBeCloseTo(50, 9);
    expect(finding(made, { shape: 'length', points: [at(100, 450), at(100, 550)] })).toBe(
      'CALIBRATION_IMPLAUSIBLE',
    );
  });

  it('is refused from points that are too close for it', () => {
    expect(cmPerPixelFrom(at(0, 0), at(10, 0), 50).ok).toBe(false);
    expect(cmPerPixelFrom(at(0, 0), at(100, 0), 0).ok).toBe(false);
  });
});

describe('what is kept', () => {
  const flow = values(spectral, { shape: 'trace', points: [at(100, 300), at(150, 200), at(200, 300)] });
  it('is the value of the unit, without sign', () => {
    const jet = values(spectral, { shape: 'velocity', points: [at(300, 580)] });
    expect(keptValue(jet, 'velocity', 'tr-vmax', 'm/s')).toBeCloseTo(2.8, 9);
    expect(keptValue(jet, 'velocity', 'e-prime', 'cm/s')).toBeCloseTo(280, 9);
    expect(keptValue(flow, 'trace', 'vti-lvot', 'cm')).toBeCloseTo(10, 9);
    expect(keptValue(flow, 'trace', 'ao-vmax', 'm/s')).toBeCloseTo(1, 9);
    expect(keptValue(flow, 'trace', 'pa-at', 'ms')).toBeCloseTo(100, 9);
    expect(keptValue(flow, 'trace', 'pa-et', 'ms')).toBeCloseTo(200, 9);
    expect(keptValue(flow, 'trace', 'lvidd', 'mm')).toBeNull();
  });
});

const spot = fc.record({ x: fc.integer({ min: 40, max: 750 }), y: fc.integer({ min: 40, max: 560 }) });
const shift = fc.double({ min: -0.5, max: 0.5, noNaN: true });
const shifts = fc.array(fc.record({ x: shift, y: shift }), { minLength: 40, maxLength: 40 });
const moved = (points: readonly FramePoint[], by: readonly FramePoint[]): FramePoint[] =>
  points.map((p, n) => at(p.x + (by[n]?.x ?? 0), p.y + (by[n]?.y ?? 0)));
const many = (least: number) => fc.array(spot, { minLength: least, maxLength: 12 });

/** Shapes with points that a hand could have put, and the region that carries them. */
const drawnSomewhere: Record<string, fc.Arbitrary<{ regions: readonly Region[]; drawn: Drawn }>> = {
  length: fc.tuple(spot, spot).map((points) => ({ regions: oblong, drawn: { shape: 'length', points } })),
  'm-mode length': fc
    .tuple(spot, spot)
    .map((points) => ({ regions: mMode, drawn: { shape: 'length', points } })),
  angle: fc.tuple(spot, spot, spot).map((points) => ({ regions: oblong, drawn: { shape: 'angle', points } })),
  ellipse: fc
    .tuple(spot, spot, spot)
    .map((points) => ({ regions: oblong, drawn: { shape: 'ellipse', points } })),
  outline: many(3).map((points) => ({ regions: oblong, drawn: { shape: 'outline', points } })),
  time: fc.tuple(spot, spot).map((points) => ({ regions: mMode, drawn: { shape: 'time', points } })),
  slope: fc.tuple(spot, spot).map((points) => ({ regions: mMode, drawn: { shape: 'slope', points } })),
  'spectral slope': fc
    .tuple(spot, spot)
    .map((points) => ({ regions: spectral, drawn: { shape: 'slope', points } })),
  velocity: spot.map((p) => ({ regions: spectral, drawn: { shape: 'velocity', points: [p] } })),
  // Two pixels apart at least, as a hand draws: closer ones have no order in time.
  trace: fc
    .array(fc.record({ step: fc.integer({ min: 2, max: 40 }), y: fc.integer({ min: 40, max: 299 }) }), {
      minLength: 3,
      maxLength: 12,
    })
    .map((steps) => {
      let x = 100;
      const points = steps.map(({ step, y }) => at((x += step), y));
      return { regions: spectral, drawn: { shape: 'trace', points } };
    }),
  discs: fc
    .tuple(
      fc.integer({ min: 40, max: 300 }),
      fc.integer({ min: 20, max: 150 }),
      fc.integer({ min: 9, max: 35 }),
    )
    .map(([length, wide, n]) => ({
      regions: oblong,
      drawn: {
        shape: 'discs' as const,
        points: Array.from({ length: n }, (_, k) => {
          const turn = -Math.PI / 2 + (Math.PI * k) / (n - 1);
          return at(300 + length * Math.cos(turn), 300 + wide * Math.sin(turn));
        }),
        axis: [at(300, 300), at(300 + length - 1, 300)] as const,
      },
    })),
};

describe('intervals', () => {
  for (const [name, arbitrary] of Object.entries(drawnSomewhere))
    it(`hold every ${name} whose points lie within half a pixel`, () => {
      let compared = 0;
      fc.assert(
        fc.property(arbitrary, shifts, ({ regions, drawn }, by) => {
          const here = measureDrawn(regions, drawn);
          const axis = drawn.axis ? moved(drawn.axis, by.slice(38)) : null;
          const there = measureDrawn(regions, {
            ...drawn,
            points: moved(drawn.points, by),
            axis: axis ? [axis[0] as FramePoint, axis[1] as FramePoint] : null,
          });
          if (!here.ok || !there.ok) return;
          for (const value of here.value) {
            expect(value.least).toBeLessThanOrEqual(
              value.value * (value.value < 0 ? 0.999999999 : 1.000000001),
            );
            const other = there.value.find((v) => v.quantity === value.quantity);
            if (!other || (name === 'trace' && value.quantity === 'acceleration-time')) continue;
            // The second axis may become the longer one of the two.
            if (
              name === 'ellipse' &&
              value.quantity !== 'area' &&
              Math.abs(of(here.value, 'long-axis').value - of(here.value, 'short-axis').value) < 3
            )
              continue;
            const hair = 1e-9 * (1 + Math.abs(value.value));
            expect(other.value).toBeGreaterThanOrEqual(value.least - hair);
            expect(other.value).toBeLessThanOrEqual(value.most + hair);
            compared += 1;
          }
        }),
        { numRuns: 400 },
      );
      expect(compared).toBeGreaterThan(100);
    });
});

describe('an ellipse whose first axis is a few pixels long', () => {
  // Found by the property above: turning so short an axis moves the far point's distance from it further than its own lever says.
  it('holds its second axis all the same', () => {
    const points = [at(749, 46), at(746, 43), at(40, 342)] as const;
    const turned = [at(749.4781157862338, 46), at(746, 43.5), at(40, 342)];
    const long = (drawn: readonly FramePoint[]) =>
      of(values(oblong, { shape: 'ellipse', points: drawn }), 'long-axis');
    expect(long(turned).value).toBeGreaterThanOrEqual(long(points).least);
    expect(long(turned).value).toBeLessThanOrEqual(long(points).most);
  });
});

describe('every shape', () => {
  const scaled = (regions: readonly Region[], by: number) =>
    regions.map((r) => ({ ...r, deltaX: r.deltaX * by, deltaY: r.deltaY * by }));
  /** What doubling the scale in space does: powers of two. */
  const grows: Partial<Record<DrawnQuantity, number>> = {
    length: 2,
    area: 4,
    circumference: 2,
    'long-axis': 2,
    'short-axis': 2,
    volume: 8,
    angle: 1,
  };

  it('grows with the scale as its dimension says', () => {
    for (const name of ['length', 'angle', 'ellipse', 'outline', 'discs'])
      fc.assert(
        fc.property(drawnSomewhere[name] as (typeof drawnSomewhere)[string], ({ regions, drawn }) => {
          const [once, twice] = [measureDrawn(regions, drawn), measureDrawn(scaled(regions, 2), drawn)];
          expect(twice.ok).toBe(once.ok);
          if (!once.ok || !twice.ok) return;
          once.value.forEach((v, n) => {
            const want = v.value * (grows[v.quantity] ?? Number.NaN);
            expect(Math.abs((twice.value[n]?.value ?? 0) - want)).toBeLessThanOrEqual(1e-9 * (1 + want));
          });
        }),
      );
  });

  it('does not depend on the order in which it was drawn, nor on the signs of the deltas', () => {
    for (const name of ['length', 'angle', 'outline', 'time', 'slope', 'discs', 'trace'])
      fc.assert(
        fc.property(drawnSomewhere[name] as (typeof drawnSomewhere)[string], ({ regions, drawn }) => {
          const [one, other] = [
            measureDrawn(regions, drawn),
            measureDrawn(regions, { ...drawn, points: [...drawn.points].reverse() }),
          ];
          expect(other.ok).toBe(one.ok);
          if (!one.ok || !other.ok) return;
          expect(other.value.map((v) => v.value)).toEqual(
            one.value.map((v) => expect.closeTo(v.value, 6) as unknown as number),
          );
          const mirrored = regions.map((r) => ({ ...r, deltaX: -r.deltaX }));
          expect(measureDrawn(mirrored, drawn)).toEqual(one);
        }),
      );
  });

  it('agrees with counting small squares (area) and with the midpoint rule (trace)', () => {
    const points = oval(300, 300, 120, 70, 60);
    const inside = (x: number, y: number) =>
      points.reduce((odd, p, n) => {
        const q = points[(n + 1) % points.length] as FramePoint;
        const cut = p.y > y !== q.y > y && x < p.x + ((y - p.y) / (q.y - p.y)) * (q.x - p.x);
        return cut ? !odd : odd;
      }, false);
    let squares = 0;
    for (let y = 220.25; y < 380; y += 0.5)
      for (let x = 170.25; x < 430; x += 0.5) if (inside(x, y)) squares += 1;
    const area = of(values(oblong, { shape: 'outline', points }), 'area').value;
    expect(area / (squares * 0.25 * 0.02 * 0.03)).toBeCloseTo(1, 3);
    // Half a sine of 250 ms to 120 cm/s: 2/π of base times height; the mean of its square is a half.
    const flow = Array.from({ length: 126 }, (_, k) =>
      at(200 + k, 300 + 120 * Math.sin((Math.PI * k) / 125)),
    );
    const traced = values(spectral, { shape: 'trace', points: flow });
    expect(of(traced, 'vti').value / ((2 / Math.PI) * 0.25 * 120)).toBeCloseTo(1, 3);
    expect(of(traced, 'mean-gradient').value / (4 * 1.2 * 1.2 * 0.5)).toBeCloseTo(1, 3);
  });
});
