/**
 * Mitral disease of the dog: the echo criteria of B2 of the consensus of 2019 (Keene et al., J Vet Intern Med
 * 2019;33:1127-1140, 10.1111/jvim.15488: LA:Ao from 1.6, LVIDDN from 1.7, murmur of grade 3 or more, VHS over 10.5) and the
 * severity score of 2021 (Vezzosi et al., 10.1111/jvim.16131: dogs up to 20 kg, all four parts).
 */
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { flagCard, flagCodes } from '../testing/flag-card';

/** 7.4 kg: LVIDd of 33.2 mm is LVIDDN 1.84; 30.6 mm is 1.70; 24/12 is LA:Ao 2.0. */
const B2 = { lvidd: 33.2, 'la-sax': 24, 'ao-sax': 12 };
const HISTORY = { 'murmur-grade': '4', 'ever-in-failure': 'no' };
const dog = (measure: CaseParts['measure'], observe: CaseParts['observe'] = {}, rest: CaseParts = {}) =>
  interpret(caseOf({ ...rest, measure: measure ?? {}, observe: observe ?? {} })).stages;
const codes = (...parts: Parameters<typeof dog>) =>
  dog(...parts)
    .filter((s) => s.scheme === 'acvim-mmvd-2019')
    .map((s) => s.code);
const ACVIM = {
  citation: expect.stringMatching(/^Keene BW.*2019;33:1127-1140/),
  doi: '10.1111/jvim.15488',
  status: 'secondary',
};

describe('stages', () => {
  it('fits B2 with murmur and history given; what was not given is missing', () => {
    const parts = {
      scheme: 'acvim-mmvd-2019',
      met: ['la-ao', 'lviddn', 'murmur', 'never-in-failure'],
      unmet: [],
      missing: ['vhs'],
      source: ACVIM,
    };
    expect(dog(B2, HISTORY).filter((s) => s.scheme === 'acvim-mmvd-2019')).toEqual([
      { ...parts, code: 'echo-criteria-b2-met' },
      { ...parts, code: 'fits-b2' },
    ]);
  });

  it('without a murmur grade or a history only the echo criteria are met', () => {
    expect(codes(B2)).toEqual(['echo-criteria-b2-met']);
    expect(dog(B2)[0]).toMatchObject({
      met: ['la-ao', 'lviddn'],
      missing: ['murmur', 'never-in-failure', 'vhs'],
    });
    expect(codes(B2, { 'murmur-grade': '4' })).toEqual(['echo-criteria-b2-met']);
    expect(codes(B2, { 'ever-in-failure': 'no' })).toEqual(['echo-criteria-b2-met']);
  });

  it.each([
    ['0', false],
    ['1', false],
    ['2', false],
    ['3', true],
    ['4', true],
    ['5', true],
    ['6', true],
  ])('a murmur of grade %s fits B2: %s', (grade, fits) => {
    const found = dog(B2, { ...HISTORY, 'murmur-grade': grade });
    expect(found.some((s) => s.code === 'fits-b2')).toBe(fits);
    expect(found[0]?.[fits ? 'met' : 'unmet']).toContain('murmur');
  });

  it.each([
    [10.5, 'unmet', false],
    [10.6, 'met', true],
  ] as const)('a heart of %s vertebrae is %s', (vhs, list, fits) => {
    const found = dog({ ...B2, vhs }, HISTORY);
    expect(found[0]?.[list]).toContain('vhs');
    expect(found.some((s) => s.code === 'fits-b2')).toBe(fits);
  });

  it.each([
    ['LA:Ao 1.59', { lvidd: 33.2, 'la-sax': 15.9, 'ao-sax': 10 }, ['lviddn'], ['la-ao']],
    ['LVIDDN 1.69', { lvidd: 30.5, 'la-sax': 24, 'ao-sax': 12 }, ['la-ao'], ['lviddn']],
  ])('%s is not enough', (_, measure, met, unmet) => {
    const [first, ...rest] = dog(measure, HISTORY).filter((s) => s.scheme === 'acvim-mmvd-2019');
    expect(rest).toEqual([]);
    expect(first).toMatchObject({
      code: 'echo-criteria-b2-not-met',
      met: [...met, 'murmur', 'never-in-failure'],
      unmet,
    });
  });

  it('LA:Ao of exactly 1.6 and LVIDDN of 1.70 are enough', () => {
    expect(codes({ lvidd: 10 * 1.7 * 7.4 ** 0.294, 'la-sax': 16, 'ao-sax': 10 }, HISTORY)).toContain(
      'fits-b2',
    );
  });

  it('a dog that was ever in failure is C or D by history, whatever was measured', () => {
    const history = {
      scheme: 'acvim-mmvd-2019',
      code: 'suggests-c-or-d-by-history',
      met: ['failure-before'],
      unmet: [],
      missing: [],
      source: ACVIM,
    };
    expect(dog({}, { 'ever-in-failure': 'yes' })).toEqual([history]);
    const measured = dog(B2, { 'murmur-grade': '5', 'ever-in-failure': 'yes' });
    expect(measured[0]).toEqual(history);
    expect(measured[1]).toMatchObject({ code: 'echo-criteria-b2-met', unmet: ['never-in-failure'] });
    expect(measured.some((s) => s.code === 'fits-b2')).toBe(false);
  });

  it('is spoken of when asked for or when a murmur was heard, in dogs only', () => {
    const other = { plan: 'outflow' } as const;
    expect(codes(B2, {}, other)).toEqual([]);
    expect(codes(B2, { 'murmur-grade': '0' }, other)).toEqual([]);
    for (const grade of ['1', '2', '3', '4', '5', '6'])
      expect(codes(B2, { 'murmur-grade': grade }, other)).toContain('echo-criteria-b2-met');
    const cat = { species: 'cat' } as const;
    expect(codes({ lvidd: 16, 'la-sax': 20, 'ao-sax': 10 }, HISTORY, cat)).toEqual([]);
    expect(codes({}, { 'murmur-grade': '3', 'ever-in-failure': 'yes' }, cat)).toEqual([]);
  });

  it.each([
    ['the atrium was not measured', { lvidd: 33.2 }, {}],
    ['the ventricle was not measured', { 'la-sax': 24, 'ao-sax': 12 }, {}],
    ['the weight is not known', B2, { kg: null }],
    ['the dog is a pup', B2, { ageMonths: 6 }],
    ['general limits do not fit the ventricle of the breed', B2, { breed: 'greyhound' }],
  ] as const)('says nothing when %s', (_, measure, rest) => {
    expect(codes(measure, HISTORY, rest)).toEqual([]);
    expect(flagCodes({ ...rest, measure, observe: HISTORY })).not.toContain('MITRAL_B2_ECHO_CRITERIA_MET');
  });
});

