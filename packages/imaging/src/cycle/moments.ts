import { smoothCurve } from '../short-axis/smooth-curve';
import { fitBeat } from './fit-beat';
import { median } from './median';

/** Frames of the clip at which the ventricle is largest and smallest, in order. */
export interface Moments {
  readonly endDiastoleFrames: readonly number[];
  readonly endSystoleFrames: readonly number[];
}

export interface MomentsInput {
  /** Curves of the cavity's size over the frames, the surest first. */
  readonly curves: readonly (readonly number[])[];
  readonly periodFrames: number;
  /** True where more than a beat was seen, so that the period can be relied on. */
  readonly periodSeen: boolean;
  /** Frames of the R waves; end diastole where they are known. */
  readonly rFrames: readonly number[] | null;
}

/** Levels above the least, parts of the range, between whose crossings end systole lies in the middle (chosen on developing seeds). */
const troughLevels = [0.2, 0.3, 0.4] as const;
/** How far from the fitted beat a curve's own least value is looked for, part of the beat. */
const reachOfFit = 0.15;
/** What still counts as the largest, part of the range (chosen on developing seeds). */
const stillLargest = 0.01;

/** Largest and smallest cavity of each beat. */
export function momentsOf({ curves, periodFrames, periodSeen, rFrames }: MomentsInput): Moments {
  const known = rFrames && rFrames.length > 0 ? rFrames : null;
  const smooth = curves.filter((c) => c.length >= 4).map(smoothCurve);
  const first = smooth[0];
  if (!first) return { endDiastoleFrames: known ?? [], endSystoleFrames: [] };
  const sum = together(smooth);
  const beat = periodSeen ? fitBeat(sum, periodFrames) : null;
  const told = smooth.length > 1 ? [...smooth, sum] : smooth;
  const last = first.length - 1;
  const within = (frames: readonly number[]): number[] => frames.filter((f) => f >= 0 && f <= last);
  const systoles = beat
    ? within(eachBeat(beat.endSystole, periodFrames, last).map((at) => systoleNear(told, at, periodFrames)))
    : extremes(first, periodFrames, -1).map((least) =>
        Math.round(middleOfTrough(first, least, 0.2) ?? least),
      );
  const own = lastLargest(first, periodFrames, systoles);
  const expected = beat ? eachBeat(beat.endDiastole, periodFrames, last).map((at) => Math.round(at)) : [];
  const unseen = within(expected).filter((at) => !own.some((f) => Math.abs(f - at) < 0.5 * periodFrames));
  return {
    endDiastoleFrames: known ?? inOrder([...own, ...unseen]),
    endSystoleFrames: inOrder(systoles),
  };
}

const inOrder = (frames: readonly number[]): number[] => [...new Set(frames)].sort((a, b) => a - b);

/** Sum of the curves, each with mean 0 and the same spread. */
function together(curves: readonly (readonly number[])[]): number[] {
  const sum = Array.from({ length: (curves[0] as readonly number[]).length }, () => 0);
  for (const curve of curves) {
    const mean = curve.reduce((a, b) => a + b, 0) / curve.length;
    const spread = Math.sqrt(curve.reduce((a, b) => a + (b - mean) * (b - mean), 0) / curve.length);
    if (spread > 0)
      curve.forEach((v, n) => {
        sum[n] = (sum[n] as number) + (v - mean) / spread;
      });
  }
  return sum;
}

/** All times of a moment that comes back with the period, not far outside the clip. */
function eachBeat(moment: number, period: number, last: number): number[] {
  const out: number[] = [];
  for (let at = moment - Math.ceil(moment / period) * period; at < last + 0.5; at += period)
    if (at > -0.5) out.push(at);
  return out;
}

/** The fitted end systole and the middles of every curve's trough near it: their median. */
function systoleNear(curves: readonly (readonly number[])[], at: number, period: number): number {
  const seen = [at];
  for (const curve of curves) {
    const from = Math.max(0, Math.round(at - reachOfFit * period));
    const to = Math.min(curve.length - 1, Math.round(at + reachOfFit * period));
    let least = from;
    for (let n = from; n <= to; n += 1) if ((curve[n] as number) < (curve[least] as number)) least = n;
    for (const level of troughLevels) {
      const middle = middleOfTrough(curve, least, level);
      if (middle !== null) seen.push(middle);
    }
  }
  return Math.round(median(seen));
}

/**
 * End systole lasts a few frames, and what comes into view as the valve opens puts the least of them late: the middle between the
 * curve's fall below and its rise above a part of its range over that least. Null where the clip shows only one of the two.
 */
function middleOfTrough(curve: readonly number[], least: number, part: number): number | null {
  const at = (n: number): number => curve[n] as number;
  const level = at(least) + part * (Math.max(...curve) - Math.min(...curve));
  let [from, to] = [least, least];
  while (from > 0 && at(from - 1) <= level) from -= 1;
  while (to + 1 < curve.length && at(to + 1) <= level) to += 1;
  if (from === 0 || to + 1 >= curve.length) return null;
  const fall = from - (level - at(from)) / (at(from - 1) - at(from));
  const rise = to + (level - at(to)) / (at(to + 1) - at(to));
  return (fall + rise) / 2;
}

/** Frames at which the curve is largest (sign 1) or smallest (−1) within half a beat either way and clearly so. */
function extremes(curve: readonly number[], period: number, sign: 1 | -1): number[] {
  const reach = Math.max(2, Math.round(0.42 * period));
  const high = Math.max(...curve);
  const low = Math.min(...curve);
  const found: number[] = [];
  for (let n = 1; n < curve.length - 1; n += 1) {
    const here = sign * (curve[n] as number);
    const from = Math.max(0, n - reach);
    const to = Math.min(curve.length - 1, n + reach);
    let most = true;
    for (let k = from; k <= to && most; k += 1)
      if (k !== n && (sign * (curve[k] as number) > here || (sign * (curve[k] as number) === here && k < n)))
        most = false;
    const height = sign > 0 ? (curve[n] as number) - low : high - (curve[n] as number);
    if (most && height > 0.6 * (high - low)) found.push(n);
  }
  return found;
}

/**
 * End diastole is where the largest area begins to fall: the last frame within a little of the maximum before each systole. A beat
 * whose diastole the clip does not show gives none.
 */
function lastLargest(curve: readonly number[], period: number, systoles: readonly number[]): number[] {
  const peaks = extremes(curve, period, 1);
  const range = Math.max(...curve) - Math.min(...curve);
  const out: number[] = [];
  for (const peak of peaks) {
    const next = systoles.find((s) => s > peak) ?? curve.length - 1;
    let frame = peak;
    while (frame + 1 < next && (curve[frame + 1] as number) > (curve[peak] as number) - stillLargest * range)
      frame += 1;
    if (!out.includes(frame)) out.push(frame);
  }
  return out;
}
