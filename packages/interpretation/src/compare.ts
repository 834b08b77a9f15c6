/**
 * Comparisons against published bounds. 17.6 / 11 is 1.5999999999999999 in binary, and a vet who reads 1.60 must get the
 * answer for 1.60: a difference below a billionth is no difference.
 */
const TOLERANCE = 1e-9;

/** value ≥ bound. `atLeast(17.6 / 11, 1.6)` is true. */
export function atLeast(value: number, bound: number): boolean {
  return value >= bound - TOLERANCE;
}

/** value > bound. `above(1.6, 1.6)` is false. */
export function above(value: number, bound: number): boolean {
  return value > bound + TOLERANCE;
}

/** value < bound. */
export function below(value: number, bound: number): boolean {
  return !atLeast(value, bound);
}
