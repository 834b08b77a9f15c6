import type { Region } from '@chordae/contract';

/** A usable 2-D region of 800 by 600, 0.2 mm across and 0.3 mm down a pixel, for tests. */
export function region(values: Partial<Region>): Region {
  return {
    x0: 0,
    y0: 0,
    x1: 799,
    y1: 599,
    kind: '2d',
    unitX: 'cm',
    unitY: 'cm',
    deltaX: 0.02,
    deltaY: 0.03,
    referenceX: null,
    referenceY: null,
    referenceValueX: null,
    referenceValueY: null,
    highPriority: true,
    protectedScale: true,
    usable: true,
    whyNot: null,
    ...values,
  };
}
