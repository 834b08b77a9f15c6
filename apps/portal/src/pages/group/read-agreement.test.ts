import { EMPTY_OPINION, type ReadPair } from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareReads, shareOf } from './read-agreement';

const described = (text: string) => ({ state: 'described' as const, text, proposed: null });
const pair = (parts: Partial<ReadPair>): ReadPair => ({
  practiceId: 'p',
  referralId: 'r',
  practiceName: 'Ash',
  number: 1,
  patientName: 'Pebble',
  species: 'dog',
  firstReader: 'First',
  secondReader: 'Second',
  signedAt: '2026-11-25T09:00:00Z',
  first: EMPTY_OPINION,
  second: { findings: {}, conclusion: '', stage: '', urgency: null, values: {} },
  urgency: null,
  values: [],
  ...parts,
});

describe('two reads of one referral', () => {
  it('agree on a stage whatever its letters, and on what both left open nothing is claimed', () => {
    const { stage, urgency, structures } = compareReads(
      pair({
        first: { ...EMPTY_OPINION, stage: 'B2', findings: { mitral: described('Thick') } },
        second: { findings: {}, conclusion: '', stage: ' b2', urgency: 'urgent', values: {} },
        urgency: 'routine',
      }),
    );
    expect({ stage, urgency }).toEqual({ stage: 'same', urgency: 'differs' });
    expect(new Map(structures).get('mitral')).toBe('one-spoke');
    expect(new Map(structures).get('rhythm')).toBe('neither');
  });

  it('differ in a value only beyond measuring error: 2.77 × 8.8 % for a dog’s LVIDd (repeatability of shared/limits)', () => {
    const of = (second: number) =>
      compareReads(
        pair({
          values: [{ code: 'lvidd', value: 40, unit: 'mm' }],
          second: {
            findings: {},
            conclusion: '',
            stage: '',
            urgency: null,
            values: { lvidd: { value: second, unit: 'mm' } },
          },
        }),
      ).values[0]?.beyondError;
    // 2.77 × 0.088 = 0.244 of the mean: 40 against 31.2 is 0.247, against 31.4 it is 0.241.
    expect([of(31.4), of(31.2)]).toEqual([false, true]);
  });
});

describe('a share with its interval', () => {
  it('is the published example of the score interval: 8 of 10', () => {
    // Checked against Wilson's formula as written out in Agresti & Coull, Am Stat 1998;52:119-126 (from memory).
    const { share, low, high } = shareOf(8, 10) ?? { share: 0, low: 0, high: 0 };
    expect(share).toBe(0.8);
    expect(low).toBeCloseTo(0.4902, 3);
    expect(high).toBeCloseTo(0.9433, 3);
  });

  it('lies between 0 and 1, holds the share, and is nothing without cases', () => {
    expect(shareOf(0, 0)).toBeNull();
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 500 }), fc.double({ min: 0, max: 1, noNaN: true }), (n, part) => {
        const found = shareOf(Math.round(part * n), n);
        expect(found).not.toBeNull();
        if (!found) return;
        expect(found.low).toBeGreaterThanOrEqual(-1e-12);
        expect(found.high).toBeLessThanOrEqual(1 + 1e-12);
        expect(found.low).toBeLessThanOrEqual(found.share + 1e-12);
        expect(found.high).toBeGreaterThanOrEqual(found.share - 1e-12);
      }),
    );
  });
});
