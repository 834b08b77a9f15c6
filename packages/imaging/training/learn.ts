import type { Random } from '@chordae/phantom';
import { seededRandom } from '@chordae/phantom';
import { exactCos } from '@chordae/units';
import { networkSize } from '../src/learned/network';
import { levelled } from '../src/learned/polar-patch';
import { patchBytes } from './samples';
import { firstNumbers, makeTrainable } from './trainable';

/** Adam (Kingma & Ba 2015, arXiv 1412.6980) with decay of the weights apart (Loshchilov & Hutter 2019, arXiv 1711.05101). */
function makeStep(
  numbers: Float32Array,
  size: number,
): (gradient: Float64Array, rate: number, decay: number) => void {
  const first = new Float64Array(size);
  const second = new Float64Array(size);
  let [power1, power2] = [1, 1];
  return (gradient, rate, decay) => {
    power1 *= 0.9;
    power2 *= 0.999;
    for (let n = 0; n < size; n += 1) {
      const g = gradient[n] as number;
      const m = 0.9 * (first[n] as number) + 0.1 * g;
      const v = 0.999 * (second[n] as number) + 0.001 * g * g;
      first[n] = m;
      second[n] = v;
      const step = m / (1 - power1) / (Math.sqrt(v / (1 - power2)) + 1e-8);
      numbers[n] = (numbers[n] as number) * (1 - rate * decay) - rate * step;
    }
  };
}

function shuffled(count: number, random: Random): Int32Array {
  const order = Int32Array.from({ length: count }, (_, n) => n);
  for (let n = count - 1; n > 0; n -= 1) {
    const other = Math.floor(random() * (n + 1));
    [order[n], order[other]] = [order[other] as number, order[n] as number];
  }
  return order;
}

/** One thing to learn from: how to make its pair of patches (another each time), and what its outputs should be. */
export interface Lesson {
  readonly patches: Uint8Array;
  readonly at: number;
  /** Gradient of the loss at the outputs, and the error to report. */
  judge(out: Float64Array): { readonly gradient: Float64Array; readonly error: number };
}

export interface Course {
  readonly outputs: number;
  readonly epochs: number;
  readonly batch: number;
  readonly rate: number;
  readonly decay: number;
  readonly seed: number;
  readonly augment: (patches: Uint8Array, at: number, random: Random, pair: Pair) => void;
}

export interface Pair {
  readonly d: Float64Array;
  readonly s: Float64Array;
}

/** Trains on all lessons together. The same numbers from the same lessons and seed. `say` hears of each round. */
export function learn(lessons: readonly Lesson[], course: Course, say: (line: string) => void): Float32Array {
  const { outputs, epochs, batch, rate, decay, seed } = course;
  const size = networkSize(outputs);
  const random = seededRandom(seed);
  const numbers = firstNumbers(random, outputs);
  const net = makeTrainable(outputs);
  const step = makeStep(numbers, size);
  const steps = epochs * Math.floor(lessons.length / batch);
  const pair: Pair = { d: new Float64Array(patchBytes / 2), s: new Float64Array(patchBytes / 2) };
  const mean = Float32Array.from(numbers);
  let done = 0;
  for (let epoch = 0; epoch < epochs; epoch += 1) {
    const order = shuffled(lessons.length, random);
    let total = 0;
    let count = 0;
    for (let from = 0; from + batch <= order.length; from += batch) {
      const gradient = new Float64Array(size);
      for (let n = from; n < from + batch; n += 1) {
        const lesson = lessons[order[n] as number] as Lesson;
        course.augment(lesson.patches, lesson.at, random, pair);
        const judged = lesson.judge(net.run(levelled(pair.d, pair.s), numbers));
        total += judged.error;
        count += 1;
        net.learn(
          judged.gradient.map((g) => g / batch),
          numbers,
          gradient,
        );
      }
      done += 1;
      const warm = Math.min(1, done / 200);
      step(gradient, rate * warm * (0.01 + 0.495 * (1 + exactCos((Math.PI * done) / steps))), decay);
      // A running mean of the numbers, that of the end being kept: steadier than the last step.
      const keep = Math.min(0.999, done / (done + 10));
      for (let n = 0; n < size; n += 1)
        mean[n] = keep * (mean[n] as number) + (1 - keep) * (numbers[n] as number);
    }
    say(`round ${epoch + 1} of ${epochs}: mean error while learning ${(total / count).toFixed(3)}`);
  }
  return mean;
}
