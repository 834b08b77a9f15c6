import type { Random } from '@chordae/phantom';
import { convolutions, flatSize, hiddenUnits, networkSize } from '../src/learned/network';
import { patchAngles, patchRadii } from '../src/learned/polar-patch';
import type { Shape } from './planes';
import { backHalve, backInput, backWeights, closeRims, forward, halve, planeOf, strideOf } from './planes';

/** First numbers: uniform, so wide that signals keep their size (He et al. 2015, arXiv 1502.01852). */
export function firstNumbers(random: Random, outputs: number): Float32Array {
  const numbers = new Float32Array(networkSize(outputs));
  let at = 0;
  const fill = (count: number, inputs: number): void => {
    const bound = Math.sqrt(6 / inputs);
    for (let n = 0; n < count; n += 1) numbers[at + n] = bound * (2 * random() - 1);
    at += count;
  };
  for (const { from, to } of convolutions) {
    fill(from * to * 9, from * 9);
    at += to;
  }
  fill(flatSize * hiddenUnits, flatSize);
  at += hiddenUnits;
  fill(hiddenUnits * outputs, 6 * hiddenUnits);
  return numbers;
}

export interface Trainable {
  /** Outputs for one levelled input (two planes, angles × radii). */
  run(input: Float64Array, numbers: Float32Array): Float64Array;
  /** Adds the gradients for the last input that was run. */
  learn(gradient: Float64Array, numbers: Float32Array, into: Float64Array): void;
}

interface Layer {
  readonly from: Shape;
  readonly to: number;
  readonly at: number;
  readonly input: Float32Array;
  readonly dInput: Float32Array;
  readonly out: Float32Array;
  readonly dOut: Float32Array;
}

function layersOf(): Layer[] {
  let at = 0;
  return convolutions.map(({ from, to }, n) => {
    const shape: Shape = { channels: from, angles: patchAngles >> n, radii: patchRadii >> n };
    const layer: Layer = {
      from: shape,
      to,
      at,
      input: new Float32Array(from * planeOf(shape)),
      dInput: new Float32Array(from * planeOf(shape)),
      out: new Float32Array(to * planeOf(shape)),
      dOut: new Float32Array(to * planeOf(shape)),
    };
    at += from * to * 9 + to;
    return layer;
  });
}

/** The network with what its training needs to remember. */
export function makeTrainable(outputs: number): Trainable {
  const size = networkSize(outputs);
  const layers = layersOf();
  const last: Shape = { channels: convolutions[2].to, angles: patchAngles / 8, radii: patchRadii / 8 };
  const end = new Float32Array(last.channels * planeOf(last));
  const dEnd = new Float32Array(end.length);
  const flat = new Float64Array(flatSize);
  const hidden = new Float64Array(hiddenUnits);
  const atHidden = size - (flatSize * hiddenUnits + hiddenUnits + hiddenUnits * outputs + outputs);
  const atOut = size - (hiddenUnits * outputs + outputs);
  const outOf = (n: number): Shape => ({ ...(layers[n] as Layer).from, channels: (layers[n] as Layer).to });
  return {
    run(input, numbers) {
      spreadInput(input, layers[0] as Layer);
      layers.forEach((layer, n) => {
        closeRims(layer.input, layer.from);
        forward(layer.input, layer.from, numbers, layer.at, layer.out, layer.to);
        halve(layer.out, outOf(n), n + 1 < layers.length ? (layers[n + 1] as Layer).input : end);
      });
      copyInside(end, last, flat);
      dense(flat, hidden, numbers, atHidden);
      for (let n = 0; n < hiddenUnits; n += 1) hidden[n] = Math.max(0, hidden[n] as number);
      const out = new Float64Array(outputs);
      dense(hidden, out, numbers, atOut);
      return out;
    },
    learn(gradient, numbers, into) {
      const dHidden = new Float64Array(hiddenUnits);
      backDense(gradient, hidden, numbers, atOut, into, dHidden);
      for (let n = 0; n < hiddenUnits; n += 1) if ((hidden[n] as number) <= 0) dHidden[n] = 0;
      const dFlat = new Float64Array(flatSize);
      backDense(dHidden, flat, numbers, atHidden, into, dFlat);
      pasteInside(dFlat, last, dEnd);
      for (let n = layers.length - 1; n >= 0; n -= 1) {
        const layer = layers[n] as Layer;
        backHalve(
          n + 1 < layers.length ? (layers[n + 1] as Layer).dInput : dEnd,
          layer.out,
          outOf(n),
          layer.dOut,
        );
        backWeights(layer.dOut, layer.input, layer.from, layer.to, into, layer.at);
        if (n === 0) break;
        closeRims(layer.dOut, outOf(n));
        backInput(layer.dOut, layer.from, numbers, layer.at, layer.to, layer.dInput);
      }
    },
  };
}

function spreadInput(input: Float64Array, layer: Layer): void {
  const { from } = layer;
  for (let c = 0; c < from.channels; c += 1)
    for (let a = 0; a < from.angles; a += 1)
      for (let r = 0; r < from.radii; r += 1)
        layer.input[c * planeOf(from) + (a + 1) * strideOf(from) + r + 1] = input[
          (c * from.angles + a) * from.radii + r
        ] as number;
}

function copyInside(values: Float32Array, shape: Shape, out: Float64Array): void {
  let n = 0;
  for (let c = 0; c < shape.channels; c += 1)
    for (let a = 0; a < shape.angles; a += 1)
      for (let r = 0; r < shape.radii; r += 1)
        out[n++] = values[c * planeOf(shape) + (a + 1) * strideOf(shape) + r + 1] as number;
}

function pasteInside(values: Float64Array, shape: Shape, out: Float32Array): void {
  let n = 0;
  for (let c = 0; c < shape.channels; c += 1)
    for (let a = 0; a < shape.angles; a += 1)
      for (let r = 0; r < shape.radii; r += 1)
        out[c * planeOf(shape) + (a + 1) * strideOf(shape) + r + 1] = values[n++] as number;
}

function dense(input: Float64Array, out: Float64Array, numbers: Float32Array, at: number): void {
  const from = input.length;
  for (let o = 0; o < out.length; o += 1) {
    let sum = numbers[at + out.length * from + o] as number;
    for (let i = 0; i < from; i += 1) sum += (numbers[at + o * from + i] as number) * (input[i] as number);
    out[o] = sum;
  }
}

function backDense(
  dOut: Float64Array,
  input: Float64Array,
  numbers: Float32Array,
  at: number,
  into: Float64Array,
  dInput: Float64Array,
): void {
  const from = input.length;
  for (let o = 0; o < dOut.length; o += 1) {
    const g = dOut[o] as number;
    into[at + dOut.length * from + o] = (into[at + dOut.length * from + o] as number) + g;
    if (g === 0) continue;
    for (let i = 0; i < from; i += 1) {
      into[at + o * from + i] = (into[at + o * from + i] as number) + g * (input[i] as number);
      dInput[i] = (dInput[i] as number) + g * (numbers[at + o * from + i] as number);
    }
  }
}
