import { decodedNumbers } from '../src/learned/decoded-numbers';
import { networkSize } from '../src/learned/network';
import { tiltOutputs } from '../src/learned/short-axis-tilt';
import { weightScales, weightsBase64 } from '../src/learned/short-axis-weights';
import type { Judged } from './judge';
import { judgedSample } from './judge';
import type { Labels } from './samples';

let numbers: Float64Array | null = null;

/** What the shipped model says of one sample. */
export function saidOf(patch: Uint8Array, labels: Labels): Judged {
  numbers ??= decodedNumbers(weightsBase64, weightScales, networkSize(tiltOutputs));
  return judgedSample(patch, labels, numbers);
}
