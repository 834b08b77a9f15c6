import type { Random } from '@chordae/phantom';
import {
  bufferCount,
  finderBuffers,
  finderLayers,
  finderSize,
  gridSide,
  lastBuffer,
  runFinder,
  shapeOf,
  steps,
} from '../../src/learned/finder/network';
import type { Shape } from '../../src/learned/finder/planes';
import { addNine, clearRims, planeOf, planesOf, strideOf } from '../../src/learned/finder/planes';

/** First numbers: uniform, so wide that signals keep their size (He et al. 2015, arXiv 1502.01852). */
export function firstFinderNumbers(random: Random, outputs: number): Float32Array {
  const numbers = new Float32Array(finderSize(outputs));
  let at = 0;
  for (const { each, to } of finderLayers(outputs)) {
    const bound = Math.sqrt(6 / each);
    for (let n = 0; n < each * to; n += 1) numbers[at + n] = bound * (2 * random() - 1);
    at += (each + 1) * to;
  }
  return numbers;
}

export interface TrainableFinder {
  /** Where the input is laid. */
  readonly input: Float32Array;
  /** Raw outputs for the input at hand. */
  run(numbers: Float32Array): Float32Array;
  /** Adds the gradients for the last input that was run. */
  learn(gradient: Float32Array, numbers: Float32Array, into: Float64Array): void;
}

/** The network with what its training needs to remember. */
export function makeTrainableFinder(outputs: number): TrainableFinder {
  const values = finderBuffers();
  const slopes = Array.from({ length: bufferCount }, (_, n) => planesOf(shapeOf(n)));
  const at = numbersOfSteps();
  return {
    input: values[0] as Float32Array,
    run: (numbers) => runFinder(values, numbers, outputs),
    learn(gradient, numbers, into) {
      for (const slope of slopes) slope.fill(0);
      backOutputs(gradient, values[lastBuffer] as Float32Array, slopes[lastBuffer] as Float32Array, {
        numbers,
        into,
        at: at[steps.length] as number,
        outputs,
      });
      for (let n = steps.length - 1; n >= 0; n -= 1) {
        const step = steps[n] as (typeof steps)[number];
        const [from, dFrom] = [values[step.from] as Float32Array, slopes[step.from] as Float32Array];
        const [to, dTo] = [values[step.to] as Float32Array, slopes[step.to] as Float32Array];
        const shape = shapeOf(step.from);
        if (step.kind === 'convolve') {
          for (let k = 0; k < to.length; k += 1) if ((to[k] as number) <= 0) dTo[k] = 0;
          const channels = shapeOf(step.to).channels;
          backWeights(dTo, from, shape, channels, into, at[n] as number);
          if (n > 0) backInput(dTo, shape, numbers, at[n] as number, channels, dFrom);
        } else if (step.kind === 'halve') backHalve(dTo, shape, dFrom);
        else {
          backDouble(dTo, shape, dFrom);
          const dBeside = slopes[step.beside] as Float32Array;
          const start = shape.channels * planeOf(shapeOf(step.to));
          for (let k = 0; k < dBeside.length; k += 1)
            dBeside[k] = (dBeside[k] as number) + (dTo[start + k] as number);
        }
      }
    },
  };
}

/** Where the numbers of each step begin; last those of the outputs. */
function numbersOfSteps(): number[] {
  let at = 0;
  const out: number[] = [];
  for (const step of steps) {
    out.push(at);
    if (step.kind === 'convolve') at += (shapeOf(step.from).channels * 9 + 1) * shapeOf(step.to).channels;
  }
  return [...out, at];
}

function backOutputs(
  gradient: Float32Array,
  values: Float32Array,
  slopes: Float32Array,
  o: {
    readonly numbers: Float32Array;
    readonly into: Float64Array;
    readonly at: number;
    readonly outputs: number;
  },
): void {
  const { channels } = shapeOf(lastBuffer);
  const [stride, plane] = [strideOf(shapeOf(lastBuffer)), planeOf(shapeOf(lastBuffer))];
  const sums = new Float64Array(channels + 1);
  for (let k = 0; k < o.outputs; k += 1) {
    sums.fill(0);
    for (let y = 0; y < gridSide; y += 1)
      for (let x = 0; x < gridSide; x += 1) {
        const g = gradient[(k * gridSide + y) * gridSide + x] as number;
        const i = (y + 1) * stride + x + 1;
        sums[channels] = (sums[channels] as number) + g;
        for (let c = 0; c < channels; c += 1) {
          sums[c] = (sums[c] as number) + g * (values[c * plane + i] as number);
          slopes[c * plane + i] =
            (slopes[c * plane + i] as number) + g * (o.numbers[o.at + k * channels + c] as number);
        }
      }
    for (let c = 0; c < channels; c += 1)
      o.into[o.at + k * channels + c] = (o.into[o.at + k * channels + c] as number) + (sums[c] as number);
    const bias = o.at + o.outputs * channels + k;
    o.into[bias] = (o.into[bias] as number) + (sums[channels] as number);
  }
}

