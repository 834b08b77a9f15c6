/** Kilograms. */
export type Kg = number & { readonly __unit: 'kg' };

/** One avoirdupois pound in kilograms: exact by the international yard and pound agreement of 1959. */
export const KG_PER_LB = 0.45359237;

/** Brands a number of kilograms. `kg(7.4)` is 7.4 kg. */
export function kg(value: number): Kg {
  return value as Kg;
}

/** Converts pounds to kilograms. `kgFromLb(10)` is 4.5359237 kg. */
export function kgFromLb(lb: number): Kg {
  return kg(lb * KG_PER_LB);
}

/** Converts kilograms to pounds. `lbFromKg(kg(4.5359237))` is 10 lb. */
export function lbFromKg(value: Kg): number {
  return value / KG_PER_LB;
}
