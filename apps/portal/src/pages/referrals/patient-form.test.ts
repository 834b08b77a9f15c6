import { describe, expect, it } from 'vitest';
import { EMPTY_PATIENT, readBirth, readBreed, readPatient } from './patient-form';

const now = new Date('2026-11-25T10:00:00Z');
const dog = { ...EMPTY_PATIENT, name: ' Biscuit ', species: 'dog', sex: 'male' } as const;

describe('birth date or age', () => {
  it('reads dates with the precision they have', () => {
    expect(readBirth('2018-05-03', now)).toEqual({ birthDate: '2018-05-03', birthPrecision: 'day' });
    expect(readBirth('3.5.2018', now)).toEqual({ birthDate: '2018-05-03', birthPrecision: 'day' });
    expect(readBirth('5/2018', now)).toEqual({ birthDate: '2018-05-01', birthPrecision: 'month' });
    expect(readBirth('2018', now)).toEqual({ birthDate: '2018-01-01', birthPrecision: 'year' });
  });

  it('takes an age for a guessed date', () => {
    expect(readBirth('8 y', now)).toEqual({ birthDate: '2018-11-25', birthPrecision: 'guessed' });
    expect(readBirth('10 weeks', now)).toMatchObject({ birthDate: '2026-09-16', birthPrecision: 'guessed' });
  });

  it('refuses days that do not exist, the future, and words', () => {
    expect(readBirth('2018-02-30', now)).toBeNull();
    expect(readBirth('2027-01-01', now)).toBe('future');
    expect(readBirth('old', now)).toBeNull();
  });
});

describe('a new patient', () => {
  it('is read without a weight, and none is made up', () => {
    const read = readPatient(dog, now);
    expect(read).toMatchObject({
      ok: true,
      value: { weight: null, patient: { name: 'Biscuit', neutered: null, birthDate: null } },
    });
  });

  it('keeps pounds as typed and computes kilograms', () => {
    const read = readPatient({ ...dog, weight: '16,3 lb', weightHow: 'guessed' }, now);
    expect(read.ok && read.value.weight).toMatchObject({ asTyped: '16,3 lb', guessed: true });
    // 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959).
    expect(read.ok && read.value.weight?.weightKg).toBeCloseTo(16.3 * 0.45359237, 9);
  });

  it('asks for the unit, for how it was weighed, and refuses a dog of 3,000 kg and of zero', () => {
    const problems = (part: object) => {
      const read = readPatient({ ...dog, weightHow: 'measured', ...part }, now);
      return read.ok ? [] : Object.keys(read.problems);
    };
    expect(problems({ weight: '7.4' })).toEqual(['weight']);
    expect(problems({ weight: '7.4 kg', weightHow: '' })).toEqual(['weightHow']);
    expect(problems({ weight: '3000 kg' })).toEqual(['weight']);
    expect(problems({ weight: '0 kg' })).toEqual(['weight']);
    expect(problems({ weight: '-4 kg' })).toEqual(['weight']);
    expect(problems({ weight: '7.4 kg' })).toEqual([]);
  });

  it('needs name, species and sex', () => {
    const read = readPatient(EMPTY_PATIENT, now);
    expect(read.ok ? [] : Object.keys(read.problems)).toEqual(['name', 'species', 'sex']);
  });

  it('knows a breed of the list in any case, and keeps others as free text', () => {
    expect(readBreed('beagle', 'dog')).toEqual({ breedCode: 'beagle', breedText: 'Beagle' });
    expect(readBreed('Beagle', 'cat')).toEqual({ breedCode: null, breedText: 'Beagle' });
    expect(readBreed(' terrier cross ', 'dog')).toEqual({ breedCode: null, breedText: 'terrier cross' });
  });
});
