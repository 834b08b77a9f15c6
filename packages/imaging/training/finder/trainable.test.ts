import { seededRandom } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { layInput } from '../../src/learned/finder/grid';
import { finderSize, gridSide } from '../../src/learned/finder/network';
import { firstFinderNumbers, makeTrainableFinder } from './trainable';

const outputs = 2;
const random = seededRandom(5);
const cells = gridSide * gridSide;
const greys = Array.from({ length: 3 }, () => Float32Array.from({ length: cells }, () => 255 * random()));
const inside = Float32Array.from({ length: cells }, (_, n) => (n % gridSide > 4 ? 1 : 0));

describe('training of a finder', () => {
  // A gradient is what the output changes by when one number is moved: central differences.
  it('finds the gradients that small moves of single numbers give', () => {
    const numbers = firstFinderNumbers(random, outputs);
    const net = makeTrainableFinder(outputs);
    layInput(greys, inside, net.input);
    const wish = Float32Array.from({ length: outputs * cells }, () => (2 * random() - 1) / 50);
    const loss = (): number => net.run(numbers).reduce((sum, v, n) => sum + v * (wish[n] as number), 0);
    loss();
    const into = new Float64Array(finderSize(outputs));
    net.learn(wish, numbers, into);
    const step = 2e-3;
    let largest = 0;
    for (let n = 0; n < numbers.length; n += 331) {
      const before = numbers[n] as number;
      numbers[n] = before + step;
      const up = loss();
      numbers[n] = before - step;
      const slope = (up - loss()) / (2 * step);
      numbers[n] = before;
      largest = Math.max(largest, Math.abs(slope));
      expect(Math.abs(slope - (into[n] as number)), `number ${n}`).toBeLessThan(
        0.02 + 0.03 * Math.abs(slope),
      );
    }
    expect(largest).toBeGreaterThan(0.5);
  });
});
