import type { StateAtScan, WordData } from '@chordae/contract';

type Field = keyof StateAtScan;

/** What is asked about the animal at the scan. */
export const stateNames: Record<Field, string> = {
  sedative: 'sedative',
  sedativeAt: 'given at',
  diuretic24h: 'diuretic in the last 24 hours',
  fluids24h: 'fluids in the last 24 hours',
  hydration: 'hydration',
  rhythm: 'rhythm',
  posture: 'posture',
  bodyCondition: 'body condition (of 9)',
  ascites: 'fluid in the belly',
  heartDrugs: 'heart drugs',
};

const yesNo = { yes: 'yes', no: 'no', unknown: 'not known' };

/** The answers to choose from, in the order in which they are offered. */
export const stateValueNames = {
  sedative: {
    none: 'none',
    'alpha-2': 'alpha-2 agonist',
    opioid: 'opioid',
    gabapentin: 'gabapentin',
    other: 'another',
    unknown: 'not known',
  },
  diuretic24h: yesNo,
  fluids24h: yesNo,
  hydration: { normal: 'as it should be', dry: 'dry', overloaded: 'overloaded', unknown: 'not known' },
  rhythm: {
    sinus: 'sinus',
    'atrial-fibrillation': 'atrial fibrillation',
    'other-arrhythmia': 'another arrhythmia',
    unknown: 'not known',
  },
  posture: {
    'lying-right': 'lying on the right',
    'lying-left': 'lying on the left',
    sternal: 'on the chest',
    standing: 'standing',
    unknown: 'not known',
  },
  ascites: yesNo,
} satisfies { [F in Field]?: Record<NonNullable<StateAtScan[F]>, string> };

/** An answer in words; a question without one is 'not asked'. */
export function sayStateValue(field: string, value: WordData[string] | undefined): string {
  if (value === null || value === undefined || value === '') return 'not asked';
  const names: Record<string, Record<string, string>> = stateValueNames;
  return names[field]?.[String(value)] ?? String(value);
}
