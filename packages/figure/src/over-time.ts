import type { Figure, Shape } from './shapes';

/** One scan's value of an index with what the limit was on that day. */
export interface TimedValue {
  /** Day of the scan, YYYY-MM-DD. */
  readonly day: string;
  readonly value: number;
  /** What measuring alone spreads the value over (95 %), or null where no repeatability is known. */
  readonly interval: readonly [number, number] | null;
  readonly lower: number | null;
  readonly upper: number | null;
  /** false: measured, not graded. */
  readonly graded: boolean;
}

export interface OverTimeOptions {
  /** Oldest first. */
  readonly values: readonly TimedValue[];
  /** Days on which something else happened, drawn as dashes with their number. */
  readonly events: readonly { readonly day: string; readonly mark: string }[];
  readonly width: number;
  readonly height: number;
  readonly textSize?: number;
  readonly format: (value: number) => string;
  readonly formatDay: (day: string) => string;
}

const dayNumber = (day: string): number => Date.parse(`${day}T00:00:00Z`) / 86_400_000;

/** Places for the days: true to time, but never nearer than `least` so that marks of one week can be told apart. */
function places(days: readonly number[], from: number, to: number, least: number): number[] {
  const first = days[0] ?? 0;
  const span = (days.at(-1) ?? 0) - first;
  const at = days.map((d) => (span > 0 ? from + ((d - first) / span) * (to - from) : (from + to) / 2));
  const gap = Math.min(least, days.length > 1 ? (to - from) / (days.length - 1) : least);
  for (let i = 1; i < at.length; i += 1) at[i] = Math.max(at[i] ?? 0, (at[i - 1] ?? 0) + gap);
  for (let i = at.length - 1; i >= 0; i -= 1)
    at[i] = Math.min(at[i] ?? 0, i === at.length - 1 ? to : (at[i + 1] ?? to) - gap);
  return at;
}

/**
 * An index over time: each scan's published interval as a bar of its own (limits move with weight), the value on it as a
 * diamond with the spread of measuring as a bracket, joined by a thin line; other events as numbered dashes below.
 */
export function overTime(options: OverTimeOptions): Figure {
  const { width, height, format } = options;
  const size = options.textSize ?? 11;
  const values = options.values.filter((v) => Number.isFinite(v.value));
  if (values.length === 0 || !(width > 0) || !(height > 0))
    return { width: Math.max(0, width) || 0, height: Math.max(0, height) || 0, shapes: [] };
  const [left, right, top, bottom] = [size * 4, width - size * 2, size * 1.6, height - size * 3.4];
  const y = scale(values, top, bottom);
  const days = [...new Set([...values.map((v) => v.day), ...options.events.map((e) => e.day)])].sort();
  const xs = places(days.map(dayNumber), left + size, right - size, size * 4.5);
  const x = (day: string): number => xs[days.indexOf(day)] ?? left;
  const shapes: Shape[] = [
    { kind: 'line', x1: left, y1: bottom, x2: right, y2: bottom, width: 1, tone: 'faint' },
  ];
  for (const v of values) shapes.push(...band(v, x(v.day), y, { top, bottom, half: size * 1.8 }));
  for (let i = 1; i < values.length; i += 1) {
    const [a, b] = [values[i - 1], values[i]];
    if (a && b)
      shapes.push({
        kind: 'line',
        x1: x(a.day),
        y1: y(a.value),
        x2: x(b.day),
        y2: y(b.value),
        width: 1,
        tone: 'faint',
      });
  }
  for (const [i, v] of values.entries())
    shapes.push(...mark(v, x(v.day), y, { size, format, last: i === values.length - 1 }));
  shapes.push(
    ...dayLabels(
      values.map((v) => v.day),
      x,
      { y: bottom + size * 1.3, size, width, formatDay: options.formatDay },
    ),
  );
  for (const event of options.events) {
    const at = x(event.day);
    shapes.push(
      { kind: 'line', x1: at, y1: top, x2: at, y2: bottom, width: 1, tone: 'faint', dash: [2, 4] },
      {
        kind: 'text',
        x: at,
        y: bottom + size * 2.7,
        text: event.mark,
        size: size * 0.9,
        anchor: 'middle',
        tone: 'ink',
        weight: 'regular',
      },
    );
  }
  return { width, height, shapes };
}

