import { halve as halvePlanes } from '../src/learned/finder/planes';

/**
 * Convolutions for training, on planes with a rim: each row of a plane has one spare place at either end, and there is one spare
 * row above and below, so that a shift by one is one offset for the whole plane. The rim holds 0 at the ends of rows and the
 * opposite row above and below (angles close up).
 */
export interface Shape {
  readonly channels: number;
  readonly angles: number;
  readonly radii: number;
}

export const strideOf = (s: Shape): number => s.radii + 2;
export const planeOf = (s: Shape): number => (s.angles + 2) * strideOf(s);

/** Fills the rims of all planes from their insides. */
export function closeRims(values: Float32Array, shape: Shape): void {
  const stride = strideOf(shape);
  const plane = planeOf(shape);
  for (let c = 0; c < shape.channels; c += 1) {
    const at = c * plane;
    for (let a = 1; a <= shape.angles; a += 1) {
      values[at + a * stride] = 0;
      values[at + a * stride + stride - 1] = 0;
    }
    values.copyWithin(at, at + shape.angles * stride, at + (shape.angles + 1) * stride);
    values.copyWithin(at + (shape.angles + 1) * stride, at + stride, at + 2 * stride);
  }
}

/** Clears the rims: gradients there count for nothing. */
export function clearRims(values: Float32Array, shape: Shape): void {
  const stride = strideOf(shape);
  const plane = planeOf(shape);
  for (let c = 0; c < shape.channels; c += 1) {
    const at = c * plane;
    values.fill(0, at, at + stride);
    values.fill(0, at + (shape.angles + 1) * stride, at + plane);
    for (let a = 1; a <= shape.angles; a += 1) {
      values[at + a * stride] = 0;
      values[at + a * stride + stride - 1] = 0;
    }
  }
}

/** Adds to `out` the nine shifted, weighted copies of one plane. */
function addNine(
  out: Float32Array,
  to: number,
  input: Float32Array,
  from: number,
  w: Float32Array,
  at: number,
  turned: boolean,
  span: { readonly stride: number; readonly start: number; readonly end: number },
): void {
  const s = span.stride;
  const k = (n: number): number => w[at + (turned ? 8 - n : n)] as number;
  const [w0, w1, w2, w3, w4, w5, w6, w7, w8] = [k(0), k(1), k(2), k(3), k(4), k(5), k(6), k(7), k(8)];
  for (let n = span.start; n < span.end; n += 1) {
    const i = from + n;
    out[to + n] =
      (out[to + n] as number) +
      w0 * (input[i - s - 1] as number) +
      w1 * (input[i - s] as number) +
      w2 * (input[i - s + 1] as number) +
      w3 * (input[i - 1] as number) +
      w4 * (input[i] as number) +
      w5 * (input[i + 1] as number) +
      w6 * (input[i + s - 1] as number) +
      w7 * (input[i + s] as number) +
      w8 * (input[i + s + 1] as number);
  }
}

const spanOf = (s: Shape): { stride: number; start: number; end: number } => ({
  stride: strideOf(s),
  start: strideOf(s) + 1,
  end: (s.angles + 1) * strideOf(s) - 1,
});

/** Convolution, what is negative cut off; `weights` as the network has them, biases behind. */
export function forward(
  input: Float32Array,
  from: Shape,
  weights: Float32Array,
  at: number,
  out: Float32Array,
  to: number,
): void {
  const plane = planeOf(from);
  const span = spanOf(from);
  for (let o = 0; o < to; o += 1) {
    out.fill(weights[at + from.channels * to * 9 + o] as number, o * plane, (o + 1) * plane);
    for (let i = 0; i < from.channels; i += 1)
      addNine(out, o * plane, input, i * plane, weights, at + (o * from.channels + i) * 9, false, span);
  }
  for (let n = 0; n < to * plane; n += 1) if ((out[n] as number) < 0) out[n] = 0;
}

/** Gradient of the input from that of the output (rims of `dOut` closed along the angle, 0 at the ends of rows). */
export function backInput(
  dOut: Float32Array,
  from: Shape,
  weights: Float32Array,
  at: number,
  to: number,
  dIn: Float32Array,
): void {
  const plane = planeOf(from);
  const span = spanOf(from);
  dIn.fill(0, 0, from.channels * plane);
  for (let i = 0; i < from.channels; i += 1)
    for (let o = 0; o < to; o += 1)
      addNine(dIn, i * plane, dOut, o * plane, weights, at + (o * from.channels + i) * 9, true, span);
}

/** Adds the gradients of weights and biases. `dOut` has clear rims. */
export function backWeights(
  dOut: Float32Array,
  input: Float32Array,
  from: Shape,
  to: number,
  dW: Float64Array,
  at: number,
): void {
  const plane = planeOf(from);
  const { stride: s, start, end } = spanOf(from);
  for (let o = 0; o < to; o += 1) {
    let bias = 0;
    for (let n = start; n < end; n += 1) bias += dOut[o * plane + n] as number;
    dW[at + from.channels * to * 9 + o] = (dW[at + from.channels * to * 9 + o] as number) + bias;
    for (let i = 0; i < from.channels; i += 1) {
      let [a0, a1, a2, a3, a4, a5, a6, a7, a8] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
      const base = i * plane;
      for (let n = start; n < end; n += 1) {
        const g = dOut[o * plane + n] as number;
        if (g === 0) continue;
        const k = base + n;
        a0 += g * (input[k - s - 1] as number);
        a1 += g * (input[k - s] as number);
        a2 += g * (input[k - s + 1] as number);
        a3 += g * (input[k - 1] as number);
        a4 += g * (input[k] as number);
        a5 += g * (input[k + 1] as number);
        a6 += g * (input[k + s - 1] as number);
        a7 += g * (input[k + s] as number);
        a8 += g * (input[k + s + 1] as number);
      }
      const w = at + (o * from.channels + i) * 9;
      [a0, a1, a2, a3, a4, a5, a6, a7, a8].forEach((sum, n) => {
        dW[w + n] = (dW[w + n] as number) + sum;
      });
    }
  }
}

/** Mean of each two by two, into planes of half size. */
export function halve(input: Float32Array, from: Shape, out: Float32Array): void {
  halvePlanes(input, { channels: from.channels, rows: from.angles, columns: from.radii }, out);
}

/** Gradient before halving, and only where the value had not been cut off. */
export function backHalve(dHalf: Float32Array, value: Float32Array, from: Shape, dOut: Float32Array): void {
  const [stride, plane] = [strideOf(from), planeOf(from)];
  const half: Shape = { channels: from.channels, angles: from.angles / 2, radii: from.radii / 2 };
  const [hs, hp] = [strideOf(half), planeOf(half)];
  dOut.fill(0, 0, from.channels * plane);
  for (let c = 0; c < from.channels; c += 1)
    for (let a = 0; a < from.angles; a += 1)
      for (let r = 0; r < from.radii; r += 1) {
        const i = c * plane + (a + 1) * stride + r + 1;
        if ((value[i] as number) > 0)
          dOut[i] = (dHalf[c * hp + ((a >> 1) + 1) * hs + (r >> 1) + 1] as number) / 4;
      }
}
