/** Fixed decimals for the arithmetic lines, with a point: `fixed(3.816, 2)` is '3.82'. Words do their own formatting. */
export function fixed(value: number, decimals: number): string {
  return value.toFixed(decimals);
}

/** Up to `decimals` decimals, without trailing zeros: `trimmed(7.4, 2)` is '7.4'. */
export function trimmed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
