import type { IndexValue } from '@chordae/contract';
import type { LimitEntry } from '@chordae/interpretation';
import { axisText, curveOf, WEIGHTS } from './limit-text';

const WIDTH = 460;
const HEIGHT = 220;
const LEFT = 44;
const RIGHT = 12;
const TOP = 22;
const BOTTOM = 34;

/** Round steps for an axis: 1, 2 or 5 times a power of ten, about five of them. */
function steps(high: number): number[] {
  const rough = high / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough) ?? rough;
  const out: number[] = [];
  for (let v = 0; v <= high; v += step) out.push(Math.round(v / power) * power);
  return out;
}

const WEIGHT_TICKS = [2, 3, 5, 10, 20, 40, 80, 100, 200, 300, 500, 900];

/** A limit drawn over the body weight (logarithmic), with this practice's patients as small circles when asked for. */
export function LimitCurve({ limit, patients }: { limit: LimitEntry; patients: readonly IndexValue[] }) {
  const curve = curveOf(limit);
  const range = WEIGHTS[limit.species];
  if (!curve || !range || (curve.flat && patients.length === 0)) return null;
  const high = Math.min(limit.maxKgBelow ?? range[1], range[1]);
  const low = range[0];
  const kgs = Array.from({ length: 61 }, (_, i) => low * (high / low) ** (i / 60));
  const dots = patients.map((p) => ({ ...p, y: curve.shown(p.value, p.weightKg) }));
  const top =
    1.15 *
    Math.max(...kgs.map((kg) => (curve.upper ?? curve.lower)?.(kg) ?? 0), ...dots.map((d) => d.y), 1e-6);
  const x = (kg: number) => LEFT + ((WIDTH - LEFT - RIGHT) * Math.log(kg / low)) / Math.log(high / low);
  const y = (v: number) => TOP + (HEIGHT - TOP - BOTTOM) * (1 - v / top);
  const path = (of: (kg: number) => number) =>
    kgs
      .map((kg, i) => `${i === 0 ? 'M' : 'L'}${x(kg).toFixed(1)} ${Math.max(TOP, y(of(kg))).toFixed(1)}`)
      .join(' ');
  const upperEdge = curve.upper ?? (() => top);
  const lowerEdge = curve.lower ?? (() => 0);
  const band = `${path(upperEdge)} ${[...kgs]
    .reverse()
    .map((kg) => `L${x(kg).toFixed(1)} ${y(lowerEdge(kg)).toFixed(1)}`)
    .join(' ')} Z`;
  const label = `${curve.what} over body weight with the bounds of this limit${dots.length > 0 ? ` and ${dots.length} patients` : ''}`;
  return (
    <svg className="limit-curve" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={label}>
      <path className="curve-band" d={band} />
      {curve.upper ? <path className="curve-edge" d={path(curve.upper)} /> : null}
      {curve.lower ? <path className="curve-edge" d={path(curve.lower)} /> : null}
      {curve.middle ? <path className="curve-middle" d={path(curve.middle)} /> : null}
      <line className="curve-axis" x1={LEFT} x2={WIDTH - RIGHT} y1={HEIGHT - BOTTOM} y2={HEIGHT - BOTTOM} />
      {WEIGHT_TICKS.filter((kg) => kg >= low && kg <= high).map((kg) => (
        <g key={kg}>
          <line className="curve-axis" x1={x(kg)} x2={x(kg)} y1={HEIGHT - BOTTOM} y2={HEIGHT - BOTTOM + 4} />
          <text className="curve-text" x={x(kg)} y={HEIGHT - BOTTOM + 16} textAnchor="middle">
            {kg}
          </text>
        </g>
      ))}
      <text className="curve-text" x={WIDTH - RIGHT} y={HEIGHT - 3} textAnchor="end">
        kg
      </text>
      {steps(top).map((v) => (
        <text key={v} className="curve-text" x={LEFT - 6} y={y(v) + 4} textAnchor="end">
          {axisText(v)}
        </text>
      ))}
      <text className="curve-text" x={4} y={12}>
        {curve.unit ? `${curve.what}, ${curve.unit}` : curve.what}
      </text>
      {dots
        .filter((d) => d.weightKg >= low && d.weightKg <= high)
        .map((d) => (
          <circle key={d.referralId} className="curve-patient" cx={x(d.weightKg)} cy={y(d.y)} r={3}>
            <title>{`Referral ${d.number}: ${axisText(d.y)} ${curve.unit} at ${axisText(d.weightKg)} kg`}</title>
          </circle>
        ))}
    </svg>
  );
}
