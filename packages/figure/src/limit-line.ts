import type { AppliedLimit, IndexResult } from '@chordae/contract';
import type { Figure, Shape } from './shapes';

/** An earlier value of the same index, newest last; drawn paler behind the present one. */
export interface EarlierValue {
  value: number;
}

export interface LimitLineOptions {
  index: Pick<IndexResult, 'value' | 'beats' | 'interval' | 'limits' | 'position'>;
  /** Width of the figure in the painter's unit (px or pt). */
  width: number;
  /** Text size; the figure is 4.2 times as high. Default 11. */
  textSize?: number;
  earlier?: readonly EarlierValue[];
  /** Writes a number of the scale. Default: two decimals below 10, one above. */
  format?: (value: number) => string;
}

function defaultFormat(value: number): string {
  return Math.abs(value) < 10 ? value.toFixed(2) : value.toFixed(1);
}

/** The limit that is drawn as the interval: the first that has bounds, else none. */
function drawnLimit(limits: readonly AppliedLimit[]): AppliedLimit | null {
  return limits.find((l) => l.lower !== null || l.upper !== null) ?? null;
}

interface Tick {
  at: number;
  code: string;
  /** Bounds are labelled first, then grades, then means. */
  rank: number;
}

function ticksOf(limits: readonly AppliedLimit[]): Tick[] {
  const ticks: Tick[] = [];
  const put = (at: number | null, code: string, rank: number): void => {
    if (at !== null && Number.isFinite(at) && !ticks.some((t) => t.at === at)) ticks.push({ at, code, rank });
  };
  for (const [i, limit] of limits.entries()) {
    put(limit.lower, 'lower', i === 0 ? 0 : 1);
    put(limit.upper, 'upper', i === 0 ? 0 : 1);
  }
  for (const limit of limits)
    for (const tick of limit.ticks) put(tick.at, tick.code, tick.code === 'mean' ? 3 : 2);
  return ticks.sort((a, b) => a.rank - b.rank || a.at - b.at);
}

/** Range of the scale: everything that is drawn, with a tenth of air at each end. */
function rangeOf(values: readonly number[]): [number, number] {
  const finite = values.filter((v) => Number.isFinite(v));
  const low = Math.min(...finite);
  const high = Math.max(...finite);
  const air = high > low ? (high - low) * 0.1 : Math.max(Math.abs(high) * 0.2, 0.1);
  return [low - air, high + air];
}

/** Labels under the line, the important ones first; one that would touch another is left out. */
function tickLabels(
  ticks: readonly Tick[],
  x: (v: number) => number,
  y: number,
  size: number,
  options: { width: number; format: (v: number) => string },
): Shape[] {
  const taken: [number, number][] = [];
  const shapes: Shape[] = [];
  for (const tick of ticks) {
    const text = options.format(tick.at);
    const half = text.length * size * 0.3 + 3;
    const centre = Math.min(Math.max(x(tick.at), half), options.width - half);
    if (taken.some(([from, to]) => centre + half > from && centre - half < to)) continue;
    taken.push([centre - half, centre + half]);
    shapes.push({
      kind: 'text',
      x: centre,
      y,
      text,
      size: size * 0.85,
      anchor: 'middle',
      tone: 'faint',
      weight: 'regular',
    });
  }
  return shapes;
}

/**
 * The limit line: one thin horizontal scale with the published interval as a bar, bounds and grades as ticks, the
 * patient's beats as faint circles, the mean as a strong diamond, earlier scans as paler hollow diamonds behind it, and
 * the 95 % interval of the measurement as a bracket. A value that is not graded is a hollow diamond.
 */
export function limitLine(options: LimitLineOptions): Figure {
  const { index, width } = options;
  const size = options.textSize ?? 11;
  const format = options.format ?? defaultFormat;
  const height = size * 4.2;
  if (!Number.isFinite(index.value) || !(width > 0))
    return { width: Math.max(width, 0) || 0, height, shapes: [] };
  const ticks = ticksOf(index.limits);
  const earlier = (options.earlier ?? []).filter((e) => Number.isFinite(e.value));
  const [low, high] = rangeOf([
    index.value,
    ...index.beats,
    ...(index.interval ?? []),
    ...ticks.map((t) => t.at),
    ...earlier.map((e) => e.value),
  ]);
  const pad = size;
  const x = (value: number): number => pad + ((value - low) / (high - low)) * (width - 2 * pad);
  const lineY = size * 2.2;
  const shapes: Shape[] = [
    { kind: 'line', x1: pad, y1: lineY, x2: width - pad, y2: lineY, width: 1, tone: 'faint' },
  ];
  const limit = drawnLimit(index.limits);
  if (limit) {
    const from = limit.lower === null ? pad : x(limit.lower);
    const to = limit.upper === null ? width - pad : x(limit.upper);
    shapes.push({
      kind: 'rect',
      x: from,
      y: lineY - size * 0.22,
      width: to - from,
      height: size * 0.44,
      tone: 'band',
      filled: !limit.comparisonOnly,
    });
  }
  for (const tick of ticks) {
    const reach = tick.rank <= 1 ? 0.55 : 0.35;
    shapes.push({
      kind: 'tick',
      x: x(tick.at),
      y1: lineY - size * reach,
      y2: lineY + size * reach,
      width: tick.rank <= 1 ? 1.4 : 1,
      tone: tick.rank === 3 ? 'faint' : 'ink',
      code: tick.code,
    });
  }
  if (index.interval)
    shapes.push(...bracket(x(index.interval[0]), x(index.interval[1]), lineY - size * 0.75, size));
  for (const past of earlier) {
    shapes.push({
      kind: 'mark',
      x: x(past.value),
      y: lineY,
      size: size * 0.7,
      form: 'diamond',
      filled: false,
      tone: 'paler',
    });
  }
  if (index.beats.length > 1) {
    for (const beat of index.beats) {
      shapes.push({
        kind: 'mark',
        x: x(beat),
        y: lineY,
        size: size * 0.4,
        form: 'circle',
        filled: false,
        tone: 'faint',
      });
    }
  }
  const at = x(index.value);
  shapes.push({
    kind: 'mark',
    x: at,
    y: lineY,
    size: size * 0.9,
    form: 'diamond',
    filled: index.position !== 'not-graded',
    tone: 'strong',
  });
  shapes.push(valueLabel(format(index.value), at, width, size));
  shapes.push(...tickLabels(ticks, x, lineY + size * 1.55, size, { width, format }));
  return { width, height, shapes };
}

function bracket(from: number, to: number, y: number, size: number): Shape[] {
  const end = size * 0.18;
  return [
    { kind: 'line', x1: from, y1: y, x2: to, y2: y, width: 1, tone: 'ink' },
    { kind: 'line', x1: from, y1: y - end, x2: from, y2: y + end, width: 1, tone: 'ink' },
    { kind: 'line', x1: to, y1: y - end, x2: to, y2: y + end, width: 1, tone: 'ink' },
  ];
}

function valueLabel(text: string, at: number, width: number, size: number): Shape {
  const half = text.length * size * 0.3;
  const x = Math.min(Math.max(at, half), width - half);
  return { kind: 'text', x, y: size * 0.95, text, size, anchor: 'middle', tone: 'strong', weight: 'strong' };
}
