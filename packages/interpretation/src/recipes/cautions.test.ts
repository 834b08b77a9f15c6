/**
 * What is said beside a number: mixed views, a wall's view and mode (cats: the long axis reads thicker, Novo Matos 2023), EPSS
 * (Kennedy 2026, 10.1093/jvimsj/aalaf090), Teichholz (Serres 2008, 10.1111/j.1939-1676.2008.0097.x), companion findings.
 */
import type { InterpretationInput, MeasurementCode } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { indexUnit, scalingOf } from './index';

type Measured = InterpretationInput['measurements'][number];
type Changes = Partial<Record<MeasurementCode, Partial<Measured>>>;
const indexOf = (code: string, parts: CaseParts, changes: Changes = {}) => {
  const input = caseOf(parts);
  for (const m of input.measurements) Object.assign(m, changes[m.code]);
  return interpret(input).indices.find((i) => i.code === code);
};
const caution = (index: ReturnType<typeof indexOf>, code: string) =>
  index?.cautions.find((c) => c.code === code)?.data;
const dog: CaseParts = { kg: 10, plan: 'outflow' };
const cat: CaseParts = { species: 'cat' };

describe('two inputs of one number', () => {
  const LV: CaseParts = { ...dog, measure: { lvidd: 35, lvids: 22 } };
  const VOLUMES: CaseParts = { ...dog, measure: { 'lv-edv': 40, 'lv-esv': 15 } };

  it('are said to be of other views or methods where they are', () => {
    const mixed = { index: 'fs' };
    expect(caution(indexOf('fs', LV), 'MIXED_VIEWS_OR_METHODS')).toBeUndefined();
    expect(caution(indexOf('fs', LV, { lvids: { method: 'm-mode' } }), 'MIXED_VIEWS_OR_METHODS')).toEqual(
      mixed,
    );
    expect(caution(indexOf('fs', LV, { lvids: { view: 'rps-long-4ch' } }), 'MIXED_VIEWS_OR_METHODS')).toEqual(
      mixed,
    );
    expect(caution(indexOf('ef', VOLUMES), 'MIXED_VIEWS_OR_METHODS')).toBeUndefined();
    expect(
      caution(indexOf('ef', VOLUMES, { 'lv-esv': { view: 'lap-4ch' } }), 'MIXED_VIEWS_OR_METHODS'),
    ).toEqual({
      index: 'ef',
    });
  });

  it('make no short-axis ratio in another view: shown, not graded', () => {
    const LA: CaseParts = { ...dog, measure: { 'la-sax': 20, 'ao-sax': 12 } };
    expect(indexOf('la-ao', LA)?.position).toBe('above');
    for (const changes of [
      { 'la-sax': { view: 'rps-long-4ch' } },
      { 'ao-sax': { view: 'rps-long-4ch' } },
      { 'la-sax': { view: null }, 'ao-sax': { view: 'rps-long-4ch' } },
    ] as const) {
      const index = indexOf('la-ao', LA, changes);
      expect(index?.position).toBe('not-graded');
      const view = changes['la-sax'] && changes['la-sax'].view === null ? 'rps-long-4ch' : undefined;
      expect(caution(index, 'LA_AO_NOT_SHORT_AXIS')).toEqual({
        view: view ?? (changes['la-sax'] ? 'rps-long-4ch' : 'rps-short-aortic'),
      });
    }
  });

  it('without a view are graded, and the missing view is said', () => {
    const LA: CaseParts = { ...dog, measure: { 'la-sax': 20, 'ao-sax': 12 } };
    expect(caution(indexOf('la-ao', LA), 'VIEW_NOT_GIVEN')).toBeUndefined();
    for (const changes of [{ 'la-sax': { view: null } }, { 'ao-sax': { view: null } }] as const) {
      const index = indexOf('la-ao', LA, changes);
      expect(index?.position).toBe('above');
      expect(caution(index, 'VIEW_NOT_GIVEN')).toEqual({ index: 'la-ao' });
    }
  });
});

