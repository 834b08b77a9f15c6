/**
 * Slips and contradictions at their edges (common practice unless named otherwise): what is questioned, what it rests on,
 * what is proposed, and that a proposal is never applied. Expected sizes: Cornell 2004 for dogs (10 kg: LVIDd
 * 1.53 · 10^0.294 = 30.1 mm, aorta 0.78 · 10^0.341 = 17.1 mm, atrium by M-mode 0.76 · 10^0.345 = 16.8 mm); the middle of
 * the printed ranges for cats (Ware, Table 2.2).
 */
import type { InterpretationInput, MeasurementCode } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { cardOf, flagCard, flagCodes } from '../testing/flag-card';

const PRACTICE = [
  { citation: expect.stringMatching(/^Common practice/), doi: null, status: 'common practice' },
];
const dog: CaseParts = { kg: 10, plan: 'outflow' };
const cat: CaseParts = { species: 'cat' };
const of = (input: InterpretationInput, code: string) => {
  const flag = interpret(input).flags.find((f) => f.code === code);
  return flag && cardOf(flag);
};
const measuredTwice = (code: MeasurementCode, first: number, second: number): InterpretationInput => {
  const input = caseOf({ ...dog, measure: { [code]: first } });
  const m = input.measurements[0];
  if (!m) throw new Error('the case has no measurement');
  input.measurements.push({ ...m, id: 'm-second', value: second, method: 'm-mode' });
  return input;
};

describe('values that no animal can have', () => {
  it('names the value, its bounds and what it rests on', () => {
    expect(flagCard({ ...dog, measure: { 'ao-vmax': 240 } }, 'VALUE_IMPOSSIBLE')).toEqual({
      rule: 'check.value',
      key: 'check.value:m-ao-vmax',
      level: 'look',
      urgency: null,
      data: { measurement: 'ao-vmax', value: 240, unit: 'm/s', min: 0.1, max: 10, likely: 2.4 },
      measured: ['ao-vmax'],
      observed: [],
      indices: [],
      limits: [],
      sources: PRACTICE,
    });
  });

  it.each([
    ['10.0 m/s is possible', 10, null],
    ['0.1 m/s is possible', 0.1, null],
  ])('%s', (_, value) => {
    expect(flagCodes({ ...dog, measure: { 'ao-vmax': value } })).not.toContain('VALUE_IMPOSSIBLE');
  });

  it.each([
    [1000, 10],
    [10.01, 0.1001],
    [1001, null],
    [0.09, null],
  ])('%s m/s: cm/s would be %s m/s', (value, likely) => {
    const flag = flagCard({ ...dog, measure: { 'ao-vmax': value } }, 'VALUE_IMPOSSIBLE');
    expect(flag?.data.likely).toEqual(likely === null ? null : expect.closeTo(likely, 9));
  });

  it('proposes a tenth of a size only where that fits the weight: 0.5 to 2.3 times the expected', () => {
    const likely = (kg: number | null, mm: number) =>
      flagCard({ kg, measure: { lvidd: mm } }, 'VALUE_IMPOSSIBLE')?.data.likely;
    expect(likely(10, 301)).toBeCloseTo(30.1, 6);
    // 10 kg expects 30.1 mm: 23 mm is a share of 0.76, 70 of 2.3, 15 of 0.5.
    expect(likely(10, 690)).toBeCloseTo(69, 6);
    expect(likely(10, 700)).toBeNull();
    expect(likely(60, 201)).toBeNull();
    expect(likely(null, 301)).toBeNull();
  });

  it('questions every slip of a case, in the order of its ids, whatever order they came in', () => {
    const input = caseOf({ ...dog, measure: { 'pa-vmax': 110, 'ao-vmax': 140, 'tr-vmax': 200 } });
    const ids = ['m-ao-vmax', 'm-pa-vmax', 'm-tr-vmax'];
    const subjects = (): string[] =>
      interpret(input)
        .flags.filter((f) => f.code === 'VALUE_IMPOSSIBLE')
        .flatMap((f) => f.evidence.measurementIds);
    expect(subjects()).toEqual(ids);
    input.measurements.reverse();
    expect(subjects()).toEqual(ids);
  });

  it('cannot be set right by a second value: the impossible one is left out, the other stands', () => {
    const lviddn = interpret(measuredTwice('lvidd', 300, 31)).indices.find((i) => i.code === 'lviddn');
    expect(lviddn?.measurementIds).toEqual(['m-second']);
    expect(lviddn?.value).toBeCloseTo(3.1 / 10 ** 0.294, 9);
  });
});

