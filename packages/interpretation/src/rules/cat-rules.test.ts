/**
 * Cats: what a thick wall, a large atrium and a fast outlet mean, stages and phenotypes of the consensus of 2020
 * (Luis Fuentes et al., J Vet Intern Med 2020, 10.1111/jvim.15745, its table of stages from memory). B1 and B2 are never
 * told apart without a reader; the phenotype is 'suggested', never given.
 */
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { flagCard, flagCodes } from '../testing/flag-card';

type Measure = NonNullable<CaseParts['measure']>;
type Observe = NonNullable<CaseParts['observe']>;
const stages = (measure: Measure, observe: Observe = {}, rest: CaseParts = {}) =>
  interpret(caseOf({ species: 'cat', measure, observe, ...rest })).stages;
const stage = (code: string, measure: Measure, observe: Observe = {}, rest: CaseParts = {}) =>
  stages(measure, observe, rest).find((s) => s.code === code);
const ACVIM = {
  citation: expect.stringMatching(/^Luis Fuentes V/),
  doi: '10.1111/jvim.15745',
  status: 'memory',
};

/** LA:Ao 1.3 and 1.7: within and above 1.5. */
const SMALL_LA = { 'la-sax': 13, 'ao-sax': 10 };
const LARGE_LA = { 'la-sax': 17, 'ao-sax': 10 };
const NORMAL_LV = { ivsd: 4.5, lvwd: 4.4, lvidd: 15, lvids: 7.5 };

describe('stages that history and signs allow', () => {
  it.each([['ever-in-failure'], ['cold-painful-limb']] as const)(
    '%s: failure or embolism, then or now',
    (code) => {
      expect(stages({}, { [code]: 'yes' })).toEqual([
        {
          scheme: 'acvim-cat-2020',
          code: 'suggests-c-or-d-by-history',
          met: ['failure-or-embolism'],
          unmet: [],
          missing: [],
          source: ACVIM,
        },
      ]);
      expect(stages({}, { [code]: 'no' })).toEqual([]);
    },
  );

  it.each([
    ['pleural-fluid', 'small'],
    ['pleural-fluid', 'moderate'],
    ['pleural-fluid', 'large'],
    ['pericardial-fluid', 'small'],
    ['pericardial-fluid', 'moderate'],
    ['pericardial-fluid', 'large'],
  ] as const)('%s, %s, with a large atrium suggests C; without one it does not', (code, amount) => {
    const found = stage('suggests-c-by-signs', LARGE_LA, { [code]: amount });
    expect(found).toEqual({
      scheme: 'acvim-cat-2020',
      code: 'suggests-c-by-signs',
      met: [code, 'atrium-enlarged'],
      unmet: [],
      missing: [],
      source: ACVIM,
    });
    expect(stage('suggests-c-by-signs', SMALL_LA, { [code]: amount })).toBeUndefined();
    expect(stage('suggests-c-by-signs', LARGE_LA, { [code]: 'none' })).toBeUndefined();
  });

  it.each(['large', 'very-large'])('an atrium that is %s by eye is large enough', (size) => {
    const observe = { 'pleural-fluid': 'small', 'pericardial-fluid': 'small', 'la-by-eye': size };
    expect(stage('suggests-c-by-signs', {}, observe)?.met).toEqual([
      'pleural-fluid',
      'pericardial-fluid',
      'atrium-enlarged',
    ]);
    expect(stage('suggests-c-by-signs', {}, { ...observe, 'la-by-eye': 'not-large' })).toBeUndefined();
  });

  it('a long axis over 15.7 mm (Schober, Wetli & Drost, 100 cats), or LA:Ao at end-diastole over 1.28, is a large atrium', () => {
    const observe = { 'pleural-fluid': 'small' };
    expect(stage('suggests-c-by-signs', { 'la-long': 15.8 }, observe)).toBeDefined();
    expect(stage('suggests-c-by-signs', { 'la-long': 15.7 }, observe)).toBeUndefined();
    expect(stage('suggests-c-by-signs', { 'la-min-sax': 12.9, 'ao-sax': 10 }, observe)).toBeDefined();
    expect(stage('suggests-c-by-signs', { 'la-min-sax': 12.8, 'ao-sax': 10 }, observe)).toBeUndefined();
  });
});

