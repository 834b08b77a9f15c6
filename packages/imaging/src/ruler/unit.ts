import { exactExp, exactLog } from '@chordae/units';
import type { TickLabel } from './labels';
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

/** What else speaks for a unit. */
export interface UnitEvidence {
  readonly majorEvery: number | null;
  readonly expectedCm: number | null;
  /** Numbers read beside ticks. */
  readonly labels: readonly TickLabel[];
  /** Number of the tick at the skin, where one stands there (before the first one it is negative). */
  readonly skinTick: number | null;
}

/** Centimetres of a tick that rulers are drawn with. */
const units = [1, 0.5, 2, 0.1, 5];

/** Which numbers fit a unit: a number by the ticks from the skin, or, where no tick stands there, two by the ticks between them. */
function fitting(tickCm: number, { labels, skinTick }: UnitEvidence): boolean[] {
  const near = (value: number, ticks: number): boolean =>
    ticks > 0 && Math.abs(value - ticks * tickCm) < 0.2 * tickCm;
  if (skinTick !== null) return labels.map(({ k, value }) => near(value, k - skinTick));
  return labels.flatMap((a, n) => labels.slice(n + 1).map((b) => near(b.value - a.value, b.k - a.k)));
}

/** Numbers that fit a unit make it six times as likely, those that fit another one a quarter; what fits none is no label. Three count. */
function labelWeights(evidence: UnitEvidence): Map<number, number> {
  const fits = new Map(units.map((tickCm) => [tickCm, fitting(tickCm, evidence)]));
  const rows = [...fits.values()];
  const real = (rows[0] ?? []).map((_, n) => rows.some((row) => row[n])).flatMap((is, n) => (is ? [n] : []));
  const weigh = (row: readonly boolean[]): number =>
    real.slice(0, 3).reduce((weight, n) => weight * (row[n] ? 6 : 0.25), 1);
  return new Map([...fits].map(([tickCm, row]) => [tickCm, weigh(row)]));
}

/** Units that a tick may be, by the depth that they would mean, the pattern of longer ticks and the numbers beside them. */
export function unitCandidates(pitch: number, depthPx: number, evidence: UnitEvidence): UnitCandidate[] {
  const { majorEvery, expectedCm } = evidence;
  const middle = exactLog(expectedCm ?? 8);
  const sd = expectedCm === null ? 0.55 : 0.28;
  const byLabels = labelWeights(evidence);
  const weighed = units.map((tickCm) => {
    const pxPerCm = pitch / tickCm;
    const depthCm = depthPx / pxPerCm;
    const z = (exactLog(Math.max(1e-6, depthCm)) - middle) / sd;
    let weight = exactExp(Math.max(-40, -0.5 * z * z)) * ({ 1: 1, 0.5: 0.6 }[tickCm] ?? 0.25);
    if (majorEvery === 5) weight *= tickCm === 1 ? 4 : tickCm === 0.1 ? 1.5 : 1;
    if (majorEvery === 2) weight *= tickCm === 0.5 ? 4 : 1;
    if (majorEvery === 10) weight *= tickCm === 0.5 || tickCm === 0.1 ? 3 : 1;
    weight *= byLabels.get(tickCm) ?? 1;
    return { tickCm, pxPerCm, depthCm, weight };
  });
  const total = weighed.reduce((sum, c) => sum + c.weight, 0);
  return weighed
    .map(({ weight, ...rest }) => ({ ...rest, probability: total > 0 ? weight / total : 0 }))
    .sort((a, b) => b.probability - a.probability);
}
