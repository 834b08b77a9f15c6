/** Published rules, definitions and intervals, each row by its id with its source. */
import type { InterpretationInput, MeasurementCode } from '@chordae/contract';
import { hypertensionProbability, interpret, limitEntries, serialChange } from '@chordae/interpretation';
import { describe, expect, it } from 'vitest';
import { caseOf } from './case-of';
import { goldenRows } from './golden';

interface Row {
  id: string;
  input: Record<string, unknown>;
  expected: Record<string, unknown>;
  tolerance: Record<string, number>;
  source: string;
}

const rows = goldenRows<Row>('cases.json');
const row = (id: string): Row => {
  const found = rows.find((r) => r.id === id);
  if (!found) throw new Error(`no golden row ${id}`);
  return found;
};

describe('single cats (Feline Diagnostic Imaging)', () => {
  it('A5: walls within limits, a large left atrium and fluid suggest a restrictive phenotype and C (Fig. 13.25, p. 228)', () => {
    // The source prints no numbers for walls and atria: values inside and outside the limits stand for its words.
    const { stages, indices } = interpret(
      caseOf({
        species: 'cat',
        ageMonths: 132,
        measure: { ivsd: 4.4, lvwd: 4.6, lvidd: 15, lvids: 6.05, 'la-sax': 20, 'ao-sax': 10 },
        observe: { 'pleural-fluid': 'moderate' },
      }),
    );
    expect(indices.find((i) => i.code === 'fs')?.value).toBeCloseTo(Number(row('A5').input.FS_pct), 1);
    const codes = stages.map((s) => s.code);
    expect(codes).toContain('suggests-restrictive');
    expect(codes).toContain('suggests-c-by-signs');
    expect(codes).not.toContain('suggests-hypertrophic');
  });

  it('A6: a systolic pressure of 208 mmHg is severely raised (ACVIM 2018, classes from memory)', () => {
    const pressure = interpret(
      caseOf({ species: 'cat', measure: { 'systolic-pressure': Number(row('A6').input.systolicBP_mmHg) } }),
    ).indices.find((i) => i.code === 'systolic-pressure');
    expect(pressure?.grades.map((g) => g.code)).toEqual(['severely-hypertensive']);
    const edge = (mmHg: number) =>
      interpret(caseOf({ species: 'cat', measure: { 'systolic-pressure': mmHg } })).indices[0]?.grades[0]
        ?.code;
    expect([139, 140, 159, 160, 179, 180].map(edge)).toEqual([
      'normotensive',
      'prehypertensive',
      'prehypertensive',
      'hypertensive',
      'hypertensive',
      'severely-hypertensive',
    ]);
  });
});

describe('lung sites (Ward 2017, J Am Vet Med Assoc 250:666-675; Ward 2018, 10.1111/jvim.15246)', () => {
  const lungs = (id: string, species: 'dog' | 'cat') => {
    const { left, right } = row(id).input as { left: number[]; right: number[] };
    const measure: Partial<Record<MeasurementCode, number>> = {};
    left.forEach((n, i) => {
      measure[`b-lines-l${i + 1}` as MeasurementCode] = n;
    });
    right.forEach((n, i) => {
      measure[`b-lines-r${i + 1}` as MeasurementCode] = n;
    });
    return interpret(caseOf({ species, measure })).flags.map((f) => f.code);
  };

  it('G1: two sites with more than three lines on each side fit water from the heart', () => {
    expect(lungs('G1', 'dog')).toContain('LUNG_SITES_BOTH_SIDES');
  });

  it('G2: one positive site on the left is not enough, because three lines are not more than three', () => {
    expect(lungs('G2', 'dog')).not.toContain('LUNG_SITES_BOTH_SIDES');
  });

  it('G3: one positive site on each side is more than one in all: the rule for cats of 2018', () => {
    expect(lungs('G3', 'cat')).toContain('LUNG_SITES_MORE_THAN_ONE');
    expect(lungs('G3', 'cat')).not.toContain('LUNG_SITES_BOTH_SIDES');
    expect(lungs('G3', 'dog')).toEqual([]);
  });
});

