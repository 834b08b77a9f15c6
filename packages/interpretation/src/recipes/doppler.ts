import type { MeasurementCode, Species } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import type { Recipe } from './recipe';

const ALL = ['dog', 'cat', 'horse', 'ferret', 'rabbit', 'other'] as const;

/** Pressure gradient in mmHg from a peak velocity in m/s: 4·v² (simplified Bernoulli). `gradientMmHg(3.69)` is 54.5. */
export function gradientMmHg(velocity: number): number {
  return 4 * velocity * velocity;
}

/** true when separate E and A are not to be expected at the heart rate given (cat, above 190/min; Petric 2012, 10.1016/j.jvc.2012.04.004). */
export function wavesFused(facts: CaseFacts): boolean {
  const rate = reading(facts, 'heart-rate');
  return facts.species === 'cat' && rate !== null && rate.value > 190;
}

/** A velocity before the narrowing from which it may no longer be left out (approximately 1 m/s; echo textbooks, from memory). */
const PROXIMAL_FROM = 1;

function proximalCounts(facts: CaseFacts): boolean {
  const before = reading(facts, 'lvot-vmax');
  const jet = reading(facts, 'ao-vmax');
  return before !== null && jet !== null && before.value > PROXIMAL_FROM && before.value < jet.value;
}

function gradient(code: string, from: MeasurementCode, name: string, input: string): Recipe {
  return {
    code,
    name,
    kind: 'gradient',
    unit: 'mmHg',
    species: ALL,
    from: [from],
    inputs: [input],
    formula: { is: 'gradient' },
  };
}

function velocity(code: MeasurementCode, name: string, species: readonly Species[]): Recipe {
  return {
    code,
    name,
    kind: 'gradient',
    unit: 'm/s',
    species,
    from: [code],
    formula: { is: 'as-measured' },
  };
}

/** Gradients and outlet velocities. */
export const outflow: readonly Recipe[] = [
  { ...gradient('ao-gradient', 'ao-vmax', 'Aortic gradient', 'Vmax'), when: (f) => !proximalCounts(f) },
  {
    code: 'ao-gradient',
    name: 'Aortic gradient',
    kind: 'gradient',
    unit: 'mmHg',
    species: ALL,
    from: ['ao-vmax', 'lvot-vmax'],
    inputs: ['Vmax', 'before it'],
    formula: { is: 'gradient-less' },
    when: proximalCounts,
    cautions: () => [{ code: 'PROXIMAL_VELOCITY_TAKEN_OFF', data: {} }],
  },
  gradient('pa-gradient', 'pa-vmax', 'Pulmonic gradient', 'Vmax'),
  gradient('tr-gradient', 'tr-vmax', 'Tricuspid gradient', 'TR Vmax'),
  gradient('mr-gradient', 'mr-vmax', 'Mitral gradient', 'MR Vmax'),
  velocity('ao-vmax', 'Aortic Vmax', ['cat', 'dog']),
  velocity('pa-vmax', 'Pulmonic Vmax', ['cat', 'dog']),
  velocity('tr-vmax', 'TR Vmax', ['dog']),
  velocity('pr-vmax', 'PR Vmax', ['dog', 'cat']),
  velocity('duct-vmax', 'Duct Vmax', ['dog']),
  {
    code: 'qp-qs',
    name: 'Qp:Qs',
    kind: 'gradient',
    unit: 'ratio',
    species: ['dog'],
    from: ['d-rvot', 'vti-rvot', 'd-lvot', 'vti-lvot'],
    formula: { is: 'flows' },
    cautions: () => [{ code: 'FLOWS_EXCHANGED_WITH_DUCT', data: {} }],
  },
];

/** Mitral inflow and tissue velocities. */
export const diastole: readonly Recipe[] = [
  {
    code: 'e-a',
    name: 'E:A',
    kind: 'inflow',
    unit: 'ratio',
    species: ALL,
    from: ['mitral-e', 'mitral-a'],
    formula: { is: 'ratio' },
    when: (facts) => !wavesFused(facts),
  },
  {
    code: 'e-ivrt',
    name: 'E:IVRT',
    kind: 'inflow',
    unit: 'ratio',
    species: ['dog'],
    from: ['mitral-e', 'ivrt'],
    // E in cm/s over IVRT in ms, as in the source.
    formula: { is: 'ratio', by: 100 },
  },
  ...(
    [
      ['mitral-e', 'E', 'm/s'],
      ['mitral-a', 'A', 'm/s'],
      ['ivrt', 'IVRT', 'ms'],
    ] as const
  ).map(
    ([code, name, unit]): Recipe => ({
      code,
      name,
      kind: 'inflow',
      unit,
      species: ['cat'],
      from: [code],
      formula: { is: 'as-measured' },
      when: (facts) => !wavesFused(facts),
    }),
  ),
  ...(
    [
      ['e-prime', 'E′', 'cm/s'],
      ['aapse', 'AAPSE', 'mm'],
      ['mapse-free-wall', 'MAPSE (free wall)', 'mm'],
      ['mapse-septum', 'MAPSE (septum)', 'mm'],
      ['tapse', 'TAPSE', 'mm'],
    ] as const
  ).map(
    ([code, name, unit]): Recipe => ({
      code,
      name,
      kind: 'inflow',
      unit,
      species: ['cat'],
      from: [code],
      formula: { is: 'as-measured' },
    }),
  ),
];
