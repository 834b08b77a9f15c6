import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fixed } from './format-number';

describe('fixed', () => {
  it('writes what the language writes, also beside the middle between two steps', () => {
    const anything = fc.double({ min: -1e7, max: 1e7, noNaN: true });
    // 2.345, 1.005 and the like: products that do not end where the decimals say.
    const middles = fc
      .tuple(fc.integer({ min: 0, max: 99_999_999 }), fc.constantFrom(2, 20, 200))
      .map(([n, by]) => (2 * n + 1) / by);
    fc.assert(
      fc.property(fc.oneof(anything, middles), fc.integer({ min: 0, max: 4 }), (value, decimals) => {
        expect(fixed(value, decimals)).toBe(value.toFixed(decimals));
      }),
      { numRuns: 20_000 },
    );
  });
});
