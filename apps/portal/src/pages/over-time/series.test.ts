import { describe, expect, it } from 'vitest';
import { timedScans } from './series';

describe('the scans over time', () => {
  it('holds no day that was not scanned', () => {
    expect(timedScans([], null)).toEqual([]);
  });
});
