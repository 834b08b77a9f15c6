import type { Interpretation } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { sayPrintedPatient, sourcesOf } from './en/printed-page';

type Patient = Parameters<typeof sayPrintedPatient>[0];
const patient = (more: Partial<Patient> = {}) =>
  sayPrintedPatient({
    name: 'Pebble',
    number: 7,
    species: 'dog',
    breedText: 'mixed',
    sex: 'female',
    neutered: false,
    ageMonths: 120,
    weightKg: 7.4,
    weightGuessed: false,
    chip: null,
    ...more,
  });

describe('the patient in one line', () => {
  it('says what was not given', () => {
    expect(patient()).not.toContain('not given');
    expect(patient()).not.toContain('neuter');
    expect(patient({ neutered: null })).toContain('female, neutering not given');
    expect(patient({ neutered: true, sex: 'unknown' })).toContain('sex not given, neutered');
    expect(patient({ breedText: ' ' })).toContain('breed not given');
  });
});

describe('the sources', () => {
  const cited = (many: number) =>
    sourcesOf({
      indices: [],
      flags: [
        {
          sources: Array.from({ length: many }, (_, n) => ({
            citation: `Source ${n}`,
            doi: null,
            status: 'primary',
          })),
        },
      ],
    } as unknown as Interpretation);

  it('end with how many more there are', () => {
    expect(cited(12)).toHaveLength(12);
    expect(cited(15)).toHaveLength(13);
    expect(cited(15).at(-1)).toBe('and 3 more, named in the case');
  });
});
