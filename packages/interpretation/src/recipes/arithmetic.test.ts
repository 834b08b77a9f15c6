/**
 * The line under each number, which a vet redoes on paper, and its 95 % interval. Every line and interval here was worked
 * out by hand from the formula that the row names; the published formulas themselves are in tests/outside.
 */
import type { MeasurementCode } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';

type Measure = Partial<Record<MeasurementCode, number>>;
const dog: CaseParts = { kg: 10 };
const cat: CaseParts = { species: 'cat' };
const horse: CaseParts = { species: 'horse', breed: 'warmblood', kg: 560, plan: 'horse' };
const indexOf = (code: string, parts: CaseParts, measure: Measure, view?: 'rps-long-4ch') => {
  const input = caseOf({ ...parts, measure });
  if (view) for (const m of input.measurements) m.view = view;
  return interpret(input).indices.find((i) => i.code === code);
};

const LINES: readonly [
  code: string,
  parts: CaseParts,
  measure: Measure,
  line: string,
  value: number,
  unit: string,
][] = [
  ['lviddn', dog, { lvidd: 35 }, 'LVIDDN = LVIDd 3.50 cm / (10 kg)^0.294 = 1.78', 1.7786, 'cm/kg^0.294'],
  ['lvidsn', dog, { lvids: 22.4 }, 'LVIDSN = LVIDs 2.24 cm / (10 kg)^0.315 = 1.08', 1.0846, 'cm/kg^0.315'],
  ['ivsd', dog, { ivsd: 7.5 }, 'IVSd = 7.5 mm', 7.5, 'mm'],
  ['fs', dog, { lvidd: 35, lvids: 22.4 }, 'FS = (3.50 − 2.24) cm / 3.50 cm × 100 = 36.0 %', 36, '%'],
  [
    'edvi',
    dog,
    { 'lv-edv': 40 },
    'EDVI = 40.0 ml / (0.101 × (10 kg)^(2/3) = 0.469 m²) = 85.3 ml/m²',
    85.324,
    'ml/m2',
  ],
  [
    'esvi',
    dog,
    { 'lv-esv': 15 },
    'ESVI = 15.0 ml / (0.101 × (10 kg)^(2/3) = 0.469 m²) = 32.0 ml/m²',
    31.9966,
    'ml/m2',
  ],
  ['ef', dog, { 'lv-edv': 40, 'lv-esv': 15 }, 'EF = (40.0 − 15.0) ml / 40.0 ml × 100 = 62.5 %', 62.5, '%'],
  [
    'ef-teichholz',
    dog,
    { lvidd: 35, lvids: 22.4 },
    'EF (Teichholz) = (50.9 − 17.0) ml / 50.9 ml × 100 = 66.7 %',
    66.667,
    '%',
  ],
  ['la-ao', dog, { 'la-sax': 18, 'ao-sax': 12 }, 'LA:Ao = 18.0 mm / 12.0 mm = 1.50', 1.5, 'ratio'],
  [
    'la-ao-long',
    dog,
    { 'la-long': 27, 'ao-annulus': 13 },
    'LA:Ao (long axis) = LA 27.0 mm / annulus 13.0 mm = 2.08',
    2.0769,
    'ratio',
  ],
  [
    'la-volume-kg',
    dog,
    { 'la-volume': 9 },
    'LA volume over weight = 9.0 ml / (10 kg)^1 = 0.90',
    0.9,
    'ml/kg^1',
  ],
  [
    'pv-pa',
    dog,
    { 'pulmonary-vein': 8, 'pulmonary-artery-beside-vein': 5.5 },
    'PV:PA = vein 8.0 mm / artery 5.5 mm = 1.45',
    1.4545,
    'ratio',
  ],
  ['vhs', dog, { vhs: 10.4 }, 'VHS = 10.4', 10.4, 'ratio'],
  [
    'ao-gradient',
    dog,
    { 'ao-vmax': 2.1 },
    'Aortic gradient = 4 × (Vmax 2.10 m/s)² = 17.6 mmHg',
    17.64,
    'mmHg',
  ],
  [
    'ao-gradient',
    dog,
    { 'ao-vmax': 2.1, 'lvot-vmax': 1.2 },
    'Aortic gradient = 4 × ((Vmax 2.10 m/s)² − (before it 1.20 m/s)²) = 11.9 mmHg',
    11.88,
    'mmHg',
  ],
  [
    'tr-gradient',
    dog,
    { 'tr-vmax': 3.1 },
    'Tricuspid gradient = 4 × (TR Vmax 3.10 m/s)² = 38.4 mmHg',
    38.44,
    'mmHg',
  ],
  [
    'qp-qs',
    dog,
    { 'd-lvot': 11, 'vti-lvot': 10, 'd-rvot': 12, 'vti-rvot': 16 },
    'Qp:Qs = ((12.0 mm)² × 16.0 cm) / ((11.0 mm)² × 10.0 cm) = 1.90',
    1.9041,
    'ratio',
  ],
  ['e-ivrt', dog, { 'mitral-e': 0.9, ivrt: 60 }, 'E:IVRT = 100 × 0.90 m/s / 60 ms = 1.50', 1.5, 'ratio'],
  ['tapsen', dog, { tapse: 9.5 }, 'TAPSEn = 9.5 mm / (10 kg)^0.285 = 4.93', 4.9286, 'mm/kg^0.285'],
  ['s-prime-n', dog, { 's-prime-rv': 9 }, 'S′n = 9.0 cm/s / (10 kg)^0.186 = 5.86', 5.8647, 'cm/s/kg^0.186'],
  ['rveda-n', dog, { 'rv-area-d': 5 }, 'RVEDAn = 5.00 cm² / (10 kg)^0.665 = 1.08', 1.0814, 'cm2/kg^0.665'],
  [
    'rveda-index',
    dog,
    { 'rv-area-d': 5 },
    'RVEDA index = 5.00 cm² / (0.101 × (10 kg)^(2/3) = 0.469 m²) = 10.7 cm²/m²',
    10.6655,
    'cm2/m2',
  ],
  [
    'rv-fac',
    dog,
    { 'rv-area-d': 5, 'rv-area-s': 3 },
    'RV FAC = (5.00 − 3.00) cm² / 5.00 cm² × 100 = 40.0 %',
    40,
    '%',
  ],
  ['pa-at', dog, { 'pa-at': 58 }, 'AT = 58 ms', 58, 'ms'],
  ['vpc-24h', { breed: 'boxer', kg: 30 }, { 'vpc-24h': 60 }, 'VPC in 24 h = 60', 60, 'count'],
  ['systolic-pressure', dog, { 'systolic-pressure': 150 }, 'Systolic blood pressure = 150 mmHg', 150, 'mmHg'],
  [
    'la-long-500',
    horse,
    { 'la-long': 125 },
    'LA (500 kg) = 125.0 mm × (500 kg / (560 kg))^(1/3) = 120.4 mm',
    120.3666,
    'mm',
  ],
  [
    'la-area-500',
    horse,
    { 'la-area-max': 105 },
    'LA area (500 kg) = 105.00 cm² × (500 kg / (560 kg))^(2/3) = 97.36 cm²',
    97.3593,
    'cm2',
  ],
  [
    'la-area-annulus',
    horse,
    { 'la-area-max': 105, 'ao-annulus': 70 },
    'LA area over annulus² = 100 × 105.00 cm² / (70.0 mm)² = 2.14',
    2.1429,
    'ratio',
  ],
  ['heart-rate', horse, { 'heart-rate': 40 }, 'Heart rate = 40 /min', 40, '/min'],
  ['la-strain', cat, { 'la-strain': 15 }, 'LA reservoir strain = 15.0 %', 15, '%'],
  ['t4', cat, { t4: 31 }, 'T4 = 31.0 nmol/l', 31, 'nmol/l'],
  ['potassium', cat, { potassium: 4.2 }, 'Potassium = 4.2 mmol/l', 4.2, 'mmol/l'],
  ['creatinine', dog, { creatinine: 118 }, 'Creatinine = 118 µmol/l', 118, 'umol/l'],
  ['packed-cell-volume', horse, { 'packed-cell-volume': 37 }, 'Packed cell volume = 37.0 %', 37, '%'],
  [
    'sleeping-breathing-rate',
    cat,
    { 'sleeping-breathing-rate': 24 },
    'Breathing rate asleep = 24 /min',
    24,
    '/min',
  ],
  ['nt-probnp', cat, { 'nt-probnp': 80 }, 'NT-proBNP = 80 pmol/l', 80, 'pmol/l'],
];

