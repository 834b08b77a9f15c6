import type { PlanePoint } from './plane';
import { found, unmeasured } from './points';
import type { HalfPixel } from './polygon';
import type { DrawnValues } from './values';
import { drawnValue } from './values';

/** The trace as it counts: in order of time, speeds on its main side of the baseline, zero on the other, crossings inserted. */
function flowOf(points: readonly PlanePoint[]): PlanePoint[] {
  const inTime = [...points].sort((a, b) => a.x - b.x);
  const area = (sign: number): number => integral(clipped(inTime, sign), (v, u) => (v + u) / 2);
  return clipped(inTime, area(1) >= area(-1) ? 1 : -1);
}

function clipped(points: readonly PlanePoint[], sign: number): PlanePoint[] {
  const out: PlanePoint[] = [];
  points.forEach((p, n) => {
    const before = points[n - 1];
    if (before && before.y * p.y < 0) {
      const share = before.y / (before.y - p.y);
      out.push({ x: before.x + share * (p.x - before.x), y: 0 });
    }
    out.push({ x: p.x, y: Math.max(0, sign * p.y) });
  });
  return out;
}

function integral(points: readonly PlanePoint[], mean: (v: number, u: number) => number): number {
  let sum = 0;
  points.forEach((q, n) => {
    const p = points[n - 1];
    if (p) sum += (q.x - p.x) * mean(p.y, q.y);
  });
  return sum;
}

const meanSquare = (v: number, u: number): number => (v * v + v * u + u * u) / 3;

/** How far an integral over time may be off: each point half a pixel up or down, and half a pixel sooner or later. */
function doubts(points: readonly PlanePoint[], half: HalfPixel) {
  let area = 0;
  let squares = 0;
  points.forEach((p, n) => {
    const before = points[n - 1] ?? p;
    const after = points[n + 1] ?? p;
    const reach = after.x - before.x + 2 * half.x;
    const step = Math.abs(after.y - before.y) + 2 * half.y;
    const fast = Math.max(p.y, before.y, after.y) + half.y;
    area += (half.y * reach + half.x * step) / 2;
    squares += fast * (half.y * reach + half.x * step);
    // The first and last point begin and end the flow: what lies under them comes and goes.
    if (n === 0 || n === points.length - 1) {
      area += half.x * (p.y + half.y);
      squares += half.x * fast * fast;
    }
  });
  return { area, squares };
}

/**
 * A spectral envelope traced from its first to its last moment, points in s and cm/s: velocity-time integral (cm), peak (m/s), mean
 * gradient (mmHg: the mean over the flow's time of 4v², as instant gradients are averaged), its peak gradient, time to the peak and
 * of the whole flow (ms). Sizes, without sign; what crosses the baseline to the other side counts as zero.
 * Example: a triangle of 0.2 s to 100 cm/s has 10 cm, 1 m/s, mean 4/3 mmHg.
 */
export function traceValues(points: readonly PlanePoint[], half: HalfPixel): DrawnValues {
  if (points.length < 3) return unmeasured('POINTS_MISSING');
  const flow = flowOf(points);
  const [first, last] = [flow[0] as PlanePoint, flow.at(-1) as PlanePoint];
  const span = last.x - first.x;
  const pixel = 2 * half.x;
  if (span <= pixel) return unmeasured('TIME_SPAN_ZERO');
  const peak = flow.reduce((best, p) => (p.y > best.y ? p : best), first);
  if (peak.y <= 0) return unmeasured('FLOW_MISSING');
  const vti = integral(flow, (v, u) => (v + u) / 2);
  const squares = integral(flow, meanSquare);
  const doubt = doubts(flow, half);
  // cm²/s² to m²/s²: 10 000.
  const mean = (sum: number, time: number) => (4 * sum) / 10_000 / time;
  const [slow, fast] = [Math.max(0, peak.y - half.y) / 100, (peak.y + half.y) / 100];
  const v = peak.y / 100;
  const toPeak = peak.x - first.x;
  const ms = (time: number) =>
    [time * 1000, Math.max(0, time - pixel) * 1000, (time + pixel) * 1000] as const;
  return found([
    drawnValue('vti', 'cm', vti, Math.max(0, vti - doubt.area), vti + doubt.area),
    drawnValue('peak', 'm/s', v, slow, fast),
    drawnValue('gradient', 'mmHg', 4 * v * v, 4 * slow * slow, 4 * fast * fast),
    drawnValue(
      'mean-gradient',
      'mmHg',
      mean(squares, span),
      mean(Math.max(0, squares - doubt.squares), span + pixel),
      mean(squares + doubt.squares, span - pixel),
    ),
    drawnValue('acceleration-time', 'ms', ...ms(toPeak)),
    drawnValue('ejection-time', 'ms', ...ms(span)),
  ]);
}