/** Share of the largest value that the height spans at least, where neither a limit nor an interval says what much is. */
const LEAST_SPAN = 0.4;

function scale(values: readonly TimedValue[], top: number, bottom: number): (v: number) => number {
  const all = values.flatMap((v) => [v.value, ...(v.interval ?? []), v.lower ?? v.value, v.upper ?? v.value]);
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const measured = values.some((v) => v.interval !== null || v.lower !== null || v.upper !== null);
  const least = measured ? 0 : LEAST_SPAN * Math.max(Math.abs(low), Math.abs(high));
  const filled = high > low ? (high - low) * 0.12 : Math.max(Math.abs(high) * 0.2, 0.1);
  const air = Math.max(filled, (least - (high - low)) / 2);
  return (v) => bottom - ((v - (low - air)) / (high - low + 2 * air)) * (bottom - top);
}

/** The published interval of that day; open at the end where there is no bound. */
function band(
  v: TimedValue,
  at: number,
  y: (value: number) => number,
  box: { top: number; bottom: number; half: number },
): Shape[] {
  if (v.lower === null && v.upper === null) return [];
  const top = v.upper === null ? box.top : y(v.upper);
  const bottom = v.lower === null ? box.bottom : y(v.lower);
  const edge = (value: number | null, code: string): Shape[] =>
    value === null
      ? []
      : [
          {
            kind: 'line',
            x1: at - box.half,
            y1: y(value),
            x2: at + box.half,
            y2: y(value),
            width: code === 'upper' ? 1.4 : 1.2,
            tone: 'ink',
          },
        ];
  return [
    {
      kind: 'rect',
      x: at - box.half,
      y: top,
      width: 2 * box.half,
      height: Math.max(0, bottom - top),
      tone: 'band',
      filled: true,
    },
    ...edge(v.upper, 'upper'),
    ...edge(v.lower, 'lower'),
  ];
}

function mark(
  v: TimedValue,
  at: number,
  y: (value: number) => number,
  how: { size: number; format: (value: number) => string; last: boolean },
): Shape[] {
  const { size } = how;
  const tone = how.last ? 'strong' : 'ink';
  const shapes: Shape[] = [];
  if (v.interval) {
    const [from, to] = [y(v.interval[0]), y(v.interval[1])];
    const end = size * 0.25;
    shapes.push({ kind: 'line', x1: at, y1: from, x2: at, y2: to, width: 1, tone: 'ink' });
    for (const edge of [from, to])
      shapes.push({ kind: 'line', x1: at - end, y1: edge, x2: at + end, y2: edge, width: 1, tone: 'ink' });
  }
  shapes.push(
    { kind: 'mark', x: at, y: y(v.value), size: size * 0.9, form: 'diamond', filled: v.graded, tone },
    {
      kind: 'text',
      x: at + size * 0.8,
      y: y(v.value) - size * 0.5,
      text: how.format(v.value),
      size,
      anchor: 'start',
      tone,
      weight: how.last ? 'strong' : 'regular',
    },
  );
  return shapes;
}

/** Days under their marks; one that would touch another is left out, the last one never. */
function dayLabels(
  days: readonly string[],
  x: (day: string) => number,
  how: { y: number; size: number; width: number; formatDay: (day: string) => string },
): Shape[] {
  const shapes: Shape[] = [];
  let free = how.width;
  for (const day of [...days].reverse()) {
    const text = how.formatDay(day);
    const half = text.length * how.size * 0.28;
    const at = Math.min(Math.max(x(day), half), how.width - half);
    if (at + half > free) continue;
    free = at - half - 4;
    shapes.push({
      kind: 'text',
      x: at,
      y: how.y,
      text,
      size: how.size * 0.9,
      anchor: 'middle',
      tone: 'faint',
      weight: 'regular',
    });
  }
  return shapes;
}
