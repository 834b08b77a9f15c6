import { EMPTY_STATE_AT_SCAN } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { knownState } from './known-state';

describe('knownState', () => {
  it('keeps what the first scan said where the rescan was not asked, and takes newer answers', () => {
    const first = {
      state: { ...EMPTY_STATE_AT_SCAN, sedative: 'alpha-2' as const, diuretic24h: 'yes' as const },
    };
    const again = { state: { ...EMPTY_STATE_AT_SCAN, diuretic24h: 'no' as const } };
    expect(knownState([first, again])).toEqual({
      ...EMPTY_STATE_AT_SCAN,
      sedative: 'alpha-2',
      diuretic24h: 'no',
    });
    expect(knownState([])).toEqual(EMPTY_STATE_AT_SCAN);
  });
});