describe('walls of a cat', () => {
  const WALL: CaseParts = { ...cat, measure: { ivsd: 5.5 } };

  it('carry their view and mode', () => {
    const said = (changes: Partial<Measured>) =>
      indexOf('ivsd', WALL, { ivsd: changes })?.cautions.filter((c) => c.code.startsWith('WALL_'));
    expect(said({})).toEqual([]);
    expect(said({ view: null })).toEqual([
      { code: 'WALL_VIEW_NOT_GIVEN', data: { measurement: 'ivsd', view: '' } },
    ]);
    expect(said({ method: 'm-mode' })).toEqual([
      { code: 'WALL_M_MODE', data: { measurement: 'ivsd', view: 'rps-short-papillary' } },
    ]);
    expect(said({ view: 'rps-long-4ch' })).toEqual([
      { code: 'WALL_LONG_AXIS_READS_THICKER', data: { measurement: 'ivsd', view: 'rps-long-4ch' } },
    ]);
  });

  it('and not those of a dog', () => {
    const index = indexOf('ivsd', { ...dog, measure: { ivsd: 8 } }, { ivsd: { view: null } });
    expect(index?.cautions.map((c) => c.code)).not.toContain('WALL_VIEW_NOT_GIVEN');
  });
});

describe('the plain size of a ventricle', () => {
  const codes = (parts: CaseParts) =>
    interpret(caseOf({ ...parts, measure: { lvidd: 40, lvids: 25 } })).indices.map((i) => i.code);

  it('gives way to the weight-normalised one, unless the breed has limits of its own or no weight is known', () => {
    expect(codes({ kg: 20 })).not.toContain('lvidd');
    expect(codes({ kg: 36, breed: 'doberman' })).toEqual(
      expect.arrayContaining(['lvidd', 'lvids', 'lviddn']),
    );
    expect(codes({ kg: 30, breed: 'boxer' })).not.toContain('lvidd');
    expect(codes({ kg: 30, breed: null })).not.toContain('lvidd');
    expect(codes({ kg: null })).toEqual(expect.arrayContaining(['lvidd', 'lvids']));
    expect(codes({ kg: null })).not.toContain('lviddn');
  });

  it('of a dog under 5 kg is scaled by its own exponent as well (Isayama 2022)', () => {
    expect(codes({ kg: 4.9, breed: null })).toContain('lviddn-toy');
    expect(codes({ kg: 5, breed: null })).not.toContain('lviddn-toy');
    expect(codes({ kg: null })).not.toContain('lviddn-toy');
  });

  it('without a weight says so in a dog and is graded in a cat', () => {
    const size = (parts: CaseParts) => indexOf('lvidd', { ...parts, measure: { lvidd: 15 } });
    expect(caution(size({ kg: null }), 'WEIGHT_MISSING')).toEqual({ index: 'lvidd' });
    expect(size({ ...cat, kg: null })?.position).toBe('within');
  });
});

describe('numbers that carry a caution of their own', () => {
  it.each([
    ['epss', dog, { epss: 4 }, 'EPSS_HARD_TO_REPEAT'],
    ['ef-teichholz', dog, { lvidd: 35, lvids: 22 }, 'TEICHHOLZ_ASSUMES_SHAPE'],
    ['ao-gradient', dog, { 'ao-vmax': 3, 'lvot-vmax': 1.4 }, 'PROXIMAL_VELOCITY_TAKEN_OFF'],
    ['systolic-pressure', dog, { 'systolic-pressure': 150 }, 'PRESSURE_NEEDS_CALM_AND_REPEATS'],
    ['nt-probnp', cat, { 'nt-probnp': 80 }, 'BNP_ASSAY_NOT_GIVEN'],
    ['nt-probnp', dog, { 'nt-probnp': 800 }, 'BNP_ASSAY_NOT_GIVEN'],
    ['vpc-24h', dog, { 'vpc-24h': 20 }, 'EXTRA_BEATS_VARY_BETWEEN_DAYS'],
    [
      'qp-qs',
      dog,
      { 'd-lvot': 11, 'vti-lvot': 10, 'd-rvot': 12, 'vti-rvot': 16 },
      'FLOWS_EXCHANGED_WITH_DUCT',
    ],
  ] as const)('%s', (code, parts, measure, said) => {
    expect(caution(indexOf(code, { ...parts, measure }), said)).toEqual({});
  });

  it('Teichholz is never graded', () => {
    const index = indexOf('ef-teichholz', { ...dog, measure: { lvidd: 35, lvids: 34 } });
    expect(index).toMatchObject({ position: 'not-graded', limits: [], grades: [] });
  });

  it('E and A of a cat fuse above 190 per minute, not at it (Petric 2012, 10.1016/j.jvc.2012.04.004), and not of a dog', () => {
    const waves = (rate: number, parts: CaseParts = cat) =>
      indexOf('e-a', { ...parts, measure: { 'mitral-e': 0.8, 'mitral-a': 0.5, 'heart-rate': rate } });
    expect(waves(190)).toBeDefined();
    expect(waves(191)).toBeUndefined();
    expect(waves(200, dog)).toBeDefined();
    expect(indexOf('mitral-e', { ...cat, measure: { 'mitral-e': 0.8, 'heart-rate': 191 } })).toBeUndefined();
  });
});

