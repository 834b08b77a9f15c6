import type { Chamber, PhantomFamily, PhantomView } from '@chordae/phantom';
import type { Learning } from '../courses';

/** Phantoms that a finder is trained or judged on. Seeds of the sets never overlap; `distant` is only judged on. */
export interface FinderSet {
  readonly name: string;
  readonly family: PhantomFamily;
  readonly firstSeed: number;
  readonly count: number;
}

/** One map of a finder: the places of a chamber when it is largest, smallest, or as a mean over the beat. */
export interface FinderMap {
  readonly chamber: Chamber;
  readonly when: 'largest' | 'smallest' | 'mean';
}

export interface FinderRecipe extends Learning {
  readonly name: 'cavity' | 'root' | 'chambers';
  readonly view: PhantomView;
  readonly maxTiltDeg: number;
  readonly maps: readonly FinderMap[];
  readonly trainingSets: readonly FinderSet[];
  readonly judgingSets: readonly FinderSet[];
}

/** Frames of a phantom, spread over so many beats, and the widths that they are drawn with, pixels. */
export const finderFrames = 6;
export const finderWidthsPx = [176, 216, 256] as const;
export const finderBeats = [0.9, 1.5] as const;

function sets(name: string, from: number, count: number): Pick<FinderRecipe, 'trainingSets' | 'judgingSets'> {
  return {
    trainingSets: [
      { name: `${name} developing`, family: 'developing', firstSeed: from, count: count / 2 },
      { name: `${name} shifted`, family: 'shifted', firstSeed: from + 20_000, count: count / 2 },
    ],
    judgingSets: [
      { name: `${name} developing, other seeds`, family: 'developing', firstSeed: from + 40_000, count: 160 },
      { name: `${name} shifted, other seeds`, family: 'shifted', firstSeed: from + 50_000, count: 160 },
      { name: `${name} distant, never trained on`, family: 'distant', firstSeed: from + 60_000, count: 160 },
    ],
  };
}

export const finderRecipes = {
  cavity: {
    name: 'cavity',
    view: 'rps-short-papillary',
    maxTiltDeg: 42,
    maps: [
      { chamber: 'left-ventricle', when: 'largest' },
      { chamber: 'left-ventricle', when: 'smallest' },
      { chamber: 'right-ventricle', when: 'largest' },
    ],
    ...sets('cavity', 1_000_000, 8000),
    epochs: 6,
    batch: 32,
    rate: 0.004,
    decay: 1e-4,
    seed: 61,
  },
  root: {
    name: 'root',
    view: 'rps-short-aortic',
    maxTiltDeg: 45,
    maps: [{ chamber: 'aortic-root', when: 'mean' }],
    ...sets('root', 1_100_000, 5000),
    epochs: 5,
    batch: 32,
    rate: 0.004,
    decay: 1e-4,
    seed: 62,
  },
  chambers: {
    name: 'chambers',
    view: 'rps-long-4ch',
    maxTiltDeg: 35,
    maps: [
      { chamber: 'left-ventricle', when: 'largest' },
      { chamber: 'left-ventricle', when: 'smallest' },
      { chamber: 'right-ventricle', when: 'largest' },
      { chamber: 'left-atrium', when: 'largest' },
    ],
    ...sets('chambers', 1_200_000, 6000),
    epochs: 6,
    batch: 32,
    rate: 0.004,
    decay: 1e-4,
    seed: 63,
  },
} as const satisfies Record<string, FinderRecipe>;

export type FinderName = keyof typeof finderRecipes;
