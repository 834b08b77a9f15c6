import type { ClipDescription } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { decidedMask } from './mask-decision';

const clip = (stillMarks: ClipDescription['stillMarks']): ClipDescription =>
  ({ widthPx: 80, heightPx: 60, regions: [], stillMarks }) as unknown as ClipDescription;

describe('what was said of a file before it was read', () => {
  it('that no name is in it, stands where nothing unmoving was found in the whole clip', () => {
    expect(decidedMask(clip([]), { kind: 'no-name-confirmed' })).toEqual({
      mask: 'no-name-confirmed',
      keepBox: null,
    });
  });

  it('that only the sector may leave, stands by its outline, unless it lies beside the picture', () => {
    const outline = [40, 5, 70, 50, 10, 50];
    expect(decidedMask(clip([]), { kind: 'fan', outline })).toMatchObject({
      mask: 'fan',
      keepBox: { y1: 49, outline },
    });
    expect(decidedMask(clip([]), { kind: 'fan', outline: [400, 5, 430, 50, 370, 50] })).toBeNull();
  });

  it('that no name is in it, is asked again where the whole clip holds unmoving, text-like places', () => {
    const marks = [{ x0: 2, y0: 2, x1: 30, y1: 9 }] as ClipDescription['stillMarks'];
    expect(decidedMask(clip(marks), { kind: 'no-name-confirmed' })).toBeNull();
  });
});
