import type { InterpretationInput, ScanNumbers } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { serialChange } from './serial-change';

const scan = (scannedOn: string, parts: CaseParts, operator: string | null = 'a'): ScanNumbers => ({
  scannedOn,
  operator,
  input: caseOf(parts),
});
const change = (
  now: ScanNumbers,
  earlier: ScanNumbers[],
  index: string,
  against: 'last' | 'first' = 'last',
) => serialChange(now, earlier).changes.find((c) => c.index === index && c.against === against);

describe('serialChange', () => {
  const first = scan('2026-01-10', { measure: { 'la-sax': 14, 'ao-sax': 10, lvidd: 28 } });
  const last = scan('2026-05-10', { measure: { 'la-sax': 17, 'ao-sax': 10, lvidd: 30 } });
  const now = scan('2026-11-10', { measure: { 'la-sax': 20, 'ao-sax': 10, lvidd: 31 } });

  it('compares with the last and with the first scan: a slow growth shows only against the first', () => {
    // 2.77 × 10 % of the mean: 0.51 against 1.7, 0.47 against 1.4 (CV: Hsue & Visser 2020, 10.1111/jvim.15850).
    expect(change(now, [last, first], 'la-ao')).toMatchObject({ verdict: 'cannot-be-told', earlier: 1.7 });
    expect(change(now, [last, first], 'la-ao', 'first')).toMatchObject({
      verdict: 'beyond-error',
      earlierOn: '2026-01-10',
    });
  });

  it('gives one line per index where there is one earlier scan, and none without', () => {
    expect(serialChange(now, [first]).changes.every((c) => c.against === 'last')).toBe(true);
    expect(serialChange(now, [])).toEqual({ changes: [], findings: [] });
  });

  it('compares no two views and no two methods', () => {
    const other: InterpretationInput = structuredClone(last.input);
    for (const m of other.measurements) m.method = 'm-mode';
    const result = change(now, [{ ...last, input: other }], 'lviddn');
    expect(result).toMatchObject({ verdict: 'not-compared' });
    expect(result?.cautions.map((c) => c.code)).toContain('OTHER_METHOD');
  });

  it('does not compare function when an alpha-2 sedative was given in one of the scans', () => {
    const sedated = scan('2026-05-10', {
      measure: { lvidd: 30, lvids: 20 },
      state: { sedative: 'alpha-2' },
    });
    const awake = scan('2026-11-10', { measure: { lvidd: 30, lvids: 14 } });
    expect(change(awake, [sedated], 'fs')).toMatchObject({ verdict: 'not-compared' });
    expect(change(awake, [sedated], 'fs')?.cautions.map((c) => c.code)).toContain('STATE_FORBIDS');
  });

  it('says that the weight enters a weight-normalised size, and a diuretic the atrium', () => {
    const heavier = scan('2026-05-10', { kg: 9, measure: { lvidd: 30, 'la-sax': 17, 'ao-sax': 10 } });
    const dried = scan('2026-11-10', {
      measure: { lvidd: 30, 'la-sax': 15, 'ao-sax': 10 },
      state: { diuretic24h: 'yes' },
    });
    expect(change(dried, [heavier], 'lviddn')?.cautions.map((c) => c.code)).toContain('WEIGHT_ENTERS');
    expect(change(dried, [heavier], 'la-ao')?.cautions).toContainEqual({
      code: 'STATE_DIFFERS',
      data: { field: 'diuretic24h', now: 'yes', earlier: 'no' },
    });
  });

  it('calls no change where nobody published how well the index repeats', () => {
    const cat = (value: number, on: string) => scan(on, { species: 'cat', measure: { 'laa-vmax': value } });
    expect(change(cat(0.2, '2026-11-10'), [cat(0.6, '2026-05-10')], 'laa-vmax')).toMatchObject({
      verdict: 'not-compared',
      smallest: null,
    });
  });

  it('takes the wider value where the operators differ or are not known', () => {
    const same = change(now, [last], 'la-ao')?.smallest ?? 0;
    for (const operator of ['b', null]) {
      const wider = change({ ...now, operator }, [last], 'la-ao')?.smallest ?? 0;
      expect(wider / same).toBeCloseTo(1.25, 6); // 12.5 % against 10 %
    }
  });

  it('compares no two species', () => {
    const cat = scan('2026-05-10', { species: 'cat', measure: { 'la-sax': 14, 'ao-sax': 10 } });
    expect(serialChange(now, [cat]).changes).toEqual([]);
  });

  it('compares no NT-proBNP of two kinds of test, nor of one that is not known', () => {
    const bnp = (on: string, value: number, assay: string | null) =>
      scan(on, {
        species: 'cat',
        measure: { 'nt-probnp': value },
        ...(assay === null ? {} : { observe: { 'nt-probnp-assay': assay } }),
      });
    const between = (a: string | null, b: string | null) =>
      change(bnp('2026-11-10', 600, a), [bnp('2026-05-10', 60, b)], 'nt-probnp');
    expect(between('laboratory-number', 'laboratory-number')?.verdict).toBe('beyond-error');
    for (const [a, b] of [
      ['laboratory-number', 'in-clinic-number'],
      ['laboratory-number', null],
      ['unknown', 'unknown'],
      ['other', 'other'],
      [null, null],
    ] as const) {
      expect(between(a, b)?.verdict, `${a} ${b}`).toBe('not-compared');
      expect(between(a, b)?.cautions.map((c) => c.code)).toContain('OTHER_ASSAY');
    }
  });

  it('compares no two blood pressures that were taken in known, different ways', () => {
    const taken = (on: string, method: string | null) =>
      scan(on, {
        species: 'cat',
        measure: { 'systolic-pressure': on < '2026-06' ? 130 : 190 },
        ...(method === null ? {} : { observe: { 'pressure-method': method } }),
      });
    const cautionsOf = (a: string | null, b: string | null) =>
      change(taken('2026-11-10', a), [taken('2026-05-10', b)], 'systolic-pressure')?.cautions.map(
        (c) => c.code,
      );
    expect(cautionsOf('doppler', 'oscillometric')).toContain('OTHER_METHOD');
    expect(cautionsOf('doppler', 'doppler')).not.toContain('OTHER_METHOD');
    expect(cautionsOf('doppler', null)).not.toContain('OTHER_METHOD');
  });
});
