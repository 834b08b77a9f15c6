import { seededRandom } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { networkSize, runNetwork } from '../src/learned/network';
import { firstNumbers, makeTrainable } from './trainable';

const outputs = 4;
const random = seededRandom(3);
const numbers = firstNumbers(random, outputs);
const input = Float64Array.from({ length: 2 * 48 * 32 }, () => 2 * random() - 1);

describe('training', () => {
  it('runs the same network as the one that is shipped', () => {
    const trained = makeTrainable(outputs).run(input, numbers);
    const shipped = runNetwork(input, Float64Array.from(numbers), outputs);
    for (let n = 0; n < outputs; n += 1) expect(trained[n]).toBeCloseTo(shipped[n] as number, 4);
  });

  // A gradient is what the output changes by when one number is moved: central differences on the double-precision network.
  it('finds the gradients that small moves of single numbers give', () => {
    const net = makeTrainable(outputs);
    net.run(input, numbers);
    const into = new Float64Array(networkSize(outputs));
    net.learn(Float64Array.from([1, 0.5, -0.3, 0.2]), numbers, into);
    const loss = (list: Float64Array): number => {
      const out = runNetwork(input, list, outputs);
      return (
        (out[0] as number) + 0.5 * (out[1] as number) - 0.3 * (out[2] as number) + 0.2 * (out[3] as number)
      );
    };
    const step = 1e-5;
    for (let n = 0; n < networkSize(outputs); n += 97) {
      const list = Float64Array.from(numbers);
      list[n] = (list[n] as number) + step;
      const up = loss(list);
      list[n] = (list[n] as number) - 2 * step;
      const slope = (up - loss(list)) / (2 * step);
      expect(Math.abs(slope - (into[n] as number)), `number ${n}`).toBeLessThan(
        1e-3 + 0.01 * Math.abs(slope),
      );
    }
  });
});