describe('a thick wall is B1 or B2, and a reader says which', () => {
  const risk = (measure: Measure, observe: Observe = {}) =>
    stage('b1-or-b2-needs-atrium-judged', measure, observe);
  const THICK = { 'wall-max-d': 6.5 };

  it('names what was not given, and calls it missing, not absent', () => {
    expect(risk(THICK)).toEqual({
      scheme: 'acvim-cat-2020',
      code: 'b1-or-b2-needs-atrium-judged',
      met: ['wall-6-or-more'],
      unmet: ['wall-9-or-more'],
      missing: [
        'atrium-judged-by-reader',
        'fs-30-or-less',
        'clot-or-smoke',
        'la-function',
        'regional-hypokinesis',
        'restrictive-filling',
      ],
      source: ACVIM,
    });
  });

  it('puts every risk marker where the measured heart puts it', () => {
    const at = (measure: Measure, observe: Observe = {}) => {
      const found = risk({ 'wall-max-d': 9, ...measure }, observe);
      return { met: found?.met, unmet: found?.unmet };
    };
    const markers = { lvidd: 16, lvids: 12, 'laa-vmax': 0.1 };
    expect(at(markers, { 'la-clot': 'smoke', 'regional-hypokinesis': 'yes' })).toEqual({
      met: [
        'wall-6-or-more',
        'fs-30-or-less',
        'wall-9-or-more',
        'clot-or-smoke',
        'la-function',
        'regional-hypokinesis',
      ],
      unmet: [],
    });
    expect(
      at({ lvidd: 16, lvids: 8, 'laa-vmax': 0.4 }, { 'la-clot': 'none', 'regional-hypokinesis': 'no' }),
    ).toEqual({
      met: ['wall-6-or-more', 'wall-9-or-more'],
      unmet: ['fs-30-or-less', 'clot-or-smoke', 'la-function', 'regional-hypokinesis'],
    });
  });

  it.each(['fixed', 'floating', 'smoke'])('a clot that is %s is a risk marker', (kind) => {
    expect(risk(THICK, { 'la-clot': kind })?.met).toContain('clot-or-smoke');
  });

  it.each([
    ['la-strain', { 'la-strain': 5 }, { 'la-strain': 40 }],
    ['la-fs', { 'la-m-mode-max': 14, 'la-m-mode-min': 13 }, { 'la-m-mode-max': 14, 'la-m-mode-min': 9 }],
    ['laa-vmax', { 'laa-vmax': 0.1 }, { 'laa-vmax': 0.5 }],
  ] as const)('%s alone judges the working of the atrium', (_, weak, strong) => {
    expect(risk({ ...THICK, ...weak })?.met).toContain('la-function');
    expect(risk({ ...THICK, ...strong })?.unmet).toContain('la-function');
  });

  it('one weak sign of the atrium is enough beside a strong one', () => {
    expect(risk({ ...THICK, 'laa-vmax': 0.5, 'la-strain': 5 })?.met).toContain('la-function');
  });

  it('9.0 mm is severe, 5.9 mm is no thick wall', () => {
    expect(risk({ 'wall-max-d': 9 })?.met).toContain('wall-9-or-more');
    expect(risk({ 'wall-max-d': 8.9 })?.unmet).toContain('wall-9-or-more');
    expect(risk({ 'wall-max-d': 5.9 })).toBeUndefined();
    expect(risk({})).toBeUndefined();
  });

  it('says nothing of a dog', () => {
    expect(interpret(caseOf({ measure: { 'wall-max-d': 12 } })).stages.map((s) => s.scheme)).not.toContain(
      'acvim-cat-2020',
    );
  });
});

