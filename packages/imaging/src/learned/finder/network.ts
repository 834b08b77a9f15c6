import type { Shape } from './planes';
import { convolve, double, halve, planeOf, planesOf, strideOf } from './planes';

/** Side of the square that the sector is brought to, and planes of the input. */
export const gridSide = 48;
export const inputChannels = 4;

/** Buffers of the network by number: channels and side. */
const buffers = [
  [inputChannels, 48], // 0 input
  [8, 48], // 1
  [8, 24], // 2
  [16, 24], // 3
  [16, 24], // 4
  [16, 12], // 5
  [24, 12], // 6
  [24, 12], // 7
  [24, 6], // 8
  [24, 6], // 9
  [24, 6], // 10
  [48, 12], // 11: 10 doubled beside 7
  [16, 12], // 12
  [32, 24], // 13: 12 doubled beside 4
  [12, 24], // 14
  [20, 48], // 15: 14 doubled beside 1
  [8, 48], // 16
] as const;

/** What is done in turn. `join` doubles `from` and puts `beside` behind it. */
export type Step =
  | { readonly kind: 'convolve'; readonly from: number; readonly to: number }
  | { readonly kind: 'halve'; readonly from: number; readonly to: number }
  | { readonly kind: 'join'; readonly from: number; readonly beside: number; readonly to: number };

/** Down to a sixth of the side and up again, each level joined to what was seen at its size on the way down (Ronneberger et al. 2015, arXiv 1505.04597), very small. */
export const steps: readonly Step[] = [
  { kind: 'convolve', from: 0, to: 1 },
  { kind: 'halve', from: 1, to: 2 },
  { kind: 'convolve', from: 2, to: 3 },
  { kind: 'convolve', from: 3, to: 4 },
  { kind: 'halve', from: 4, to: 5 },
  { kind: 'convolve', from: 5, to: 6 },
  { kind: 'convolve', from: 6, to: 7 },
  { kind: 'halve', from: 7, to: 8 },
  { kind: 'convolve', from: 8, to: 9 },
  { kind: 'convolve', from: 9, to: 10 },
  { kind: 'join', from: 10, beside: 7, to: 11 },
  { kind: 'convolve', from: 11, to: 12 },
  { kind: 'join', from: 12, beside: 4, to: 13 },
  { kind: 'convolve', from: 13, to: 14 },
  { kind: 'join', from: 14, beside: 1, to: 15 },
  { kind: 'convolve', from: 15, to: 16 },
];

export function shapeOf(buffer: number): Shape {
  const [channels, side] = buffers[buffer] as readonly [number, number];
  return { channels, rows: side, columns: side };
}

export const lastBuffer = buffers.length - 1;
export const bufferCount = buffers.length;

/** Layers with numbers, in the order that they lie in: `to` outputs of `each` weights, then as many biases; the outputs' own layer is last. */
export function finderLayers(outputs: number): { readonly each: number; readonly to: number }[] {
  const layers: { each: number; to: number }[] = [];
  for (const step of steps)
    if (step.kind === 'convolve')
      layers.push({ each: shapeOf(step.from).channels * 9, to: shapeOf(step.to).channels });
  return [...layers, { each: shapeOf(lastBuffer).channels, to: outputs }];
}

export function finderSize(outputs: number): number {
  return finderLayers(outputs).reduce((sum, { each, to }) => sum + (each + 1) * to, 0);
}

/** All buffers of one network. */
export function finderBuffers(): Float32Array[] {
  return buffers.map((_, n) => planesOf(shapeOf(n)));
}

/** Runs the network on what lies in the first buffer; raw outputs, a square of `gridSide` for each, row by row. */
export function runFinder(
  values: readonly Float32Array[],
  numbers: Float32Array,
  outputs: number,
): Float32Array {
  let at = 0;
  const of = (n: number): Float32Array => values[n] as Float32Array;
  for (const step of steps) {
    const shape = shapeOf(step.from);
    if (step.kind === 'convolve') {
      const to = shapeOf(step.to).channels;
      convolve(of(step.from), shape, numbers, at, of(step.to), to);
      at += shape.channels * to * 9 + to;
    } else if (step.kind === 'halve') halve(of(step.from), shape, of(step.to));
    else {
      double(of(step.from), shape, of(step.to));
      const beside = of(step.beside);
      of(step.to).set(beside, shape.channels * planeOf(shapeOf(step.to)));
    }
  }
  return lastOutputs(of(lastBuffer), numbers, at, outputs);
}

function lastOutputs(values: Float32Array, numbers: Float32Array, at: number, outputs: number): Float32Array {
  const shape = shapeOf(lastBuffer);
  const [stride, plane] = [strideOf(shape), planeOf(shape)];
  const size = gridSide * gridSide;
  const out = new Float32Array(outputs * size);
  for (let o = 0; o < outputs; o += 1)
    for (let y = 0; y < gridSide; y += 1)
      for (let x = 0; x < gridSide; x += 1) {
        const i = (y + 1) * stride + x + 1;
        let sum = numbers[at + outputs * shape.channels + o] as number;
        for (let c = 0; c < shape.channels; c += 1)
          sum += (numbers[at + o * shape.channels + c] as number) * (values[c * plane + i] as number);
        out[o * size + y * gridSide + x] = sum;
      }
  return out;
}
