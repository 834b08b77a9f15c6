import type { Plane, PlanePoint } from './plane';
import { found, unmeasured } from './points';
import type { HalfPixel } from './polygon';
import type { DrawnValue, DrawnValues } from './values';
import { drawnValue } from './values';

/** Time to half the gradient over (first velocity / slope): 1 − 1/√2, since the gradient goes with the square of the velocity. */
const HALF_GRADIENT = 1 - 1 / Math.SQRT2;

/**
 * Time in ms and, as if it were one beat, rate per minute; from two points in seconds. The rate is left out where its interval would
 * reach infinity. Example: 0.6 s is 600 ms and 100/min.
 */
export function timeValues(a: PlanePoint, b: PlanePoint, half: HalfPixel): DrawnValues {
  const span = Math.abs(b.x - a.x);
  if (span === 0) return unmeasured('TIME_SPAN_ZERO');
  const [least, most] = [Math.max(0, span - 2 * half.x), span + 2 * half.x];
  const values: DrawnValue[] = [drawnValue('time', 'ms', span * 1000, least * 1000, most * 1000)];
  if (least > 0) values.push(drawnValue('rate', '/min', 60 / span, 60 / most, 60 / least));
  return found(values);
}

function extremes(values: readonly number[]): readonly [number, number] {
  return [Math.min(...values), Math.max(...values)];
}

/**
 * Slope between two points: cm/s of depth in M-mode (positive: away from the probe as time goes on), cm/s² in a spectral region, there
 * also the pressure half-time in ms where the velocity falls towards zero. Interval: all corners of the whole pixel by which the
 * difference may be off, exact since it is monotone in each. Example: 2 cm in 0.4 s are 5 cm/s.
 */
export function slopeValues(plane: Plane, a: PlanePoint, b: PlanePoint, half: HalfPixel): DrawnValues {
  const [first, last] = a.x <= b.x ? [a, b] : [b, a];
  const span = last.x - first.x;
  const [w, h] = [2 * half.x, 2 * half.y];
  // Closer than a pixel the two moments cannot be told apart.
  if (span <= w) return unmeasured('TIME_SPAN_ZERO');
  const rise = last.y - first.y;
  const corners = [rise - h, rise + h].flatMap((dy) => [dy / (span - w), dy / (span + w)]);
  const [least, most] = extremes(corners);
  const unit = plane.unitY === 'cm/s' ? 'cm/s2' : 'cm/s';
  const values: DrawnValue[] = [drawnValue('slope', unit, rise / span, least, most)];
  const halfTime = plane.unitY === 'cm/s' && plane.zeroY !== null ? halfTimeValue(first, last, half) : null;
  return found(halfTime ? [...values, halfTime] : values);
}

/** Pressure half-time of a falling velocity drawn as a line (Hatle et al. 1979: 0.29 of the time to zero); null where it does not fall. */
function halfTimeValue(first: PlanePoint, last: PlanePoint, half: HalfPixel): DrawnValue | null {
  const sign = first.y < 0 ? -1 : 1;
  const [v, u] = [first.y * sign, last.y * sign];
  const span = last.x - first.x;
  // Beyond these the interval would hold a line that does not fall.
  if (v - half.y <= Math.max(0, u + half.y)) return null;
  const time = (from: number, to: number, s: number) => (HALF_GRADIENT * from * s * 1000) / (from - to);
  const corners = [-1, 1].flatMap((i) =>
    [-1, 1].flatMap((j) => [-1, 1].map((k) => time(v + i * half.y, u + j * half.y, span + 2 * k * half.x))),
  );
  const [least, most] = extremes(corners);
  return drawnValue('half-time', 'ms', time(v, u, span), least, most);
}

/**
 * Velocity in m/s (positive: towards the probe) with its gradient by 4v² in mmHg, from a point in cm/s.
 * Example: −320 cm/s are −3.2 m/s and 40.96 mmHg.
 */
export function velocityValues(p: PlanePoint, half: HalfPixel): readonly DrawnValue[] {
  const v = p.y / 100;
  const doubt = half.y / 100;
  const slow = Math.max(0, Math.abs(v) - doubt);
  const fast = Math.abs(v) + doubt;
  return [
    drawnValue('velocity', 'm/s', v, v - doubt, v + doubt),
    drawnValue('gradient', 'mmHg', 4 * v * v, 4 * slow * slow, 4 * fast * fast),
  ];
}