describe('sizes that the weight cannot have', () => {
  it('names the expected size, the likely slip and what it rests on', () => {
    expect(flagCard({ ...dog, measure: { lvidd: 3.1 } }, 'IMPOSSIBLE_FOR_WEIGHT')).toEqual({
      rule: 'check.size-for-weight',
      key: 'check.size-for-weight:lvidd:rps-short-papillary:2d',
      level: 'look',
      urgency: null,
      data: {
        measurement: 'lvidd',
        valueMm: 3.1,
        expectedMm: expect.closeTo(30.1, 1),
        likelyMm: expect.closeTo(31, 9),
        weightKg: 10,
        species: 'dog',
      },
      measured: ['lvidd'],
      observed: [],
      indices: [],
      limits: [],
      sources: PRACTICE,
    });
  });

  it('tells apart readings without view or method, and computed ones', () => {
    const input = caseOf({ ...dog, measure: { lvidd: 3.1 } });
    const m = input.measurements[0];
    if (!m) throw new Error('the case has no measurement');
    Object.assign(m, { view: null, method: null });
    expect(of(input, 'IMPOSSIBLE_FOR_WEIGHT')?.key).toBe('check.size-for-weight:lvidd::');
    m.source = 'computed';
    expect(of(input, 'IMPOSSIBLE_FOR_WEIGHT')?.key).toBe('check.size-for-weight:lvidd:::computed');
  });

  it.each([
    ['aorta', 'ao-sax', 17.1],
    ['atrium in the short axis', 'la-sax', 16.8],
    ['atrium in the long axis', 'la-long', 16.8],
    ['ventricle', 'lvidd', 30.1],
  ] as const)('expects of 10 kg an %s of its own size', (_, code, mm) => {
    const flag = flagCard({ ...dog, measure: { [code]: mm / 10 } }, 'IMPOSSIBLE_FOR_WEIGHT');
    expect(flag?.data.expectedMm).toBeCloseTo(mm, 1);
    expect(flag?.data.likelyMm).toBeCloseTo(mm, 1);
  });

  it('a size between the slips has no likely value', () => {
    // 10 kg: 8 mm is a share of 0.27; ten times it is 2.7 and a tenth 0.03: neither fits.
    expect(flagCard({ ...dog, measure: { lvidd: 8 } }, 'IMPOSSIBLE_FOR_WEIGHT')?.data.likelyMm).toBeNull();
    expect(flagCard({ ...dog, measure: { lvidd: 101 } }, 'IMPOSSIBLE_FOR_WEIGHT')?.data.likelyMm).toBeNull();
    expect(flagCard({ ...dog, measure: { lvidd: 160 } }, 'IMPOSSIBLE_FOR_WEIGHT')?.data.likelyMm).toBe(16);
  });

  it('judges a cat by its species: exact shares of the middle value at the edges', () => {
    const questioned = (measure: CaseParts['measure']) =>
      flagCodes({ ...cat, measure: measure ?? {} }).includes('IMPOSSIBLE_FOR_WEIGHT');
    // LVIDd 15 mm: 0.3 and 3.3 times are 4.5 and 49.5 mm; LVIDs 7.5 mm: 0.13 and 4.5 times are 0.975 and 33.75 mm.
    expect(questioned({ lvidd: 4.5 })).toBe(false);
    expect(questioned({ lvidd: 4.49 })).toBe(true);
    expect(questioned({ lvidd: 49.5 })).toBe(false);
    expect(questioned({ lvidd: 49.51 })).toBe(true);
    expect(questioned({ lvids: 1 })).toBe(false);
    expect(questioned({ lvids: 0.97 })).toBe(true);
    expect(questioned({ lvids: 33.7 })).toBe(false);
    expect(questioned({ lvids: 33.8 })).toBe(true);
    expect(
      flagCard({ ...cat, kg: null, measure: { lvidd: 1.5 } }, 'IMPOSSIBLE_FOR_WEIGHT')?.data,
    ).toMatchObject({
      likelyMm: 15,
      weightKg: null,
      species: 'cat',
    });
    // 7.5 mm and 34.5 mm are the ends of what a slip of ten may lead to.
    expect(flagCard({ ...cat, measure: { lvidd: 75 } }, 'IMPOSSIBLE_FOR_WEIGHT')?.data.likelyMm).toBe(7.5);
    expect(flagCard({ ...cat, measure: { lvidd: 3.45 } }, 'IMPOSSIBLE_FOR_WEIGHT')?.data.likelyMm).toBe(34.5);
  });

  it('expects nothing of a horse, nor of a dog without a weight', () => {
    const horse: CaseParts = { species: 'horse', breed: null, kg: 500, plan: 'horse' };
    expect(flagCodes({ ...horse, measure: { lvidd: 11 } })).not.toContain('IMPOSSIBLE_FOR_WEIGHT');
    expect(flagCodes({ kg: null, measure: { lvidd: 3 } })).not.toContain('IMPOSSIBLE_FOR_WEIGHT');
  });

  it('is not asked again of a value that is impossible anyway', () => {
    expect(flagCodes({ ...dog, measure: { lvidd: 301 } })).toEqual(['VALUE_IMPOSSIBLE']);
  });
});

