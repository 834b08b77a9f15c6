import type { WorkingClip } from '../picture/working';
import { median } from './median';
import { momentsOf } from './moments';
import { motionVectors } from './motion-vectors';
import { findPeriod } from './period';
import { principalCurve } from './principal-curve';

export type CycleReason =
  | 'CYCLE_FROM_R_WAVES'
  | 'CYCLE_FROM_PICTURES'
  | 'CYCLE_NOT_FOUND'
  | 'CYCLE_LOOP_SHORT'
  | 'CYCLE_TIMES_UNKNOWN'
  | 'CYCLE_FRAMES_REPEATED'
  | 'CYCLE_MOMENTS_NOT_OFFERED';

export interface HeartCycle {
  readonly periodFrames: number | null;
  readonly beatsPerMinute: number | null;
  /** Beats in the clip. */
  readonly beats: number | null;
  readonly framesPerBeat: number | null;
  /** Numbers from 0. */
  readonly endDiastoleFrames: readonly number[];
  readonly endSystoleFrames: readonly number[];
  readonly confidence: number;
  readonly reasons: readonly CycleReason[];
}

export interface CycleInput {
  /** Start of each frame, ms; null where the file does not say. */
  readonly frameTimesMs: readonly number[] | null;
  readonly rWaveTimesMs?: readonly number[] | undefined;
  /** Area of the left ventricle over the frames, if traced. */
  readonly areaCurve?: readonly number[] | null | undefined;
  /** Area within the outline over the frames, which goes its own way where the blood-area curve errs. */
  readonly outlineAreas?: readonly number[] | null | undefined;
  /** False where the view's largest picture does not mean end diastole (aortic level, lung). */
  readonly offerMoments?: boolean;
}

const none: HeartCycle = {
  periodFrames: null,
  beatsPerMinute: null,
  beats: null,
  framesPerBeat: null,
  endDiastoleFrames: [],
  endSystoleFrames: [],
  confidence: 0,
  reasons: ['CYCLE_NOT_FOUND'],
};

/** Usual time from frame to frame, ms; null without times. */
export function usualFrameTime(times: readonly number[] | null, count: number): number | null {
  if (!times || times.length < 2 || times.length < count) return null;
  const steps = times.slice(1).map((t, n) => t - (times[n] as number));
  const step = median(steps);
  return step > 0 && Number.isFinite(step) ? step : null;
}

/** Beats, their length and moments: from the R waves where there are any, else from the pictures alone. */
export function estimateHeartCycle(clip: WorkingClip, input: CycleInput): HeartCycle {
  const count = clip.frames.length;
  const frameMs = usualFrameTime(input.frameTimesMs, count);
  const traced = input.areaCurve && input.areaCurve.length === count ? input.areaCurve : null;
  const fromTrace = cycleOfRWaves(input, frameMs, count);
  const vectors = count >= 6 ? motionVectors(clip) : [];
  // 60 000 / 330: faster than any of our patients.
  const shortest = frameMs === null ? 3 : Math.max(3, 180 / frameMs);
  const period = count >= 6 ? findPeriod(vectors, shortest) : null;
  const periodFrames = fromTrace?.periodFrames ?? period?.frames ?? null;
  if (periodFrames === null) return { ...none, reasons: shortReasons(count, frameMs) };
  const beats = count / periodFrames;
  const reasons: CycleReason[] = [fromTrace ? 'CYCLE_FROM_R_WAVES' : 'CYCLE_FROM_PICTURES'];
  if (frameMs === null) reasons.push('CYCLE_TIMES_UNKNOWN');
  // A frame late in diastole resembles an earlier one: a period counts only when more than a whole beat was seen.
  const seen = fromTrace !== null || (beats >= 1.3 && (period?.depth ?? 0) >= 0.35 && periodFrames >= 3.5);
  if (!seen) reasons.push('CYCLE_LOOP_SHORT');
  const curve = input.offerMoments === false ? null : (traced ?? principalCurve(clip, vectors));
  if (input.offerMoments === false) reasons.push('CYCLE_MOMENTS_NOT_OFFERED');
  const outline = traced && input.outlineAreas?.length === count ? input.outlineAreas : null;
  const moments = momentsOf({
    curves: curve ? (outline ? [curve, outline] : [curve]) : [],
    periodFrames,
    periodSeen: seen,
    rFrames: fromTrace?.endDiastoleFrames ?? null,
  });
  const confidence = fromTrace ? 0.95 : seen ? Math.min(0.9, (period?.depth ?? 0) * 1.05) : 0.25;
  return {
    periodFrames: seen ? periodFrames : null,
    beatsPerMinute: seen && frameMs !== null ? 60_000 / (periodFrames * frameMs) : null,
    beats: seen ? beats : null,
    framesPerBeat: seen ? periodFrames : null,
    ...moments,
    confidence,
    reasons,
  };
}

function shortReasons(count: number, frameMs: number | null): CycleReason[] {
  const reasons: CycleReason[] = ['CYCLE_NOT_FOUND'];
  if (count < 12) reasons.push('CYCLE_LOOP_SHORT');
  if (frameMs === null) reasons.push('CYCLE_TIMES_UNKNOWN');
  return reasons;
}

function cycleOfRWaves(
  { rWaveTimesMs, frameTimesMs }: CycleInput,
  frameMs: number | null,
  count: number,
): { readonly periodFrames: number; readonly endDiastoleFrames: number[] } | null {
  if (!rWaveTimesMs || rWaveTimesMs.length < 2 || !frameTimesMs || frameMs === null) return null;
  const sorted = [...rWaveTimesMs].filter((t) => Number.isFinite(t)).sort((a, b) => a - b);
  const gaps = sorted
    .slice(1)
    .map((t, n) => t - (sorted[n] as number))
    .filter((gap) => gap > 100);
  if (gaps.length === 0) return null;
  const start = frameTimesMs[0] ?? 0;
  const end = (frameTimesMs[count - 1] ?? 0) + frameMs / 2;
  const endDiastoleFrames = sorted
    .filter((t) => t >= start - frameMs / 2 && t < end)
    .map((t) => nearestFrame(frameTimesMs, t, count));
  return { periodFrames: median(gaps) / frameMs, endDiastoleFrames };
}

function nearestFrame(times: readonly number[], t: number, count: number): number {
  let best = 0;
  for (let n = 1; n < count; n += 1)
    if (Math.abs((times[n] as number) - t) < Math.abs((times[best] as number) - t)) best = n;
  return best;
}