describe('phenotypes', () => {
  it('6.0 mm in a ventricle that is not dilated: hypertrophic, mimics still to exclude', () => {
    expect(stage('suggests-hypertrophic', { ...NORMAL_LV, 'wall-max-d': 6 })).toEqual({
      scheme: 'cat-phenotype-2020',
      code: 'suggests-hypertrophic',
      met: ['wall-6-or-more'],
      unmet: [],
      missing: ['mimics-excluded'],
      source: ACVIM,
    });
    expect(stage('suggests-hypertrophic', { 'wall-max-d': 6 })?.missing).toEqual([
      'lv-size',
      'mimics-excluded',
    ]);
    expect(stage('suggests-hypertrophic', { ...NORMAL_LV, 'wall-max-d': 5.9 })).toBeUndefined();
  });

  it('a dilated ventricle with a thick wall fits neither', () => {
    expect(stages({ lvidd: 26, lvids: 12, 'wall-max-d': 7 }).map((s) => s.scheme)).not.toContain(
      'cat-phenotype-2020',
    );
  });

  it('walls within limits and a large atrium: restrictive, the filling still to look at', () => {
    const restrictive = {
      scheme: 'cat-phenotype-2020',
      code: 'suggests-restrictive',
      met: ['walls-within-limits', 'atrium-enlarged'],
      unmet: [],
      missing: ['filling-pattern'],
      source: ACVIM,
    };
    expect(stages({ ...NORMAL_LV, ...LARGE_LA })).toEqual([restrictive]);
    expect(stages(NORMAL_LV, { 'la-by-eye': 'very-large' })).toEqual([restrictive]);
    expect(stages(NORMAL_LV, { 'la-by-eye': 'large' })).toEqual([restrictive]);
    expect(stages({ ...NORMAL_LV, ...SMALL_LA })).toEqual([]);
    expect(stages(NORMAL_LV, { 'la-by-eye': 'not-large' })).toEqual([]);
  });

  it('is not restrictive with a wall over 5 mm, nor with a ventricle that nobody measured', () => {
    expect(stages({ ...NORMAL_LV, ivsd: 5.5, ...LARGE_LA })).toEqual([]);
    expect(stages({ ivsd: 4.5, lvwd: 4.4, ...LARGE_LA })).toEqual([]);
  });

  it('over 14 mm in systole and FS below 28 %: dilated; the diet is asked for (Hambrook & Bennett)', () => {
    const heart = (lvidd: number, lvids: number) => ({ lvidd, lvids, 'wall-max-d': 4 });
    expect(stage('suggests-dilated', heart(19.5, 14.1))).toEqual({
      scheme: 'cat-phenotype-2020',
      code: 'suggests-dilated',
      met: ['lvids-above-14', 'fs-below-28'],
      unmet: [],
      missing: ['diet-taurine'],
      source: ACVIM,
    });
    expect(stage('suggests-dilated', heart(19, 14))).toBeUndefined();
    // FS of exactly 28 %: (20 - 14.4) / 20.
    expect(stage('suggests-dilated', heart(20, 14.4))).toBeUndefined();
    expect(stage('suggests-dilated', heart(20, 14.5))).toBeDefined();
  });
});

