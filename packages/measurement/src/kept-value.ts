import type { CanonicalUnit, DrawnShape, MeasurementCode } from '@chordae/contract';
import type { DrawnQuantity, DrawnValue } from './values';

/** Which of a drawing's values a quantity takes, by the unit in which it is kept. */
const TAKES: Partial<Record<DrawnShape, Partial<Record<CanonicalUnit, DrawnQuantity>>>> = {
  length: { mm: 'length' },
  outline: { cm2: 'area' },
  ellipse: { cm2: 'area' },
  discs: { ml: 'volume' },
  time: { ms: 'time', '/min': 'rate' },
  velocity: { 'm/s': 'velocity', 'cm/s': 'velocity' },
  ratio: { ratio: 'ratio', '%': 'less' },
  trace: { cm: 'vti', 'm/s': 'peak', ms: 'ejection-time' },
};

/** The one time of a traced flow that is not its whole length. */
const ACCELERATION: readonly MeasurementCode[] = ['pa-at'];

/** Can a measurement of this unit be taken from a drawing of this shape. Example: an outline gives cm², never mm. */
export function canKeep(shape: DrawnShape, unit: CanonicalUnit): boolean {
  return TAKES[shape]?.[unit] !== undefined;
}

/**
 * The number that is kept under a code, in the code's canonical unit: of the drawing's values the one of that unit, without its sign.
 * null where the drawing has none. Example: a velocity of −3.2 m/s kept as TR Vmax is 3.2.
 */
export function keptValue(
  values: readonly DrawnValue[],
  shape: DrawnShape,
  code: MeasurementCode,
  unit: CanonicalUnit,
): number | null {
  const named = TAKES[shape]?.[unit];
  const quantity = named === 'ejection-time' && ACCELERATION.includes(code) ? 'acceleration-time' : named;
  const value = values.find((v) => v.quantity === quantity);
  if (!value) return null;
  const size = Math.abs(value.value);
  return value.unit === 'm/s' && unit === 'cm/s' ? size * 100 : size;
}

/** Half of the last digit in which a value of each unit is read; two computings of one drawing may differ by this and no more. */
const ROUNDING: Partial<Record<CanonicalUnit, number>> = {
  mm: 0.05,
  cm: 0.05,
  'm/s': 0.005,
  'cm/s': 0.05,
  ms: 0.5,
  '/min': 0.5,
  ml: 0.05,
  cm2: 0.005,
  ratio: 0.005,
  '%': 0.05,
};

/** Do two values in a unit say the same but for rounding. Example: 38.22 and 38.2 mm do, 38.2 and 38.4 do not. */
export function sameButRounding(a: number, b: number, unit: CanonicalUnit): boolean {
  // A hair more, since half a digit written in decimals is itself rounded.
  return Math.abs(a - b) <= (ROUNDING[unit] ?? 0) * (1 + 1e-9);
}
