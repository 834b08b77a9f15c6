import type { MeasurementCode } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import type { Caution } from '../indices';
import { limitsFor } from '../limits/apply-limit';
import type { Reading } from '../readings';
import type { Recipe } from './recipe';

const ALL = ['dog', 'cat', 'horse', 'ferret', 'rabbit', 'other'] as const;

const mixed =
  (index: string) =>
  (_facts: CaseFacts, [a, b]: readonly Reading[]): Caution[] =>
    a?.view !== b?.view || a?.method !== b?.method
      ? [{ code: 'MIXED_VIEWS_OR_METHODS', data: { index } }]
      : [];

/** A wall carries its view and mode: in cats the long axis reads about 0.4 mm thicker (Novo Matos 2023). */
export function wallCautions(facts: CaseFacts, size: Reading): Caution[] {
  if (facts.species !== 'cat') return [];
  const data = { measurement: size.code, view: size.view ?? '' };
  if (size.view === null) return [{ code: 'WALL_VIEW_NOT_GIVEN', data }];
  if (size.method === 'm-mode') return [{ code: 'WALL_M_MODE', data }];
  return size.view.startsWith('rps-long') ? [{ code: 'WALL_LONG_AXIS_READS_THICKER', data }] : [];
}

/**
 * A dog's cavity is graded by its weight-normalised size: the plain one stands only for a breed's own limits, or where no
 * weight is known, so that it is not lost.
 */
function plainIsShown(facts: CaseFacts, code: string): boolean {
  if (facts.species !== 'dog' || facts.kg === null) return true;
  return facts.breed !== null && limitsFor(facts, code).all.length > 0;
}

const isDog = (facts: CaseFacts): boolean => facts.species === 'dog';

function size(code: MeasurementCode, name: string, wall: boolean): Recipe {
  return {
    code,
    name,
    kind: wall ? 'wall' : 'size',
    unit: 'mm',
    species: ALL,
    from: [code],
    formula: { is: 'as-measured' },
    usesWeight: isDog,
    ...(wall
      ? { cautions: (facts, [r]) => (r ? wallCautions(facts, r) : []) }
      : { when: (facts) => plainIsShown(facts, code) }),
  };
}

/** Weight-normalised size = cm / kg^exponent. An exponent belongs to its author's limits and to no others. */
function normalised(
  code: string,
  from: MeasurementCode,
  name: string,
  input: string,
  exponent: number,
  maxKgBelow?: number,
): Recipe {
  return {
    code,
    name,
    kind: 'size',
    unit: `cm/kg^${exponent}`,
    species: ['dog'],
    from: [from],
    inputs: [input],
    formula: { is: 'per-kg', exponent, by: 0.1 },
    ...(maxKgBelow === undefined ? {} : { when: (facts) => facts.kg !== null && facts.kg < maxKgBelow }),
  };
}

/** Sizes of the left ventricle: Cornell 2004 for dogs, under 5 kg Isayama 2022, others as measured. */
export const ventricleSizes: readonly Recipe[] = [
  normalised('lviddn', 'lvidd', 'LVIDDN', 'LVIDd', 0.294),
  normalised('lvidsn', 'lvids', 'LVIDSN', 'LVIDs', 0.315),
  normalised('lviddn-toy', 'lvidd', 'LVIDDN (toy)', 'LVIDd', 0.332, 5),
  size('lvidd', 'LVIDd', false),
  size('lvids', 'LVIDs', false),
  size('ivsd', 'IVSd', true),
  size('ivss', 'IVSs', true),
  size('lvwd', 'LVWd', true),
  size('lvws', 'LVWs', true),
];

/** Function and shape of the left ventricle. */
export const ventricleFunction: readonly Recipe[] = [
  {
    code: 'fs',
    name: 'FS',
    kind: 'function',
    unit: '%',
    species: ALL,
    from: ['lvidd', 'lvids'],
    formula: { is: 'less' },
    cv: 'fs',
    cautions: mixed('fs'),
  },
  {
    // Where no two sizes are there: a ratio needs no scale.
    code: 'fs',
    name: 'FS',
    kind: 'function',
    unit: '%',
    species: ALL,
    from: ['fs-ratio'],
    formula: { is: 'as-measured' },
    cv: 'fs',
    when: (facts) => reading(facts, 'lvidd') === null || reading(facts, 'lvids') === null,
    cautions: () => [{ code: 'RATIO_BY_PIXELS', data: {} }],
  },
  {
    code: 'epss',
    name: 'EPSS',
    kind: 'size',
    unit: 'mm',
    species: ALL,
    from: ['epss'],
    formula: { is: 'as-measured' },
    // General practitioners measure it neither repeatably nor reliably (Kennedy 2026, 10.1093/jvimsj/aalaf090).
    cautions: () => [{ code: 'EPSS_HARD_TO_REPEAT', data: {} }],
  },
  {
    code: 'sphericity',
    name: 'Sphericity index',
    kind: 'size',
    unit: 'ratio',
    species: ['dog'],
    from: ['lv-length-d', 'lvidd'],
    inputs: ['length', 'LVIDd'],
    formula: { is: 'ratio' },
  },
  ...(['edvi', 'esvi'] as const).map(
    (code): Recipe => ({
      code,
      name: code.toUpperCase(),
      kind: 'size',
      unit: 'ml/m2',
      species: ['dog'],
      from: [code === 'edvi' ? 'lv-edv' : 'lv-esv'],
      formula: { is: 'per-surface' },
      cv: code,
    }),
  ),
  {
    code: 'ef',
    name: 'EF',
    kind: 'function',
    unit: '%',
    species: ALL,
    from: ['lv-edv', 'lv-esv'],
    formula: { is: 'less' },
    cautions: (_facts, [a, b]) =>
      a?.view === b?.view ? [] : [{ code: 'MIXED_VIEWS_OR_METHODS', data: { index: 'ef' } }],
  },
  {
    // Volumes from one diameter overestimate a round ventricle (Serres 2008, 10.1111/j.1939-1676.2008.0097.x): never graded.
    code: 'ef-teichholz',
    name: 'EF (Teichholz)',
    kind: 'function',
    unit: '%',
    species: ['dog', 'cat', 'ferret', 'rabbit', 'other'],
    from: ['lvidd', 'lvids'],
    formula: { is: 'teichholz' },
    cautions: () => [{ code: 'TEICHHOLZ_ASSUMES_SHAPE', data: {} }],
    gradable: () => false,
  },
];