describe('the line of arithmetic', () => {
  it.each(LINES)('%s', (code, parts, measure, line, value, unit) => {
    const index = indexOf(code, parts, measure);
    expect(index?.arithmetic).toBe(line);
    expect(index?.value).toBeCloseTo(value, value > 100 ? 2 : 3);
    expect(index?.unit).toBe(unit);
  });

  it('is left out where an input or the weight is not there', () => {
    for (const [code, measure] of [
      ['lviddn', { lvidd: 35 }],
      ['edvi', { 'lv-edv': 40 }],
      ['rveda-n', { 'rv-area-d': 5 }],
    ] as const)
      expect(indexOf(code, { kg: null }, measure)).toBeUndefined();
    expect(indexOf('fs', dog, { lvidd: 35 })).toBeUndefined();
    expect(indexOf('la-long-500', { ...horse, kg: null }, { 'la-long': 125 })).toBeUndefined();
    expect(indexOf('qp-qs', dog, { 'd-lvot': 11, 'vti-lvot': 10, 'd-rvot': 12 })).toBeUndefined();
  });

  it('takes the velocity before a narrowing off only above 1 m/s and below the jet (approximately 1 m/s, from memory)', () => {
    const at = (before: number) => indexOf('ao-gradient', dog, { 'ao-vmax': 2, 'lvot-vmax': before })?.value;
    expect(at(1)).toBe(16);
    expect(at(1.1)).toBeCloseTo(4 * (4 - 1.21), 9);
    expect(at(2)).toBe(16);
    expect(at(2.1)).toBe(16);
  });

  it('takes the ventricle of the long axis for the long-axis ratios, and no other', () => {
    const measure = { 'la-long': 27, lvidd: 30 };
    expect(indexOf('la-lv-long', dog, measure)).toBeUndefined();
    expect(indexOf('la-lv-long', dog, measure, 'rps-long-4ch')?.value).toBeCloseTo(0.9, 9);
  });
});

