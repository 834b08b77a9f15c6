import type { AppliedLimit, Sex, Species } from '@chordae/contract';
import { exactPow } from '@chordae/units';
import type { CaseFacts } from '../case-facts';
import { isOutlyingBreed } from '../case-facts';
import { above, atLeast, below } from '../compare';
import type { LimitEntry } from './limit-types';
import { limitEntries } from './limits-data';

const byIndex = new Map<string, LimitEntry[]>();
for (const entry of limitEntries) {
  const key = `${entry.species}:${entry.index}`;
  byIndex.set(key, [...(byIndex.get(key) ?? []), entry]);
}

/** A limit with its numbers for this patient. */
export interface PatientLimit {
  entry: LimitEntry;
  applied: AppliedLimit;
}

/** Numbers of a limit, mm for sizes; null where what it needs (weight, sex) is not known. */
function boundsOf(
  entry: LimitEntry,
  kg: number | null,
  sex: Sex,
): { lower: number | null; upper: number | null; mean: number | null } | null {
  const { form } = entry;
  if (entry.bySex) {
    const upper = entry.bySex[sex];
    return upper === undefined ? null : { lower: null, upper, mean: null };
  }
  if (form.kind === 'fixed') return { lower: form.lower, upper: form.upper, mean: null };
  if (kg === null) return null;
  if (form.kind === 'linear') return { lower: null, upper: form.slope * kg + form.intercept, mean: null };
  const scaleMm = 10 * exactPow(kg, form.exponent);
  return { lower: form.lowerA * scaleMm, upper: form.upperA * scaleMm, mean: form.meanA * scaleMm };
}

function appliesTo(entry: LimitEntry, facts: CaseFacts): boolean {
  if (entry.role === 'reference' || entry.role === 'not-available') return false;
  if (entry.breeds && !(facts.breed && entry.breeds.includes(facts.breed.code))) return false;
  if (entry.maxKgBelow !== undefined && !(facts.kg !== null && facts.kg < entry.maxKgBelow)) return false;
  return true;
}

/** Order of precedence: the breed's own, then its group's, then by body weight, then fixed; bounds that grade first. */
const PRECEDENCE = { breed: 0, group: 1, weight: 2, fixed: 3 } as const;
const ROLE = { grade: 0, stage: 10, comparison: 20, reference: 30, 'not-available': 40 } as const;

function precedence(entry: LimitEntry): number {
  return ROLE[entry.role] + PRECEDENCE[entry.chosenBecause];
}

/** Limits of an index for this patient, the one that grades first. Empty when none is available. */
export function limitsFor(facts: CaseFacts, index: string): PatientLimit[] {
  const found: PatientLimit[] = [];
  for (const entry of byIndex.get(`${facts.species}:${index}`) ?? []) {
    if (!appliesTo(entry, facts)) continue;
    const bounds = boundsOf(entry, facts.kg, facts.input.patient.sex);
    if (bounds === null) continue;
    const general = entry.scope === 'general-dog' || entry.scope === 'general-cat';
    const ticks = [...(entry.ticks ?? [])];
    if (bounds.mean !== null) ticks.push({ at: bounds.mean, code: 'mean' });
    found.push({
      entry,
      applied: {
        id: entry.id,
        lower: bounds.lower,
        upper: bounds.upper,
        ticks,
        population: entry.population,
        chosenBecause: entry.chosenBecause,
        comparisonOnly: entry.role === 'comparison' || (general && isOutlyingBreed(facts)),
        source: { citation: entry.citation, doi: entry.doi, status: entry.status },
      },
    });
  }
  return found.sort((a, b) => precedence(a.entry) - precedence(b.entry));
}

/** Where a value lies against a limit. */
export function positionOf(value: number, limit: PatientLimit): 'below' | 'within' | 'above' {
  const { lower, upper } = limit.applied;
  const { form } = limit.entry;
  const lowerIs = form.kind === 'linear' ? 'last-normal' : form.lowerIs;
  if (upper !== null) {
    const out = form.upperIs === 'first-abnormal' ? atLeast(value, upper) : above(value, upper);
    if (out) return 'above';
  }
  if (lower !== null) {
    const out = lowerIs === 'first-abnormal' ? !above(value, lower) : below(value, lower);
    if (out) return 'below';
  }
  return 'within';
}

/** Grade on the limit's named scale, or null: no scale, or below the value from which the scale speaks. */
export function gradeOn(value: number, entry: LimitEntry): string | null {
  if (!entry.grades || (entry.gradeFrom !== undefined && below(value, entry.gradeFrom))) return null;
  let code: string | null = null;
  for (const band of entry.grades) {
    if (band.upTo !== undefined) {
      if (!above(value, band.upTo)) return band.code;
    } else if (band.from !== undefined) {
      if (atLeast(value, band.from)) code = band.code;
    } else if (band.above !== undefined) {
      if (above(value, band.above)) code = band.code;
    } else code = band.code;
  }
  return code;
}

/** Bounds in mm of a reference size of one published set for a weight, for plausibility and tables: `referenceSizeMm('dog', 'lvidd', 11)`. */
export function referenceSizeMm(
  species: Species,
  index: string,
  kg: number,
  set: 'cornell2004' | 'esser2020' = 'cornell2004',
): { lower: number; mean: number; upper: number } | null {
  for (const entry of byIndex.get(`${species}:${index}`) ?? []) {
    if (entry.form.kind !== 'power' || !entry.id.startsWith(set)) continue;
    const bounds = boundsOf(entry, kg, 'unknown');
    if (bounds?.lower != null && bounds.upper != null && bounds.mean != null) {
      return { lower: bounds.lower, mean: bounds.mean, upper: bounds.upper };
    }
  }
  return null;
}
