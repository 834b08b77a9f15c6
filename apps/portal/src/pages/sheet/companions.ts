import type { MeasurementCode, Species } from '@chordae/contract';

/** Findings that come with a scan and are measured elsewhere, in the order of their part; horses have no score of a chest radiograph. */
const companions: readonly (readonly [MeasurementCode, readonly Species[] | 'all'])[] = [
  ['systolic-pressure', 'all'],
  ['t4', 'all'],
  ['potassium', 'all'],
  ['creatinine', 'all'],
  ['packed-cell-volume', 'all'],
  ['nt-probnp', 'all'],
  ['vhs', ['dog', 'cat']],
  ['rlad', ['dog']],
  ['sleeping-breathing-rate', 'all'],
];

export function isCompanion(code: MeasurementCode): boolean {
  return companions.some(([companion]) => companion === code);
}

/** What is asked for in a species, and whatever else was given. */
export function companionsOf(species: Species, given: readonly MeasurementCode[]): MeasurementCode[] {
  return companions
    .filter(([code, asked]) => asked === 'all' || asked.includes(species) || given.includes(code))
    .map(([code]) => code);
}
