import { exactPow } from '@chordae/units';

/** Powers of one body weight that were already computed, by exponent: the same few are needed again and again. */
export type Powers = Map<number, number>;

/** kg to the exponent, computed once per case. */
export function powerOf(powers: Powers, kg: number, exponent: number): number {
  let power = powers.get(exponent);
  if (power === undefined) {
    power = exactPow(kg, exponent);
    powers.set(exponent, power);
  }
  return power;
}
