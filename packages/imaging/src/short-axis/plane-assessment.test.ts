import { exactCos, exactSin } from '@chordae/units';
import { describe, expect, it } from 'vitest';
import {
  axisRatio,
  ellipseArea,
  ellipseAxes,
  ellipseFrom,
  ellipsePolygon,
  stretchDepth,
} from '../picture/ellipse';
import { ellipseOfPolygon } from './dark-hull';
import { assessOutlines, ellipseOfOutline } from './from-outline';
import { tiltOfAxisRatio } from './plane-assessment';

const rad = (deg: number): number => (deg * Math.PI) / 180;

/** Section of the ellipsoid x² + y² + k² z² = 1 by a plane through its middle, by points: no formula of the axis ratio in it. */
function section(tiltDeg: number, k: number): number[] {
  const normal = { c: exactCos(rad(tiltDeg)), s: exactSin(rad(tiltDeg)) };
  const out: number[] = [];
  for (let n = 0; n < 360; n += 1) {
    const [a, b] = [exactCos(rad(n)), exactSin(rad(n))];
    // Directions in the plane: (1, 0, 0) and (0, cos, −sin) of the tilt.
    const [x, y, z] = [a, b * normal.c, -b * normal.s];
    const r = 1 / Math.sqrt(x * x + y * y + k * k * z * z);
    out.push(100 * r * a, 100 * r * b);
  }
  return out;
}

describe('the tilt of a cut', () => {
  it('is found again from the section of an ellipsoid, for any slenderness', () => {
    for (const k of [0.3, 0.36, 0.44])
      for (const tiltDeg of [5, 15, 25, 40]) {
        const ellipse = ellipseOfOutline(section(tiltDeg, k));
        expect(ellipse).not.toBeNull();
        expect(tiltOfAxisRatio(axisRatio(ellipse ?? { u: 0, v: 0 }), k)).toBeCloseTo(tiltDeg, 0);
      }
  });

  // cos 25° = 0.9063 for a tube (k = 0); q(25°) = 0.919 with k = 0.36 by q² = cos² a + k² sin² a.
  it('agrees with the worked values of the cosine rule', () => {
    expect(tiltOfAxisRatio(0.9063, 0)).toBeCloseTo(25, 1);
    expect(tiltOfAxisRatio(0.91912, 0.36)).toBeCloseTo(25, 0);
    expect(tiltOfAxisRatio(1, 0.36)).toBe(0);
    expect(tiltOfAxisRatio(0.1, 0.36)).toBe(90);
  });

  it('rises as the outline gets flatter', () => {
    let last = -1;
    for (let q = 1; q > 0.4; q -= 0.03) {
      const tilt = tiltOfAxisRatio(q, 0.36);
      expect(tilt).toBeGreaterThan(last);
      last = tilt;
    }
  });
});

describe('ellipses', () => {
  const ellipse = ellipseFrom(40, 55, 21, 13, rad(27));

  it('give back their axes, their direction and the closed form of their area', () => {
    const { major, minor, angleRad } = ellipseAxes(ellipse);
    expect(major).toBeCloseTo(21, 9);
    expect(minor).toBeCloseTo(13, 9);
    expect(angleRad).toBeCloseTo(rad(27), 9);
    expect(ellipseArea(ellipse)).toBeCloseTo(Math.PI * 21 * 13, 6);
    expect(axisRatio(ellipse)).toBeCloseTo(13 / 21, 9);
  });

  it('are found again from the moments of their polygon', () => {
    const points = ellipsePolygon(ellipse, 720);
    const pairs = Array.from(
      { length: 720 },
      (_, n) => [points[2 * n] as number, points[2 * n + 1] as number] as const,
    );
    const found = ellipseOfPolygon(pairs);
    expect(found?.cx).toBeCloseTo(40, 3);
    expect(found?.cy).toBeCloseTo(55, 3);
    expect(found?.u).toBeCloseTo(ellipse.u, 3);
    expect(found?.v).toBeCloseTo(ellipse.v, 3);
    expect(found?.radius).toBeCloseTo(ellipse.radius, 2);
  });

  it('stretch in depth as their points do', () => {
    const stretched = stretchDepth(ellipse, 1.3, 10);
    const points = ellipsePolygon(ellipse, 720);
    const moved = Array.from(
      { length: 720 },
      (_, n) => [points[2 * n] as number, 10 + ((points[2 * n + 1] as number) - 10) * 1.3] as const,
    );
    const found = ellipseOfPolygon(moved);
    expect(stretched.u).toBeCloseTo(found?.u ?? 0, 3);
    expect(stretched.v).toBeCloseTo(found?.v ?? 0, 3);
    expect(stretched.cy).toBeCloseTo(found?.cy ?? 0, 3);
  });
});

describe('an outline drawn by a person', () => {
  const outline = (major: number, minor: number): number[] =>
    ellipsePolygon(ellipseFrom(100, 90, major, minor, 0.4), 60);

  it('gives the numbers that it encloses, with the confidence of a person', () => {
    const said = assessOutlines(outline(50, 40), outline(30, 24));
    expect(said.axisRatio).toBeCloseTo(0.8, 3);
    expect(said.fractionalAreaChange).toBeCloseTo(1 - (30 * 24) / (50 * 40), 3);
    expect(said.verdict).toBe('off-axis');
    expect(said.reasons).toContain('OUTLINE_BY_PERSON');
  });

  it('does not change with the size of the picture', () => {
    const small = assessOutlines(outline(50, 46), null);
    const large = assessOutlines(outline(500, 460), null);
    expect(large.axisRatio).toBeCloseTo(small.axisRatio ?? 0, 6);
    expect(small.fractionalAreaChange).toBeNull();
  });

  it('is not assessed when it encloses nothing', () => {
    expect(assessOutlines([], null).verdict).toBe('not-assessable');
    expect(assessOutlines([1, 1, 2, 2, 3, 3], null).verdict).toBe('not-assessable');
    expect(assessOutlines([1, Number.NaN, 2, 2, 3, 9], null).verdict).toBe('not-assessable');
  });

  it('is called not round, not tilted, with a flat septum', () => {
    const said = assessOutlines(outline(50, 40), null, {
      rightSide: { septumFlat: true, rightVentricleLarge: false },
    });
    expect(said.verdict).toBe('not-round');
  });
});