describe('pairs that contradict each other', () => {
  it('a systole as large as the diastole: both are set aside', () => {
    expect(flagCard({ ...dog, measure: { lvidd: 30, lvids: 30 } }, 'LVIDS_NOT_BELOW_LVIDD')).toEqual({
      rule: 'check.order',
      key: 'check.order:lvidd',
      level: 'look',
      urgency: null,
      data: { small: 30, large: 30, unit: 'mm' },
      measured: ['lvids', 'lvidd'],
      observed: [],
      indices: [],
      limits: [],
      sources: PRACTICE,
    });
    expect(flagCard({ ...dog, measure: { 'lv-edv': 30, 'lv-esv': 31 } }, 'ESV_NOT_BELOW_EDV')).toMatchObject({
      key: 'check.order:lv-edv',
      data: { small: 31, large: 30, unit: 'ml' },
    });
    expect(
      flagCodes({ ...dog, measure: { lvidd: 30, lvids: 29.9, 'lv-edv': 30, 'lv-esv': 29 } }),
    ).not.toContain('LVIDS_NOT_BELOW_LVIDD');
  });

  it.each([
    ['ivsd', 'ivss'],
    ['lvwd', 'lvws'],
  ] as const)('a %s that is thinner in systole is a note: dying muscle does that too', (dia, sys) => {
    const at = (d: number, s: number) =>
      flagCard({ ...dog, measure: { [dia]: d, [sys]: s } }, 'WALL_THINNER_IN_SYSTOLE');
    expect(at(8, 7.5)).toEqual({
      rule: 'check.wall-thickens',
      key: `check.wall-thickens:${dia}`,
      level: 'note',
      urgency: null,
      data: { measurement: dia, diastoleMm: 8, systoleMm: 7.5 },
      measured: [dia, sys],
      observed: [],
      indices: [],
      limits: [],
      sources: PRACTICE,
    });
    expect(at(8, 8)).toBeUndefined();
    expect(at(8, 9)).toBeUndefined();
    expect(flagCodes({ ...dog, measure: { [sys]: 7 } })).not.toContain('WALL_THINNER_IN_SYSTOLE');
  });

  it('LA:Ao outside 0.6 to 5: the ends are possible', () => {
    const at = (la: number, ao: number) =>
      flagCard({ kg: 30, measure: { 'la-sax': la, 'ao-sax': ao } }, 'LA_AO_IMPLAUSIBLE');
    expect(at(11.9, 20)).toEqual({
      rule: 'check.la-ao',
      key: 'check.la-ao',
      level: 'look',
      urgency: null,
      data: { ratio: 0.595, laMm: 11.9, aoMm: 20 },
      measured: ['la-sax', 'ao-sax'],
      observed: [],
      indices: [],
      limits: [],
      sources: PRACTICE,
    });
    expect(at(12, 20)).toBeUndefined();
    expect(at(70, 14)).toBeUndefined();
    expect(at(70.1, 14)).toBeDefined();
  });

  it('one quantity by two methods, more than a quarter apart', () => {
    expect(of(measuredTwice('lvidd', 32, 40.1), 'METHODS_DIFFER')).toEqual({
      rule: 'check.methods',
      key: 'check.methods:lvidd',
      level: 'look',
      urgency: null,
      data: {
        measurement: 'lvidd',
        first: 32,
        second: 40.1,
        firstMethod: '2d',
        secondMethod: 'm-mode',
        firstView: 'rps-short-papillary',
        secondView: 'rps-short-papillary',
        unit: 'mm',
      },
      measured: ['lvidd', 'second'],
      observed: [],
      indices: [],
      limits: [],
      sources: PRACTICE,
    });
    expect(of(measuredTwice('lvidd', 32, 40), 'METHODS_DIFFER')).toBeUndefined();
    expect(of(measuredTwice('lvidd', 32, 23.9), 'METHODS_DIFFER')).toBeDefined();
  });

  it('does not compare with a value that was set aside, nor with nothing at all', () => {
    expect(of(measuredTwice('lvidd', 32, 3.2), 'METHODS_DIFFER')).toBeUndefined();
    expect(of(measuredTwice('epss', 4, 0), 'METHODS_DIFFER')).toBeUndefined();
  });

  it('E and A that likely run together are questioned (Petric 2012, 10.1016/j.jvc.2012.04.004)', () => {
    const waves = { 'mitral-e': 0.8, 'mitral-a': 0.6 };
    expect(flagCard({ ...cat, measure: { ...waves, 'heart-rate': 240 } }, 'E_A_LIKELY_FUSED')).toEqual({
      rule: 'check.fused-waves',
      key: 'check.fused-waves',
      level: 'look',
      urgency: null,
      data: { rate: 240 },
      measured: ['mitral-e', 'mitral-a', 'heart-rate'],
      observed: [],
      indices: [],
      limits: [],
      sources: [
        {
          citation: expect.stringMatching(/^Petric AD, Rishniw M, Thomas WP/),
          doi: '10.1016/j.jvc.2012.04.004',
          status: 'primary',
        },
      ],
    });
    for (const measure of [
      { 'mitral-e': 0.8, 'heart-rate': 240 },
      { 'mitral-a': 0.6, 'heart-rate': 240 },
      { ...waves, 'heart-rate': 150 },
      waves,
    ])
      expect(flagCodes({ ...cat, measure })).not.toContain('E_A_LIKELY_FUSED');
  });
});

