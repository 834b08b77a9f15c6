import { exactCos } from '@chordae/units';

/** A beat laid over a curve of the cavity's size: when contraction begins and when it ends, in frames, both within a period. */
export interface FittedBeat {
  readonly endDiastole: number;
  readonly endSystole: number;
  /** Part of the curve's variance that the beat explains, 0 to 1. */
  readonly explained: number;
}

/** Parts of a beat: contraction, early filling, and the atrium's filling, which ends with the beat. */
interface Parts {
  readonly systole: number;
  readonly filling: number;
  readonly atrial: number;
}

/** Places in which a beat is tabled. */
const places = 480;
/** Starts of the beat that are tried, then steps between them. */
const coarseStarts = 48;
const fineStarts = 8;
const fillings = [0.25, 0.32, 0.4] as const;
const usualAtrial = 0.2;

/** Half a cosine from 0 to 1, in so many steps. */
const rise = Float64Array.from({ length: 1025 }, (_, n) => 0.5 - 0.5 * exactCos((Math.PI * n) / 1024));

const ramp = (from: number, to: number, at: number): number =>
  rise[Math.round(1024 * Math.max(0, Math.min(1, (at - from) / (to - from))))] as number;

/** Contraction and atrial filling over a beat, 0 to 1 each; both end with the next contraction. */
function tableOf({ systole, filling, atrial }: Parts): { contracted: Float64Array; filled: Float64Array } {
  const contracted = new Float64Array(places);
  const filled = new Float64Array(places);
  for (let n = 0; n < places; n += 1) {
    const at = n / places;
    contracted[n] = ramp(0, systole, at) - ramp(systole, systole + filling, at);
    filled[n] = at >= 1 - atrial ? ramp(1 - atrial, 1, at) : 1 - ramp(0, systole, at);
  }
  return { contracted, filled };
}

/** Sums of products of level, contraction, filling and the curve itself; the level is taken out. */
function squaresLeft(
  curve: Float64Array,
  phases: Float64Array,
  start: number,
  table: ReturnType<typeof tableOf>,
): number {
  const count = curve.length;
  let [c1, f1, cc, ff, cf, cy, fy, yy] = [0, 0, 0, 0, 0, 0, 0, 0];
  for (let n = 0; n < count; n += 1) {
    const phase = (phases[n] as number) - start;
    const at = Math.floor((phase < 0 ? phase + 1 : phase) * places) % places;
    const c = -(table.contracted[at] as number);
    const f = table.filled[at] as number;
    const y = curve[n] as number;
    c1 += c;
    f1 += f;
    cc += c * c;
    ff += f * f;
    cf += c * f;
    cy += c * y;
    fy += f * y;
    yy += y * y;
  }
  // The curve's mean is 0.
  cc -= (c1 * c1) / count;
  ff -= (f1 * f1) / count;
  cf -= (c1 * f1) / count;
  const together = cc * ff - cf * cf;
  const stroke = together > 1e-9 ? (cy * ff - fy * cf) / together : 0;
  const kick = together > 1e-9 ? (fy * cc - cy * cf) / together : 0;
  if (stroke > 0 && kick >= 0) return yy - stroke * cy - kick * fy;
  // An atrium never empties the ventricle: without it, contraction alone.
  return cc > 1e-9 && cy > 0 ? yy - (cy * cy) / cc : yy;
}

/**
 * Lays a beat of this period over a curve that is large when the cavity is: a smooth contraction, an early filling and an atrial one of
 * free sizes, of which the start, the length of contraction and that of filling are searched by least squares. Every frame speaks with,
 * so that a second dip or a beat cut off by the clip's end misleads less than the smallest value alone. Null without movement.
 */
export function fitBeat(curve: ArrayLike<number>, periodFrames: number): FittedBeat | null {
  const count = curve.length;
  if (count < 6 || !(periodFrames >= 3)) return null;
  const mean = Array.from(curve).reduce((a, b) => a + b, 0) / count;
  const level = Float64Array.from(curve, (v) => v - mean);
  const whole = level.reduce((sum, v) => sum + v * v, 0);
  if (!(whole > 1e-9) || !Number.isFinite(whole)) return null;
  const phases = Float64Array.from({ length: count }, (_, n) => (n / periodFrames) % 1);
  let best = { left: Number.POSITIVE_INFINITY, start: 0, systole: 0, filling: 0 };
  const attempt = (systole: number, filling: number, starts: Iterable<number>): void => {
    const atrial = Math.max(0.05, Math.min(usualAtrial, 1 - systole - filling));
    const table = tableOf({ systole, filling, atrial });
    for (const start of starts) {
      const left = squaresLeft(level, phases, start, table);
      if (left < best.left) best = { left, start, systole, filling };
    }
  };
  const all = Array.from({ length: coarseStarts }, (_, n) => n / coarseStarts);
  for (let n = 0; n < 10; n += 1)
    for (const filling of fillings)
      if (0.22 + 0.04 * n + filling <= 0.95) attempt(0.22 + 0.04 * n, filling, all);
  const { start, systole, filling } = best;
  const near = Array.from({ length: 2 * fineStarts + 1 }, (_, n) => {
    const at = start + (n - fineStarts) / (coarseStarts * fineStarts);
    return at - Math.floor(at);
  });
  for (const off of [-0.03, -0.02, -0.01, 0, 0.01, 0.02, 0.03]) attempt(systole + off, filling, near);
  return {
    endDiastole: best.start * periodFrames,
    endSystole: (best.start + best.systole) * periodFrames,
    explained: Math.max(0, Math.min(1, 1 - best.left / whole)),
  };
}
