import { bytesOfBase64 } from '../base64';
import { finderLayers, finderSize } from './network';

/** A trained finder as it is shipped: weights of 8 bits, a scale for each output of a layer and its bias as 32-bit numbers. */
export interface ShippedFinder {
  readonly outputs: number;
  readonly weights: string;
  readonly scalesAndBiases: string;
  /** SHA-256 of both, one behind the other. */
  readonly hash: string;
}

/** The network's numbers, in the order that it reads them. */
export function finderNumbers({ outputs, weights, scalesAndBiases }: ShippedFinder): Float32Array {
  const wholes = bytesOfBase64(weights);
  const rest = bytesOfBase64(scalesAndBiases);
  const view = new DataView(rest.buffer, rest.byteOffset, rest.byteLength);
  const out = new Float32Array(finderSize(outputs));
  let [at, w, s] = [0, 0, 0];
  for (const { each, to } of finderLayers(outputs)) {
    for (let o = 0; o < to; o += 1) {
      const scale = view.getFloat32(8 * (s + o), true);
      for (let n = 0; n < each; n += 1) {
        const whole = wholes[w] as number;
        out[at] = (whole > 127 ? whole - 256 : whole) * scale;
        at += 1;
        w += 1;
      }
    }
    for (let o = 0; o < to; o += 1) {
      out[at] = view.getFloat32(8 * (s + o) + 4, true);
      at += 1;
    }
    s += to;
  }
  if (w !== wholes.length || 8 * s !== rest.length)
    throw new Error(
      `finderNumbers: ${wholes.length} weights and ${rest.length} further bytes do not fit a network`,
    );
  return out;
}
