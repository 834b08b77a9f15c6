import { layInput } from '../../src/learned/finder/grid';
import { finderSize } from '../../src/learned/finder/network';
import type { Course } from '../courses';
import { emptyVaried, varied } from './augment';
import { finderLoss } from './loss';
import type { FinderRecipe } from './recipe';
import { finderSampleBytes } from './samples';
import { firstFinderNumbers, makeTrainableFinder } from './trainable';

/** Learning where chambers lie. */
export function finderCourse(recipe: FinderRecipe): Course {
  const outputs = recipe.maps.length;
  const { epochs, batch, rate, decay, seed } = recipe;
  return {
    epochs,
    batch,
    rate,
    decay,
    seed,
    size: finderSize(outputs),
    sampleBytes: finderSampleBytes(recipe),
    labelSize: 0,
    shards: 16,
    first: (random) => firstFinderNumbers(random, outputs),
    student() {
      const net = makeTrainableFinder(outputs);
      const sample = emptyVaried(outputs);
      return ({ samples, numbers }, number, random, into) => {
        varied(samples, number * finderSampleBytes(recipe), random, sample);
        layInput(sample.greys, sample.inside, net.input);
        const raw = net.run(numbers);
        const gradient = new Float32Array(raw.length);
        const error = finderLoss(raw, sample.maps, gradient);
        for (let n = 0; n < gradient.length; n += 1) gradient[n] = (gradient[n] as number) / batch;
        net.learn(gradient, numbers, into);
        return error;
      };
    },
  };
}
