import type { BenchCine } from './imaging-sets';

/** Value below which a share of the numbers lies. */
export function centile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

export function share<T>(list: readonly T[], holds: (item: T) => boolean): number {
  return list.length === 0 ? Number.NaN : list.filter(holds).length / list.length;
}

export interface Judged {
  readonly truth: number;
  /** null: no answer. */
  readonly said: number | null;
}

/** On-axis is a true tilt below 15 degrees, off-axis one above 25; between them nothing is asked. */
export function balancedAccuracy(list: readonly Judged[], cut: number): number {
  const on = list.filter((j) => j.truth < 15);
  const off = list.filter((j) => j.truth > 25);
  return (
    (share(on, (j) => j.said !== null && j.said < cut) +
      share(off, (j) => j.said !== null && j.said >= cut)) /
    2
  );
}

/** Area under the curve of telling off-axis from on-axis; no answer stands in the middle. */
export function areaUnderCurve(list: readonly Judged[]): number {
  const on = list.filter((j) => j.truth < 15).map((j) => j.said ?? 20);
  const off = list.filter((j) => j.truth > 25).map((j) => j.said ?? 20);
  let won = 0;
  for (const a of on) for (const b of off) won += b > a ? 1 : b === a ? 0.5 : 0;
  return won / (on.length * off.length);
}

/** Overlap of two masks: intersection by union, and twice the intersection by the sum. */
export function overlap(a: Uint8Array, b: Uint8Array): { readonly iou: number; readonly dice: number } {
  let both = 0;
  let sum = 0;
  for (let n = 0; n < a.length; n += 1) {
    both += (a[n] as number) & (b[n] as number);
    sum += (a[n] as number) + (b[n] as number);
  }
  return { iou: both / Math.max(1, sum - both), dice: (2 * both) / Math.max(1, sum) };
}

/** The true sector of a phantom on a picture scaled by `scale`. */
export function trueSector(fan: BenchCine['fan'], widthPx: number, heightPx: number, scale = 1): Uint8Array {
  const tangent = Math.tan(fan.halfAngle);
  return Uint8Array.from({ length: widthPx * heightPx }, (_, n) => {
    const dx = ((n % widthPx) + 0.5) / scale - fan.apexX;
    const dy = (Math.floor(n / widthPx) + 0.5) / scale - fan.apexY;
    const range = Math.hypot(dx, dy) / fan.pxPerCm;
    return dy > 0 && range >= fan.faceCm && range < fan.faceCm + fan.depthCm && Math.abs(dx) <= tangent * dy
      ? 1
      : 0;
  });
}

export function print(line: string): void {
  process.stdout.write(`${line}\n`);
}

/** One line of a table, judged against the targets. */
export function target(name: string, value: number, good: number, stretch: number, decimals = 3): void {
  const verdict = value >= stretch ? 'stretch' : value >= good ? 'good' : 'below';
  print(
    `  ${name.padEnd(58)} ${value.toFixed(decimals).padStart(8)}  good ${good}  stretch ${stretch}  ${verdict}`,
  );
}

/** Correlation of pairs (Pearson); NaN below two. */
export function correlation(pairs: readonly (readonly [number, number])[]): number {
  const mean = (n: 0 | 1): number => pairs.reduce((sum, pair) => sum + pair[n], 0) / pairs.length;
  const [a, b] = [mean(0), mean(1)];
  const product = (m: 0 | 1, n: 0 | 1): number =>
    pairs.reduce((sum, pair) => sum + (pair[m] - (m === 0 ? a : b)) * (pair[n] - (n === 0 ? a : b)), 0);
  return product(0, 1) / Math.sqrt(product(0, 0) * product(1, 1));
}
