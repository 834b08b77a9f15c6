/** Millimetres. */
export type Mm = number & { readonly __unit: 'mm' };
/** Centimetres. */
export type Cm = number & { readonly __unit: 'cm' };

/** Brands a number of millimetres. `mm(38.2)` is 38.2 mm. */
export function mm(value: number): Mm {
  return value as Mm;
}

/** Brands a number of centimetres. `cm(3.82)` is 3.82 cm. */
export function cm(value: number): Cm {
  return value as Cm;
}

/** Converts centimetres to millimetres. `mmFromCm(cm(3.82))` is 38.2 mm. */
export function mmFromCm(value: Cm): Mm {
  return mm(value * 10);
}

/** Converts millimetres to centimetres. `cmFromMm(mm(38.2))` is 3.82 cm. */
export function cmFromMm(value: Mm): Cm {
  return cm(value / 10);
}