describe('the sentence of the criteria', () => {
  it('rests on everything that it names', () => {
    const measure = { ...B2, vhs: 11 };
    expect(flagCard({ measure, observe: HISTORY }, 'MITRAL_B2_ECHO_CRITERIA_MET')).toEqual({
      rule: 'mitral.b2-echo',
      key: 'mitral.b2-echo',
      level: 'look',
      urgency: null,
      data: {
        laAo: 2,
        laAoFrom: 1.6,
        lviddn: expect.closeTo(1.843, 3),
        lviddnFrom: 1.7,
        murmurGrade: 4,
        met: ['la-ao', 'lviddn', 'murmur', 'never-in-failure', 'vhs'],
        unmet: [],
        missing: [],
        withinError: true,
      },
      measured: ['vhs', 'la-sax', 'ao-sax', 'lvidd'],
      observed: ['murmur-grade', 'ever-in-failure'],
      indices: ['la-ao', 'lviddn'],
      limits: ['la-ao-sax-dog', 'cornell2004-lviddn'],
      sources: [ACVIM],
    });
  });

  it('is no statement within measuring error when both lie far beyond (CV 10 and 8.8 %)', () => {
    const far = { lvidd: 45, 'la-sax': 34, 'ao-sax': 12 };
    expect(flagCard({ measure: far }, 'MITRAL_B2_ECHO_CRITERIA_MET')?.data).toMatchObject({
      withinError: false,
      murmurGrade: null,
    });
    const oneNear = { ...far, lvidd: 33.2 };
    expect(flagCard({ measure: oneNear }, 'MITRAL_B2_ECHO_CRITERIA_MET')?.data.withinError).toBe(true);
  });

  it('is not said when one of the two is not met, nor where nobody asked', () => {
    expect(flagCodes({ measure: { ...B2, lvidd: 30.5 } })).not.toContain('MITRAL_B2_ECHO_CRITERIA_MET');
    expect(flagCodes({ measure: { ...B2, 'la-sax': 19 } })).not.toContain('MITRAL_B2_ECHO_CRITERIA_MET');
    expect(flagCodes({ plan: 'outflow', measure: B2 })).not.toContain('MITRAL_B2_ECHO_CRITERIA_MET');
  });
});

describe('the severity score of 2021', () => {
  const score = (measure: CaseParts['measure'], rest: CaseParts = {}) =>
    dog(measure, {}, rest).find((s) => s.scheme === 'mitral-score-2021');
  /** 8 kg. LA:Ao 2.0 (3 points), LVIDDN 1.90 (2), FS 47 % (2), E 1.3 m/s (2): 9, severe. */
  const ALL = { 'la-sax': 24, 'ao-sax': 12, lvidd: 35, lvids: 18.55, 'mitral-e': 1.3 };

  it('gives the points of each part, the total and its word', () => {
    expect(score(ALL, { kg: 8 })).toEqual({
      scheme: 'mitral-score-2021',
      code: 'score-severe',
      met: ['la-ao:3', 'lviddn:2', 'fs:2', 'mitral-e:2', 'total:9'],
      unmet: [],
      missing: [],
      source: { citation: expect.stringMatching(/^Vezzosi T/), doi: '10.1111/jvim.16131', status: 'primary' },
    });
  });

  it('is for dogs up to 20 kg', () => {
    const large = { 'la-sax': 30, 'ao-sax': 15, lvidd: 46, lvids: 25, 'mitral-e': 1.3 };
    expect(score(large, { kg: 20 })).toBeDefined();
    expect(score(large, { kg: 20.1 })).toBeUndefined();
    expect(score(large, { kg: null })).toBeUndefined();
  });

  it.each(['la-sax', 'lvidd', 'lvids', 'mitral-e'] as const)('is not given without %s', (code) => {
    const { [code]: _, ...rest } = ALL;
    expect(score(rest, { kg: 8 })).toBeUndefined();
  });

  it('is not given where function is not graded, nor where mitral disease is not asked for', () => {
    expect(score(ALL, { kg: 8, state: { sedative: 'alpha-2' } })).toBeUndefined();
    expect(score(ALL, { kg: 8, plan: 'outflow' })).toBeUndefined();
  });
});
