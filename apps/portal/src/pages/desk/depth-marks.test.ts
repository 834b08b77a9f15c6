import type { Region } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { depthMarks } from './depth-marks';

const region: Region = {
  x0: 100,
  y0: 40,
  x1: 699,
  y1: 539,
  kind: '2d',
  unitX: 'cm',
  unitY: 'cm',
  deltaX: 0.03,
  deltaY: 0.03,
  referenceX: 300,
  referenceY: 10,
  referenceValueX: 0,
  referenceValueY: 0,
  highPriority: true,
  protectedScale: true,
  usable: true,
  whyNot: null,
};

describe('the redrawn ruler', () => {
  it('has a mark each centimetre from the transducer on, and a number each five', () => {
    const marks = depthMarks(region);
    // 500 rows of 0.03 cm are 15 cm, less the ten above the transducer's face.
    expect(marks).toHaveLength(15);
    expect(marks[0]).toEqual({ x: 699, y: 50, cm: 0 });
    expect(marks[5]?.cm).toBe(5);
    expect(marks[5]?.y).toBeCloseTo(50 + 5 / 0.03, 6);
    expect(marks.filter(({ cm }) => cm !== null).map(({ cm }) => cm)).toEqual([0, 5, 10]);
  });

  it('takes the value at the reference pixel into account', () => {
    expect(depthMarks({ ...region, referenceValueY: 0.3 })[0]).toEqual({ x: 699, y: 40, cm: 0 });
  });

  it('writes no number where zero is not known: no reference, or one given as a place in the picture', () => {
    for (const referenceY of [null, 420]) {
      const marks = depthMarks({ ...region, referenceY });
      expect(marks.length).toBeGreaterThan(10);
      expect(marks.every(({ cm }) => cm === null)).toBe(true);
    }
  });

  it('is left out where nothing may be measured, in other modes, and where marks would touch', () => {
    expect(depthMarks({ ...region, usable: false })).toEqual([]);
    expect(depthMarks({ ...region, kind: 'm-mode' })).toEqual([]);
    expect(depthMarks({ ...region, deltaY: 0.4 })).toEqual([]);
    expect(depthMarks({ ...region, deltaY: -0.03 })).toEqual([]);
  });
});
