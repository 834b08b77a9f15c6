import { patchAngles, patchRadii } from './polar-patch';

/**
 * A small network: three convolutions of 3 by 3 that close up along the angle, each followed by a halving of both sides, then one
 * hidden layer. Numbers of the network lie in one list, layer by layer: weights, then biases.
 */
export const convolutions = [
  { from: 2, to: 8 },
  { from: 8, to: 16 },
  { from: 16, to: 24 },
] as const;
export const hiddenUnits = 28;
const lastAngles = patchAngles / 8;
const lastRadii = patchRadii / 8;
export const flatSize = convolutions[2].to * lastAngles * lastRadii;

/** How many numbers a network with so many outputs has. */
export function networkSize(outputs: number): number {
  const convolved = convolutions.reduce((sum, layer) => sum + layer.from * layer.to * 9 + layer.to, 0);
  return convolved + flatSize * hiddenUnits + hiddenUnits + hiddenUnits * outputs + outputs;
}

/** One convolution with what is negative cut off. Planes are angles × radii; beyond the radii lies 0. */
function convolve(
  input: Float64Array,
  angles: number,
  radii: number,
  from: number,
  to: number,
  numbers: Float64Array,
  at: number,
): Float64Array {
  const plane = angles * radii;
  const out = new Float64Array(to * plane);
  const biases = at + from * to * 9;
  for (let o = 0; o < to; o += 1) {
    out.fill(numbers[biases + o] as number, o * plane, (o + 1) * plane);
    for (let i = 0; i < from; i += 1)
      for (let ka = 0; ka < 3; ka += 1)
        for (let kr = 0; kr < 3; kr += 1) {
          const weight = numbers[at + ((o * from + i) * 3 + ka) * 3 + kr] as number;
          addShifted(out, o * plane, input, i * plane, { angles, radii, da: ka - 1, dr: kr - 1 }, weight);
        }
  }
  for (let n = 0; n < out.length; n += 1) if ((out[n] as number) < 0) out[n] = 0;
  return out;
}

function addShifted(
  out: Float64Array,
  to: number,
  input: Float64Array,
  from: number,
  shift: { readonly angles: number; readonly radii: number; readonly da: number; readonly dr: number },
  weight: number,
): void {
  const { angles, radii, da, dr } = shift;
  const first = dr < 0 ? 1 : 0;
  const last = dr > 0 ? radii - 1 : radii;
  for (let a = 0; a < angles; a += 1) {
    const row = from + ((a + da + angles) % angles) * radii + dr;
    const target = to + a * radii;
    for (let r = first; r < last; r += 1)
      out[target + r] = (out[target + r] as number) + weight * (input[row + r] as number);
  }
}

/** Mean of each two by two. */
function halve(input: Float64Array, channels: number, angles: number, radii: number): Float64Array {
  const [ha, hr] = [angles / 2, radii / 2];
  const out = new Float64Array(channels * ha * hr);
  for (let c = 0; c < channels; c += 1)
    for (let a = 0; a < ha; a += 1)
      for (let r = 0; r < hr; r += 1) {
        const from = c * angles * radii + 2 * a * radii + 2 * r;
        out[c * ha * hr + a * hr + r] =
          ((input[from] as number) +
            (input[from + 1] as number) +
            (input[from + radii] as number) +
            (input[from + radii + 1] as number)) /
          4;
      }
  return out;
}

/** Runs a network on a levelled pair of patches; raw outputs. */
export function runNetwork(input: Float64Array, numbers: Float64Array, outputs: number): Float64Array {
  let values = input;
  let angles = patchAngles;
  let radii = patchRadii;
  let at = 0;
  for (const { from, to } of convolutions) {
    values = halve(convolve(values, angles, radii, from, to, numbers, at), to, angles, radii);
    at += from * to * 9 + to;
    angles /= 2;
    radii /= 2;
  }
  const hidden = dense(values, hiddenUnits, numbers, at);
  for (let n = 0; n < hiddenUnits; n += 1) if ((hidden[n] as number) < 0) hidden[n] = 0;
  return dense(hidden, outputs, numbers, at + flatSize * hiddenUnits + hiddenUnits);
}

function dense(input: Float64Array, to: number, numbers: Float64Array, at: number): Float64Array {
  const out = new Float64Array(to);
  const from = input.length;
  for (let o = 0; o < to; o += 1) {
    let sum = numbers[at + to * from + o] as number;
    for (let i = 0; i < from; i += 1) sum += (numbers[at + o * from + i] as number) * (input[i] as number);
    out[o] = sum;
  }
  return out;
}
