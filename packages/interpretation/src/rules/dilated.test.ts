/**
 * Dilated cardiomyopathy of the dog: the score of the task force of 2003 (Dukes-McEwan et al., J Vet Cardiol 2003;5:7-19:
 * major criteria 3 points, minor 1, reached at 6), and the Holter that is named whenever a Doberman (Wess 2017,
 * 10.1016/j.jvc.2017.08.006) or a Boxer (Meurs 2014, 10.1111/jvim.12385) looks normal.
 */
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { flagCard, flagCodes } from '../testing/flag-card';

const asked: CaseParts = { plan: 'large-dog-muscle', kg: 40 };
const score = (parts: CaseParts) =>
  interpret(caseOf({ ...asked, ...parts })).stages.find((s) => s.scheme === 'esvc-dcm-2003');
/** 40 kg: LVIDDN 1.27 to 1.85 is 37.6 to 54.7 mm (Cornell 2004). */
const LARGE = { lvidd: 62, lvids: 52 };
const NORMAL = { lvidd: 45, lvids: 30 };

describe('the score of 2003', () => {
  it('dilated and weak reach it: 3 + 3 of 6', () => {
    expect(score({ measure: LARGE, observe: {} })).toEqual({
      scheme: 'esvc-dcm-2003',
      code: 'dcm-score-reached',
      met: ['lv-dilated:3', 'fs-below-20-or-ef-below-40:3', 'total:6'],
      unmet: ['arrhythmia-of-breed', 'atrial-fibrillation', 'fs-20-to-25'],
      missing: ['sphericity-below-1.65', 'pep-over-lvet', 'epss-high', 'atrium-enlarged'],
      source: {
        citation: expect.stringMatching(/^Dukes-McEwan J.*2003;5\(2\):7-19/),
        doi: null,
        status: 'secondary',
      },
    });
  });

  it('is open while what was not given could still reach it', () => {
    expect(score({ measure: { lvidd: 62, lvids: 40 } })).toMatchObject({
      code: 'dcm-score-open',
      met: ['lv-dilated:3', 'total:3'],
    });
  });

  it('is open where what is missing would just reach six: 3 and 1 + 1 + 1', () => {
    const found = score({ measure: { lvidd: 62, lvids: 40, 'lv-length-d': 110 } });
    expect(found).toMatchObject({
      code: 'dcm-score-open',
      met: ['lv-dilated:3', 'total:3'],
      missing: ['pep-over-lvet', 'epss-high', 'atrium-enlarged'],
    });
  });

  it('is not reached when all was given: two points of one are no six', () => {
    const found = score({
      measure: {
        ...NORMAL,
        lvids: 35,
        epss: 2,
        'la-sax': 26,
        'ao-sax': 22,
        'lv-length-d': 90,
      },
    });
    expect(found?.code).toBe('dcm-score-not-reached');
    expect(found?.met).toEqual(['fs-20-to-25:1', 'total:1']);
    expect(found?.missing).toEqual(['pep-over-lvet']);
  });

  it.each([
    [45, 36.1, 'fs-below-20-or-ef-below-40:3', 'FS 19.8 %'],
    [45, 36, 'fs-20-to-25:1', 'FS 20.0 %'],
    [45, 33.8, 'fs-20-to-25:1', 'FS 24.9 %'],
  ])('LVIDd %s and LVIDs %s mm: %s (%s)', (lvidd, lvids, met) => {
    expect(score({ measure: { lvidd, lvids } })?.met).toContain(met);
  });

  it('FS of exactly 25 % is no longer equivocal', () => {
    expect(score({ measure: { lvidd: 44, lvids: 33 } })?.unmet).toContain('fs-20-to-25');
  });

  it('EF below 40 % is weak even where FS is not, and both unknown is not known', () => {
    const ef = (esv: number) => score({ measure: { ...NORMAL, 'lv-edv': 100, 'lv-esv': esv } });
    expect(ef(60.1)?.met).toContain('fs-below-20-or-ef-below-40:3');
    expect(ef(60)?.unmet).toContain('fs-below-20-or-ef-below-40');
    expect(score({ measure: { lvidd: 62 } })?.missing).toContain('fs-below-20-or-ef-below-40');
    expect(score({ measure: { lvidd: 62 } })?.missing).toContain('fs-20-to-25');
  });

  it.each([
    ['doberman', { arrhythmia: 'yes' }, 'met'],
    ['boxer', { arrhythmia: 'wide-beats-in-runs' }, 'met'],
    ['great-dane', { arrhythmia: 'yes' }, 'met'],
    ['doberman', { arrhythmia: 'no' }, 'unmet'],
    ['doberman', {}, 'missing'],
    ['mixed-breed', { arrhythmia: 'yes' }, 'unmet'],
  ] as const)('an arrhythmia in a %s (%o) is %s', (breed, observe, list) => {
    const found = score({ breed, measure: { lvidd: 62 }, observe });
    expect(found?.[list].map((c) => c.split(':')[0])).toContain('arrhythmia-of-breed');
  });

  it.each([
    ['atrial-fibrillation', 'met'],
    ['sinus', 'unmet'],
    ['other-arrhythmia', 'unmet'],
    ['unknown', 'missing'],
    [null, 'missing'],
  ] as const)('the rhythm %s: fibrillation is %s', (rhythm, list) => {
    const found = score({ measure: { lvidd: 62 }, state: { rhythm } });
    expect(found?.[list].map((c) => c.split(':')[0])).toContain('atrial-fibrillation');
  });

  it('a round ventricle, a wide EPSS and a large atrium each count their points', () => {
    const found = score({
      measure: { lvidd: 62, 'lv-length-d': 90, epss: 12, 'la-sax': 40, 'ao-sax': 22 },
    });
    expect(found?.met).toEqual([
      'lv-dilated:3',
      'sphericity-below-1.65:3',
      'epss-high:1',
      'atrium-enlarged:1',
      'total:8',
    ]);
    expect(found?.code).toBe('dcm-score-reached');
  });

  it('is spoken of only when asked for, only in dogs, and only with a graded size', () => {
    expect(score({ plan: 'small-dog-murmur', measure: LARGE })).toBeUndefined();
    expect(score({ plan: 'small-dog-murmur', measure: { ...LARGE, 'lv-length-d': 90 } })).toBeDefined();
    expect(score({ species: 'cat', kg: 5, measure: { lvidd: 24, lvids: 20 } })).toBeUndefined();
    expect(score({ kg: null, measure: LARGE })).toBeUndefined();
    expect(score({ measure: { 'la-sax': 26, 'ao-sax': 22 } })).toBeUndefined();
  });
});

