import type { Random } from '@chordae/phantom';
import { rootTiltOutputs } from '../src/learned/root-tilt';
import { tiltOutputs } from '../src/learned/short-axis-tilt';
import { suggestedViews } from '../src/learned/view-suggestion';
import { augmented } from './augment';
import { augmentedRoot } from './augment-root';
import { augmentedView } from './augment-view';
import { finderCourse } from './finder/course';
import { finderRecipes } from './finder/recipe';
import { patchCourse } from './patch-course';
import { learning } from './recipe';
import { rootLoss } from './root-loss';
import { rootLearning } from './root-recipe';
import { tiltLoss } from './tilt-loss';
import { viewLoss } from './view-loss';
import { viewLearning } from './view-recipe';
import { widened } from './widened';

/** How long and how fast is learned. */
export interface Learning {
  readonly epochs: number;
  readonly batch: number;
  readonly rate: number;
  readonly decay: number;
  readonly seed: number;
}

/** What a thread works on: samples one behind the other, a row of labels for each, and the network's numbers. */
export interface Lesson {
  readonly samples: Uint8Array;
  readonly labels: Float32Array;
  readonly numbers: Float32Array;
}

/** Adds a sample's gradient, as one of a batch, and tells its error (degrees, 1 for a wrong view, a finder's loss). */
export type Student = (lesson: Lesson, sample: number, random: Random, into: Float64Array) => number;

/** Something to learn. */
export interface Course extends Learning {
  /** Numbers of the network, bytes of a sample, labels of a sample. */
  readonly size: number;
  readonly sampleBytes: number;
  readonly labelSize: number;
  /** A batch is always cut into so many shards, so that sums do not depend on the number of cores. */
  readonly shards: number;
  first(random: Random): Float32Array;
  student(): Student;
}

export const courses = {
  tilt: patchCourse({
    ...learning,
    outputs: tiltOutputs,
    labelSize: 3,
    shards: 16,
    augment: (patches, at, random, pair) => {
      augmented(patches, at, random, pair);
      widened(pair, random);
    },
    loss: tiltLoss,
  }),
  view: patchCourse({
    ...viewLearning,
    outputs: suggestedViews.length,
    labelSize: 1,
    augment: augmentedView,
    loss: viewLoss,
  }),
  rootTilt: patchCourse({
    ...rootLearning,
    outputs: rootTiltOutputs,
    labelSize: 3,
    shards: 16,
    augment: augmentedRoot,
    loss: rootLoss,
  }),
  cavity: finderCourse(finderRecipes.cavity),
  root: finderCourse(finderRecipes.root),
  chambers: finderCourse(finderRecipes.chambers),
} as const satisfies Record<string, Course>;

export type CourseName = keyof typeof courses;
