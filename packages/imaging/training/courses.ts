import type { Random } from '@chordae/phantom';
import { tiltOutputs } from '../src/learned/short-axis-tilt';
import { suggestedViews } from '../src/learned/view-suggestion';
import { augmented } from './augment';
import { augmentedView } from './augment-view';
import { learning } from './recipe';
import { tiltLoss } from './tilt-loss';
import { viewLoss } from './view-loss';
import { viewLearning } from './view-recipe';

/** The two patches that the network is shown. */
export interface Pair {
  readonly d: Float64Array;
  readonly s: Float64Array;
}

export interface Loss {
  /** Gradient at the outputs. */
  readonly gradient: Float64Array;
  /** What is reported: degrees, or 1 for a wrong view. */
  readonly error: number;
}

/** Something to learn: how often, how fast, how samples are varied, what is wrong with an answer. */
export interface Course {
  readonly outputs: number;
  readonly labelSize: number;
  readonly epochs: number;
  readonly batch: number;
  readonly rate: number;
  readonly decay: number;
  readonly seed: number;
  augment(patches: Uint8Array, at: number, random: Random, pair: Pair): void;
  loss(out: Float64Array, labels: Float32Array, at: number): Loss;
}

export const courses = {
  tilt: { ...learning, outputs: tiltOutputs, labelSize: 3, augment: augmented, loss: tiltLoss },
  view: {
    ...viewLearning,
    outputs: suggestedViews.length,
    labelSize: 1,
    augment: augmentedView,
    loss: viewLoss,
  },
} as const satisfies Record<string, Course>;

export type CourseName = keyof typeof courses;
