import type { WeightRecord } from '@chordae/contract';
import type { TimedValue } from '@chordae/figure';

/**
 * Weights as marks over time, oldest first: of one day the measured one before a guessed one, else the one entered last.
 * A full mark was measured, a hollow one guessed. `weights` come newest first.
 */
export function chartedWeights(weights: readonly WeightRecord[]): TimedValue[] {
  const byDay = new Map<string, WeightRecord>();
  for (const w of weights) {
    const there = byDay.get(w.weighedOn);
    if (!there || (there.guessed && !w.guessed)) byDay.set(w.weighedOn, w);
  }
  return [...byDay.values()]
    .sort((a, b) => a.weighedOn.localeCompare(b.weighedOn))
    .map((w) => ({
      day: w.weighedOn,
      value: w.weightKg,
      interval: null,
      lower: null,
      upper: null,
      graded: !w.guessed,
    }));
}
