import type { Measured } from './points';
import { found, unmeasured } from './points';

export interface BeatAverage {
  readonly mean: number;
  readonly beats: number;
  readonly least: number;
  readonly most: number;
  /** (most - least) / mean in per cent; null where the mean is 0. */
  readonly spreadPercent: number | null;
}

/** Mean of one measurement over several beats, unit as given; values that are no number do not count. Example: 38, 40, 42 → 40, spread 10 %. */
export function averageBeats(values: readonly number[]): Measured<BeatAverage> {
  const beats = values.filter(Number.isFinite).sort((a, b) => a - b);
  const [least] = beats;
  const most = beats.at(-1);
  if (least === undefined || most === undefined) return unmeasured('BEATS_MISSING');
  // Sorted first, so that the order of the beats cannot change the last bit.
  const mean = beats.reduce((sum, value) => sum + value, 0) / beats.length;
  return found({
    mean,
    beats: beats.length,
    least,
    most,
    spreadPercent: mean === 0 ? null : ((most - least) / Math.abs(mean)) * 100,
  });
}
