/**
 * Every index that has a limit speaks when it lies outside: two values an edge apart, with the limit's own source as
 * evidence. Bounds: shared/limits, each with its citation; here only the side, the sentence and the evidence are judged.
 */
import type { MeasurementCode } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { cardOf, flagCodes } from '../testing/flag-card';

type Measure = Partial<Record<MeasurementCode, number>>;
const cat: CaseParts = { species: 'cat' };
const LABORATORY: CaseParts = { ...cat, observe: { 'nt-probnp-assay': 'laboratory-number' } };
const dog: CaseParts = { kg: 10 };

/** Index, side, what is said, an outside and an inside case. */
const ROWS: readonly [string, 'above' | 'below', string, CaseParts, Measure, Measure][] = [
  ['lviddn', 'above', 'LV_LARGE_DIASTOLE', dog, { lvidd: 38 }, { lvidd: 35 }],
  ['lviddn', 'below', 'LV_SMALL_DIASTOLE', dog, { lvidd: 24 }, { lvidd: 26 }],
  ['lvidsn', 'above', 'LV_LARGE_SYSTOLE', dog, { lvids: 27 }, { lvids: 25 }],
  ['lviddn-toy', 'above', 'LV_LARGE_TOY', { kg: 3 }, { lvidd: 23.5 }, { lvidd: 22.5 }],
  ['ivsd', 'above', 'WALL_THICK', dog, { ivsd: 10.5 }, { ivsd: 9.8 }],
  ['ivsd', 'below', 'WALL_THIN', dog, { ivsd: 4.8 }, { ivsd: 5.3 }],
  ['lvwd', 'above', 'WALL_THICK', dog, { lvwd: 10.5 }, { lvwd: 9.8 }],
  ['lvwd', 'below', 'WALL_THIN', dog, { lvwd: 4.8 }, { lvwd: 5.3 }],
  ['fs', 'below', 'FS_LOW', dog, { lvidd: 30, lvids: 22.6 }, { lvidd: 30, lvids: 22.5 }],
  ['fs', 'above', 'FS_HIGH', dog, { lvidd: 30, lvids: 15.8 }, { lvidd: 30, lvids: 15.9 }],
  ['ef', 'below', 'EF_LOW', dog, { 'lv-edv': 100, 'lv-esv': 60.1 }, { 'lv-edv': 100, 'lv-esv': 60 }],
  ['epss', 'above', 'EPSS_HIGH', dog, { epss: 6.1 }, { epss: 6 }],
  ['edvi', 'above', 'EDVI_HIGH', { breed: 'doberman', kg: 36 }, { 'lv-edv': 106 }, { 'lv-edv': 104 }],
  ['esvi', 'above', 'ESVI_HIGH', dog, { 'lv-esv': 14.1 }, { 'lv-esv': 14 }],
  ['la-ao', 'above', 'LA_ENLARGED', dog, { 'la-sax': 16, 'ao-sax': 10 }, { 'la-sax': 15.9, 'ao-sax': 10 }],
  ['la-long', 'above', 'LA_LONG_AXIS_ENLARGED', cat, { 'la-long': 15.8 }, { 'la-long': 15.7 }],
  ['vhs', 'above', 'VHS_HIGH', dog, { vhs: 10.6 }, { vhs: 10.5 }],
  ['tapsen', 'below', 'TAPSE_LOW', dog, { tapse: 8 }, { tapse: 9 }],
  ['e-a', 'above', 'E_A_HIGH', cat, { 'mitral-e': 1.78, 'mitral-a': 1 }, { 'mitral-e': 1.77, 'mitral-a': 1 }],
  ['ao-vmax', 'above', 'AORTIC_VELOCITY_HIGH', cat, { 'ao-vmax': 1.41 }, { 'ao-vmax': 1.4 }],
  ['pa-vmax', 'above', 'PULMONIC_VELOCITY_HIGH', cat, { 'pa-vmax': 1.2 }, { 'pa-vmax': 1.19 }],
  ['pa-vmax', 'above', 'PULMONIC_VELOCITY_HIGH', dog, { 'pa-vmax': 1.82 }, { 'pa-vmax': 1.81 }],
  [
    'sphericity',
    'below',
    'ventricle-round',
    dog,
    { lvidd: 30, 'lv-length-d': 49.4 },
    { lvidd: 30, 'lv-length-d': 49.5 },
  ],
  [
    'la-ao-min',
    'above',
    'atrium-large-at-end-diastole',
    cat,
    { 'la-min-sax': 12.9, 'ao-sax': 10 },
    { 'la-min-sax': 12.8, 'ao-sax': 10 },
  ],
  [
    'la-ao-long',
    'above',
    'atrium-failure-group',
    cat,
    { 'la-long': 15, 'ao-annulus': 7.6 },
    { 'la-long': 15, 'ao-annulus': 7.7 },
  ],
  [
    'la-ao-long',
    'above',
    'atrium-large-long-axis',
    dog,
    { 'la-long': 29, 'ao-annulus': 12 },
    { 'la-long': 28.8, 'ao-annulus': 12 },
  ],
  [
    'la-lv-long',
    'above',
    'atrium-large-long-axis',
    dog,
    { 'la-long': 33.1, lvidd: 30 },
    { 'la-long': 33, lvidd: 30 },
  ],
  [
    'lv-ao-long',
    'above',
    'ventricle-large-long-axis',
    dog,
    { lvidd: 30.1, 'ao-annulus': 12 },
    { lvidd: 30, 'ao-annulus': 12 },
  ],
  [
    'la-fs',
    'below',
    'atrium-weak',
    cat,
    { 'la-m-mode-max': 10, 'la-m-mode-min': 8.9 },
    { 'la-m-mode-max': 10, 'la-m-mode-min': 8.8 },
  ],
  ['la-volume-kg', 'above', 'atrium-large-volume', dog, { 'la-volume': 11.1 }, { 'la-volume': 11 }],
  ['laa-vmax', 'below', 'auricle-slow', cat, { 'laa-vmax': 0.19 }, { 'laa-vmax': 0.2 }],
  ['la-strain', 'below', 'atrium-weak', cat, { 'la-strain': 5 }, { 'la-strain': 40 }],
  ['rlad', 'above', 'atrium-large-radiograph', dog, { rlad: 1.9 }, { rlad: 1.8 }],
  [
    'pv-pa',
    'above',
    'vein-wide',
    dog,
    { 'pulmonary-vein': 8.6, 'pulmonary-artery-beside-vein': 5 },
    { 'pulmonary-vein': 8.5, 'pulmonary-artery-beside-vein': 5 },
  ],
  [
    'rpad',
    'below',
    'pulmonary-pressure',
    dog,
    { 'rpa-max': 10, 'rpa-min': 7.1 },
    { 'rpa-max': 10, 'rpa-min': 7 },
  ],
  ['pa-at', 'below', 'pulmonary-pressure', dog, { 'pa-at': 53 }, { 'pa-at': 54 }],
  ['at-et', 'below', 'pulmonary-pressure', dog, { 'pa-at': 58, 'pa-et': 194 }, { 'pa-at': 60, 'pa-et': 200 }],
  [
    'mpa-ao',
    'above',
    'pulmonary-pressure',
    dog,
    { mpa: 10.5, 'ao-beside-mpa': 10 },
    { mpa: 10.4, 'ao-beside-mpa': 10 },
  ],
  ['pr-vmax', 'above', 'pulmonary-pressure', dog, { 'pr-vmax': 2.2 }, { 'pr-vmax': 2.19 }],
  ['s-prime-n', 'below', 'right-function', dog, { 's-prime-rv': 5 }, { 's-prime-rv': 15 }],
  [
    'rv-fac',
    'below',
    'right-function',
    dog,
    { 'rv-area-d': 4, 'rv-area-s': 2.8 },
    { 'rv-area-d': 4, 'rv-area-s': 2.79 },
  ],
  ['rveda-n', 'above', 'right-large', dog, { 'rv-area-d': 14 }, { 'rv-area-d': 4 }],
  ['rvesa-n', 'above', 'right-large', dog, { 'rv-area-s': 9 }, { 'rv-area-s': 2 }],
  ['e-prime', 'below', 'relaxation-slow', cat, { 'e-prime': 3 }, { 'e-prime': 9 }],
  ['aapse', 'below', 'long-axis-weak', cat, { aapse: 1 }, { aapse: 5 }],
  [
    'systolic-pressure',
    'above',
    'pressure-high',
    cat,
    { 'systolic-pressure': 160 },
    { 'systolic-pressure': 159 },
  ],
  ['nt-probnp', 'above', 'bnp-high', LABORATORY, { 'nt-probnp': 300 }, { 'nt-probnp': 20 }],
  ['vpc-24h', 'above', 'extra-beats', { breed: 'doberman', kg: 36 }, { 'vpc-24h': 301 }, { 'vpc-24h': 300 }],
  [
    'qp-qs',
    'above',
    'shunt',
    dog,
    { 'd-lvot': 10, 'vti-lvot': 10, 'd-rvot': 10, 'vti-rvot': 15 },
    { 'd-lvot': 10, 'vti-lvot': 10, 'd-rvot': 10, 'vti-rvot': 14.9 },
  ],
  ['lvidd', 'above', 'LV_LARGE_DIASTOLE', cat, { lvidd: 18.1 }, { lvidd: 18 }],
  ['lvidd', 'below', 'LV_SMALL_DIASTOLE', cat, { lvidd: 11.9 }, { lvidd: 12 }],
  ['lvids', 'above', 'LV_LARGE_SYSTOLE', cat, { lvids: 10.1 }, { lvids: 10 }],
];
const NOTES = new Set(['LV_SMALL_DIASTOLE', 'WALL_THIN', 'FS_HIGH', 'VHS_HIGH', 'PULMONIC_VELOCITY_HIGH']);

