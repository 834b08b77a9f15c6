import type { CanonicalUnit, MeasurementCode, WordData } from '@chordae/contract';
import { possibleRange, unitOf } from '../quantity-table';
import { readTypedNumber, shifted } from './typed-number';

export type EntryProblem = {
  ok: false;
  code: 'NUMBER_NOT_READ' | 'UNIT_MISSING' | 'UNIT_WRONG_FOR_QUANTITY' | 'VALUE_IMPOSSIBLE';
  data: WordData;
};

export type ParsedQuantity = { ok: true; value: number; unit: CanonicalUnit; asTyped: string } | EntryProblem;

/** Power of ten from a typed unit to the canonical one. */
const UNITS: Record<CanonicalUnit, Record<string, number>> = {
  mm: { mm: 0, cm: 1 },
  cm: { cm: 0, mm: -1 },
  'm/s': { 'm/s': 0, 'm/sec': 0, 'cm/s': -2, 'cm/sec': -2 },
  'cm/s': { 'cm/s': 0, 'cm/sec': 0, 'm/s': 2, 'm/sec': 2 },
  ms: { ms: 0, msec: 0, s: 3, sec: 3 },
  '/min': { '/min': 0, bpm: 0, permin: 0, perminute: 0 },
  ml: { ml: 0, cc: 0, l: 3 },
  cm2: { cm2: 0, 'cm²': 0, mm2: -2, 'mm²': -2 },
  ratio: { '': 0, ':1': 0 },
  '%': { '%': 0, percent: 0 },
  mmHg: { mmhg: 0 },
  'pmol/l': { 'pmol/l': 0 },
  'nmol/l': { 'nmol/l': 0 },
  // The typed micro sign comes as the Greek letter (NFKC).
  'umol/l': { 'umol/l': 0, 'μmol/l': 0, 'mmol/l': 3 },
  'mmol/l': { 'mmol/l': 0 },
  count: { '': 0 },
};

/** Units that a field may show for a quantity: `unitsFor('lvidd')` is ['mm', 'cm']. */
export function unitsFor(code: MeasurementCode): string[] {
  return Object.keys(UNITS[unitOf(code)]).filter((unit) => unit !== '');
}

/**
 * Reads a typed measurement. A bare number takes the unit shown on its field (`fieldUnit`); without one nothing is
 * guessed. `parseQuantity('3,82 cm', 'lvidd', null)` gives 38.2 mm.
 * Problems: NUMBER_NOT_READ, UNIT_MISSING, UNIT_WRONG_FOR_QUANTITY, VALUE_IMPOSSIBLE.
 */
export function parseQuantity(text: string, code: MeasurementCode, fieldUnit: string | null): ParsedQuantity {
  const typed = readTypedNumber(text);
  const asTyped = text.trim().slice(0, 60);
  if (!typed) return { ok: false, code: 'NUMBER_NOT_READ', data: { text: asTyped, measurement: code } };
  const unit = unitOf(code);
  const bare = typed.unitText === '' && unit !== 'ratio' && unit !== 'count';
  if (bare && fieldUnit === null) {
    return {
      ok: false,
      code: 'UNIT_MISSING',
      data: { text: asTyped, measurement: code, units: unitsFor(code) },
    };
  }
  const unitText = bare ? (fieldUnit ?? '').toLowerCase() : typed.unitText;
  const power = UNITS[unit][unitText];
  if (power === undefined) {
    return {
      ok: false,
      code: 'UNIT_WRONG_FOR_QUANTITY',
      data: { text: asTyped, measurement: code, unit: unitText, units: unitsFor(code) },
    };
  }
  const value = shifted(typed.digits, power);
  const { min, max } = possibleRange(code);
  if (typed.negative || value < min || value > max) {
    return {
      ok: false,
      code: 'VALUE_IMPOSSIBLE',
      data: { text: asTyped, measurement: code, value, unit, min, max },
    };
  }
  const shownUnit = bare && fieldUnit ? `${asTyped} ${fieldUnit}` : asTyped;
  return { ok: true, value, unit, asTyped: shownUnit };
}
