import { createHash } from 'node:crypto';
import { convolutions, flatSize, hiddenUnits } from '../src/learned/network';

/** Groups of numbers that share a scale: weights of one layer, its biases, and so on, as they lie in the list. */
function groups(outputs: number): number[] {
  const sizes = convolutions.flatMap(({ from, to }) => [from * to * 9, to]);
  return [...sizes, flatSize * hiddenUnits, hiddenUnits, hiddenUnits * outputs, outputs];
}

export interface Shipped {
  /** What the browser will compute with. */
  readonly numbers: Float64Array;
  /** Text of the module that holds them. */
  readonly module: string;
  /** SHA-256 of the 16-bit numbers. */
  readonly hash: string;
}

/** Rounds the numbers to 16 bits and writes the module. */
export function shipped(
  trained: Float32Array,
  outputs: number,
  model: 'weights' | 'view' = 'weights',
): Shipped {
  const bytes = Buffer.alloc(2 * trained.length);
  const numbers = new Float64Array(trained.length);
  const scales: { count: number; scale: number }[] = [];
  let at = 0;
  for (const count of groups(outputs)) {
    const most = trained.subarray(at, at + count).reduce((m, v) => Math.max(m, Math.abs(v)), 1e-12);
    // A scale that is short in decimal, so that the text gives the very same double.
    const scale = Number((most / 32767).toPrecision(7)) * 1.000001;
    const short = Number(scale.toPrecision(9));
    for (let n = at; n < at + count; n += 1) {
      const whole = Math.max(-32767, Math.min(32767, Math.round((trained[n] as number) / short)));
      bytes.writeInt16LE(whole, 2 * n);
      numbers[n] = whole * short;
    }
    scales.push({ count, scale: short });
    at += count;
  }
  const hash = createHash('sha256').update(bytes).digest('hex');
  const lines = bytes.toString('base64').match(/.{1,100}/g) ?? [];
  const module = `/** Made by the training program; not to be edited. SHA-256 of the numbers: ${hash}. */
export const ${model === 'view' ? 'viewHash' : 'weightsHash'} = '${hash}';

export const ${model === 'view' ? 'viewScales' : 'weightScales'}: readonly { readonly count: number; readonly scale: number }[] = [
${scales.map((s) => `  { count: ${s.count}, scale: ${s.scale} },`).join('\n')}
];

export const ${model === 'view' ? 'viewWeightsBase64' : 'weightsBase64'} = [
${lines.map((line) => `  '${line}',`).join('\n')}
].join('');
`;
  return { numbers, module, hash };
}
