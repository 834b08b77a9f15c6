import { describe, expect, it } from 'vitest';
import type { ClipStatement, ClipStatementRecord } from './clip-statement';
import { isFilmed, standingScale } from './standing-scale';

const CLIP = '00000000-0000-7000-8000-00000000000c';
let made = 0;
function said(statement: ClipStatement, side: 'sender' | 'reader' = 'reader'): ClipStatementRecord {
  made += 1;
  return {
    id: `00000000-0000-7000-8000-${String(made).padStart(12, '0')}`,
    clipId: CLIP,
    statement,
    side,
    by: 'somebody',
    at: new Date(Date.UTC(2026, 10, 25, 9, 0, made)).toISOString(),
  };
}
const filmed = () => said({ kind: 'source', source: 'filmed-screen' }, 'sender');
/** A distance of `mm` over `pixels` at an angle. */
function distance(mm: number, pixels: number, degrees: number, side: 'sender' | 'reader' = 'reader') {
  const [x, y] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return said(
    {
      kind: 'calibration',
      from: 'two-points',
      cmPerPixel: mm / 10 / pixels,
      points: [
        { x: 100, y: 100 },
        { x: 100 + pixels * x, y: 100 + pixels * y },
      ],
      distanceMm: mm,
    },
    side,
  );
}
const ruler = () =>
  said({ kind: 'calibration', from: 'ruler', cmPerPixel: 0.05, points: null, distanceMm: null });

describe('a scale on a filmed screen', () => {
  it('is none by one distance, by two of one direction, by two that differ, or by a ruler', () => {
    const of = (...rows: ClipStatementRecord[]) => standingScale([filmed(), ...rows], CLIP);
    expect(of()).toEqual({ scale: null, wants: 'two-distances' });
    expect(of(ruler())).toEqual({ scale: null, wants: 'two-distances' });
    expect(of(distance(50, 100, 90))).toEqual({ scale: null, wants: 'one-more' });
    expect(of(distance(50, 100, 90), distance(80, 160, 272))).toEqual({
      scale: null,
      wants: 'other-direction',
    });
    expect(of(distance(50, 100, 90), distance(50, 100, 61))).toMatchObject({ wants: 'other-direction' });
    expect(of(distance(50, 100, 90), distance(50, 106, 0))).toEqual({ scale: null, wants: 'they-differ' });
  });

  it('is the mean of two in different directions that agree within 5 %', () => {
    const { scale, wants } = standingScale([filmed(), distance(50, 100, 90), distance(60, 116, 0)], CLIP);
    expect(wants).toBeNull();
    expect(scale?.from).toBe('two-distances');
    expect(scale?.cmPerPixel).toBeCloseTo((5 / 100 + 6 / 116) / 2, 12);
    // 31 degrees is apart enough, and 200 is 20.
    expect(standingScale([filmed(), distance(50, 100, 0), distance(50, 100, 31)], CLIP).wants).toBeNull();
    expect(standingScale([filmed(), distance(50, 100, 0), distance(50, 100, 200)], CLIP).wants).toBe(
      'other-direction',
    );
  });

  it('rests on the newest distance: one that contradicts those before takes the scale away', () => {
    const rows = [filmed(), distance(50, 100, 90), distance(50, 100, 0), distance(50, 120, 45)];
    expect(standingScale(rows, CLIP)).toEqual({ scale: null, wants: 'they-differ' });
  });

  it('of the sender stands, although a reader agreed to a ruler', () => {
    const rows = [filmed(), distance(50, 100, 90, 'sender'), distance(50, 100, 0, 'sender'), ruler()];
    expect(standingScale(rows, CLIP).scale?.from).toBe('two-distances');
  });

  it('of a reader does not lean on a distance of the sender', () => {
    const rows = [filmed(), distance(50, 100, 90, 'sender'), distance(50, 100, 0, 'reader')];
    expect(standingScale(rows, CLIP)).toEqual({ scale: null, wants: 'one-more' });
  });

  it('is as always where the clip was not filmed, also when that was taken back', () => {
    const one = distance(50, 100, 90);
    expect(standingScale([one], CLIP)).toEqual({
      scale: { cmPerPixel: 0.05, from: 'two-points' },
      wants: null,
    });
    const back = [filmed(), one, said({ kind: 'source', source: 'machine-file' }, 'sender')];
    expect(isFilmed(back, CLIP)).toBe(false);
    expect(standingScale(back, CLIP).scale).not.toBeNull();
    expect(standingScale([ruler()], CLIP).scale?.from).toBe('ruler');
  });

  it('is filmed by a reader’s word against the sender’s', () => {
    const rows = [
      said({ kind: 'source', source: 'filmed-screen' }, 'reader'),
      said({ kind: 'source', source: 'machine-file' }, 'sender'),
    ];
    expect(isFilmed(rows, CLIP)).toBe(true);
  });
});
