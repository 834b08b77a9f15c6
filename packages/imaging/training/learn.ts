import { availableParallelism } from 'node:os';
import type { Random } from '@chordae/phantom';
import { seededRandom } from '@chordae/phantom';
import { exactCos } from '@chordae/units';
import type { Course, CourseName } from './courses';
import { courses } from './courses';
import { shared } from './shard';
import { makeTeam } from './team';

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

/** What there is to learn from: patches one behind the other, and a row of labels for each. */
export interface Material {
  readonly patches: Uint8Array;
  readonly labels: readonly (readonly number[])[];
}

/**
 * Trains one course on all material together. The same numbers from the same material and seed, whatever the number of cores: each
 * batch is cut into the same shards, whose gradients are added in the same order. `say` hears of each round, `afterRound` has the
 * numbers so far.
 */
export async function learn(
  name: CourseName,
  material: readonly Material[],
  say: (line: string) => void,
  afterRound: (mean: Float32Array) => void = () => {},
): Promise<Float32Array> {
  const course: Course = courses[name];
  const { epochs, batch, rate, decay, seed, size, shards } = course;
  const random = seededRandom(seed);
  const common = shared(course, material);
  common.numbers.set(course.first(random));
  const { numbers } = common;
  const step = makeStep(numbers, size);
  const count = common.samples.length / course.sampleBytes;
  const rounds = Math.floor(count / batch);
  const team = await makeTeam(name, common, Math.min(shards, availableParallelism()));
  const mean = Float32Array.from(numbers);
  const gradient = new Float64Array(size);
  let done = 0;
  for (let epoch = 0; epoch < epochs; epoch += 1) {
    const order = shuffled(count, random);
    let total = 0;
    for (let round = 0; round < rounds; round += 1) {
      common.batch.set(order.subarray(round * batch, (round + 1) * batch));
      team.work(done);
      gradient.fill(0);
      for (let s = 0; s < shards; s += 1) {
        total += common.errors[s] as number;
        for (let n = 0; n < size; n += 1)
          gradient[n] = (gradient[n] as number) + (common.gradients[s * size + n] as number);
      }
      done += 1;
      const warm = Math.min(1, done / 200);
      step(
        gradient,
        rate * warm * (0.01 + 0.495 * (1 + exactCos((Math.PI * done) / (epochs * rounds)))),
        decay,
      );
      // A running mean of the numbers, that of the end being kept: steadier than the last step.
      const keep = Math.min(0.999, done / (done + 10));
      for (let n = 0; n < size; n += 1)
        mean[n] = keep * (mean[n] as number) + (1 - keep) * (numbers[n] as number);
    }
    say(
      `${name}, round ${epoch + 1} of ${epochs}: mean error while learning ${(total / (rounds * batch)).toFixed(3)}`,
    );
    afterRound(mean);
  }
  await team.end();
  return mean;
}