describe('beats', () => {
  const beats = (values: Partial<Record<MeasurementCode, readonly number[]>>) => {
    const input = caseOf({ ...dog, measure: Object.fromEntries(Object.keys(values).map((c) => [c, 1])) });
    input.measurements = input.measurements.flatMap((m) =>
      (values[m.code] ?? []).map((value, i) => ({ ...m, id: `${m.code}-${i}`, value, beat: i + 1 })),
    );
    return interpret(input).indices;
  };

  it('are averaged and shown one by one', () => {
    const [index] = beats({ ivsd: [7, 8, 7.5] });
    expect(index).toMatchObject({
      value: 7.5,
      beats: [7, 8, 7.5],
      arithmetic: 'IVSd = (7.0 + 8.0 + 7.5) / 3 = 7.5 mm',
      measurementIds: ['ivsd-0', 'ivsd-1', 'ivsd-2'],
    });
  });

  it('pair where every input has as many, and only there', () => {
    const fs = (d: number[], s: number[]) =>
      beats({ lvidd: d, lvids: s }).find((i) => i.code === 'fs')?.beats;
    expect(fs([30, 32], [18, 24])).toEqual([40, 25]);
    expect(fs([30, 32], [18])).toEqual([]);
    expect(fs([30], [18])).toEqual([]);
  });

  it('of a scaled size are scaled one by one', () => {
    const lviddn = beats({ lvidd: [30, 40] }).find((i) => i.code === 'lviddn');
    expect(lviddn?.beats.map((b) => b.toFixed(3))).toEqual(['1.524', '2.033']);
  });
});