describe('outside the limit', () => {
  it.each(ROWS)('%s %s: %s', (index, side, says, parts, outside, inside) => {
    const answerOf = (measure: Measure) => {
      const input = caseOf({ ...parts, measure });
      // The ratios of Strohm 2018 take the ventricle in the long axis.
      if (index.endsWith('-long'))
        for (const m of input.measurements) if (m.code === 'lvidd') m.view = 'rps-long-4ch';
      return interpret(input);
    };
    const flagsOf = (measure: Measure) =>
      answerOf(measure).flags.filter((f) => f.rule.id === `limit.${index}`);
    const answer = answerOf(outside);
    const own = answer.indices.find((i) => i.code === index);
    const [flag, ...others] = flagsOf(outside).filter((f) => f.data.side === side);
    if (!own || !flag) throw new Error(`${index} is not flagged`);
    expect(others).toEqual([]);
    const sentence = /^[A-Z_0-9]+$/.test(says);
    const card = cardOf(flag);
    const limit = own.limits.find((l) => l.id === card.limits[0]);
    expect(flag.code).toBe(sentence ? says : 'OUTSIDE_LIMIT');
    expect(card).toMatchObject({
      level: NOTES.has(says) ? 'note' : 'look',
      urgency: null,
      indices: [index],
      measured: own.measurementIds.map((id) => id.replace('m-', '')),
      sources: [limit?.source],
    });
    expect(card.data).toEqual({
      index,
      value: own.value,
      unit: own.unit,
      bound: side === 'above' ? limit?.upper : limit?.lower,
      side,
      closeness: own.closeness,
      own: parts.breed !== undefined,
      species: parts.species ?? 'dog',
      ...(sentence ? {} : { meaning: says }),
    });
    expect(flagsOf(inside).filter((f) => f.data.side === side)).toEqual([]);
  });

  it('grades the thickest wall of a cat, not each wall', () => {
    expect(flagCodes({ ...cat, measure: { ivsd: 7 } })).toEqual(['CAT_WALL_THICK']);
    expect(flagCodes({ ...dog, measure: { ivsd: 12 } })).toEqual(['WALL_THICK']);
  });
});
