import { describe, expect, it } from 'vitest';
import { interpret } from './interpret';
import type { CaseParts } from './testing/case-builder';
import { caseOf } from './testing/case-builder';

const of = (parts: CaseParts) => interpret(caseOf(parts));
const codes = (parts: CaseParts): string[] => of(parts).flags.map((f) => f.code);
const index = (parts: CaseParts, code: string) => of(parts).indices.find((i) => i.code === code);
const cautions = (parts: CaseParts, code: string): string[] =>
  index(parts, code)?.cautions.map((c) => c.code) ?? [];

const MITRAL = { lvidd: 33.2, lvids: 18, 'la-sax': 24, 'ao-sax': 12.6 };

describe('weight-normalised sizes of dogs', () => {
  it('computes LVIDDN with its arithmetic, limits and interval', () => {
    const lviddn = index({ measure: MITRAL }, 'lviddn');
    // 3.32 / 7.4^0.294 by hand: ln 7.4 = 2.00148, × 0.294 = 0.588435, e^ = 1.80117; 3.32 / 1.80117 = 1.84325.
    expect(lviddn?.value).toBeCloseTo(1.84325, 4);
    expect(lviddn?.arithmetic).toBe('LVIDDN = LVIDd 3.32 cm / (7.4 kg)^0.294 = 1.84');
    expect(lviddn?.limits.map((l) => l.id)).toEqual(['cornell2004-lviddn', 'acvim2019-lviddn']);
    expect(lviddn?.closeness).toBe('within-error');
  });

  it('computes nothing weight-normalised without a weight, and says so', () => {
    const r = of({ kg: null, measure: MITRAL });
    expect(r.indices.map((i) => i.code)).not.toContain('lviddn');
    expect(r.missing).toContainEqual({
      code: 'WEIGHT_MISSING',
      field: 'patient.weight',
      blocks: ['lviddn', 'lvidsn'],
    });
    expect(r.indices.find((i) => i.code === 'lvidd')?.cautions[0]?.code).toBe('WEIGHT_MISSING');
    expect(r.indices.find((i) => i.code === 'la-ao')?.position).toBe('above');
  });

  it.each([0, -4, 3000, Number.NaN])('takes a weight of %s for none', (kg) => {
    const r = of({ kg, measure: MITRAL });
    expect(r.indices.map((i) => i.code)).not.toContain('lviddn');
    expect(r.flags.map((f) => f.code)).toContain('WEIGHT_IMPOSSIBLE');
  });

  it('does not apply adult limits to a puppy', () => {
    const r = index({ ageMonths: 5, measure: MITRAL }, 'lviddn');
    expect(r?.position).toBe('not-graded');
    expect(r?.cautions[0]?.code).toBe('ADULT_LIMITS_NOT_APPLIED');
  });

  it('shows general limits beside a sighthound without grading by them', () => {
    const r = index({ breed: 'greyhound', kg: 30, measure: { lvidd: 52 } }, 'lviddn');
    expect(r?.position).toBe('not-graded');
    expect(r?.limits[0]?.comparisonOnly).toBe(true);
    expect(r?.cautions[0]?.code).toBe('BREED_OUTSIDE_GENERAL_LIMITS');
  });

  it('prefers the limits of the breed to general ones', () => {
    const r = of({
      breed: 'doberman',
      sex: 'male',
      kg: 36,
      plan: 'large-dog-muscle',
      measure: { lvidd: 49, lvids: 30 },
    });
    const lvidd = r.indices.find((i) => i.code === 'lvidd');
    expect(lvidd?.limits[0]).toMatchObject({ id: 'dcm-doberman-lvidd', upper: 48, chosenBecause: 'breed' });
    expect(lvidd?.position).toBe('above');
    expect(r.flags.map((f) => f.code)).toContain('HOLTER_NAMED');
  });

  it('suggests a dilated phenotype from a large ventricle with FS below 20 %, not at 20 %, and not in mere enlargement', () => {
    const dog = (lvids: number): CaseParts => ({
      kg: 38,
      plan: 'large-dog-muscle',
      measure: { lvidd: 60, lvids },
    });
    expect(codes(dog(48.1))).toContain('DOG_FITS_DILATED_PHENOTYPE'); // FS 19.8 %
    expect(codes(dog(48))).not.toContain('DOG_FITS_DILATED_PHENOTYPE'); // FS 20.0 %
    expect(of(dog(50)).urgencyProposed).toBe('urgent');
  });

  it('uses the limit by weight of a Doberman whose sex is not known', () => {
    const lvidd = index({ breed: 'doberman', sex: 'unknown', kg: 36, measure: { lvidd: 47 } }, 'lvidd');
    expect(lvidd?.limits[0]?.id).toBe('dcm-doberman-lvidd-by-weight');
    expect(lvidd?.limits[0]?.upper).toBeCloseTo(46.596, 3); // 0.1749 × 36 + 40.3
  });

  it('grades the toy exponent by its own limit only, below 5 kg', () => {
    const toy = index({ kg: 3.1, measure: { lvidd: 24 } }, 'lviddn-toy');
    expect(toy?.limits.map((l) => l.id)).toEqual(['isayama2022-lviddn-toy']);
    expect(index({ kg: 5, measure: { lvidd: 24 } }, 'lviddn-toy')).toBeUndefined();
  });
});

