import { kgFromLb } from '@chordae/units';
import type { EntryProblem } from './parse-quantity';
import { readTypedNumber, shifted } from './typed-number';

export type ParsedWeight = { ok: true; kg: number; asTyped: string } | EntryProblem;

/** Heaviest and lightest weight taken, kg: as in the contract. */
const MIN_KG = 0.05;
const MAX_KG = 1500;

const TO_KG: Record<string, (digits: string) => number> = {
  kg: (d) => shifted(d, 0),
  kgs: (d) => shifted(d, 0),
  g: (d) => shifted(d, -3),
  lb: (d) => kgFromLb(shifted(d, 0)),
  lbs: (d) => kgFromLb(shifted(d, 0)),
};

/**
 * Reads a typed body weight in kg, g or lb. A bare number takes the unit shown on its field; without one nothing is
 * guessed. `parseWeight('16,5 lb', null)` gives 7.48427… kg.
 * Problems: NUMBER_NOT_READ, UNIT_MISSING, UNIT_WRONG_FOR_QUANTITY, VALUE_IMPOSSIBLE.
 */
export function parseWeight(text: string, fieldUnit: 'kg' | 'lb' | null): ParsedWeight {
  const typed = readTypedNumber(text);
  const asTyped = text.trim().slice(0, 40);
  const field = 'weight';
  if (!typed) return { ok: false, code: 'NUMBER_NOT_READ', data: { text: asTyped, field } };
  const bare = typed.unitText === '';
  if (bare && fieldUnit === null) {
    return { ok: false, code: 'UNIT_MISSING', data: { text: asTyped, field, units: ['kg', 'lb'] } };
  }
  const convert = TO_KG[bare ? (fieldUnit as string) : typed.unitText];
  if (!convert) {
    const data = { text: asTyped, field, unit: typed.unitText, units: ['kg', 'g', 'lb'] };
    return { ok: false, code: 'UNIT_WRONG_FOR_QUANTITY', data };
  }
  const kg = convert(typed.digits);
  if (typed.negative || kg < MIN_KG || kg > MAX_KG) {
    return {
      ok: false,
      code: 'VALUE_IMPOSSIBLE',
      data: { text: asTyped, field, value: kg, unit: 'kg', min: MIN_KG, max: MAX_KG },
    };
  }
  return { ok: true, kg, asTyped: bare ? `${asTyped} ${fieldUnit}` : asTyped };
}
