import type { MachineSays, PatientView } from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareIdentity } from './identity';

const silent = {
  patientName: null,
  patientNumber: null,
  speciesText: null,
  breedText: null,
  sexText: null,
  birthDate: null,
  weightKg: null,
  scannedOn: null,
  localTime: null,
  heartRate: null,
  manufacturer: null,
  model: null,
  probe: null,
} as MachineSays;
const pebble = {
  name: 'Pebble',
  species: 'dog',
  sex: 'female',
  weight: { id: 'w', weightKg: 7.4, asTyped: '7.4 kg', guessed: false, weighedOn: '2026-11-24' },
} as Pick<PatientView, 'name' | 'species' | 'sex' | 'weight'>;

const compare = (says: Partial<MachineSays>, patient: Partial<typeof pebble> = {}) =>
  compareIdentity(
    { clipId: 'c', fileName: 'a.dcm', machine: { ...silent, ...says } },
    { ...pebble, ...patient },
    '2026-11-25',
  ).map((r) => `${r.field} ${r.verdict}`);

describe('compareIdentity', () => {
  it('compares nothing where the file says nothing', () => {
    expect(compare({})).toEqual([]);
  });

  it.each([
    ['EXAMPLE^PEBBLE', 'Pebble', 'agrees'],
    ['Pebble (Example)', 'Pebble', 'agrees'],
    ['EXAMPLE^ANNA MARIE', 'Anna-Marie', 'agrees'],
    ['EXAMPLE^RENE', 'René', 'agrees'],
    ['ΠΑΡΑΔΕΙΓΜΑ^ΛΥΚΟΣ', 'Λύκος', 'agrees'],
    ['EXAMPLE^PEBBLES', 'Pebble', 'differs'],
    ['EXAMPLE^ANNA', 'Anna Marie', 'differs'],
    ['TEST', 'Pebble', 'differs'],
    ['EXAMPLE^PEBBLE', '???', 'differs'],
  ])('says of %s in the file and %s in the referral: %s', (patientName, name, verdict) => {
    expect(compare({ patientName }, { name })).toEqual([`name ${verdict}`]);
  });

  it('takes a name of separators only for no name', () => {
    expect(compare({ patientName: '^^' })).toEqual([]);
  });

  it.each([
    [{ speciesText: 'Canine' }, 'species agrees'],
    [{ speciesText: 'FELIS CATUS' }, 'species differs'],
    [{ sexText: 'F' }, 'sex agrees'],
    [{ sexText: 'male neutered' }, 'sex differs'],
    [{ sexText: 'Mare' }, 'sex agrees'],
    [{ sexText: 'MN' }, 'sex differs'],
    [{ weightKg: 7.4 * 1.19 }, 'weight agrees'],
    [{ weightKg: 7.4 * 1.21 }, 'weight differs'],
    // 7.4 kg written in pounds is caught.
    [{ weightKg: 16.3 }, 'weight differs'],
    [{ scannedOn: '2026-11-25' }, 'scan-date agrees'],
    [{ scannedOn: '2026-11-24' }, 'scan-date differs'],
  ] as [Partial<MachineSays>, string][])('compares %o', (says, expected) => {
    expect(compare(says)).toEqual([expected]);
  });

  it('does not compare what the referral does not state or a word that it does not know', () => {
    expect(compare({ sexText: 'F' }, { sex: 'unknown' })).toEqual([]);
    expect(compare({ weightKg: 7 }, { weight: null })).toEqual([]);
    expect(compare({ speciesText: 'canine' }, { species: 'other' })).toEqual([]);
    expect(compare({ speciesText: 'xenopus', sexText: 'O' })).toEqual([]);
    expect(compare({ sexText: 'foal' })).toEqual([]);
  });

  it('agrees whatever the order, case and separators of the words in the file', () => {
    const word = fc.stringMatching(/^[a-z]{2,8}$/);
    fc.assert(
      fc.property(
        fc.uniqueArray(word, { minLength: 2, maxLength: 5 }),
        fc.constantFrom('^', ' ', ', ', '_', '=', ' - '),
        fc.boolean(),
        (words, separator, upper) => {
          const inFile = [...words].reverse().join(separator);
          const patientName = upper ? inFile.toUpperCase() : inFile;
          expect(compare({ patientName }, { name: words.slice(0, 2).join(' ') })).toEqual(['name agrees']);
          expect(compare({ patientName }, { name: `${words[0]} zzzzzzzzz` })).toEqual(['name differs']);
        },
      ),
      { numRuns: 200 },
    );
  });
});