describe('state at scan', () => {
  it.each([
    ['alpha-2 sedative', { state: { sedative: 'alpha-2' as const } }, 'FUNCTION_NOT_GRADED_ALPHA2'],
    [
      'atrial fibrillation',
      { state: { rhythm: 'atrial-fibrillation' as const } },
      'FUNCTION_NOT_GRADED_ARRHYTHMIA',
    ],
    ['flat septum', { observe: { 'septum-flat': 'yes' } }, 'FUNCTION_NOT_GRADED_FLAT_SEPTUM'],
  ])('does not grade FS with %s', (_, parts, why) => {
    const fs = index({ ...parts, measure: { lvidd: 40, lvids: 36 } }, 'fs');
    expect(fs?.position).toBe('not-graded');
    expect(fs?.cautions[0]?.code).toBe(why);
    expect(codes({ ...parts, measure: { lvidd: 40, lvids: 36 } })).not.toContain('FS_LOW');
  });

  it('grades the same FS in the quiet animal', () => {
    expect(codes({ measure: { lvidd: 40, lvids: 36 } })).toContain('FS_LOW');
  });

  it('warns that a diuretic shrinks the atrium and that a guessed weight is a guess', () => {
    expect(cautions({ state: { diuretic24h: 'yes' }, measure: MITRAL }, 'la-ao')).toContain(
      'DIURETIC_SHRINKS_ATRIUM',
    );
    const input = caseOf({ measure: MITRAL });
    input.patient.weight = { kg: 7.4, guessed: true };
    expect(interpret(input).indices[0]?.cautions.map((c) => c.code)).toContain('WEIGHT_GUESSED');
  });
});

describe('left atrium', () => {
  it('reaches the limit of 1.6 at 17.6 / 11 mm in spite of binary fractions', () => {
    expect(index({ measure: { 'la-sax': 17.6, 'ao-sax': 11 } }, 'la-ao')?.position).toBe('above');
    expect(index({ measure: { 'la-sax': 17.5, 'ao-sax': 11 } }, 'la-ao')?.position).toBe('within');
  });

  it('never grades a ratio that was measured in the long axis', () => {
    const input = caseOf({ measure: { 'la-sax': 23, 'ao-sax': 11 } });
    for (const m of input.measurements) m.view = 'rps-long-4ch';
    const r = interpret(input);
    const ratio = r.indices.find((i) => i.code === 'la-ao');
    expect(ratio?.position).toBe('not-graded');
    expect(ratio?.cautions.map((c) => c.code)).toContain('LA_AO_NOT_SHORT_AXIS');
    expect(r.flags.map((f) => f.code)).not.toContain('LA_ENLARGED');
  });
});

describe('mitral stages', () => {
  const stages = (parts: CaseParts): string[] => of(parts).stages.map((s) => s.code);

  it('fits B2 only with a murmur grade and never in failure', () => {
    expect(stages({ measure: MITRAL, observe: { 'murmur-grade': '4', 'ever-in-failure': 'no' } })).toEqual([
      'echo-criteria-b2-met',
      'fits-b2',
    ]);
    expect(stages({ measure: MITRAL, observe: { 'murmur-grade': '4' } })).toEqual(['echo-criteria-b2-met']);
    expect(
      stages({ measure: MITRAL, observe: { 'murmur-grade': '2', 'ever-in-failure': 'no' } }),
    ).not.toContain('fits-b2');
    expect(stages({ measure: MITRAL, observe: { 'murmur-grade': '4', 'ever-in-failure': 'yes' } })).toEqual([
      'suggests-c-or-d-by-history',
      'echo-criteria-b2-met',
    ]);
  });

  it('does not fit B2 when the heart score is given and not above 10.5', () => {
    const observe = { 'murmur-grade': '4', 'ever-in-failure': 'no' };
    expect(stages({ measure: { ...MITRAL, vhs: 10.5 }, observe })).not.toContain('fits-b2');
    expect(stages({ measure: { ...MITRAL, vhs: 10.6 }, observe })).toContain('fits-b2');
  });

  it('adds the published score only when all four parts are there', () => {
    expect(stages({ measure: { ...MITRAL, 'mitral-e': 1.3 } })).toContain('score-severe');
    expect(stages({ measure: MITRAL }).filter((s) => s.startsWith('score'))).toEqual([]);
  });
});

