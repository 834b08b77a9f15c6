/**
 * Pictures for a network: channels of rows × columns with a rim of one place all round that holds 0, so that a shift by one is one
 * offset for the whole plane.
 */
export interface Shape {
  readonly channels: number;
  readonly rows: number;
  readonly columns: number;
}

export const strideOf = (s: Shape): number => s.columns + 2;
export const planeOf = (s: Shape): number => (s.rows + 2) * strideOf(s);

export function planesOf(shape: Shape): Float32Array {
  return new Float32Array(shape.channels * planeOf(shape));
}

/** Sets the rims of all planes to 0. */
export function clearRims(values: Float32Array, shape: Shape): void {
  const stride = strideOf(shape);
  const plane = planeOf(shape);
  for (let at = 0; at < shape.channels * plane; at += plane) {
    values.fill(0, at, at + stride);
    values.fill(0, at + plane - stride, at + plane);
    for (let row = at + stride; row < at + plane; row += stride) {
      values[row] = 0;
      values[row + stride - 1] = 0;
    }
  }
}

/** Adds to a plane of `out` the nine shifted, weighted copies of a plane of `input`; `turned` takes the weights from behind. */
export function addNine(
  out: Float32Array,
  to: number,
  input: Float32Array,
  from: number,
  w: Float32Array,
  at: number,
  turned: boolean,
  shape: Shape,
): void {
  const s = strideOf(shape);
  const end = planeOf(shape) - s - 1;
  const first = turned ? at + 8 : at;
  const next = turned ? -1 : 1;
  const w0 = w[first] as number;
  const w1 = w[first + next] as number;
  const w2 = w[first + 2 * next] as number;
  const w3 = w[first + 3 * next] as number;
  const w4 = w[first + 4 * next] as number;
  const w5 = w[first + 5 * next] as number;
  const w6 = w[first + 6 * next] as number;
  const w7 = w[first + 7 * next] as number;
  const w8 = w[first + 8 * next] as number;
  // Six of the nine places are those of the step before.
  let [a0, a1] = [input[from] as number, input[from + 1] as number];
  let [b0, b1] = [input[from + s] as number, input[from + s + 1] as number];
  let [c0, c1] = [input[from + 2 * s] as number, input[from + 2 * s + 1] as number];
  for (let n = s + 1; n < end; n += 1) {
    const i = from + n + 1;
    const a2 = input[i - s] as number;
    const b2 = input[i] as number;
    const c2 = input[i + s] as number;
    out[to + n] =
      (out[to + n] as number) +
      (w0 * a0 + w1 * a1 + w2 * a2) +
      (w3 * b0 + w4 * b1 + w5 * b2) +
      (w6 * c0 + w7 * c1 + w8 * c2);
    a0 = a1;
    a1 = a2;
    b0 = b1;
    b1 = b2;
    c0 = c1;
    c1 = c2;
  }
}

/** Convolution of 3 × 3, what is negative cut off. Weights (output by output, input by input, nine each), biases behind. */
export function convolve(
  input: Float32Array,
  shape: Shape,
  numbers: Float32Array,
  at: number,
  out: Float32Array,
  to: number,
): void {
  const plane = planeOf(shape);
  for (let o = 0; o < to; o += 1) {
    out.fill(numbers[at + shape.channels * to * 9 + o] as number, o * plane, (o + 1) * plane);
    for (let i = 0; i < shape.channels; i += 1)
      addNine(out, o * plane, input, i * plane, numbers, at + (o * shape.channels + i) * 9, false, shape);
  }
  for (let n = 0; n < to * plane; n += 1) if ((out[n] as number) < 0) out[n] = 0;
  clearRims(out, { ...shape, channels: to });
}

/** Mean of each two by two, into planes of half size. */
export function halve(input: Float32Array, shape: Shape, out: Float32Array): void {
  const [stride, plane] = [strideOf(shape), planeOf(shape)];
  const half: Shape = { channels: shape.channels, rows: shape.rows / 2, columns: shape.columns / 2 };
  const [hs, hp] = [strideOf(half), planeOf(half)];
  for (let c = 0; c < shape.channels; c += 1)
    for (let y = 0; y < half.rows; y += 1)
      for (let x = 0; x < half.columns; x += 1) {
        const i = c * plane + (2 * y + 1) * stride + 2 * x + 1;
        out[c * hp + (y + 1) * hs + x + 1] =
          ((input[i] as number) +
            (input[i + 1] as number) +
            (input[i + stride] as number) +
            (input[i + stride + 1] as number)) /
          4;
      }
}

/** Each place four times, into planes of double size. */
export function double(input: Float32Array, shape: Shape, out: Float32Array): void {
  const [stride, plane] = [strideOf(shape), planeOf(shape)];
  const large: Shape = { channels: shape.channels, rows: shape.rows * 2, columns: shape.columns * 2 };
  const [ls, lp] = [strideOf(large), planeOf(large)];
  for (let c = 0; c < shape.channels; c += 1)
    for (let y = 0; y < large.rows; y += 1)
      for (let x = 0; x < large.columns; x += 1)
        out[c * lp + (y + 1) * ls + x + 1] = input[
          c * plane + ((y >> 1) + 1) * stride + (x >> 1) + 1
        ] as number;
}
