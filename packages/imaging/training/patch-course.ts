import type { Random } from '@chordae/phantom';
import { networkSize } from '../src/learned/network';
import { levelled } from '../src/learned/polar-patch';
import type { Course, Learning } from './courses';
import { patchBytes } from './samples';
import { firstNumbers, makeTrainable } from './trainable';

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

/** Learning from pairs of patches: how samples are varied, what is wrong with an answer. */
export function patchCourse(
  of: Learning & {
    readonly outputs: number;
    readonly labelSize: number;
    /** Fills the pair; gives the labels that hold for it, those of the sample where nothing is given. */
    augment(
      patches: Uint8Array,
      at: number,
      random: Random,
      pair: Pair,
      labels: Float32Array,
    ): Float32Array | void;
    readonly shards?: number;
    loss(out: Float64Array, labels: Float32Array, at: number): Loss;
  },
): Course {
  return {
    ...of,
    size: networkSize(of.outputs),
    sampleBytes: patchBytes,
    shards: of.shards ?? 8,
    first: (random) => firstNumbers(random, of.outputs),
    student() {
      const net = makeTrainable(of.outputs);
      const pair: Pair = { d: new Float64Array(patchBytes / 2), s: new Float64Array(patchBytes / 2) };
      return ({ samples, labels, numbers }, sample, random, into) => {
        const own = labels.subarray(sample * of.labelSize, (sample + 1) * of.labelSize);
        const held = of.augment(samples, sample * patchBytes, random, pair, own) ?? own;
        const out = net.run(levelled(pair.d, pair.s), numbers);
        const { gradient, error } = of.loss(out, held, 0);
        net.learn(
          gradient.map((g) => g / of.batch),
          numbers,
          into,
        );
        return error;
      };
    },
  };
}