describe('cats', () => {
  const cat = (measure: CaseParts['measure'], rest: CaseParts = {}): string[] =>
    codes({ species: 'cat', measure, ...rest });

  it('names the mimics of thick walls', () => {
    const flag = of({ species: 'cat', measure: { 'wall-max-d': 6.4 } }).flags.find(
      (f) => f.code === 'CAT_WALL_THICK',
    );
    expect(flag?.data.mimics).toContain('hyperthyroidism');
  });

  it('takes the thickest of the segments given and says when there is only one', () => {
    const wall = index({ species: 'cat', measure: { ivsd: 5.2, lvwd: 6.1 } }, 'wall-max-d');
    expect(wall?.value).toBe(6.1);
    expect(cautions({ species: 'cat', measure: { ivsd: 6.1 } }, 'wall-max-d')).toContain('ONE_SEGMENT_ONLY');
  });

  it('stages no further than a reader has judged', () => {
    const { stages } = of({ species: 'cat', measure: { 'wall-max-d': 6.4 } });
    expect(stages.map((s) => s.code)).toEqual(['b1-or-b2-needs-atrium-judged', 'suggests-hypertrophic']);
    expect(stages[1]?.missing).toContain('mimics-excluded');
    expect(stages[0]?.source.status).toBe('memory');
  });

  it('finds outflow obstruction from 2.5 m/s and a left atrium in the failure range above 18.5 mm', () => {
    expect(cat({ 'ao-vmax': 2.5 })).toContain('CAT_OUTFLOW_OBSTRUCTION_POSSIBLE');
    expect(cat({ 'ao-vmax': 2.49 })).not.toContain('CAT_OUTFLOW_OBSTRUCTION_POSSIBLE');
    expect(cat({ 'la-long': 18.6 })).toContain('CAT_LA_IN_FAILURE_RANGE');
    expect(cat({ 'la-long': 18.5 })).not.toContain('CAT_LA_IN_FAILURE_RANGE');
  });

  it('says that weight-related limits are not available instead of guessing them', () => {
    expect(index({ species: 'cat', measure: { lvidd: 15 } }, 'lviddn')).toBeUndefined();
  });
});

describe('horses and others', () => {
  it('compares a Standardbred and grades nothing', () => {
    const r = of({
      species: 'horse',
      breed: 'standardbred',
      kg: 430,
      plan: 'horse',
      measure: { lvidd: 112, lvids: 70 },
    });
    const lvidd = r.indices.find((i) => i.code === 'lvidd');
    expect(lvidd).toMatchObject({ position: 'not-graded' });
    expect(lvidd?.limits[0]).toMatchObject({ comparisonOnly: true });
    expect(r.indices.every((i) => i.position === 'not-graded')).toBe(true);
  });

  it('says that limits are not available where none is', () => {
    expect(
      cautions(
        { species: 'horse', breed: 'friesian', kg: 600, plan: 'horse', measure: { ivss: 41 } },
        'ivss',
      ),
    ).toContain('LIMIT_NOT_AVAILABLE');
  });
});

describe('beats, methods and order', () => {
  it('averages beats and keeps each', () => {
    const input = caseOf({ measure: { lvidd: 33 } });
    const first = input.measurements[0];
    if (!first) throw new Error('no measurement');
    input.measurements = [33, 35, 34].map((value, i) => ({ ...first, id: `b${i}`, beat: i + 1, value }));
    const lviddn = interpret(input).indices[0];
    expect(lviddn?.beats).toHaveLength(3);
    expect(lviddn?.arithmetic).toContain('3.40 cm');
  });

  it('says when 2-D and M-mode are more than a quarter apart', () => {
    const input = caseOf({ measure: { lvidd: 33 } });
    const first = input.measurements[0];
    if (!first) throw new Error('no measurement');
    input.measurements.push({ ...first, id: 'x', method: 'm-mode', value: 43 });
    const flag = interpret(input).flags.find((f) => f.code === 'METHODS_DIFFER');
    expect(flag?.data).toMatchObject({ first: 33, second: 43 });
  });
});