describe('over time', () => {
  it('C11: walls from 6.8 to 4.8 mm with failure gone meet the definition of transient thickening (Novo Matos 2018, 10.1111/jvim.14897)', () => {
    const { first, later } = row('C11').input as Record<string, { LVWT_mm: number; LAAo: number }>;
    if (!first || !later) throw new Error('row C11 has lost its scans');
    const scan = (at: { LVWT_mm: number; LAAo: number }, fluid: string, lines: string): InterpretationInput =>
      caseOf({
        species: 'cat',
        measure: { 'wall-max-d': at.LVWT_mm, 'la-sax': at.LAAo * 10, 'ao-sax': 10 },
        observe: { 'pleural-fluid': fluid, 'b-lines': lines },
      });
    const of = (fluidNow: string) =>
      serialChange({ scannedOn: '2026-06-01', operator: 'a', input: scan(later, fluidNow, 'none') }, [
        { scannedOn: '2026-02-20', operator: 'a', input: scan(first, 'moderate', 'many-both-sides') },
      ]).findings.map((f) => f.code);
    expect(of('none')).toEqual(['TRANSIENT_THICKENING_DEFINITION_MET']);
    expect(of('small')).toEqual([]);
  });

  it('LA:Ao of 1.6 changes only beyond about 0.45 at a CV of 10 % (2.77 × CV)', () => {
    const scan = (la: number): InterpretationInput => caseOf({ measure: { 'la-sax': la, 'ao-sax': 10 } });
    const change = (now: number, operator: string) =>
      serialChange({ scannedOn: '2026-06-01', operator, input: scan(now) }, [
        { scannedOn: '2026-02-01', operator: 'a', input: scan(16) },
      ]).changes.find((c) => c.index === 'la-ao');
    expect(change(16, 'a')?.smallest).toBeCloseTo(0.443, 3);
    expect(change(20.4, 'a')?.verdict).toBe('cannot-be-told');
    expect(change(21.5, 'a')?.verdict).toBe('beyond-error');
    // Hsue & Visser 2020: the operator matters; the upper end of the range is used between two of them.
    expect(change(21.5, 'b')).toMatchObject({ verdict: 'cannot-be-told', operators: 'different' });
  });
});

describe('probability of pulmonary hypertension (ACVIM 2020, 10.1111/jvim.15725, table from memory)', () => {
  it.each([
    [null, 0, 'low'],
    [null, 1, 'low'],
    [null, 2, 'intermediate'],
    [null, 3, 'high'],
    [3.0, 1, 'low'],
    [3.01, 1, 'intermediate'],
    [3.4, 1, 'intermediate'],
    [3.4, 2, 'high'],
    [3.41, 0, 'intermediate'],
    [3.41, 1, 'high'],
  ] as const)('a jet of %s m/s with %d sites is %s', (tr, sites, expected) => {
    expect(hypertensionProbability(tr, sites)).toBe(expected);
  });

  it('is never low without reserve while a site was not looked at', () => {
    const { stages } = interpret(caseOf({ plan: 'right-heart', measure: { 'tr-vmax': 2.5 } }));
    expect(stages.map((s) => s.code)).toContain('ph-low-so-far');
  });
});

describe('intervals of healthy groups are mean ± t·sd·√(1 + 1/n), as the sources say', () => {
  /** Student's t, 0.975 quantile (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2; from memory). */
  const T: Record<number, number> = { 28: 2.048, 29: 2.045, 30: 2.042 };

  it.each([
    ['C9.AAD', 'berthoud-aad', 0.1],
    ['C9.LADmax/AAD', 'berthoud-ladmax-aad', 1],
    ['C9.LAAmax(500)', 'huesler-laamax-500', 1],
    ['C9.PAD(500)', 'huesler-pad-500', 0.1],
  ])('%s: the limit %s is its printed and its computed interval', (id, limitId, toPrinted) => {
    const { input, tolerance, expected } = row(id);
    const { mean, sd, n } = input as { mean: number; sd: number; n: number };
    const half = (T[n - 1] ?? Number.NaN) * sd * Math.sqrt(1 + 1 / n);
    expect(Math.abs(mean - half - Number(expected.low))).toBeLessThanOrEqual(tolerance.low ?? 0);
    expect(Math.abs(mean + half - Number(expected.high))).toBeLessThanOrEqual(tolerance.high ?? 0);
    const limit = limitEntries.find((l) => l.id === limitId);
    if (limit?.form.kind !== 'fixed') throw new Error(`no fixed limit ${limitId}`);
    expect((limit.form.lower ?? 0) * toPrinted).toBeCloseTo(Number(expected.low), 3);
    expect((limit.form.upper ?? 0) * toPrinted).toBeCloseTo(Number(expected.high), 3);
  });
});
