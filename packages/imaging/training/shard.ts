import { seededRandom } from '@chordae/phantom';
import type { Course } from './courses';
import type { Material } from './learn';

/** Memory that all threads see. */
export interface Shared {
  readonly samples: Uint8Array;
  readonly labels: Float32Array;
  readonly numbers: Float32Array;
  /** Samples of the batch at hand. */
  readonly batch: Int32Array;
  /** One gradient and one sum of errors for each shard. */
  readonly gradients: Float64Array;
  readonly errors: Float64Array;
  /** 0: steps begun (negative: go home), 1: threads done, 2: number of the step. */
  readonly signs: Int32Array;
}

export function shared(course: Course, material: readonly Material[]): Shared {
  const { size, shards } = course;
  const memory = (bytes: number): SharedArrayBuffer => new SharedArrayBuffer(bytes);
  const samples = new Uint8Array(memory(material.reduce((sum, m) => sum + m.patches.length, 0)));
  let at = 0;
  for (const { patches: some } of material) {
    samples.set(some, at);
    at += some.length;
  }
  const rows = material.flatMap((m) => m.labels);
  const labels = new Float32Array(memory(4 * rows.length * course.labelSize));
  rows.forEach((row, n) => {
    labels.set(row, n * course.labelSize);
  });
  return {
    samples,
    labels,
    numbers: new Float32Array(memory(4 * size)),
    batch: new Int32Array(memory(4 * course.batch)),
    gradients: new Float64Array(memory(8 * size * shards)),
    errors: new Float64Array(memory(8 * shards)),
    signs: new Int32Array(memory(12)),
  };
}

/** Prepares the working of single shards: fills the shard's gradient and error for a step. */
export function shardWorker(course: Course, common: Shared): (shard: number, step: number) => void {
  const study = course.student();
  const { size } = course;
  const each = course.batch / course.shards;
  return (shard, step) => {
    const gradient = common.gradients.subarray(shard * size, (shard + 1) * size);
    gradient.fill(0);
    let sum = 0;
    for (let n = shard * each; n < (shard + 1) * each; n += 1) {
      const random = seededRandom(Math.imul(course.seed + step, 0x9e3779b1) ^ Math.imul(n + 1, 0x85ebca6b));
      sum += study(common, common.batch[n] as number, random, gradient);
    }
    common.errors[shard] = sum;
  };
}
