/** Three-point smoothing (1, 2, 1), ends kept. */
export function smoothCurve(curve: ArrayLike<number>): number[] {
  const at = (n: number): number => curve[Math.max(0, Math.min(curve.length - 1, n))] as number;
  return Array.from({ length: curve.length }, (_, n) => (at(n - 1) + 2 * at(n) + at(n + 1)) / 4);
}
