import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { overTime, type TimedValue } from './over-time';

const value = (day: string, v: number, parts: Partial<TimedValue> = {}): TimedValue => ({
  day,
  value: v,
  interval: null,
  lower: null,
  upper: 1.7,
  graded: true,
  ...parts,
});
const draw = (values: readonly TimedValue[], events: { day: string; mark: string }[] = []) =>
  overTime({
    values,
    events,
    width: 480,
    height: 180,
    format: (v) => v.toFixed(2),
    formatDay: (day) => day,
  });
const marks = (figure: ReturnType<typeof draw>) => figure.shapes.filter((s) => s.kind === 'mark');

describe('an index over time', () => {
  it('puts scans in the order of their days, and a larger value higher', () => {
    const [a, b, c] = marks(
      draw([value('2026-01-01', 1.4), value('2026-05-01', 1.6), value('2026-11-01', 1.9)]),
    );
    expect([a?.x, b?.x, c?.x].map(Number)).toEqual([a?.x, b?.x, c?.x].map(Number).sort((p, q) => p - q));
    expect(a?.y ?? Number.NaN).toBeGreaterThan(b?.y ?? Number.NaN);
    expect(b?.y ?? Number.NaN).toBeGreaterThan(c?.y ?? Number.NaN);
    // 120 days, then 184: the first step is the shorter.
    expect((b?.x ?? Number.NaN) - (a?.x ?? Number.NaN)).toBeLessThan(
      (c?.x ?? Number.NaN) - (b?.x ?? Number.NaN),
    );
  });

  it('draws each scan on the limit of its own day', () => {
    const bars = draw([
      value('2026-01-01', 1.4, { upper: 1.5 }),
      value('2026-05-01', 1.6, { upper: 1.9 }),
    ]).shapes.filter((s) => s.kind === 'rect');
    expect(bars).toHaveLength(2);
    expect(bars[0]?.y ?? Number.NaN).toBeGreaterThan(bars[1]?.y ?? Number.NaN);
  });

  it('leaves a value that is not graded hollow, and the last one strong', () => {
    const [first, last] = marks(
      draw([value('2026-01-01', 1.4, { graded: false }), value('2026-05-01', 1.6)]),
    );
    expect(first).toMatchObject({ filled: false, tone: 'ink' });
    expect(last).toMatchObject({ filled: true, tone: 'strong' });
  });

  it('lets two per cent of a weight look like little, where no limit says what much is', () => {
    const bare = { upper: null, graded: false };
    const [a, b] = marks(draw([value('2026-01-01', 9.6, bare), value('2026-05-01', 9.8, bare)]));
    const rise = (a?.y ?? Number.NaN) - (b?.y ?? Number.NaN);
    expect(rise).toBeGreaterThan(0);
    // Of 180 high, with room for words: the change is a twentieth of the span of 40 %.
    expect(rise).toBeLessThan(12);
  });

  it('marks other events on their days', () => {
    const figure = draw(
      [value('2026-01-01', 1.4), value('2026-05-01', 1.6)],
      [{ day: '2026-03-01', mark: '1' }],
    );
    const dash = figure.shapes.find((s) => s.kind === 'line' && s.dash);
    const [a, b] = marks(figure);
    expect(dash).toMatchObject({ kind: 'line' });
    if (dash?.kind !== 'line') return;
    expect(dash.x1).toBeGreaterThan(a?.x ?? Number.NaN);
    expect(dash.x1).toBeLessThan(b?.x ?? Number.NaN);
  });

  it('keeps all in its box with finite coordinates, and no two marks of different days on one place', () => {
    const number = fc.double({ min: -500, max: 500, noNaN: true });
    const day = fc
      .date({ min: new Date('2015-01-01'), max: new Date('2026-12-31'), noInvalidDate: true })
      .map((d) => d.toISOString().slice(0, 10));
    fc.assert(
      fc.property(
        fc.uniqueArray(day, { minLength: 1, maxLength: 8 }),
        fc.array(number, { minLength: 8, maxLength: 8 }),
        (days, numbers) => {
          const figure = draw(
            [...days].sort().map((d, i) => value(d, numbers[i] ?? 0, { interval: [-1, 1] })),
          );
          for (const shape of figure.shapes)
            for (const [key, n] of Object.entries(shape)) {
              if (typeof n !== 'number') continue;
              expect(Number.isFinite(n)).toBe(true);
              if (key.startsWith('x')) expect(n >= 0 && n <= figure.width).toBe(true);
              if (key.startsWith('y')) expect(n >= -1 && n <= figure.height + 1).toBe(true);
            }
          const xs = marks(figure).map((m) => m.x);
          for (let i = 1; i < xs.length; i += 1)
            expect((xs[i] ?? Number.NaN) - (xs[i - 1] ?? Number.NaN)).toBeGreaterThan(10);
        },
      ),
    );
  });
});
