import type { MeasurementCode } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { allAnswered, answered } from '../case-facts';
import type { Recipe } from './recipe';

const ALL = ['dog', 'cat', 'horse'] as const;

/** A value that stands in the case without a published limit here: shown, not graded. */
function plain(code: MeasurementCode, name: string, unit: string): Recipe {
  return { code, name, kind: 'companion', unit, species: ALL, from: [code], formula: { is: 'as-measured' } };
}

/** Fox 2011, whose limit is held here, measured in a laboratory (kind of assay from memory). */
function byLaboratory(facts: CaseFacts): boolean {
  return allAnswered(facts, 'nt-probnp-assay', 'laboratory-number');
}

function bnpCaution(facts: CaseFacts): string {
  if (byLaboratory(facts)) return 'BNP_BELONGS_TO_ITS_ASSAY';
  const other = answered(facts, 'nt-probnp-assay', 'in-clinic-number', 'in-clinic-yes-no', 'other');
  return other ? 'BNP_OTHER_ASSAY' : 'BNP_ASSAY_NOT_GIVEN';
}

/** Findings that come with a scan: blood pressure, NT-proBNP, extra beats in 24 hours, blood values, breathing asleep. */
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
    species: ['dog', 'cat'],
    from: ['nt-probnp'],
    formula: { is: 'as-measured' },
    cv: 'nt-probnp',
    gradable: byLaboratory,
    cautions: (facts) => [{ code: bnpCaution(facts), data: {} }],
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
  plain('t4', 'T4', 'nmol/l'),
  plain('potassium', 'Potassium', 'mmol/l'),
  plain('creatinine', 'Creatinine', 'umol/l'),
  plain('packed-cell-volume', 'Packed cell volume', '%'),
  plain('sleeping-breathing-rate', 'Breathing rate asleep', '/min'),
];
