import type { SampleSet } from './recipe';

/** Short axes at the aortic valve that the root's tilt is trained and judged on. `distant` is only judged on. */
export const rootTrainingSets: readonly SampleSet[] = [
  { name: 'root tilt developing', family: 'developing', firstSeed: 1_300_000, count: 3500, views: 2 },
  { name: 'root tilt shifted', family: 'shifted', firstSeed: 1_320_000, count: 3500, views: 2 },
];

export const rootJudgingSets: readonly SampleSet[] = [
  {
    name: 'root tilt developing, other seeds',
    family: 'developing',
    firstSeed: 1_340_000,
    count: 200,
    views: 1,
  },
  { name: 'root tilt shifted, other seeds', family: 'shifted', firstSeed: 1_350_000, count: 200, views: 1 },
  {
    name: 'root tilt distant, never trained on',
    family: 'distant',
    firstSeed: 1_360_000,
    count: 200,
    views: 1,
  },
];

/** Errors of the finder that training imitates, parts of the root's radius. */
export const rootJitter = { middle: 0.15, radius: 0.14 } as const;

export const rootLearning = { epochs: 10, batch: 32, rate: 0.002, decay: 2e-4, seed: 71 } as const;
