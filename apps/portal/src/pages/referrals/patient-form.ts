import type { Sex, Species } from '@chordae/contract';
import { breeds, parseWeight } from '@chordae/interpretation';
import { sayError } from '@chordae/words';
import type { BodyOf } from '../../host/api';

export interface PatientForm {
  readonly name: string;
  readonly species: Species | '';
  readonly breed: string;
  readonly sex: Sex | '';
  readonly neutered: 'yes' | 'no' | 'unknown' | '';
  readonly birth: string;
  readonly weight: string;
  readonly weightUnit: 'kg' | 'lb' | '';
  readonly weightHow: 'measured' | 'guessed' | '';
}

export const EMPTY_PATIENT: PatientForm = {
  name: '',
  species: '',
  breed: '',
  sex: '',
  neutered: '',
  birth: '',
  weight: '',
  weightUnit: '',
  weightHow: '',
};

export type PatientProblems = Partial<Record<keyof PatientForm, string>>;

const two = (n: number): string => String(n).padStart(2, '0');

/**
 * Birth date or age as people write it: '2018-05-03', '3.5.2018', '5/2018', '2018', '8 y', '8', '10 months', '6 weeks'.
 * An age gives a guessed date. Null when it cannot be read; 'future' when it lies ahead.
 */
export function readBirth(
  text: string,
  now: Date,
): { birthDate: string; birthPrecision: 'day' | 'month' | 'year' | 'guessed' } | 'future' | null {
  const t = text.trim().toLowerCase();
  const found = readDate(t) ?? readAge(t, now);
  if (!found) return null;
  const at = new Date(`${found.birthDate}T00:00:00Z`);
  if (Number.isNaN(at.getTime()) || !found.birthDate.startsWith(at.toISOString().slice(0, 10))) return null;
  return at.getTime() > now.getTime() ? 'future' : found;
}

function readDate(t: string) {
  const iso = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(t);
  const local = /^(\d{1,2})[./](\d{1,2})[./](\d{4})$/.exec(t);
  const month = /^(\d{1,2})[./](\d{4})$/.exec(t) ?? null;
  const year = /^(19|20)\d{2}$/.exec(t);
  const day = iso ?? (local ? [local[0], local[3], local[2], local[1]] : null);
  if (day)
    return {
      birthDate: `${day[1]}-${two(Number(day[2]))}-${two(Number(day[3]))}`,
      birthPrecision: 'day' as const,
    };
  if (month)
    return { birthDate: `${month[2]}-${two(Number(month[1]))}-01`, birthPrecision: 'month' as const };
  return year ? { birthDate: `${t}-01-01`, birthPrecision: 'year' as const } : null;
}

function readAge(t: string, now: Date) {
  const age = /^(\d{1,2}(?:[.,]\d)?)\s*(y|yr|yrs|years?|m|mo|months?|w|weeks?)?$/.exec(t);
  if (!age) return null;
  const n = Number((age[1] ?? '').replace(',', '.'));
  const unit = (age[2] ?? 'y').charAt(0);
  const days = unit === 'y' ? n * 365.25 : unit === 'm' ? n * 30.44 : n * 7;
  const birth = new Date(now.getTime() - days * 86_400_000).toISOString().slice(0, 10);
  return { birthDate: birth, birthPrecision: 'guessed' as const };
}

/** A breed of the list by its name, else free text. */
export function readBreed(
  text: string,
  species: Species | '',
): { breedCode: string | null; breedText: string } {
  const wanted = text.trim().toLowerCase();
  const found = breeds.find((b) => b.species === species && b.name.toLowerCase() === wanted);
  return found
    ? { breedCode: found.code, breedText: found.name }
    : { breedCode: null, breedText: text.trim() };
}

export interface ReadPatient {
  readonly patient: BodyOf<'putPatient'>;
  /** null: no weight was given, and what rests on it is not computed. */
  readonly weight: { readonly weightKg: number; readonly asTyped: string; readonly guessed: boolean } | null;
}

/** Reads the form, or says per field what is wrong. Nothing is filled in silently. */
export function readPatient(
  form: PatientForm,
  now: Date,
): { ok: true; value: ReadPatient } | { ok: false; problems: PatientProblems } {
  const problems: Record<string, string> = {};
  if (form.name.trim() === '') problems['name'] = 'The patient needs a name.';
  if (form.species === '') problems['species'] = 'Choose the species: limits differ.';
  if (form.sex === '') problems['sex'] = 'Choose the sex, or ‘not known’.';
  const birth = form.birth.trim() === '' ? undefined : readBirth(form.birth, now);
  if (birth === null)
    problems['birth'] = 'Write a date such as 2018-05-03, a year, or an age such as 8 y or 10 m.';
  if (birth === 'future') problems['birth'] = 'This lies in the future.';
  let weight: ReadPatient['weight'] = null;
  if (form.weight.trim() !== '') {
    const parsed = parseWeight(form.weight, form.weightUnit === '' ? null : form.weightUnit);
    if (!parsed.ok) problems['weight'] = sayError(parsed.code, parsed.data);
    else if (form.weightHow === '') problems['weightHow'] = 'Say whether it was measured or guessed.';
    else weight = { weightKg: parsed.kg, asTyped: parsed.asTyped, guessed: form.weightHow === 'guessed' };
  }
  if (Object.keys(problems).length > 0) return { ok: false, problems };
  const dated = birth && birth !== 'future' ? birth : { birthDate: null, birthPrecision: null };
  const patient = {
    name: form.name.trim(),
    species: form.species as Species,
    ...readBreed(form.breed, form.species),
    sex: form.sex as Sex,
    neutered: form.neutered === 'yes' ? true : form.neutered === 'no' ? false : null,
    ...dated,
    chip: null,
  };
  return { ok: true, value: { patient, weight } };
}
