import type { Moment } from './heart-beat';
import { momentAt, systoleEnds } from './heart-beat';
import type { Random } from './random';
import { normalish } from './random';

/** When the beats of a clip begin; the first may lie before the clip. */
export interface BeatTimes {
  /** R waves, ms from the first frame, one more than the clip holds at either end. */
  readonly rWavesMs: readonly number[];
  readonly endSystole: number;
}

/** Beats of a steady heart whose intervals vary by `jitter` (part of the interval, one standard deviation). */
export function beatTimes(
  heartRate: number,
  startPhase: number,
  jitter: number,
  lastMs: number,
  random: Random,
): BeatTimes {
  const beatMs = 60_000 / heartRate;
  const rWavesMs = [startPhase === 0 ? 0 : -startPhase * beatMs];
  if (startPhase === 0) rWavesMs.unshift(-beatMs);
  while ((rWavesMs.at(-1) as number) <= lastMs + beatMs) {
    const wobble = jitter === 0 ? 0 : Math.max(-0.45, Math.min(0.45, jitter * normalish(random)));
    rWavesMs.push((rWavesMs.at(-1) as number) + beatMs * (1 + wobble));
  }
  return { rWavesMs, endSystole: systoleEnds(heartRate) };
}

/** The heart at a time of the clip. */
export function momentOf(times: BeatTimes, timeMs: number): Moment {
  const { rWavesMs, endSystole } = times;
  let n = 0;
  while (n + 2 < rWavesMs.length && (rWavesMs[n + 1] as number) <= timeMs) n += 1;
  const from = rWavesMs[n] as number;
  const to = rWavesMs[n + 1] as number;
  return momentAt((timeMs - from) / (to - from), endSystole);
}

/** R waves and ends of systole that lie within the clip, ms. */
export function eventsWithin(
  times: BeatTimes,
  lastMs: number,
): { diastoleMs: number[]; systoleMs: number[] } {
  const { rWavesMs, endSystole } = times;
  const within = (t: number): boolean => t >= 0 && t <= lastMs;
  const systole = rWavesMs.slice(0, -1).map((r, n) => r + endSystole * ((rWavesMs[n + 1] as number) - r));
  return { diastoleMs: rWavesMs.filter(within), systoleMs: systole.filter(within) };
}
