import { exactExp } from '@chordae/units';

/** Samples laid out beam by beam, with each beam's direction. */
export interface Lines {
  readonly beams: number;
  readonly samples: number;
  readonly sin: Float64Array;
  readonly cos: Float64Array;
}

/** Weights of a bell curve of the given width in cells, summing so that the power of noise is kept about level. */
export function gaussTaps(sigma: number): Float64Array {
  const half = Math.max(1, Math.min(7, Math.round(2.2 * sigma)));
  const taps = new Float64Array(2 * half + 1);
  let sum = 0;
  for (let n = -half; n <= half; n += 1) {
    const weight = exactExp((-n * n) / (2 * sigma * sigma));
    taps[n + half] = weight;
    sum += weight;
  }
  for (let n = 0; n < taps.length; n += 1) taps[n] = (taps[n] as number) / sum;
  return taps;
}

/** Blurs along each beam, in place. */
export function blurAlong(sheet: Float32Array, grid: Lines, taps: Float64Array, spare: Float32Array): void {
  const half = (taps.length - 1) / 2;
  const { beams, samples } = grid;
  spare.set(sheet);
  for (let beam = 0; beam < beams; beam += 1) {
    const from = beam * samples;
    for (let n = half; n < samples - half; n += 1) {
      let sum = 0;
      for (let k = 0; k < taps.length; k += 1)
        sum += (taps[k] as number) * (spare[from + n + k - half] as number);
      sheet[from + n] = sum;
    }
  }
}

/** Blurs from beam to beam, in place: the width of the beam. */
export function blurAcross(sheet: Float32Array, grid: Lines, taps: Float64Array, spare: Float32Array): void {
  const half = (taps.length - 1) / 2;
  const { beams, samples } = grid;
  spare.set(sheet);
  for (let beam = 0; beam < beams; beam += 1) {
    const to = beam * samples;
    for (let n = 0; n < samples; n += 1) sheet[to + n] = 0;
    for (let k = 0; k < taps.length; k += 1) {
      const other = Math.max(0, Math.min(beams - 1, beam + k - half)) * samples;
      const weight = taps[k] as number;
      for (let n = 0; n < samples; n += 1)
        sheet[to + n] = (sheet[to + n] as number) + weight * (spare[other + n] as number);
    }
  }
}

/** Mean over a wide stretch of beams at the same depth, into `out`. */
export function spread(sheet: Float32Array, grid: Lines, half: number, out: Float32Array): void {
  const { beams, samples } = grid;
  const scale = 1 / (2 * half + 1);
  for (let n = 0; n < samples; n += 1) {
    let sum = 0;
    for (let k = -half; k <= half; k += 1)
      sum += sheet[Math.max(0, Math.min(beams - 1, k)) * samples + n] as number;
    for (let beam = 0; beam < beams; beam += 1) {
      out[beam * samples + n] = sum * scale;
      const leave = Math.max(0, beam - half) * samples + n;
      const join = Math.min(beams - 1, beam + half + 1) * samples + n;
      sum += (sheet[join] as number) - (sheet[leave] as number);
    }
  }
}
