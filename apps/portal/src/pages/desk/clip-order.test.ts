import type { ViewId } from '@chordae/contract';
import { viewsOf } from '@chordae/interpretation';
import { describe, expect, it } from 'vitest';
import { openingOrder } from './clip-order';

const clip = (number: number, view: ViewId | null, kind = 'clip') => ({
  id: `c${number}`,
  number,
  view,
  description: { kind },
});

describe('the order in which the desk opens clips', () => {
  it('shows each view that the plan needs before anything else, and unnamed stills last', () => {
    const plan = 'small-dog-murmur';
    const must = viewsOf(plan)
      .filter((v) => v.need === 'must')
      .map((v) => v.view);
    const [first, second] = must as [ViewId, ViewId];
    expect(must.length).toBeGreaterThan(1);
    const given = [
      clip(1, null, 'still'),
      clip(2, null),
      clip(3, 'other'),
      clip(4, second),
      clip(5, second),
      clip(6, first, 'still'),
      clip(7, first),
    ];
    expect(openingOrder(given, plan).map((c) => c.number)).toEqual([7, 4, 3, 6, 5, 2, 1]);
  });
});
