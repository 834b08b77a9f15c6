/**
 * Counted lung sites: more than three lines make a site positive; two positive sites on each side of four (Ward 2017, J Am
 * Vet Med Assoc 250:666-675), or in cats more than one in all (Ward 2018, 10.1111/jvim.15246).
 */
import type { MeasurementCode } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import { caseOf } from '../testing/case-builder';
import { cardOf } from '../testing/flag-card';

type Counts = Partial<Record<MeasurementCode, number>>;
const sites = (species: 'dog' | 'cat' | 'horse', measure: Counts, computed: string[] = []) => {
  const input = caseOf({ species, measure, ...(species === 'horse' ? { breed: null, kg: 500 } : {}) });
  for (const m of input.measurements) if (computed.includes(m.code)) m.source = 'computed';
  const flag = interpret(input).flags.find((f) => f.rule.id === 'lungs.sites');
  return flag && cardOf(flag);
};
const BOTH: Counts = { 'b-lines-l1': 4, 'b-lines-l4': 5, 'b-lines-r2': 4, 'b-lines-r3': 6 };
const codeOf = (measure: Counts, species: 'dog' | 'cat' = 'dog') => {
  const input = caseOf({ species, measure });
  return interpret(input).flags.map((f) => f.code);
};

describe('lung sites', () => {
  it('two on each side, with every counted site as evidence', () => {
    expect(sites('dog', { ...BOTH, 'b-lines-l2': 0 })).toEqual({
      rule: 'lungs.sites',
      key: 'lungs.sites',
      level: 'look',
      urgency: null,
      data: { left: 2, right: 2, counted: 5 },
      measured: ['b-lines-l1', 'b-lines-l2', 'b-lines-l4', 'b-lines-r2', 'b-lines-r3'],
      observed: [],
      indices: [],
      limits: [],
      sources: [
        { citation: expect.stringMatching(/^Ward JL.*2017;250:666-675/), doi: null, status: 'primary' },
      ],
    });
  });

  it.each([
    ['three lines are not more than three, left', { ...BOTH, 'b-lines-l1': 3 }],
    ['three lines are not more than three, right', { ...BOTH, 'b-lines-r2': 3 }],
    ['four sites on one side', { 'b-lines-l1': 9, 'b-lines-l2': 9, 'b-lines-l3': 9, 'b-lines-l4': 9 }],
  ] as const)('is no sign in a dog: %s', (_, counts) => {
    expect(codeOf(counts)).toEqual([]);
  });

  it('a cat: two sites in all are enough, one is not', () => {
    expect(sites('cat', { 'b-lines-l1': 4, 'b-lines-l3': 8 })).toMatchObject({
      data: { left: 2, right: 0, counted: 2 },
      sources: [
        {
          citation: expect.stringMatching(/2018;32:1530-1540/),
          doi: '10.1111/jvim.15246',
          status: 'primary',
        },
      ],
    });
    expect(codeOf({ 'b-lines-l1': 4, 'b-lines-r3': 8 }, 'cat')).toEqual(['LUNG_SITES_MORE_THAN_ONE']);
    expect(codeOf({ 'b-lines-l1': 8, 'b-lines-r3': 3 }, 'cat')).toEqual([]);
    expect(codeOf(BOTH, 'cat')).toContain('LUNG_SITES_BOTH_SIDES');
  });

  it('counts only what a person counted', () => {
    expect(sites('dog', BOTH, ['b-lines-r3'])).toBeUndefined();
    expect(sites('dog', BOTH, Object.keys(BOTH))).toBeUndefined();
    expect(sites('dog', { ...BOTH, 'b-lines-r4': 9 }, ['b-lines-r4'])?.measured).not.toContain('b-lines-r4');
  });

  it('is a rule of dogs and cats', () => {
    expect(sites('horse', BOTH)).toBeUndefined();
  });
});
