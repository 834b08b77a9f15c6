import { quantityCodes } from '@chordae/interpretation';
import { describe, expect, it } from 'vitest';
import { companionsOf, isCompanion } from './companions';

describe('companion findings', () => {
  it('ask a horse for no radiograph score, and a cat for none that is a dog’s', () => {
    expect(companionsOf('dog', []).sort()).toEqual(quantityCodes.filter(isCompanion).sort());
    expect(companionsOf('cat', [])).toContain('vhs');
    expect(companionsOf('cat', [])).not.toContain('rlad');
    expect(companionsOf('horse', [])).not.toContain('vhs');
  });

  it('show what was given whatever the species', () => {
    expect(companionsOf('horse', ['vhs', 'lvidd'])).toEqual([
      ...companionsOf('horse', []).slice(0, -1),
      'vhs',
      'sleeping-breathing-rate',
    ]);
  });

  it('leave what is measured on the picture, and the breathing rate awake, to their table', () => {
    expect(isCompanion('lvidd')).toBe(false);
    expect(isCompanion('breathing-rate')).toBe(false);
  });
});
