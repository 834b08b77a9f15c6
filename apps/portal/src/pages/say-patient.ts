import type { PatientView } from '@chordae/contract';
import { formatNumber, speciesNames } from '@chordae/words';

export function sayAge(months: number | null): string {
  if (months === null) return 'age not known';
  if (months < 24) return `${months} ${months === 1 ? 'month' : 'months'}`;
  return `${Math.floor(months / 12)} years`;
}

function saySpecies(species: string, breed: string): string {
  const name = speciesNames[species as keyof typeof speciesNames] ?? species;
  return breed ? `${breed} (${name})` : name;
}

function sayKg(kg: number): string {
  return `${formatNumber(kg, kg < 10 ? 2 : 1).replace(/\.?0+$/, '')} kg`;
}

/** 'Cavalier King Charles Spaniel (dog), 7.4 kg'. */
export function sayPatientShort(row: {
  species: string;
  breedText: string;
  weightKg: number | null;
  ageMonths?: number | null;
}): string {
  const parts = [saySpecies(row.species, row.breedText)];
  if (row.ageMonths !== undefined && row.ageMonths !== null) parts.push(sayAge(row.ageMonths));
  parts.push(row.weightKg === null ? 'weight not given' : sayKg(row.weightKg));
  return parts.join(', ');
}

/** All that decides limits, in one line; what is not known is said. */
export function sayPatient(p: PatientView): string {
  const sex = p.sex === 'unknown' ? 'sex not known' : p.sex;
  const neutered = p.neutered === null ? '' : p.neutered ? ', neutered' : ', entire';
  const weight = p.weight
    ? `${sayKg(p.weight.weightKg)}${p.weight.guessed ? ' (guessed)' : ''}`
    : 'weight not given';
  return `${saySpecies(p.species, p.breedText)}, ${sex}${neutered}, ${sayAge(p.ageMonths)}, ${weight}`;
}

/** 'dog', as it is said in a list. */
export function saySpeciesName(species: string): string {
  return speciesNames[species as keyof typeof speciesNames] ?? species;
}

/** Whole months from birth to a day, or null without a birth date. `ageOn('2020-03-15', '2021-03-14')` is 11. */
export function ageOn(birthDate: string | null, day: string): number | null {
  if (!birthDate) return null;
  const [by = 0, bm = 0, bd = 0] = birthDate.split('-').map(Number);
  const [y = 0, m = 0, d = 0] = day.split('-').map(Number);
  const months = (y - by) * 12 + (m - bm) - (d < bd ? 1 : 0);
  return months < 0 ? null : months;
}
