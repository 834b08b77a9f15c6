import type { PlanePoint } from './plane';
import type { Measured } from './points';
import { found, unmeasured } from './points';
import type { HalfPixel } from './polygon';
import type { DrawnValues } from './values';
import { drawnValue, hypotenuse } from './values';

/**
 * Method of discs: the chamber is cut into 20 discs of equal height across its long axis (Lang et al. 2015, ASE/EACVI chamber
 * quantification, J Am Soc Echocardiogr 28:1-39).
 */
export const DISCS = 20;

/** Two planes whose long axes differ by more than this are not of one chamber, per cent of the longer (our choice). */
export const MOST_AXES_DIFFER_PERCENT = 20;

/** One plane: the wall from one side of the base to the other, and the axis from the base's middle to the far end; cm. */
export interface DiscPlane {
  readonly wall: readonly PlanePoint[];
  readonly axis: readonly [PlanePoint, PlanePoint];
  readonly half: HalfPixel;
}

/** The plane's discs: their widths with what they may be, and the length of the axis; cm. */
export interface CutDiscs {
  readonly lengthCm: number;
  /** The length may be off by this much. */
  readonly doubtCm: number;
  readonly widths: readonly { readonly value: number; readonly least: number; readonly most: number }[];
}

/** The wall in the axis' own coordinates: along it (t) and across it (s). */
function alongAxis({ wall, axis: [base, far] }: DiscPlane, length: number): PlanePoint[] {
  const [ux, uy] = [(far.x - base.x) / length, (far.y - base.y) / length];
  return wall.map((p) => {
    const [dx, dy] = [p.x - base.x, p.y - base.y];
    return { x: dx * ux + dy * uy, y: dy * ux - dx * uy };
  });
}

/** Width of the closed chamber where the axis has gone `t`; 0 where the line misses it. Twice-cut folds count once each. */
function widthAt(wall: readonly PlanePoint[], t: number): number {
  const cuts: number[] = [];
  wall.forEach((p, n) => {
    const q = wall[(n + 1) % wall.length] as PlanePoint;
    if (p.x <= t !== q.x <= t) cuts.push(p.y + ((t - p.x) / (q.x - p.x)) * (q.y - p.y));
  });
  cuts.sort((a, b) => a - b);
  let width = 0;
  for (let n = 0; n + 1 < cuts.length; n += 2) width += (cuts[n + 1] as number) - (cuts[n] as number);
  return width;
}

/**
 * Cuts one plane into its discs. The least and most of a width come from all places that the disc may really have: within half a
 * pixel, and the tilt that half a pixel gives the axis. Example: a cone of 10 cm and 4 cm base has widths 3.9, 3.7 … 0.1.
 */
export function cutDiscs(plane: DiscPlane): Measured<CutDiscs> {
  const [base, far] = plane.axis;
  const lengthCm = hypotenuse(far.x - base.x, far.y - base.y);
  if (plane.wall.length < 3) return unmeasured('POINTS_MISSING');
  if (lengthCm === 0) return unmeasured('DRAWING_WITHOUT_SIZE');
  const wall = alongAxis(plane, lengthCm);
  const pixel = hypotenuse(plane.half.x, plane.half.y);
  const aside = wall.reduce((most, p) => Math.max(most, Math.abs(p.y)), 0);
  const window = pixel * (2 + (2 * aside) / lengthCm);
  const widths: CutDiscs['widths'][number][] = [];
  for (let n = 0; n < DISCS; n += 1) {
    const t = ((n + 0.5) * lengthCm) / DISCS;
    const value = widthAt(wall, t);
    if (value <= 0) return unmeasured('AXIS_OUTSIDE_WALL');
    const near = wall.map((p) => p.x).filter((x) => Math.abs(x - t) < window);
    const tries = [t, t - window, t + window, ...near].map((x) => widthAt(wall, x));
    widths.push({
      value,
      least: Math.max(0, Math.min(...tries) - 2 * pixel),
      most: Math.max(...tries) + 2 * pixel,
    });
  }
  return found({ lengthCm, doubtCm: 2 * pixel, widths });
}

const QUARTER_PI = Math.PI / 4;

/**
 * Volume in ml by 20 discs: from one plane with round discs, or from two with oval ones of both widths over the longer axis. Two
 * axes that differ by more than 20 % of the longer are refused; the difference is given (%).
 * Example: a ball of 2 cm radius, drawn finely, has 33.5 ml.
 */
export function discsValues(first: DiscPlane, second: DiscPlane | null): DrawnValues {
  const one = cutDiscs(first);
  if (!one.ok) return one;
  const two = second ? cutDiscs(second) : one;
  if (!two.ok) return two;
  const [a, b] = [one.value, two.value];
  const longest = a.lengthCm >= b.lengthCm ? a : b;
  const differ = ((longest.lengthCm - Math.min(a.lengthCm, b.lengthCm)) / longest.lengthCm) * 100;
  if (differ > MOST_AXES_DIFFER_PERCENT) return unmeasured('LONG_AXES_DIFFER');
  const sum = (which: 'value' | 'least' | 'most', lengthCm: number): number =>
    a.widths.reduce((total, width, n) => total + width[which] * (b.widths[n]?.[which] ?? 0), 0) *
    QUARTER_PI *
    (lengthCm / DISCS);
  const { lengthCm, doubtCm } = longest;
  const [shortest, most] = [Math.max(0, lengthCm - doubtCm), lengthCm + doubtCm];
  const values = [
    drawnValue('volume', 'ml', sum('value', lengthCm), sum('least', shortest), sum('most', most)),
    drawnValue('long-axis', 'mm', 10 * lengthCm, 10 * shortest, 10 * most),
  ];
  const doubt = ((a.doubtCm + b.doubtCm) / longest.lengthCm) * 100;
  return found(
    second
      ? [...values, drawnValue('axes-differ', '%', differ, Math.max(0, differ - doubt), differ + doubt)]
      : values,
  );
}
