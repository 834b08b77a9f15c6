import type { PhantomFamily } from '@chordae/phantom';

/** Phantoms of every view; seeds of the sets never overlap, `distant` is only judged on. Sets were fixed before the first training. */
export interface ViewSet {
  readonly name: string;
  readonly family: PhantomFamily;
  readonly firstSeed: number;
  readonly perView: number;
}

export const viewTrainingSets: readonly ViewSet[] = [
  { name: 'views developing', family: 'developing', firstSeed: 600_000, perView: 150 },
  { name: 'views shifted', family: 'shifted', firstSeed: 650_000, perView: 150 },
];

export const viewJudgingSets: readonly ViewSet[] = [
  { name: 'views developing, other seeds', family: 'developing', firstSeed: 700_000, perView: 20 },
  { name: 'views shifted, other seeds', family: 'shifted', firstSeed: 750_000, perView: 20 },
  { name: 'views distant, never trained on', family: 'distant', firstSeed: 800_000, perView: 20 },
];

/** How well the views were found: largest tilt, and shift of a short axis' level as part of the half length. */
export const viewErrors = { tiltDeg: 12, level: 0.03 } as const;

export const viewLearning = { epochs: 12, batch: 32, rate: 0.002, decay: 3e-4, seed: 43 } as const;