describe('flags of the feline heart', () => {
  const cat = (measure: Measure, code: string, rest: CaseParts = {}) =>
    flagCard({ species: 'cat', measure, ...rest }, code);
  const MIMICS = [
    'dehydration',
    'septal-bulge',
    'hypertension',
    'hyperthyroidism',
    'acromegaly',
    'transient-thickening',
    'thick-papillary-muscles',
  ];

  it.each([
    [5.1, 'CAT_WALL_GREY_ZONE', 'grey', 'note'],
    [5.9, 'CAT_WALL_GREY_ZONE', 'grey', 'note'],
    [6, 'CAT_WALL_THICK', 'thick', 'look'],
    [8.9, 'CAT_WALL_THICK', 'thick', 'look'],
    [9, 'CAT_WALL_SEVERE', 'severe', 'look'],
  ] as const)('%s mm: %s with everything that looks the same', (mm, code, band, level) => {
    expect(cat({ 'wall-max-d': mm }, code)).toMatchObject({
      rule: 'cat.wall',
      level,
      urgency: null,
      data: { valueMm: mm, band, mimics: MIMICS, dry: false },
      measured: ['wall-max-d'],
      indices: ['wall-max-d'],
    });
  });

  it('says nothing of 5.0 mm, and says when the cat was dry (Campbell & Kittleson 2007: dry cats have thick walls)', () => {
    expect(flagCodes({ species: 'cat', measure: { 'wall-max-d': 5 } })).toEqual([]);
    const dry = (rest: CaseParts) => cat({ 'wall-max-d': 6.5 }, 'CAT_WALL_THICK', rest)?.data.dry;
    expect(dry({ state: { hydration: 'dry' } })).toBe(true);
    expect(dry({ observe: { 'dry-or-bled': 'yes' } })).toBe(true);
    expect(dry({ observe: { 'dry-or-bled': 'no' } })).toBe(false);
  });

  it('says which of the mimics’ numbers were given, with the method of the pressure, and grades no T4', () => {
    const data = (measure: Measure, rest: CaseParts = {}) =>
      cat({ 'wall-max-d': 6.5, ...measure }, 'CAT_WALL_THICK', rest)?.data;
    expect(data({})).toMatchObject({ pressureMmHg: null, pressureMethod: null, t4NmolPerL: null });
    expect(data({ 'systolic-pressure': 172 }, { observe: { 'pressure-method': 'doppler' } })).toMatchObject({
      pressureMmHg: 172,
      pressureMethod: 'doppler',
      t4NmolPerL: null,
      mimics: MIMICS,
    });
    expect(data({ t4: 31 })).toMatchObject({ pressureMmHg: null, t4NmolPerL: 31, mimics: MIMICS });
    const t4 = interpret(caseOf({ species: 'cat', measure: { t4: 95 } })).indices.find(
      (i) => i.code === 't4',
    );
    expect(t4).toMatchObject({ value: 95, unit: 'nmol/l', position: 'not-graded', limits: [], grades: [] });
  });

  it('takes no pressure that no animal can have for one that was given', () => {
    const flag = cat({ 'wall-max-d': 6.5, 'systolic-pressure': 900 }, 'CAT_WALL_THICK');
    expect(flag?.data.pressureMmHg).toBeNull();
  });

  it('a long axis over 18.5 mm lies in the range of cats in failure (Rohrbaugh 2020, 10.1111/jvim.15777)', () => {
    expect(cat({ 'la-long': 18.6 }, 'CAT_LA_IN_FAILURE_RANGE')).toMatchObject({
      rule: 'cat.la-failure-range',
      level: 'look',
      urgency: 'urgent',
      data: { valueMm: 18.6, boundMm: 18.5 },
      indices: ['la-long'],
      measured: ['la-long'],
      sources: [{ citation: expect.stringMatching(/^Rohrbaugh/), doi: '10.1111/jvim.15777' }],
    });
    expect(cat({ 'la-long': 18.5 }, 'CAT_LA_IN_FAILURE_RANGE')).toBeUndefined();
    expect(flagCodes({ kg: 30, measure: { 'la-long': 48 } })).not.toContain('CAT_LA_IN_FAILURE_RANGE');
    const kitten = { ageMonths: 5 };
    expect(cat({ 'la-long': 19 }, 'CAT_LA_IN_FAILURE_RANGE', kitten)).toBeUndefined();
  });

  it('an outlet jet from 2.5 m/s on may be obstruction, with 4·v² said (Feline Diagnostic Imaging, p. 217)', () => {
    expect(cat({ 'ao-vmax': 2.5 }, 'CAT_OUTFLOW_OBSTRUCTION_POSSIBLE')).toMatchObject({
      rule: 'cat.outflow',
      level: 'look',
      urgency: null,
      data: { value: 2.5, bound: 2.5, gradientMmHg: 25 },
      indices: ['ao-vmax'],
      measured: ['ao-vmax'],
      sources: [{ citation: expect.stringMatching(/^Feline Diagnostic Imaging.*p\. 217/) }],
    });
    expect(cat({ 'ao-vmax': 2.49 }, 'CAT_OUTFLOW_OBSTRUCTION_POSSIBLE')).toBeUndefined();
  });

  it('over 14 mm in systole and FS below 28 % is read soon (Hambrook & Bennett, 32 cats)', () => {
    const heart = (lvidd: number, lvids: number) => cat({ lvidd, lvids }, 'CAT_FITS_DILATED_PHENOTYPE');
    expect(heart(19.5, 14.625)).toMatchObject({
      rule: 'cat.dilated',
      level: 'look',
      urgency: 'urgent',
      data: { lvidsMm: 14.625, fs: 25 },
      indices: ['fs', 'lvids'],
      measured: ['lvidd', 'lvids'],
      sources: [
        { citation: expect.stringMatching(/^Hambrook LE, Bennett PF.*memory/), doi: null, status: 'primary' },
      ],
    });
    expect(heart(19, 14)).toBeUndefined();
    expect(heart(20, 14.4)).toBeUndefined();
    const sedated: CaseParts = { state: { sedative: 'alpha-2' } };
    expect(cat({ lvidd: 19.5, lvids: 14.6 }, 'CAT_FITS_DILATED_PHENOTYPE', sedated)).toBeUndefined();
    expect(flagCodes({ measure: { lvidd: 30, lvids: 25 } })).not.toContain('CAT_FITS_DILATED_PHENOTYPE');
  });
});