describe('a dilated phenotype is read soon', () => {
  it('names the size and the weakness that it rests on', () => {
    expect(flagCard({ ...asked, measure: LARGE }, 'DOG_FITS_DILATED_PHENOTYPE')).toMatchObject({
      rule: 'dog.dilated',
      level: 'look',
      urgency: 'urgent',
      data: { size: 'lvidsn', sizeUnit: expect.any(String), weak: 'fs' },
      indices: ['lvidsn', 'fs'],
      measured: ['lvids', 'lvidd'],
      sources: [{ citation: expect.stringMatching(/^Dukes-McEwan/), doi: null, status: 'secondary' }],
    });
  });

  it('takes EF where FS is not weak', () => {
    const measure = { lvidd: 62, lvids: 46, 'lv-edv': 100, 'lv-esv': 70 };
    expect(flagCard({ ...asked, measure }, 'DOG_FITS_DILATED_PHENOTYPE')?.data).toMatchObject({
      weak: 'ef',
      weakValue: 30,
    });
  });

  it.each([
    ['large but strong', { lvidd: 62, lvids: 40 }],
    ['weak but not large', { lvidd: 45, lvids: 37 }],
  ])('is not raised when %s', (_, measure) => {
    const lv = flagCodes({ ...asked, measure });
    expect(lv).not.toContain('DOG_FITS_DILATED_PHENOTYPE');
  });

  it('is not raised in a cat, nor where an alpha-2 sedative makes every heart weak (Johard 2018)', () => {
    expect(flagCodes({ species: 'cat', measure: { lvidd: 26, lvids: 23 } })).not.toContain(
      'DOG_FITS_DILATED_PHENOTYPE',
    );
    expect(flagCodes({ ...asked, state: { sedative: 'alpha-2' }, measure: LARGE })).not.toContain(
      'DOG_FITS_DILATED_PHENOTYPE',
    );
  });
});

describe('the Holter that an echo does not replace', () => {
  const holter = (parts: CaseParts) => flagCard({ ...asked, measure: NORMAL, ...parts }, 'HOLTER_NAMED');

  it('is named in a Doberman that looks normal', () => {
    expect(holter({ breed: 'doberman' })).toMatchObject({
      rule: 'note.holter',
      level: 'note',
      urgency: null,
      data: { breed: 'doberman' },
      indices: [],
      measured: ['lvidd', 'lvids'],
      sources: [
        {
          citation: expect.stringMatching(/^Wess G.*2017/),
          doi: '10.1016/j.jvc.2017.08.006',
          status: 'primary',
        },
      ],
    });
  });

  it('is named by the plain diameter where no weight is known, and by the scaled one in a Boxer', () => {
    expect(holter({ breed: 'doberman', kg: null, measure: { lvidd: 45 } })).toBeDefined();
    expect(holter({ breed: 'boxer', measure: { lvidd: 45 } })).toBeDefined();
  });

  it('is named in a Boxer, with its own source', () => {
    expect(holter({ breed: 'boxer' })?.sources).toEqual([
      { citation: expect.stringMatching(/^Meurs KM.*2014/), doi: '10.1111/jvim.12385', status: 'primary' },
    ]);
  });

  it.each([
    ['EF alone was measured', { 'lv-edv': 100, 'lv-esv': 40 }],
    ['the diameter alone was measured', { lvidd: 45 }],
    ['the systolic volume alone was measured', { 'lv-esv': 40 }],
  ])('is named when %s', (_, measure) => {
    expect(holter({ breed: 'doberman', measure })).toBeDefined();
  });

  it.each([
    ['another breed', { breed: 'great-dane' }],
    ['another question', { breed: 'doberman', plan: 'outflow' }],
    ['nothing measured', { breed: 'doberman', measure: {} }],
  ] as const)('is not named with %s', (_, parts) => {
    expect(holter(parts)).toBeUndefined();
  });
});
