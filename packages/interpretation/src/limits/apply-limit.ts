import type { AppliedLimit, Sex, Species } from '@chordae/contract';
import { exactPow } from '@chordae/units';
import type { CaseFacts } from '../case-facts';
import { isOutlyingBreed } from '../case-facts';
import { above, atLeast, below } from '../compare';
import type { Powers } from '../powers';
import { powerOf } from '../powers';
import type { LimitEntry } from './limit-types';
import { limitEntries } from './limits-data';

/** Limits by species and index, in their order of precedence. */
const bySpecies = new Map<Species, Map<string, LimitEntry[]>>();
/** A limit with its numbers for this patient. */
export interface PatientLimit {
  entry: LimitEntry;
  applied: AppliedLimit;
}

/** Every limit of one index that a patient's facts allow. */
export interface LimitSet {
  all: readonly PatientLimit[];
  /** The same, as they are handed out. */
  applied: AppliedLimit[];
  /** The first that may grade, or null. */
  grading: PatientLimit | null;
}

/** Numbers of a limit, mm for sizes; null where what it needs (weight, sex) is not known. */
interface Bounds {
  lower: number | null;
  upper: number | null;
  mean: number | null;
}

/** Published sets of sizes over the body weight of a dog. */
export type SizeSet = 'cornell2004' | 'esser2020';

/** Bounds of a published set for one size, mm. */
export interface ReferenceSize {
  lower: number;
  mean: number;
  upper: number;
}

function boundsOf(entry: LimitEntry, kg: number | null, sex: Sex, powers?: Powers): Bounds | null {
  const { form } = entry;
  if (entry.bySex) {
    const upper = entry.bySex[sex];
    return upper === undefined ? null : { lower: null, upper, mean: null };
  }
  if (form.kind === 'fixed') return { lower: form.lower, upper: form.upper, mean: null };
  if (kg === null) return null;
  if (form.kind === 'linear') return { lower: null, upper: form.slope * kg + form.intercept, mean: null };
  const scaleMm = 10 * (powers ? powerOf(powers, kg, form.exponent) : exactPow(kg, form.exponent));
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

for (const entry of limitEntries) {
  const ofSpecies = bySpecies.get(entry.species) ?? new Map<string, LimitEntry[]>();
  bySpecies.set(entry.species, ofSpecies);
  ofSpecies.set(entry.index, [...(ofSpecies.get(entry.index) ?? []), entry]);
}
for (const ofSpecies of bySpecies.values())
  for (const list of ofSpecies.values()) list.sort((a, b) => precedence(a) - precedence(b));

const NONE: readonly LimitEntry[] = [];

function entriesOf(species: Species, index: string): readonly LimitEntry[] {
  return bySpecies.get(species)?.get(index) ?? NONE;
}

/** Limits whose numbers are the same for every patient are made once; outlying breeds get the one that only compares. */
const ready = new Map<LimitEntry, { usual: PatientLimit; outlying: PatientLimit }>();

function made(entry: LimitEntry, bounds: Bounds, outlying: boolean): PatientLimit {
  const general = entry.scope === 'general-dog' || entry.scope === 'general-cat';
  const ticks = entry.ticks ?? [];
  return {
    entry,
    applied: {
      id: entry.id,
      lower: bounds.lower,
      upper: bounds.upper,
      ticks: bounds.mean === null ? ticks : [...ticks, { at: bounds.mean, code: 'mean' }],
      population: entry.population,
      chosenBecause: entry.chosenBecause,
      comparisonOnly: entry.role === 'comparison' || (general && outlying),
      source: { citation: entry.citation, doi: entry.doi, status: entry.status },
    },
  };
}

function patientLimit(entry: LimitEntry, facts: CaseFacts, outlying: boolean): PatientLimit | null {
  if (entry.form.kind === 'fixed' && !entry.bySex) {
    let one = ready.get(entry);
    if (!one) {
      const bounds = { lower: entry.form.lower, upper: entry.form.upper, mean: null };
      one = { usual: made(entry, bounds, false), outlying: made(entry, bounds, true) };
      ready.set(entry, one);
    }
    return outlying ? one.outlying : one.usual;
  }
  const bounds = boundsOf(entry, facts.kg, facts.input.patient.sex, facts.tables.powers);
  return bounds === null ? null : made(entry, bounds, outlying);
}

/** Limits of an index for this patient, the one that grades first, made once for each patient. Empty when none is available. */
export function limitsFor(facts: CaseFacts, index: string): LimitSet {
  const ready = facts.tables.limits.get(index);
  if (ready) return ready;
  const all: PatientLimit[] = [];
  const outlying = isOutlyingBreed(facts);
  for (const entry of entriesOf(facts.species, index)) {
    if (!appliesTo(entry, facts)) continue;
    const one = patientLimit(entry, facts, outlying);
    if (one) all.push(one);
  }
  const grading = all.find((l) => l.entry.role === 'grade' && !l.applied.comparisonOnly) ?? null;
  const set: LimitSet = { all, applied: all.map((l) => l.applied), grading };
  facts.tables.limits.set(index, set);
  return set;
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
  set: SizeSet = 'cornell2004',
  powers?: Powers,
): ReferenceSize | null {
  for (const entry of entriesOf(species, index)) {
    if (entry.form.kind !== 'power' || !entry.id.startsWith(set)) continue;
    const bounds = boundsOf(entry, kg, 'unknown', powers);
    if (bounds?.lower != null && bounds.upper != null && bounds.mean != null) {
      return { lower: bounds.lower, mean: bounds.mean, upper: bounds.upper };
    }
  }
  return null;
}

/** The same for the weight of a dog's case, made once for each patient; null without a weight. */
export function referenceSizeFor(
  facts: CaseFacts,
  index: string,
  set: SizeSet = 'cornell2004',
): ReferenceSize | null {
  if (facts.kg === null) return null;
  const { sizes, powers } = facts.tables;
  let size = sizes[set].get(index);
  if (size === undefined) {
    size = referenceSizeMm('dog', index, facts.kg, set, powers);
    sizes[set].set(index, size);
  }
  return size;
}
