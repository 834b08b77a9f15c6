import type { Sex, Species } from '@chordae/contract';
import { trimmed } from './format-number';
import type { LimitSet, ReferenceSize, SizeSet } from './limits/apply-limit';
import type { Powers } from './powers';

/** What rests on species, breed, sex and weight alone, filled as it is asked for. Nobody changes what was put in. */
export interface PatientTables {
  /** The weight as lines of arithmetic write it, '(7.4 kg)'; empty without a weight. */
  weightText: string;
  /** Powers of the body weight, by exponent. */
  powers: Powers;
  /** Limits by index, the one that grades first. */
  limits: Map<string, LimitSet>;
  /** Reference sizes by set and index; null where there is none. */
  sizes: Record<SizeSet, Map<string, ReferenceSize | null>>;
}

/** A case is answered again with every number typed, and its patient stays the same: the newest patients are kept. */
const KEPT = 256;
const kept = new Map<string, PatientTables>();

/** The tables of a patient: the same ones for the same species, breed, sex and weight (kg). */
export function tablesOf(
  species: Species,
  breedCode: string | null,
  sex: Sex,
  kg: number | null,
): PatientTables {
  const key = `${species}|${breedCode ?? ''}|${sex}|${kg ?? ''}`;
  let tables = kept.get(key);
  if (!tables) {
    // A map keeps the order in which it was filled: the first one is the oldest.
    for (const oldest of kept.size >= KEPT ? kept.keys() : []) {
      kept.delete(oldest);
      break;
    }
    const weightText = kg === null ? '' : `(${trimmed(kg, 2)} kg)`;
    tables = {
      weightText,
      powers: new Map(),
      limits: new Map(),
      sizes: { cornell2004: new Map(), esser2020: new Map() },
    };
    kept.set(key, tables);
  }
  return tables;
}
