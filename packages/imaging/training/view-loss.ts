import { sharesOf } from '../src/learned/view-suggestion';
import type { Loss } from './patch-course';

/** Cross entropy of the shares against the true view. */
export function viewLoss(out: Float64Array, labels: Float32Array, at: number): Loss {
  const view = labels[at] as number;
  const shares = sharesOf(out);
  return {
    gradient: Float64Array.from(shares, (share, k) => share - (k === view ? 1 : 0)),
    error: shares.indexOf(Math.max(...shares)) === view ? 0 : 1,
  };
}
