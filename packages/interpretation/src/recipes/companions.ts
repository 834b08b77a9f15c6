import type { Recipe } from './recipe';

/** Findings that come with a scan: blood pressure, NT-proBNP, extra beats in 24 hours. */
export const companions: readonly Recipe[] = [
  {
    code: 'systolic-pressure',
    name: 'Systolic blood pressure',
    kind: 'companion',
    unit: 'mmHg',
    species: ['dog', 'cat'],
    from: ['systolic-pressure'],
    formula: { is: 'as-measured' },
    cautions: () => [{ code: 'PRESSURE_NEEDS_CALM_AND_REPEATS', data: {} }],
  },
  {
    code: 'nt-probnp',
    name: 'NT-proBNP',
    kind: 'companion',
    unit: 'pmol/l',
    species: ['cat'],
    from: ['nt-probnp'],
    formula: { is: 'as-measured' },
    cv: 'nt-probnp',
    cautions: () => [{ code: 'BNP_BELONGS_TO_ITS_ASSAY', data: {} }],
  },
  {
    code: 'vpc-24h',
    name: 'VPC in 24 h',
    kind: 'companion',
    unit: 'count',
    species: ['dog'],
    from: ['vpc-24h'],
    formula: { is: 'as-measured' },
    cautions: () => [{ code: 'EXTRA_BEATS_VARY_BETWEEN_DAYS', data: {} }],
  },
];