describe('weights (usual adult weights: common practice)', () => {
  const weight = (parts: CaseParts, code = 'WEIGHT_UNUSUAL') => flagCard(parts, code);
  const horse: CaseParts = { species: 'horse', breed: null, plan: 'horse' };

  it.each([
    ['dog', 0.7, 110],
    ['cat', 1, 13],
    ['horse', 50, 1200],
    ['ferret', 0.3, 3],
    ['rabbit', 0.5, 10],
  ] as const)('a %s of %s to %s kg is usual', (species, low, high) => {
    const at = (kg: number) => weight({ species, breed: null, kg });
    expect(at(low)).toBeUndefined();
    expect(at(high)).toBeUndefined();
    expect(at(low * 0.99)?.data).toMatchObject({
      usualFromKg: low,
      usualToKg: high,
      species,
      likelyKg: null,
    });
    expect(at(high * 1.01)?.data.weightKg).toBeCloseTo(high * 1.01, 9);
  });

  it('rests on its own rule', () => {
    expect(weight({ ...cat, kg: 22 })).toMatchObject({
      rule: 'check.weight',
      level: 'look',
      data: { weightKg: 22, likelyKg: expect.closeTo(9.979, 3) },
      measured: [],
    });
    expect(weight({ ...cat, kg: 1800 }, 'WEIGHT_IMPOSSIBLE')).toMatchObject({
      rule: 'check.weight',
      level: 'look',
      data: { weightKg: 1800 },
    });
    expect(weight({ ...cat, kg: Number.NaN }, 'WEIGHT_IMPOSSIBLE')?.data).toEqual({ weightKg: null });
  });

  it('proposes lb only where kg from lb are usual', () => {
    // 28 lb are 12.7 kg, 29 lb are 13.2 kg: more than a cat's usual weight again.
    expect(weight({ ...cat, kg: 28 })?.data.likelyKg).toBeCloseTo(12.7, 1);
    expect(weight({ ...cat, kg: 29 })?.data.likelyKg).toBeNull();
    expect(weight({ ...horse, kg: 1300 })?.data.likelyKg).toBeCloseTo(589.7, 1);
  });

  it('a young animal may be light, one of unknown age is asked', () => {
    expect(weight({ ...cat, kg: 0.8, ageMonths: 11 })).toBeUndefined();
    expect(weight({ ...cat, kg: 0.8, ageMonths: 12 })).toBeDefined();
    expect(weight({ ...cat, kg: 0.8, ageMonths: null })).toBeDefined();
    expect(weight({ ...cat, kg: 14, ageMonths: 11 })).toBeDefined();
  });

  it('a weight that was not given is missing, not unusual', () => {
    expect(flagCodes({ ...cat, kg: null })).toEqual([]);
  });
});

