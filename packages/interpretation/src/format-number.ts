/** Fixed decimals for the arithmetic lines, with a point: `fixed(3.816, 2)` is '3.82'. Words do their own formatting. */
export function fixed(value: number, decimals: number): string {
  const by = POWERS_OF_TEN[decimals];
  if (by === undefined || !(value >= 0 && value < 1e6)) return value.toFixed(decimals);
  const scaled = value * by;
  const rounded = Math.round(scaled);
  // Close to the middle between two steps the product's own rounding could decide: there the exact way is taken.
  if (Math.abs(scaled - rounded) > 0.4999) return value.toFixed(decimals);
  if (decimals === 0) return `${rounded}`;
  const rest = rounded % by;
  const zeros = decimals === 2 && rest < 10 ? '0' : '';
  return `${(rounded - rest) / by}.${zeros}${rest}`;
}

/** Up to two decimals are written by whole numbers: a third of the time of `toFixed`, and an answer holds sixty of them. */
const POWERS_OF_TEN: readonly (number | undefined)[] = [1, 10, 100];

/** Up to `decimals` decimals, without trailing zeros: `trimmed(7.4, 2)` is '7.4'. */
export function trimmed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
