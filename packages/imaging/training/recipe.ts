import type { PhantomFamily } from '@chordae/phantom';

/** What the model is trained and judged on. Seeds of the sets never overlap; `distant` is only judged on. */
export interface SampleSet {
  readonly name: string;
  readonly family: PhantomFamily;
  readonly firstSeed: number;
  readonly count: number;
  /** How often each phantom is seen, with the place of the ventricle found a little differently. */
  readonly views: number;
}

export const trainingSets: readonly SampleSet[] = [
  { name: 'developing', family: 'developing', firstSeed: 100_000, count: 6000, views: 2 },
  { name: 'shifted', family: 'shifted', firstSeed: 200_000, count: 6000, views: 2 },
];

export const judgingSets: readonly SampleSet[] = [
  { name: 'developing, other seeds', family: 'developing', firstSeed: 500_000, count: 400, views: 1 },
  { name: 'shifted, other seeds', family: 'shifted', firstSeed: 510_000, count: 400, views: 1 },
  { name: 'distant, never trained on', family: 'distant', firstSeed: 520_000, count: 400, views: 1 },
];

/** Errors of the tracer that training imitates: middle and radius as parts of the radius, moments as parts of the beat. */
export const jitter = { middle: 0.1, radius: 0.12, phase: 0.04 } as const;

export const learning = { epochs: 10, batch: 32, rate: 0.002, decay: 1e-4, seed: 41 } as const;
