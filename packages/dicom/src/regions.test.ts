import { describe, expect, it } from 'vitest';
import { outgoingKeepArea } from './keep-area';
import { kindOf, whyNotUsable } from './regions';

const plain = {
  x0: 100,
  y0: 60,
  x1: 700,
  y1: 560,
  kind: '2d' as const,
  unitX: 'cm' as const,
  unitY: 'cm' as const,
  deltaX: 0.02,
  deltaY: 0.021,
  referenceX: null,
  referenceY: null,
  referenceValueX: null,
  referenceValueY: null,
  highPriority: true,
  protectedScale: true,
};

describe('regions', () => {
  // PS3.3 C.8.5.5.1.1 and .2.
  it('are named from format and type', () => {
    expect([
      kindOf(1, 1),
      kindOf(1, 2),
      kindOf(2, 1),
      kindOf(3, 3),
      kindOf(4, 10),
      kindOf(5, 0),
      kindOf(0, 13),
      kindOf(1, 0xe),
    ]).toEqual(['2d', '2d', 'm-mode', 'spectral', 'trace', 'other', 'other', 'other']);
  });

  it('are usable only with a scale that can be true', () => {
    expect(whyNotUsable(plain, 800, 600)).toBeNull();
    expect(whyNotUsable({ ...plain, deltaX: -0.02 }, 800, 600)).toBeNull();
    expect(whyNotUsable({ ...plain, deltaY: 0.229 }, 800, 600)).toBe('REGION_SCALE_IMPLAUSIBLE');
    expect(whyNotUsable({ ...plain, unitX: 'none' }, 800, 600)).toBe('REGION_SCALE_MISSING');
    expect(whyNotUsable({ ...plain, deltaX: 0 }, 800, 600)).toBe('REGION_SCALE_MISSING');
    expect(whyNotUsable(plain, 640, 600)).toBe('REGION_BEYOND_PICTURE');
  });

  it('give the area that may leave, and none when they cover all or lie outside', () => {
    const description = {
      format: 'dicom' as const,
      transferSyntax: null,
      kind: 'clip' as const,
      widthPx: 800,
      heightPx: 600,
      frameCount: 2,
      frameTimesMs: null,
      timing: 'unknown' as const,
      rWaveTimesMs: [],
      problems: [],
    };
    const region = { ...plain, usable: true, whyNot: null };
    expect(outgoingKeepArea({ ...description, regions: [region] })).toEqual([
      { x0: 100, y0: 60, x1: 700, y1: 560 },
    ]);
    expect(
      outgoingKeepArea({
        ...description,
        regions: [{ ...region, usable: false, whyNot: 'REGION_SCALE_IMPLAUSIBLE' }],
      }),
    ).toHaveLength(1);
    expect(
      outgoingKeepArea({
        ...description,
        regions: [{ ...region, usable: false, whyNot: 'REGION_BEYOND_PICTURE' }],
      }),
    ).toBeNull();
    expect(
      outgoingKeepArea({ ...description, regions: [{ ...region, x0: 0, y0: 0, x1: 799, y1: 599 }] }),
    ).toBeNull();
    expect(outgoingKeepArea({ ...description, regions: [{ ...region, kind: 'other' }] })).toBeNull();
  });
});