function backInput(
  dOut: Float32Array,
  shape: Shape,
  numbers: Float32Array,
  at: number,
  to: number,
  dIn: Float32Array,
): void {
  const plane = planeOf(shape);
  for (let i = 0; i < shape.channels; i += 1)
    for (let o = 0; o < to; o += 1)
      addNine(dIn, i * plane, dOut, o * plane, numbers, at + (o * shape.channels + i) * 9, true, shape);
  clearRims(dIn, shape);
}

function backWeights(
  dOut: Float32Array,
  input: Float32Array,
  shape: Shape,
  to: number,
  into: Float64Array,
  at: number,
): void {
  const plane = planeOf(shape);
  const s = strideOf(shape);
  const end = plane - s - 1;
  for (let o = 0; o < to; o += 1) {
    let bias = 0;
    for (let n = s + 1; n < end; n += 1) bias += dOut[o * plane + n] as number;
    const b = at + shape.channels * to * 9 + o;
    into[b] = (into[b] as number) + bias;
    for (let i = 0; i < shape.channels; i += 1) {
      let [a0, a1, a2, a3, a4, a5, a6, a7, a8] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
      const base = i * plane;
      let [p0, p1] = [input[base] as number, input[base + 1] as number];
      let [q0, q1] = [input[base + s] as number, input[base + s + 1] as number];
      let [r0, r1] = [input[base + 2 * s] as number, input[base + 2 * s + 1] as number];
      for (let n = s + 1; n < end; n += 1) {
        const g = dOut[o * plane + n] as number;
        const k = base + n + 1;
        const p2 = input[k - s] as number;
        const q2 = input[k] as number;
        const r2 = input[k + s] as number;
        a0 += g * p0;
        a1 += g * p1;
        a2 += g * p2;
        a3 += g * q0;
        a4 += g * q1;
        a5 += g * q2;
        a6 += g * r0;
        a7 += g * r1;
        a8 += g * r2;
        p0 = p1;
        p1 = p2;
        q0 = q1;
        q1 = q2;
        r0 = r1;
        r1 = r2;
      }
      const w = at + (o * shape.channels + i) * 9;
      [a0, a1, a2, a3, a4, a5, a6, a7, a8].forEach((sum, n) => {
        into[w + n] = (into[w + n] as number) + sum;
      });
    }
  }
}

function backHalve(dHalf: Float32Array, shape: Shape, dIn: Float32Array): void {
  const [stride, plane] = [strideOf(shape), planeOf(shape)];
  const half: Shape = { ...shape, rows: shape.rows / 2, columns: shape.columns / 2 };
  const [hs, hp] = [strideOf(half), planeOf(half)];
  for (let c = 0; c < shape.channels; c += 1)
    for (let y = 0; y < shape.rows; y += 1)
      for (let x = 0; x < shape.columns; x += 1) {
        const i = c * plane + (y + 1) * stride + x + 1;
        dIn[i] = (dIn[i] as number) + (dHalf[c * hp + ((y >> 1) + 1) * hs + (x >> 1) + 1] as number) / 4;
      }
}

function backDouble(dLarge: Float32Array, shape: Shape, dIn: Float32Array): void {
  const [stride, plane] = [strideOf(shape), planeOf(shape)];
  const large: Shape = { ...shape, rows: shape.rows * 2, columns: shape.columns * 2 };
  const [ls, lp] = [strideOf(large), planeOf(large)];
  for (let c = 0; c < shape.channels; c += 1)
    for (let y = 0; y < large.rows; y += 1)
      for (let x = 0; x < large.columns; x += 1) {
        const i = c * plane + ((y >> 1) + 1) * stride + (x >> 1) + 1;
        dIn[i] = (dIn[i] as number) + (dLarge[c * lp + (y + 1) * ls + x + 1] as number);
      }
}
