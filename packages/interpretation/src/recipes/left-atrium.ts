import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import type { Caution } from '../indices';
import type { Reading } from '../readings';
import type { Recipe } from './recipe';

const ALL = ['dog', 'cat', 'horse', 'ferret', 'rabbit', 'other'] as const;

/** A short-axis ratio measured elsewhere is no short-axis ratio: long-axis LA:Ao is normally about 1.8 to 2.4 (Strohm 2018). */
function shortAxisOnly(_facts: CaseFacts, readings: readonly Reading[]): boolean {
  return readings.every((r) => r.view === null || r.view === 'rps-short-aortic');
}

const shortAxisCautions =
  (index: string) =>
  (facts: CaseFacts, readings: readonly Reading[]): Caution[] => {
    if (!shortAxisOnly(facts, readings)) {
      const view = readings.find((r) => r.view !== null)?.view ?? '';
      return [{ code: 'LA_AO_NOT_SHORT_AXIS', data: { view } }];
    }
    return readings.some((r) => r.view === null) ? [{ code: 'VIEW_NOT_GIVEN', data: { index } }] : [];
  };

/** Indices of the left atrium. A long-axis ratio never meets a short-axis limit: they are different indices. */
export const atrium: readonly Recipe[] = [
  {
    code: 'la-ao',
    name: 'LA:Ao',
    kind: 'atrium',
    unit: 'ratio',
    species: ALL,
    from: ['la-sax', 'ao-sax'],
    formula: { is: 'ratio' },
    cv: 'la-ao',
    cautions: shortAxisCautions('la-ao'),
    gradable: shortAxisOnly,
  },
  {
    // Where no two sizes are there: a ratio needs no scale.
    code: 'la-ao',
    name: 'LA:Ao',
    kind: 'atrium',
    unit: 'ratio',
    species: ALL,
    from: ['la-ao-ratio'],
    formula: { is: 'as-measured' },
    cv: 'la-ao',
    when: (facts) => reading(facts, 'la-sax') === null || reading(facts, 'ao-sax') === null,
    cautions: (facts, readings) => [
      { code: 'RATIO_BY_PIXELS', data: {} },
      ...shortAxisCautions('la-ao')(facts, readings),
    ],
    gradable: shortAxisOnly,
  },
  {
    code: 'la-ao-min',
    name: 'LA:Ao at end-diastole',
    kind: 'atrium',
    unit: 'ratio',
    species: ['cat'],
    from: ['la-min-sax', 'ao-sax'],
    formula: { is: 'ratio' },
    cautions: shortAxisCautions('la-ao-min'),
    gradable: shortAxisOnly,
  },
  {
    code: 'la-long',
    name: 'LA (long axis)',
    kind: 'atrium',
    unit: 'mm',
    species: ALL,
    from: ['la-long'],
    formula: { is: 'as-measured' },
    cv: 'la-long',
  },
  {
    code: 'la-ao-long',
    name: 'LA:Ao (long axis)',
    kind: 'atrium',
    unit: 'ratio',
    species: ['dog', 'cat', 'horse'],
    from: ['la-long', 'ao-annulus'],
    inputs: ['LA', 'annulus'],
    formula: { is: 'ratio' },
    cv: 'long-axis-ratio',
  },
  {
    code: 'la-lv-long',
    name: 'LA:LV (long axis)',
    kind: 'atrium',
    unit: 'ratio',
    species: ['dog'],
    from: ['la-long', 'lvidd'],
    on: { 'la-long': 'rps-long-4ch', lvidd: 'rps-long-4ch' },
    inputs: ['LA', 'LVIDd'],
    formula: { is: 'ratio' },
    cv: 'long-axis-ratio',
  },
  {
    code: 'lv-ao-long',
    name: 'LV:Ao (long axis)',
    kind: 'size',
    unit: 'ratio',
    species: ['dog'],
    from: ['lvidd', 'ao-annulus'],
    on: { lvidd: 'rps-long-4ch' },
    inputs: ['LVIDd', 'annulus'],
    formula: { is: 'ratio' },
    cv: 'long-axis-ratio',
  },
  {
    code: 'la-fs',
    name: 'LA-FS',
    kind: 'function',
    unit: '%',
    species: ['cat'],
    from: ['la-m-mode-max', 'la-m-mode-min'],
    formula: { is: 'less' },
  },
  {
    code: 'la-volume',
    name: 'LA volume',
    kind: 'atrium',
    unit: 'ml',
    species: ['cat'],
    from: ['la-volume'],
    formula: { is: 'as-measured' },
  },
  {
    code: 'la-volume-kg',
    name: 'LA volume over weight',
    kind: 'atrium',
    unit: 'ml/kg^1',
    species: ['dog'],
    from: ['la-volume'],
    formula: { is: 'per-kg', exponent: 1, by: 1 },
  },
  {
    code: 'laa-vmax',
    name: 'Auricle Vmax',
    kind: 'inflow',
    unit: 'm/s',
    species: ['cat'],
    from: ['laa-vmax'],
    formula: { is: 'as-measured' },
  },
  {
    code: 'la-strain',
    name: 'LA reservoir strain',
    kind: 'function',
    unit: '%',
    species: ['cat'],
    from: ['la-strain'],
    formula: { is: 'as-measured' },
  },
  {
    code: 'pv-pa',
    name: 'PV:PA',
    kind: 'atrium',
    unit: 'ratio',
    species: ['dog'],
    from: ['pulmonary-vein', 'pulmonary-artery-beside-vein'],
    inputs: ['vein', 'artery'],
    formula: { is: 'ratio' },
    cv: 'right-heart-ratio',
  },
  {
    code: 'vhs',
    name: 'VHS',
    kind: 'radiograph',
    unit: 'ratio',
    species: ALL,
    from: ['vhs'],
    formula: { is: 'as-measured' },
  },
  {
    code: 'rlad',
    name: 'RLAD',
    kind: 'radiograph',
    unit: 'ratio',
    species: ['dog'],
    from: ['rlad'],
    formula: { is: 'as-measured' },
  },
];
