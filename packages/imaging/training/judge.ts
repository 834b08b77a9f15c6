import { runNetwork } from '../src/learned/network';
import { levelled } from '../src/learned/polar-patch';
import { readOutputs, tiltOutputs } from '../src/learned/short-axis-tilt';
import type { Labels } from './samples';
import { patchBytes } from './samples';
import type { Loaded } from './sets';

/** One judged clip: what is true and what was said. */
export interface Judged {
  readonly heart: string;
  readonly trueDeg: number;
  readonly saidDeg: number;
  readonly errorDeg: number;
  readonly trueFlat: number;
  readonly saidFlat: number;
}

export interface Score {
  readonly clips: number;
  readonly meanErrorDeg: number;
  readonly medianErrorDeg: number;
  readonly p90ErrorDeg: number;
  /** On-axis below 15°, off-axis above 25°: area under the curve, and balanced accuracy at 20°. */
  readonly auc: number;
  readonly balancedAccuracy: number;
  readonly sensitivity: number;
  readonly specificity: number;
}

/** Runs the network over one sample. */
export function judgedSample(bytes: Uint8Array, labels: Labels, numbers: Float64Array): Judged {
  const half = patchBytes / 2;
  const input = levelled(Float64Array.from(bytes.subarray(0, half)), Float64Array.from(bytes.subarray(half)));
  const said = readOutputs(runNetwork(input, numbers, tiltOutputs));
  return {
    heart: labels.heart,
    trueDeg: labels.tiltDeg,
    saidDeg: said.tiltDeg,
    errorDeg: said.errorDeg,
    trueFlat: labels.septumFlat,
    saidFlat: said.septumFlat,
  };
}

/** Runs the network over a loaded set. */
export function judged(loaded: Loaded, numbers: Float64Array): Judged[] {
  return loaded.labels.map((labels, n) =>
    judgedSample(loaded.patches.subarray(n * patchBytes, (n + 1) * patchBytes), labels, numbers),
  );
}

/** The same from the axis ratio of the true outline alone: what geometry can tell. */
export function judgedByAxisRatio(loaded: Loaded): Judged[] {
  const k = 0.37;
  return loaded.labels.map((labels) => {
    const q = Math.min(1, labels.axisRatio);
    const cos = Math.sqrt(Math.max(0, (q * q - k * k) / (1 - k * k)));
    return {
      heart: labels.heart,
      trueDeg: labels.tiltDeg,
      saidDeg: (Math.acos(Math.min(1, cos)) * 180) / Math.PI,
      errorDeg: 0,
      trueFlat: labels.septumFlat,
      saidFlat: 0,
    };
  });
}

export function scoreOf(rows: readonly Judged[], cut = 20): Score {
  const errors = rows.map((row) => Math.abs(row.saidDeg - row.trueDeg)).sort((a, b) => a - b);
  const on = rows.filter((row) => row.trueDeg < 15);
  const off = rows.filter((row) => row.trueDeg > 25);
  let wins = 0;
  for (const a of off)
    for (const b of on) wins += a.saidDeg > b.saidDeg ? 1 : a.saidDeg === b.saidDeg ? 0.5 : 0;
  const sensitivity = off.filter((row) => row.saidDeg > cut).length / off.length;
  const specificity = on.filter((row) => row.saidDeg <= cut).length / on.length;
  return {
    clips: rows.length,
    meanErrorDeg: errors.reduce((a, b) => a + b, 0) / errors.length,
    medianErrorDeg: errors[Math.floor(errors.length / 2)] ?? Number.NaN,
    p90ErrorDeg: errors[Math.floor(errors.length * 0.9)] ?? Number.NaN,
    auc: wins / (on.length * off.length),
    balancedAccuracy: (sensitivity + specificity) / 2,
    sensitivity,
    specificity,
  };
}
