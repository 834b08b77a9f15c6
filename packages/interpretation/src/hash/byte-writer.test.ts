import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ByteWriter } from './byte-writer';

type Value = string | number | null;

function bytesOf(values: readonly Value[]): string {
  const out = new ByteWriter();
  for (const v of values) {
    if (typeof v === 'number') out.number(v);
    else out.text(v);
  }
  return out.written().join(' ');
}

/** Texts round the lengths and letters at which the writing changes. */
const text = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 6 }),
  fc.integer({ min: 236, max: 244 }).map((n) => 'x'.repeat(n)),
  fc.integer({ min: 76, max: 84 }).map((n) => '√'.repeat(n)),
);
const value = fc.oneof(
  text,
  fc.integer({ min: -3, max: 300 }),
  fc.double({ noNaN: true }),
  fc.constant(null),
);

describe('ByteWriter', () => {
  it('never gives two different lists the same bytes', () => {
    const lists = fc.array(value, { maxLength: 4 });
    fc.assert(
      fc.property(lists, lists, (a, b) => {
        const plain = (list: readonly Value[]): string =>
          JSON.stringify(
            list.map((v) =>
              typeof v === 'string' ? new TextDecoder().decode(new TextEncoder().encode(v)) : v === 0 ? 0 : v,
            ),
          );
        // What is no number is written as nothing.
        fc.pre(![...a, ...b].some((v) => typeof v === 'number' && !Number.isFinite(v)));
        expect(bytesOf(a) === bytesOf(b)).toBe(plain(a) === plain(b));
      }),
      { numRuns: 3000 },
    );
  });

  it('writes the same whatever was written before, and grows as it must', () => {
    const long = ['é'.repeat(9000), 'x'.repeat(20_000), 255, 256, -1, 0.5];
    const alone = bytesOf(long);
    bytesOf(['something else', 7]);
    expect(bytesOf(long)).toBe(alone);
    // 5 bytes of head each, 18,000 and 20,000 of text, a small whole number, three of 64 bits.
    expect(alone.split(' ')).toHaveLength(5 + 18_000 + 5 + 20_000 + 2 + 3 * 9);
  });
});
