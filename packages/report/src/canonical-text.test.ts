import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalText } from './canonical-text';

describe('canonicalText', () => {
  it('sorts keys and normalises text, as in the example of its comment', () => {
    expect(canonicalText({ b: 1, a: 'x\r\n' })).toBe('{"a":"x\\n","b":1}');
  });

  // RFC 8785, appendix B: numbers are written as ECMAScript writes them.
  it('writes numbers as RFC 8785 lists them', () => {
    expect(
      canonicalText([0, -0, 5e-324, 1.7976931348623157e308, 333333333.3333333, 1e21, 4.5, 0.002, 1e-27]),
    ).toBe('[0,0,5e-324,1.7976931348623157e+308,333333333.3333333,1e+21,4.5,0.002,1e-27]');
  });

  // RFC 8785, section 3.2.3: property names are sorted by UTF-16 code units.
  it('sorts property names by UTF-16 code units', () => {
    const value = {
      '\u20ac': 'Euro Sign',
      '\r': 'Carriage Return',
      '\ufb33': 'Hebrew Letter Dalet With Dagesh',
      '1': 'One',
      '\ud83d\ude00': 'Emoji',
      '\u0080': 'Control',
      '\u00f6': 'o',
    };
    expect(Object.keys(JSON.parse(canonicalText(value)) as object).filter((k) => k !== '1')).toEqual([
      '\r',
      '\u0080',
      '\u00f6',
      '\u20ac',
      '\ud83d\ude00',
      '\ufb33',
    ]);
  });

  it('gives one text whatever the order of keys, and reads back as the same value', () => {
    fc.assert(
      fc.property(
        fc.dictionary(
          fc.string(),
          fc.oneof(fc.integer(), fc.boolean(), fc.constant(null), fc.array(fc.integer())),
        ),
        (value) => {
          const reversed = Object.fromEntries(Object.entries(value).reverse());
          expect(canonicalText(reversed)).toBe(canonicalText(value));
          expect(JSON.parse(canonicalText(value))).toEqual(JSON.parse(JSON.stringify(value)));
        },
      ),
    );
  });

  it('takes composed and decomposed letters for one', () => {
    expect(canonicalText('e\u0301')).toBe(canonicalText('\u00e9'));
  });

  it('refuses what has no canonical form', () => {
    expect(() => canonicalText(Number.NaN)).toThrow(/finite/);
    expect(() => canonicalText(() => 1)).toThrow(/function/);
  });
});