describe('what a recipe tells others', () => {
  it('how an index scales with the weight, and its unit', () => {
    expect(scalingOf('lviddn')).toEqual({ exponent: 0.294, from: 'lvidd' });
    expect(scalingOf('tapsen')).toEqual({ exponent: 0.285, from: 'tapse' });
    expect(scalingOf('fs')).toBeNull();
    expect(scalingOf('edvi')).toBeNull();
    expect(scalingOf('no-such-index')).toBeNull();
    expect(indexUnit('fs')).toBe('%');
    expect(indexUnit('ao-vmax')).toBe('m/s');
    expect(indexUnit('pa-500')).toBe('mm');
  });

  it('NT-proBNP is graded as a laboratory’s number only (Fox 2011; the kind of its assay from memory)', () => {
    const by = (assay: string | null, pmolPerL = 120) =>
      indexOf('nt-probnp', {
        ...cat,
        measure: { 'nt-probnp': pmolPerL },
        ...(assay === null ? {} : { observe: { 'nt-probnp-assay': assay } }),
      });
    const said = (assay: string | null) => by(assay)?.cautions.map((c) => c.code);
    expect(by('laboratory-number')).toMatchObject({ position: 'above', grades: [{ code: 'above-99' }] });
    expect(said('laboratory-number')).toContain('BNP_BELONGS_TO_ITS_ASSAY');
    for (const assay of ['in-clinic-number', 'in-clinic-yes-no', 'other']) {
      expect(by(assay)).toMatchObject({ position: 'not-graded', grades: [] });
      expect(said(assay)).toContain('BNP_OTHER_ASSAY');
    }
    for (const assay of ['unknown', null]) {
      expect(by(assay)).toMatchObject({ position: 'not-graded', grades: [] });
      expect(said(assay)).toContain('BNP_ASSAY_NOT_GIVEN');
    }
  });

  it('a ratio of pixels is graded as the ratio of two sizes is, says so, and gives way to the two sizes', () => {
    const byPixels = indexOf('la-ao', { ...dog, measure: { 'la-ao-ratio': 1.7 } });
    expect(byPixels).toMatchObject({ value: 1.7, position: 'above', measurementIds: ['m-la-ao-ratio'] });
    expect(caution(byPixels, 'RATIO_BY_PIXELS')).toEqual({});
    const both = indexOf('la-ao', { ...dog, measure: { 'la-ao-ratio': 1.7, 'la-sax': 14, 'ao-sax': 10 } });
    expect(both?.value).toBeCloseTo(1.4, 9);
    expect(caution(both, 'RATIO_BY_PIXELS')).toBeUndefined();
    const fs = indexOf('fs', { ...dog, measure: { 'fs-ratio': 20, lvidd: 30 } });
    expect(fs).toMatchObject({ value: 20, position: 'below' });
    expect(caution(fs, 'RATIO_BY_PIXELS')).toEqual({});
    // No size comes of it.
    expect(indexOf('lviddn', { ...dog, measure: { 'fs-ratio': 20 } })).toBeUndefined();
  });
});
