/** Middle value; the mean of the two middle ones where their number is even. NaN of nothing. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const high = sorted[sorted.length >> 1] ?? Number.NaN;
  return sorted.length % 2 === 1 ? high : (high + (sorted[(sorted.length >> 1) - 1] ?? high)) / 2;
}
