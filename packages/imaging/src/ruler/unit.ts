import { exactExp, exactLog } from '@chordae/units';
import type { Progression } from './progression';

export interface UnitCandidate {
  readonly tickCm: number;
  readonly pxPerCm: number;
  /** Depth of the sector that this unit would mean, cm. */
  readonly depthCm: number;
  readonly probability: number;
}

/** Every how many ticks a larger one stands; null where all are alike. */
export function majorPattern(series: Progression): number | null {
  const sizes = series.marks.map(({ mark }) => (mark.right - mark.left) * (mark.bottom - mark.top));
  const usual = [...sizes].sort((a, b) => a - b)[sizes.length >> 1] as number;
  const large = series.marks.filter((_, n) => (sizes[n] as number) > 1.4 * usual).map(({ k }) => k);
  if (large.length < 2) return null;
  for (const every of [10, 5, 4, 2]) {
    const phase = (large[0] as number) % every;
    const right = large.filter((k) => k % every === phase).length;
    const wanted = series.marks.filter(({ k }) => k % every === phase).length;
    if (right === large.length && right >= 0.75 * wanted) return every;
  }
  return null;
}

/** Units that a tick may be, by the depth that they would mean and by the pattern of longer ticks. */
export function unitCandidates(
  pitch: number,
  depthPx: number,
  majorEvery: number | null,
  expectedCm: number | null,
): UnitCandidate[] {
  const middle = exactLog(expectedCm ?? 8);
  const sd = expectedCm === null ? 0.55 : 0.28;
  const weighed = [1, 0.5, 2, 0.1, 5].map((tickCm) => {
    const pxPerCm = pitch / tickCm;
    const depthCm = depthPx / pxPerCm;
    const z = (exactLog(Math.max(1e-6, depthCm)) - middle) / sd;
    let weight = exactExp(Math.max(-40, -0.5 * z * z)) * ({ 1: 1, 0.5: 0.6 }[tickCm] ?? 0.25);
    if (majorEvery === 5) weight *= tickCm === 1 ? 4 : tickCm === 0.1 ? 1.5 : 1;
    if (majorEvery === 2) weight *= tickCm === 0.5 ? 4 : 1;
    if (majorEvery === 10) weight *= tickCm === 0.5 || tickCm === 0.1 ? 3 : 1;
    return { tickCm, pxPerCm, depthCm, weight };
  });
  const total = weighed.reduce((sum, c) => sum + c.weight, 0);
  return weighed
    .map(({ weight, ...rest }) => ({ ...rest, probability: total > 0 ? weight / total : 0 }))
    .sort((a, b) => b.probability - a.probability);
}