describe('kg and lb (Cornell 2004: 17.6 kg expects 29.5 to 43 mm and an aorta of 16.8 to 25.5 mm)', () => {
  const slip = (parts: CaseParts) => flagCard(parts, 'WEIGHT_UNIT_SLIP_POSSIBLE');
  const SMALL = { lvidd: 27, 'ao-sax': 15 };

  it('too small for kg and right for lb', () => {
    expect(slip({ kg: 17.6, measure: SMALL })).toEqual({
      rule: 'check.weight-unit',
      key: 'check.weight-unit',
      level: 'look',
      urgency: null,
      data: { weightKg: 17.6, likelyKg: expect.closeTo(7.983, 3), small: true },
      measured: ['lvidd', 'ao-sax'],
      observed: [],
      indices: [],
      limits: [],
      sources: PRACTICE,
    });
  });

  it('too large for kg and right the other way round', () => {
    // 8 kg expects 23.4 to 34.1 mm and 12.8 to 19.5 mm; 17.6 kg fits both.
    expect(slip({ kg: 8, measure: { lvidd: 38, 'ao-sax': 21 } })?.data).toEqual({
      weightKg: 8,
      likelyKg: expect.closeTo(17.637, 3),
      small: false,
    });
  });

  it.each([
    ['only the ventricle is small', { kg: 17.6, measure: { lvidd: 27, 'ao-sax': 18 } }],
    ['only the aorta is small', { kg: 17.6, measure: { lvidd: 35, 'ao-sax': 15 } }],
    ['one is small and one large', { kg: 17.6, measure: { lvidd: 27, 'ao-sax': 27 } }],
    ['both fit kg, and would fit lb', { kg: 17.6, measure: { lvidd: 38, 'ao-sax': 22.5 } }],
    ['both fit', { kg: 17.6, measure: { lvidd: 35, 'ao-sax': 20 } }],
    ['both are too small for lb as well', { kg: 40, measure: { lvidd: 22, 'ao-sax': 12 } }],
    ['the aorta is too small for lb as well', { kg: 40, measure: { lvidd: 34, 'ao-sax': 12 } }],
    ['the aorta was not measured', { kg: 17.6, measure: { lvidd: 27 } }],
    ['a pup', { kg: 17.6, ageMonths: 6, measure: SMALL }],
    ['a greyhound', { kg: 17.6, breed: 'greyhound', measure: SMALL }],
    ['a cat', { species: 'cat', kg: 12, measure: { lvidd: 14, 'ao-sax': 9 } }],
    [
      'a cat of which a dog would be too small',
      { species: 'cat', kg: 9, measure: { lvidd: 20, 'ao-sax': 12 } },
    ],
    ['no weight', { kg: null, measure: SMALL }],
  ] as const)('is silent: %s', (_, parts) => {
    expect(slip(parts)).toBeUndefined();
  });
});