describe('95 % intervals', () => {
  it.each([
    // LA:Ao has a coefficient of variation of its own, 10 % (Hsue & Visser 2020): 1.5 ± 1.96 · 0.10 · 1.5.
    ['la-ao', { 'la-sax': 18, 'ao-sax': 12 }, 1.206, 1.794],
    // One size: 8.8 % (ACVIM Forum 2018): 7.5 ± 1.96 · 0.088 · 7.5.
    ['ivsd', { ivsd: 7.5 }, 6.2064, 8.7936],
    // FS: 15 % of its own: 36 ± 10.584.
    ['fs', { lvidd: 35, lvids: 22.4 }, 25.416, 46.584],
    // Fieller, both 8.8 %: g = 0.17248² = 0.029749; 52/35 · (1 ∓ √(2g − g²)) / (1 − g).
    ['sphericity', { 'lv-length-d': 52, lvidd: 35 }, 1.1605, 1.902],
    // 100 · (1 − Fieller of 15/40), both 11 %.
    ['ef', { 'lv-edv': 40, 'lv-esv': 15 }, 48.8208, 72.523],
    // 4 · (3.1 · (1 ∓ 1.96 · 0.13))².
    ['tr-gradient', { 'tr-vmax': 3.1 }, 21.3466, 60.5247],
    // Delta method: 11.88 ± 1.96 · √((8·4.41·0.13)² + (8·1.44·0.13)²).
    ['ao-gradient', { 'ao-vmax': 2.1, 'lvot-vmax': 1.2 }, 2.4236, 21.3364],
  ] as const)('%s', (code, measure, low, high) => {
    const interval = indexOf(code, dog, measure)?.interval;
    expect(interval?.[0]).toBeCloseTo(low, 3);
    expect(interval?.[1]).toBeCloseTo(high, 3);
  });

  it('are not made up where no repeatability was published (EPSS, strain, VHS)', () => {
    expect(indexOf('epss', dog, { epss: 4 })?.interval).toBeNull();
    expect(indexOf('vhs', dog, { vhs: 10 })?.interval).toBeNull();
    expect(indexOf('la-strain', cat, { 'la-strain': 15 })?.interval).toBeNull();
  });
});

describe('the thickest wall of a cat', () => {
  const wall = (measure: Measure, kg = 4.4) => indexOf('wall-max-d', { ...cat, kg }, measure);

  it('is the largest segment given, and names it', () => {
    expect(wall({ ivsd: 5.1, lvwd: 5.6, 'wall-max-d': 6.2 })).toMatchObject({
      value: 6.2,
      measurementIds: ['m-wall-max-d'],
      arithmetic: 'thickest wall of 3 given = 6.2 mm (wall-max-d)',
    });
    expect(wall({ ivsd: 6.4, lvwd: 5.6, 'wall-max-d': 6.2 })).toMatchObject({
      value: 6.4,
      measurementIds: ['m-ivsd'],
      arithmetic: 'thickest wall of 3 given = 6.4 mm (ivsd)',
    });
    expect(wall({ ivsd: 5.1, lvwd: 5.6 })?.measurementIds).toEqual(['m-lvwd']);
    expect(wall({})).toBeUndefined();
    expect(indexOf('wall-max-d', dog, { ivsd: 9 })).toBeUndefined();
  });

  it('says when only one segment was measured, unless it was looked for as the thickest', () => {
    const codes = (measure: Measure) => wall(measure)?.cautions.map((c) => c.code);
    expect(codes({ ivsd: 5.1 })).toContain('ONE_SEGMENT_ONLY');
    expect(codes({ ivsd: 5.1, lvwd: 5 })).not.toContain('ONE_SEGMENT_ONLY');
    expect(codes({ 'wall-max-d': 5.1 })).not.toContain('ONE_SEGMENT_ONLY');
    expect(wall({ ivsd: 5.1 })?.cautions.find((c) => c.code === 'ONE_SEGMENT_ONLY')?.data).toEqual({
      measurement: 'ivsd',
    });
  });

  it.each([
    [2.9, true],
    [3, false],
    [6, false],
    [6.1, true],
  ])('of a cat of %s kg: weight matters, %s (Schober 2017, 10.1292/jvms.17-0250)', (kg, matters) => {
    const found = wall({ ivsd: 5.1 }, kg)?.cautions.find((c) => c.code === 'CAT_WALL_WEIGHT_MATTERS');
    expect(found?.data).toEqual(matters ? { weightKg: kg } : undefined);
  });

  it('has the measuring error of a linear size: 10 % in cats', () => {
    const interval = wall({ ivsd: 5 })?.interval;
    expect(interval?.[0]).toBeCloseTo(5 - 0.98, 9);
    expect(interval?.[1]).toBeCloseTo(5 + 0.98, 9);
  });
});
