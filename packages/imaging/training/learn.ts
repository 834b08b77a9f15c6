import type { Random } from '@chordae/phantom';
import { seededRandom } from '@chordae/phantom';
import { exactCos } from '@chordae/units';
import { networkSize } from '../src/learned/network';
import { levelled } from '../src/learned/polar-patch';
import { augmented } from './augment';
import { learning } from './recipe';
import type { Labels } from './samples';
import { patchBytes } from './samples';
import type { Loaded } from './sets';
import { firstNumbers, makeTrainable } from './trainable';

/** Loss that is square near 0 and straight beyond: its slope. */
function slope(error: number, knee: number): number {
  return Math.max(-1, Math.min(1, error / knee));
}

/** Gradient of the loss at the four outputs; `out[1]` learns how large the tilt's error is without bending the tilt itself. */
export function lossGradient(out: Float64Array, labels: Labels): Float64Array {
  const error = (out[0] as number) - labels.tiltDeg / 45;
  const spread = 0.02 + (out[1] as number) * (out[1] as number);
  // Laplace likelihood: |e|/s + ln s.
  const dSpread = -Math.abs(error) / (spread * spread) + 1 / spread;
  return Float64Array.from([
    slope(error, 0.06),
    Math.max(-2, Math.min(2, 0.02 * dSpread)) * 2 * (out[1] as number) * 0.5,
    0.3 * slope((out[2] as number) - 2 * labels.septumFlat, 0.1),
    0.15 * slope((out[3] as number) - labels.rightToLeft, 0.1),
  ]);
}

/** Adam (Kingma & Ba 2015, arXiv 1412.6980) with decay of the weights apart (Loshchilov & Hutter 2019, arXiv 1711.05101). */
function makeStep(numbers: Float32Array): (gradient: Float64Array, rate: number, decay: number) => void {
  const first = new Float64Array(networkSize);
  const second = new Float64Array(networkSize);
  let [power1, power2] = [1, 1];
  return (gradient, rate, decay) => {
    power1 *= 0.9;
    power2 *= 0.999;
    for (let n = 0; n < networkSize; n += 1) {
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

/** Trains on all sets together. The same bytes from the same sets and seed. `say` hears of each round. */
export function learn(sets: readonly Loaded[], say: (line: string) => void): Float32Array {
  const { epochs, batch, rate, decay, seed } = learning;
  const random = seededRandom(seed);
  const numbers = firstNumbers(random);
  const net = makeTrainable();
  const step = makeStep(numbers);
  const all = sets.flatMap((loaded) =>
    loaded.labels.map((labels, n) => ({ loaded, labels, at: n * patchBytes })),
  );
  const steps = epochs * Math.floor(all.length / batch);
  const pair = { d: new Float64Array(patchBytes / 2), s: new Float64Array(patchBytes / 2) };
  const mean = Float32Array.from(numbers);
  let done = 0;
  for (let epoch = 0; epoch < epochs; epoch += 1) {
    const order = shuffled(all.length, random);
    let total = 0;
    let count = 0;
    for (let from = 0; from + batch <= order.length; from += batch) {
      const gradient = new Float64Array(networkSize);
      for (let n = from; n < from + batch; n += 1) {
        const { loaded, labels, at } = all[order[n] as number] as (typeof all)[0];
        augmented(loaded.patches, at, random, pair);
        const out = net.run(levelled(pair.d, pair.s), numbers);
        total += Math.abs(45 * (out[0] as number) - labels.tiltDeg);
        count += 1;
        const wish = lossGradient(out, labels);
        for (let k = 0; k < wish.length; k += 1) wish[k] = (wish[k] as number) / batch;
        net.learn(wish, numbers, gradient);
      }
      done += 1;
      const warm = Math.min(1, done / 200);
      step(gradient, rate * warm * (0.01 + 0.495 * (1 + exactCos((Math.PI * done) / steps))), decay);
      // A running mean of the numbers, that of the end being kept: steadier than the last step.
      const keep = Math.min(0.999, done / (done + 10));
      for (let n = 0; n < networkSize; n += 1)
        mean[n] = keep * (mean[n] as number) + (1 - keep) * (numbers[n] as number);
    }
    say(`round ${epoch + 1} of ${epochs}: mean error while learning ${(total / count).toFixed(2)} deg`);
  }
  return mean;
}
