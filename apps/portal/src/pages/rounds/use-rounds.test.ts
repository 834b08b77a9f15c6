import type { Round } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { sayDayCount, stageOf } from './say-visit';
import { withKept } from './use-rounds';

const visit = (referralId: string | null, state: string) => ({
  notScanned: null,
  referralId,
  case: referralId ? { state, arriving: 0 } : null,
});

describe('a day with files that only this device has', () => {
  it('is not done before these have gone, and a file that was announced is not counted twice', () => {
    const day = {
      visits: [visit('a', 'reported'), visit('b', 'reported'), visit(null, '')],
    } as unknown as Round;
    expect(sayDayCount(day.visits)).toBe('2 of 3 done.');
    const files = [
      { referralId: 'a', announced: false },
      { referralId: 'a', announced: false },
      { referralId: 'b', announced: true },
    ];
    const shown = withKept(day, files);
    expect(shown.visits.map(stageOf)).toEqual(['open', 'done', 'planned']);
    expect(sayDayCount(shown.visits)).toBe('1 of 3 done, 2 files still to arrive.');
  });
});
