import type { ClipDescription, Problem } from '@chordae/contract';
import { decimal, decimals, floats } from './attributes';
import type { DataSet } from './data-set';
import { problem } from './source';

export interface Timing {
  readonly frameTimesMs: number[] | null;
  readonly timing: ClipDescription['timing'];
  readonly rWaveTimesMs: number[];
  readonly problems: Problem[];
}

/** A frame lasts between 1 ms (1,000 a second) and 5 s; outside, the number is no frame time. Limits are ours. */
function plausibleMs(value: number): boolean {
  return Number.isFinite(value) && value >= 1 && value <= 5000;
}

/**
 * Frame times by PS3.3 C.7.6.5 in the order of STANDARDS 1.9: vector, frame time, then the two whole-number rates,
 * which are for display only. Times count from the first frame (Frame Delay and a first vector entry that is not 0 fall away).
 */
export function readTiming(dataSet: DataSet, frameCount: number): Timing {
  const problems: Problem[] = [];
  const rWaves = floats(dataSet, 'x00186060');
  const rWaveTimesMs = rWaves.filter((time) => Number.isFinite(time) && Math.abs(time) < 1e7);
  if (rWaveTimesMs.length < rWaves.length) problems.push(problem('R_WAVE_TIMES_IMPLAUSIBLE'));
  if (frameCount === 1) return { frameTimesMs: [0], timing: 'still', rWaveTimesMs, problems };
  const found = fromVector(dataSet, frameCount, problems) ?? fromFrameTime(dataSet, frameCount, problems);
  if (found !== null) return { ...found, rWaveTimesMs, problems };
  for (const [tag, timing] of [
    ['x00082144', 'recommended-rate'],
    ['x00180040', 'cine-rate'],
  ] as const) {
    const rate = decimal(dataSet, tag);
    if (rate === null || !plausibleMs(1000 / rate)) continue;
    problems.push(problem('TIMING_NOT_FOR_MEASURING', { source: timing }));
    return { frameTimesMs: evenly(frameCount, 1000 / rate), timing, rWaveTimesMs, problems };
  }
  problems.push(problem('TIMING_UNKNOWN'));
  return { frameTimesMs: null, timing: 'unknown', rWaveTimesMs, problems };
}

function evenly(frameCount: number, stepMs: number): number[] {
  return Array.from({ length: frameCount }, (_, n) => n * stepMs);
}

function fromVector(
  dataSet: DataSet,
  frameCount: number,
  problems: Problem[],
): Pick<Timing, 'frameTimesMs' | 'timing'> | null {
  const vector = decimals(dataSet, 'x00181065');
  if (vector.length === 0) return null;
  const steps = vector.slice(1, frameCount);
  if (steps.length !== frameCount - 1 || !steps.every(plausibleMs)) {
    problems.push(problem('FRAME_TIMES_IMPLAUSIBLE', { source: 'frame-time-vector' }));
    return null;
  }
  if (vector[0] !== 0) problems.push(problem('FRAME_TIME_VECTOR_STARTS_LATE', { ms: vector[0] ?? 0 }));
  let at = 0;
  const times = [0];
  for (const step of steps) times.push((at += step));
  return { frameTimesMs: times, timing: 'frame-time-vector' };
}

function fromFrameTime(
  dataSet: DataSet,
  frameCount: number,
  problems: Problem[],
): Pick<Timing, 'frameTimesMs' | 'timing'> | null {
  const step = decimal(dataSet, 'x00181063');
  if (step === null) return null;
  if (!plausibleMs(step)) {
    problems.push(problem('FRAME_TIMES_IMPLAUSIBLE', { source: 'frame-time' }));
    return null;
  }
  return { frameTimesMs: evenly(frameCount, step), timing: 'frame-time' };
}
